/** The forecast of one unit: its kit, with the values that were measured on it in place of the data sheet's. */
import { parseSetting } from '../../formats/setting.ts';
import { assumptionsIn, type Kit, readKit } from '../../records/index.ts';
import { darkStatistics, forecast } from '../forecast.ts';
import { type Inputs, readPerchFile } from '../inputs.ts';
import { kitAssumptions, nodeOf } from '../node-of.ts';
import type { Ports } from '../ports.ts';
import { makeWeather } from '../site.ts';
import type { WorkshopStore } from '../store-port.ts';
import { makeSupply } from '../supply.ts';
import { figure } from '../words.ts';
import { DEFAULT_SEED, DEFAULT_YEARS, type YearRequest, type YearResult, yearOf } from '../year.ts';
import type { BenchState } from './state.ts';
import { type UnitTold, unitKit } from './unit-kit.ts';
import type { UsedValue } from './unit-values.ts';

/** Seasons in which unit and data sheet are compared. */
const COMPARED = 60;

interface Compared {
  readonly years: number;
  readonly darkYears: number;
  readonly dark_h_per_year: number;
}

/** What `year` tells about a unit beyond the forecast itself. */
export interface UnitInYear extends UnitTold {
  /** The unit, and its kit by the data sheet, through the same seasons. */
  readonly measured: Compared;
  readonly sheet: Compared;
  readonly difference: string;
}

export interface UnitYearResult {
  readonly outcome: YearResult['outcome'] & { readonly unit: UnitInYear };
  readonly pictures: YearResult['pictures'];
}

export type UnitYearRequest = Omit<YearRequest, 'kit'> & { readonly serial: string };

/**
 * `sunperch year --unit`. Settings of the command line come last: they also change what was measured.
 *
 * @throws UserError when the unit or its kit is not there, or a file is wrong
 */
export async function yearOfUnit(
  ports: Ports,
  store: Pick<WorkshopStore, 'history'>,
  state: BenchState,
  request: UnitYearRequest,
): Promise<UnitYearResult> {
  const { told, found, settings, assumptions } = await unitKit(store, state, request.serial);
  const { serial, values } = told;
  const typed = (request.set ?? []).map(parseSetting);
  const sheet = readKit(found.source, { set: [...found.set, ...typed] }).value;
  const read = readKit(found.source, { set: [...settings, ...typed] });
  const perch = await readPerchFile(ports, request.perch, request.set, request.weather);
  const texts = assumptionsIn(read.value.mode, read.assumptions).map(({ field, value, why }) => ({
    field,
    value: typeof value === 'string' ? value : JSON.stringify(value),
    why,
  }));
  const inputs: Inputs = {
    kit: read.value,
    perch: perch.perch,
    plan: perch.plan,
    file: perch.file,
    assumptions: [...assumptions, ...texts, ...kitAssumptions(read.value), ...perch.assumptions],
  };
  const { outcome, pictures } = yearOf(inputs, request, ports.progress);
  const years = Math.min(COMPARED, request.years ?? DEFAULT_YEARS);
  const seed = request.seed ?? DEFAULT_SEED;
  const measured = compared(inputs, read.value, years, seed);
  const bySheet = compared(inputs, sheet, years, seed);
  const difference = differs(values, measured, bySheet);
  const unit = { ...told, measured, sheet: bySheet, difference };
  return { outcome: { ...outcome, verdict: `${serial}: ${outcome.verdict} ${difference}`, unit }, pictures };
}

function compared({ perch, plan }: Inputs, kit: Kit, years: number, seed: number): Compared {
  const site = makeWeather(plan, perch, seed, years + 1);
  const { run } = forecast(nodeOf(kit), makeSupply(kit, perch, plan, site).hours, site.startMonth, years);
  const { darkYears, dark_h_per_year } = darkStatistics(run, seed);
  return { years, darkYears, dark_h_per_year: dark_h_per_year.mean };
}

function differs(used: readonly UsedValue[], measured: Compared, sheet: Compared): string {
  if (used.every((value) => value.set.length === 0))
    return 'Nothing that the forecast takes was measured on it: these are the data sheet’s values.';
  const winters = (n: number) => `${n} dark winter${n === 1 ? '' : 's'}`;
  const same = measured.darkYears === sheet.darkYears && measured.dark_h_per_year === sheet.dark_h_per_year;
  if (same) return `By the data sheet it comes to the same (${winters(sheet.darkYears)} in ${sheet.years}).`;
  const h = (value: number) => `${figure(value, 2)} dark hours a year`;
  return `As measured ${winters(measured.darkYears)} in ${measured.years} and ${h(measured.dark_h_per_year)}, by the data sheet ${winters(sheet.darkYears)} and ${h(sheet.dark_h_per_year)}.`;
}

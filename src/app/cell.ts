import {
  agedBank,
  ageYears,
  bankCapacity_Ah,
  type CautionCode,
  type CellBank,
  type Chemistry,
  cautionOf,
  energyShare,
  maxChargeRate_per_h,
  meanVoltage_V,
  openCircuit_V,
  pulseVoltage_V,
  resistance_Ohm,
  selfDischarge_per_h,
  stateOfCharge,
  usableShare,
} from '../core/cells/index.ts';
import type { Assumption, Caution } from '../core/energy/index.ts';
import { average_mA_at, REFERENCE_V } from '../core/load/index.ts';
import { parseSetting } from '../formats/setting.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { assumptionsIn, type Kit, readKit } from '../records/index.ts';
import { type CellAgeing, cellAgeing } from './cell-ageing.ts';
import { readKitFile } from './inputs.ts';
import { bankOf, loadOf } from './node-of.ts';
import { checkOptions } from './option-limits.ts';
import type { Ports } from './ports.ts';

/** The cells of a kit, or cells described by options; options win over the kit. At most one of `soc` and `voltage_V`. */
export interface CellRequest {
  readonly kit?: string | undefined;
  readonly set?: readonly string[] | undefined;
  readonly chemistry?: Chemistry | undefined;
  readonly capacity_mAh?: number | undefined;
  readonly count?: number | undefined;
  readonly resistance_mOhm?: number | undefined;
  readonly soc?: number | undefined;
  /** Voltage of one cell after an hour's rest. */
  readonly voltage_V?: number | undefined;
  readonly temperature_degC?: number | undefined;
  readonly current_A?: number | undefined;
  readonly age_years?: number | undefined;
  readonly ageing_degC?: number | undefined;
  readonly ceiling_soc?: number | undefined;
  readonly depth?: number | undefined;
}

/** One state of charge of the bank at the temperature and current asked for. */
export interface CellPoint {
  readonly stateOfCharge: number;
  readonly restedVoltage_V: number;
  readonly pulseVoltage_V: number;
  /** From empty at 25 °C. */
  readonly storedEnergy_Wh: number;
  /** Of that, what the cold does not keep back. */
  readonly usableEnergy_Wh: number;
}

/** Result of `sunperch cell`: of the whole bank, at its age, unless the name says otherwise. */
export interface CellOutcome extends CellPoint {
  readonly command: 'cell';
  readonly name: string;
  readonly chemistry: Chemistry;
  readonly count: number;
  /** Of one cell, as new. */
  readonly capacity_mAh: number;
  readonly temperature_degC: number;
  readonly current_A: number;
  readonly age_years: number;
  /** What the age has left of the capacity and made of the resistance. */
  readonly capacityShare: number;
  readonly resistanceFactor: number;
  /** Where a voltage was given: what 10 mV either way, the table's own accuracy, would say. */
  readonly stateOfChargeRange: { readonly low: number; readonly high: number } | null;
  readonly capacity_Ah: number;
  readonly energyFull_Wh: number;
  readonly usableShare: number;
  readonly resistance_mOhm: number;
  readonly selfDischarge_pct_month: number;
  /** Most charge current at that temperature. */
  readonly mostCharge_A: number;
  readonly curve: readonly CellPoint[];
  readonly ageing: CellAgeing;
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** Accuracy of both built-in voltage tables, V (core/cells). */
const TABLE_ACCURACY_V = 0.01;
const HOURS_PER_MONTH = 730;
/** Half of all hours are night, everywhere on the Earth, over the year. */
const NIGHT_h = 12;

/**
 * `sunperch cell`: voltage, energy and ageing of a bank of cells.
 *
 * Models and their sources: core/cells. Ageing is that of a bank which rests at the ceiling at one temperature and gives
 * the load of a mean night each day. Throws RangeError when neither kit nor capacity is given, UserError for values outside.
 */
export async function cell(ports: Ports, request: CellRequest): Promise<CellOutcome> {
  const { capacity_mAh, resistance_mOhm, count, soc, voltage_V, age_years, ceiling_soc, depth } = request;
  const { temperature_degC = 25, ageing_degC = 15 } = request;
  checkOptions({ capacity_mAh, resistance_mOhm, count, stateOfCharge: soc, restedVoltage_V: voltage_V });
  checkOptions({ cell_degC: temperature_degC, current_A: request.current_A });
  checkOptions({ age_years, ageing_degC, ceiling_soc, depth });
  if (soc !== undefined && voltage_V !== undefined) throw new RangeError('cell: soc and voltage_V exclude each other');
  const { kit, assumptions } = await cellsOf(ports, request);
  const assume = (field: string, value: string, why: string) => assumptions.push({ field, value, why });
  if (kit.mode === 'plain')
    assume(
      'kit.cells.chemistry',
      kit.cells.chemistry,
      'the plain mode has one constant voltage; this table is behind the answer here',
    );
  if (request.temperature_degC === undefined) assume('--temperature', '25 degC', 'not given');
  if (request.ageing_degC === undefined)
    assume('--at-temperature', '15 degC', 'a yearly mean in a box outdoors (judgement); warmth ages most');
  const fresh = bankOf(kit);
  const ceiling = ceiling_soc ?? ceilingOf(kit, fresh);
  if (ceiling_soc === undefined)
    assume(
      '--ceiling',
      ceiling.toFixed(2),
      request.kit === undefined ? 'charged to the full' : 'the ceiling of the charger in the kit',
    );
  const current_A = request.current_A ?? pulseOf(request, kit);
  if (request.current_A === undefined)
    assume(
      '--current',
      `${Number(current_A.toPrecision(3))} A`,
      request.kit === undefined ? 'a radio sending at 22 dBm (data sheet, 118 mA)' : 'the transmit pulse of the kit',
    );
  const cycle = depth ?? nightOf(request, kit);
  if (depth === undefined)
    assume(
      '--depth',
      `${Number(cycle.toPrecision(2))}`,
      request.kit === undefined
        ? 'the daily cycle of a frugal node (judgement)'
        : "twelve hours of the kit's load over its capacity",
    );
  const age = age_years ?? kit.cells.age_years ?? 0;
  const ageingInput = {
    chemistry: kit.cells.chemistry as Chemistry,
    charge: { ceilingSoc: ceiling },
    temperatureHours_degC: [ageing_degC],
    equivalentFullCycles_per_year: 365 * cycle,
    depth: cycle,
  };
  const course = ageYears(ageingInput, [age]);
  const bank = course.modelled
    ? agedBank(fresh, Math.max(0.05, course.capacityShare[0]!), course.resistanceFactor[0]!)
    : fresh;
  const pointAt = (stateOfCharge: number) => pointOf(bank, stateOfCharge, temperature_degC, current_A);
  const here = soc ?? (voltage_V === undefined ? 1 : stateOfCharge(bank.table, voltage_V));
  if (soc === undefined && voltage_V === undefined) assume('--soc', '1', 'full cells');
  const { chemistry } = bank.table;
  return {
    command: 'cell',
    name: kit.cells.name ?? kit.name,
    chemistry,
    count: bank.count,
    capacity_mAh: bank.capacity_mAh,
    temperature_degC,
    current_A,
    age_years: age,
    capacityShare: bank.capacityShare,
    resistanceFactor: bank.resistanceFactor,
    ...pointAt(here),
    stateOfChargeRange:
      voltage_V === undefined
        ? null
        : {
            low: stateOfCharge(bank.table, voltage_V - TABLE_ACCURACY_V),
            high: stateOfCharge(bank.table, voltage_V + TABLE_ACCURACY_V),
          },
    capacity_Ah: bankCapacity_Ah(bank),
    energyFull_Wh: energyOf(bank),
    usableShare: usableShare(temperature_degC),
    resistance_mOhm: 1000 * resistance_Ohm(bank, temperature_degC),
    selfDischarge_pct_month: 100 * selfDischarge_per_h(bank, temperature_degC) * HOURS_PER_MONTH,
    mostCharge_A: maxChargeRate_per_h(temperature_degC) * bankCapacity_Ah(bank),
    curve: Array.from({ length: 11 }, (_, i) => pointAt(i / 10)),
    ageing: cellAgeing(ageingInput, bank.table, age),
    assumptions,
    cautions: cautionsOf(bank, temperature_degC, voltage_V),
  };
}

const energyOf = (bank: CellBank) => meanVoltage_V(bank.table) * bankCapacity_Ah(bank);

function pointOf(bank: CellBank, soc: number, temperature_degC: number, current_A: number): CellPoint {
  const storedEnergy_Wh = energyShare(bank.table, soc) * energyOf(bank);
  const kept_Wh = (1 - usableShare(temperature_degC)) * energyOf(bank);
  return {
    stateOfCharge: soc,
    restedVoltage_V: openCircuit_V(bank.table, soc),
    pulseVoltage_V: pulseVoltage_V(bank, soc, temperature_degC, current_A),
    storedEnergy_Wh,
    usableEnergy_Wh: Math.max(0, storedEnergy_Wh - kept_Wh),
  };
}

/** The kit that holds the cells: the file's, or one made of the options around them. */
async function cellsOf(ports: Ports, request: CellRequest): Promise<{ kit: Kit; assumptions: Assumption[] }> {
  const { chemistry, capacity_mAh, count, resistance_mOhm } = request;
  const given = Object.entries({ chemistry, capacity_mAh, count, resistance_mOhm }).filter(([, v]) => v !== undefined);
  const mine = ({ field }: { readonly field: string }) => field.startsWith('kit.cells');
  if (request.kit !== undefined) {
    const settings = given.map(([key, value]) => `kit.cells.${key}=${value}`);
    // A measured capacity of the file would win over the one on the command line.
    if (capacity_mAh !== undefined) settings.push('kit.cells.measuredCapacity_mAh=');
    const read = await readKitFile(ports, request.kit, [...(request.set ?? []), ...settings]);
    return { kit: read.kit, assumptions: read.assumptions.filter(mine) };
  }
  if (capacity_mAh === undefined) throw new RangeError('cell: a kit or a capacity must be named');
  const record = {
    name: 'cells',
    panel: { power_W: 1 },
    charger: { type: 'flat', ceiling_soc: 1 },
    cutoff: { cutoff_soc: 0.1, reconnect_soc: 0.2 },
    cells: { count: 1, ...Object.fromEntries(given) },
    load: { average_mA: 1 },
  };
  const source = parseYamlRecord(JSON.stringify(record), 'command line');
  const read = readKit(source, { set: (request.set ?? []).map(parseSetting) });
  const assumptions = assumptionsIn('full', read.assumptions)
    .filter(mine)
    .map(({ field, value, why }) => ({ field: optionOf(field), value: String(value), why }));
  if (count === undefined) assumptions.push({ field: '--count', value: '1', why: 'one cell' });
  return { kit: read.value, assumptions };
}

/** The option that stands for a field of the cells, where there is one. */
function optionOf(field: string): string {
  const options: Record<string, string> = { chemistry: '--chemistry', resistance_mOhm: '--resistance' };
  return options[field.replace('kit.cells.', '')] ?? field;
}

function ceilingOf(kit: Kit, bank: CellBank): number {
  const { ceiling_V, ceiling_soc } = kit.charger;
  return ceiling_V !== undefined ? Math.max(0.01, stateOfCharge(bank.table, ceiling_V)) : (ceiling_soc ?? 1);
}

const pulseOf = (request: CellRequest, kit: Kit) => (request.kit === undefined ? 0.12 : loadOf(kit).peak_mA / 1000);

function nightOf(request: CellRequest, kit: Kit): number {
  if (request.kit === undefined) return 0.05;
  const { count, capacity_mAh, measuredCapacity_mAh } = kit.cells;
  return Math.min(
    1,
    (average_mA_at(loadOf(kit), REFERENCE_V) * NIGHT_h) / (count * (measuredCapacity_mAh ?? capacity_mAh)),
  );
}

function cautionsOf(bank: CellBank, temperature_degC: number, voltage_V: number | undefined): Caution[] {
  const { voltage_V: table } = bank.table;
  const [lowest, highest] = [table[0]!, table[table.length - 1]!];
  const list: Caution[] = [];
  if (voltage_V !== undefined && (voltage_V < lowest || voltage_V > highest))
    list.push({
      code: 'voltage-outside-table',
      text: `${voltage_V} V lies outside the table of these cells, ${lowest} to ${highest} V at rest: ${voltage_V < lowest ? 'deeply discharged cells are damaged; do not charge them again.' : 'are they overcharged, or is the chemistry another one?'}`,
    });
  const add = (code: CautionCode) => list.push({ code, text: cautionOf(code).text });
  if (temperature_degC < 0) add('charging-below-freezing');
  if (bank.count > 1) add('damaged-or-mixed-cells');
  return list;
}

import {
  type AgeSummary,
  type BalanceTrace,
  COLDEST_degC,
  freshState,
  newTally,
  runBalance,
  socAt,
  TALLY,
  type YearOutcome,
  type YearPictures,
} from '../core/energy/index.ts';
import { buildNode } from '../core/energy/node.ts';
import { autonomy_d, recoveries_d } from '../core/energy/probes.ts';
import { runSeasons, seasonHour } from '../core/energy/seasons.ts';
import { quantileOfSorted } from '../core/math/index.ts';
import { DAYS_PER_YEAR, HOURS_PER_YEAR } from '../core/units/index.ts';
import { type Kit, panelsOf } from '../records/index.ts';
import { ageingCurve, type CellYear, cellsAfter, lifeOf } from './ageing.ts';
import { rankCauses } from './causes.ts';
import { cautionsFor } from './cautions.ts';
import { tryChanges } from './changes.ts';
import { budgetOf, type DarkStatistics, darkStatistics, forecast, sampleDarkSeasons } from './forecast.ts';
import { type Inputs, type KitAtPerch, readInputs } from './inputs.ts';
import { nodeOf } from './node-of.ts';
import type { Ports } from './ports.ts';
import { makeWeather, type SiteWeather } from './site.ts';
import { dailyGhi, findSpells, spellRows } from './spell-rows.ts';
import { carpetOf, dailyLows, fanOf, monthSummaries, worstMonthOf, worstSeason } from './summary.ts';
import { horizonOf, makeSupply, type Supply } from './supply.ts';
import { DEFAULT_TARGET, readTarget, stateOf } from './target.ts';
import { verdictText } from './words.ts';

export const DEFAULT_YEARS = 200;
export const DEFAULT_SEED = 1;
/** Ages of the cells that a forecast looks at, years. */
const AGES = [0, 3, 5, 8];
const CEILINGS = [0.8, 0.85, 0.9, 0.95, 1];
const CEILING_SEASONS = 60;
/** Dark seasons on which causes and changes are tried. */
const SAMPLE = 24;

export interface YearRequest extends KitAtPerch {
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
  readonly target?: string | undefined;
}

export interface YearResult {
  readonly outcome: YearOutcome;
  readonly pictures: YearPictures;
}

/** `sunperch year` over many years: reads, runs and sums up. */
export async function year(ports: Ports, request: YearRequest): Promise<YearResult> {
  return yearOf(await readInputs(ports, request), request, ports.progress);
}

/** The same from inputs that are read already. */
export function yearOf(
  inputs: Inputs,
  request: Pick<YearRequest, 'years' | 'seed' | 'target'>,
  progress: Ports['progress'] = () => undefined,
): YearResult {
  const { kit, perch, plan } = inputs;
  const years = request.years ?? DEFAULT_YEARS;
  const seed = request.seed ?? DEFAULT_SEED;
  const target = readTarget(request.target ?? DEFAULT_TARGET);
  progress(0, 10, 'weather');
  // Seasons run from the sunniest month to the next, so one calendar year more is made.
  const site = makeWeather(plan, perch, seed, years + 1);
  progress(3, 10, 'light and panel');
  const supply = makeSupply(kit, perch, plan, site);
  progress(5, 10, 'hours');
  const trace: BalanceTrace = {
    stateOfCharge: new Float32Array(site.hours.length),
    on: new Uint8Array(site.hours.length),
  };
  const node = nodeOf(kit, startAge(inputs, site, supply));
  const { model, run } = forecast(node, supply.hours, site.startMonth, years, trace);
  const statistics = darkStatistics(run, seed);
  const lows = dailyLows(trace, site.startMonth, years);
  const months = monthSummaries(run, lows, site, supply);
  const worstMonth = worstMonthOf(months);
  const perYear = (field: number) => run.total[field]! / years;
  const coldMonth_degC = Math.min(...site.monthlyTemperature_degC);
  progress(6, 10, 'ageing');
  const cellYear = cellYearOf(kit, supply, trace, run.startMonth, perYear(TALLY.discharged_Ah));
  const ages = agesOf(kit, site, supply, cellYear, statistics, seed);
  const ceilings = ceilingsOf(kit, site, supply, years, coldMonth_degC);
  progress(8, 10, 'causes and changes');
  const sample = sampleDarkSeasons(site.hours, run, SAMPLE);
  const cut = sample.seasons.length > 0 ? makeSupply(kit, perch, plan, { ...site, hours: sample.weather }) : null;
  const causes = cut
    ? rankCauses({ kit, perch, plan, site, sample, supply: cut, run, worstMonth: worstMonth - 1, coldMonth_degC })
    : [];
  const state = stateOf(statistics.darkYearShare, target);
  const changes =
    cut && state !== 'stays up' ? tryChanges(kit, perch, plan, site, sample, cut, supply, run, target) : [];
  const recoveries = recoveries_d(model, supply.hours, worstMonth - 1, years);
  const limit = causes[0] !== undefined && causes[0].explains > 0.1 ? causes[0].cause : undefined;
  progress(10, 10, 'done');
  const outcome: YearOutcome = {
    command: 'year',
    kit: kit.name,
    perch: plan.name,
    verdict: verdictText({
      kit: kit.name,
      perch: plan.name,
      state,
      target,
      years,
      darkYears: statistics.darkYears,
      dark_h: statistics.dark_h_per_year,
      share: statistics.darkYearShare,
      worstMonth,
      limitedBy: limit,
    }),
    state,
    years,
    seed,
    weather: plan.weather,
    place: {
      latitude_deg: plan.place.latitude_deg,
      longitude_deg: plan.place.longitude_deg,
      elevation_m: plan.place.elevation_m,
    },
    dark_h_per_year: statistics.dark_h_per_year,
    darkYearShare: statistics.darkYearShare,
    darkSpells_per_year: perYear(TALLY.darkSpells),
    unserved_Wh_per_year: perYear(TALLY.unserved_Wh),
    minStateOfCharge: run.total[TALLY.minStateOfCharge]!,
    coldBlocked_h_per_year: perYear(TALLY.coldBlocked_h),
    plating_h_per_year: perYear(TALLY.plating_h),
    lockUps_per_year: perYear(TALLY.lockUps),
    falseRestarts_per_year: perYear(TALLY.falseRestarts),
    ceiling_h_per_year: perYear(TALLY.ceiling_h),
    worstMonth,
    longestDark_h: run.total[TALLY.longestDark_h]!,
    autonomy_d: autonomy_d(model, coldMonth_degC),
    // A board that locks up does not come back by itself.
    recovery_d: recoveries.length > 0 && !model.locksUp ? quantileOfSorted(recoveries, 0.5) : null,
    balance: budgetOf(run.total, years),
    months,
    ages,
    causes,
    changes,
    ageing: ageingCurve(kit, cellYear, ceilings),
    strip: {
      darkShare: months.map((m) => m.darkShare),
      lowStateOfCharge: months.map((m) => m.lowStateOfCharge),
    },
    assumptions: [
      {
        field: 'years',
        value: String(years),
        why: `simulated seasons, each from the sunniest month to the next; seed ${seed}`,
      },
      ...inputs.assumptions,
    ],
    cautions: cautionsFor(kit, plan, site, run),
  };
  const worst = worstSeason(run);
  // Thresholds are drawn where they stand in the coldest month.
  const cold = Math.min(model.cutoff_Wh.length - 1, Math.max(0, Math.round(coldMonth_degC) - COLDEST_degC));
  const pictures: YearPictures = {
    fan: fanOf(lows),
    carpet: carpetOf(trace, site.startMonth, worst),
    carpetYear: worst + 1,
    startDay: lows.startDay,
    horizon_deg: kit.mode === 'plain' ? null : (horizonOf(perch) ?? null),
    spells: spellRows(findSpells(dailyGhi(site.hours), site.startMonth, seed)),
    frontier: null,
    marks: {
      ceiling: socAt(model, model.ceiling_Wh),
      cutoff: socAt(model, model.cutoff_Wh[cold]!),
      reconnect: socAt(model, Math.min(model.energyFull_Wh, model.reconnect_Wh[cold]!)),
    },
  };
  return { outcome, pictures };
}

/** Cells that are not new when the kit is put up are aged in the weather of the place first. */
function startAge(inputs: Inputs, site: SiteWeather, supply: Supply) {
  const age_years = inputs.kit.cells.age_years ?? 0;
  if (age_years <= 0) return undefined;
  return cellsAfter(inputs.kit, probeYear(inputs.kit, supply, site.startMonth, nodeOf(inputs.kit)), age_years);
}

/** One traced season for ageing, when no trace is at hand. */
export function probeYear(kit: Kit, supply: Supply, startMonth: number, node: ReturnType<typeof nodeOf>): CellYear {
  const end = seasonHour(startMonth, 1, 0);
  const trace: BalanceTrace = { stateOfCharge: new Float32Array(end), on: new Uint8Array(end) };
  const model = buildNode(node);
  const tally = newTally();
  const begin = seasonHour(startMonth, 0, 0);
  runBalance(model, supply.hours, begin, end, freshState(model), tally, trace);
  return cellYearOf(kit, supply, trace, startMonth, tally[TALLY.discharged_Ah]!);
}

/** The first season of a trace as the year that ages the cells. */
function cellYearOf(
  kit: Kit,
  supply: Supply,
  trace: BalanceTrace,
  startMonth: number,
  discharged_Ah: number,
): CellYear {
  const begin = seasonHour(startMonth, 0, 0);
  const stateOfCharge = trace.stateOfCharge.slice(begin, begin + HOURS_PER_YEAR);
  let swing = 0;
  for (let d = 0; d < DAYS_PER_YEAR; d++) {
    let low = 1;
    let high = 0;
    for (let h = d * 24; h < d * 24 + 24; h++) {
      low = Math.min(low, stateOfCharge[h]!);
      high = Math.max(high, stateOfCharge[h]!);
    }
    swing += (high - low) / DAYS_PER_YEAR;
  }
  const capacity_Ah = (kit.cells.count * (kit.cells.measuredCapacity_mAh ?? kit.cells.capacity_mAh)) / 1000;
  return {
    temperature_degC: supply.hours.cell_degC.slice(begin, begin + HOURS_PER_YEAR),
    stateOfCharge,
    equivalentFullCycles: discharged_Ah / capacity_Ah,
    depth: swing,
  };
}

/** The verdict for cells of other ages; panels fade with them. */
function agesOf(
  kit: Kit,
  site: SiteWeather,
  supply: Supply,
  cellYear: CellYear,
  asPutUp: DarkStatistics,
  seed: number,
): AgeSummary[] {
  const fade = panelsOf(kit)[0]!.ageing_pct_year;
  const begun = kit.cells.age_years ?? 0;
  return AGES.map((age_years) => {
    const age = cellsAfter(kit, cellYear, begun + age_years);
    if (age_years === 0) return { age_years, ...age, ...darkOnly(asPutUp) };
    const scale = kit.mode === 'plain' ? 1 : (1 - fade / 100) ** age_years;
    const { run } = forecast(nodeOf(kit, age), { ...supply.hours, scale }, site.startMonth, asPutUp.years);
    return { age_years, ...age, ...darkOnly(darkStatistics(run, seed)) };
  });
}

const darkOnly = ({ dark_h_per_year, darkYearShare }: DarkStatistics) => ({ dark_h_per_year, darkYearShare });

/** What other charge ceilings buy and cost at this place; on the first seasons only, for the comparison. */
function ceilingsOf(kit: Kit, site: SiteWeather, supply: Supply, years: number, coldMonth_degC: number) {
  if (kit.mode === 'plain' || kit.cells.chemistry === 'table') return [];
  const seasons = Math.min(years, CEILING_SEASONS);
  return CEILINGS.map((ceiling_soc) => {
    const node = { ...nodeOf(kit), ceiling: { soc: ceiling_soc } };
    const model = buildNode(node);
    const { darkYears } = darkStatistics(runSeasons(model, supply.hours, site.startMonth, seasons), 1);
    const life = lifeOf(kit, probeYear(kit, supply, site.startMonth, node));
    return {
      ceiling_soc,
      yearsTo80: life === null ? Number.NaN : life.low,
      darkYearShare: darkYears / seasons,
      autonomy_d: autonomy_d(model, coldMonth_degC),
    };
  });
}

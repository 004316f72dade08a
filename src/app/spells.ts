import type { Assumption } from '../core/energy/index.ts';
import { sunniestMonth } from '../core/energy/seasons.ts';
import { sunYear } from '../core/sun/index.ts';
import { DAYS_PER_YEAR, MONTH_START, userError } from '../core/units/index.ts';
import { syntheticDays } from '../core/weather/index.ts';
import { readPerchFile } from './inputs.ts';
import type { Ports } from './ports.ts';
import { makeWeather, type SitePlan } from './site.ts';
import { dailyGhi, findSpells, type SpellRow, spellRows } from './spell-rows.ts';
import { DEFAULT_SEED, DEFAULT_YEARS } from './year.ts';

/** Fewest years from which a return value is told. */
const LEAST_YEARS = 4;

export interface SpellsOutcome {
  readonly command: 'spells';
  readonly perch: string;
  readonly verdict: string;
  readonly years: number;
  readonly seed: number;
  readonly weather: string;
  /** Month (1..12) with which years begin, so that no dark season is cut in two. */
  readonly startMonth: number;
  readonly spells: readonly SpellRow[];
  /** The darkest n days of a year whatever the season: horizontal radiation, kWh/m² a day. */
  readonly lowest: readonly {
    readonly days: number;
    readonly period_years: number;
    readonly ghi_kWh_m2_day: number;
    readonly low: number;
    readonly high: number;
  }[];
  /** Worst of all years by length. */
  readonly worst: readonly { readonly days: number; readonly share: number }[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

export interface SpellsRequest {
  readonly perch: string;
  readonly weather?: string | undefined;
  readonly set?: readonly string[] | undefined;
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
}

/** `sunperch spells`: how dark the darkest days in a row are, and how often they come. */
export async function spells(ports: Ports, request: SpellsRequest): Promise<SpellsOutcome> {
  const { plan, perch, file, assumptions } = await readPerchFile(ports, request.perch, request.set, request.weather);
  const seed = request.seed ?? DEFAULT_SEED;
  const real = file !== undefined && request.years === undefined;
  let daily: Float64Array;
  if (file === undefined) daily = syntheticDaily(plan, (request.years ?? DEFAULT_YEARS) + 1, seed);
  else if (file.kind === 'daily' && real) daily = Float64Array.from(file.days.ghi_kWh_m2);
  else daily = dailyGhi(makeWeather(plan, perch, seed, real ? undefined : request.years! + 1).hours);
  return spellsOf(daily, plan, seed, [
    ...(file === undefined || real
      ? []
      : [
          {
            field: 'years',
            value: String(request.years),
            why: 'whole calendar months drawn at random from the file: spells across the end of a month are broken, so long ones come out too mild',
          },
        ]),
    ...(file === undefined
      ? [{ field: 'years', value: String(request.years ?? DEFAULT_YEARS), why: `synthetic years, seed ${seed}` }]
      : []),
    ...assumptions.filter((a) => !/tilt|azimuth|albedo|snow|soiling|wind|enclosure|shade|horizon/.test(a.field)),
  ]);
}

/** Days of the same synthetic years as `year` runs, without their hours. */
function syntheticDaily(plan: SitePlan, years: number, seed: number): Float64Array {
  if (plan.climate.kind !== 'monthly') throw new RangeError('syntheticDaily: a monthly climate is needed');
  const { latitude_deg, elevation_m } = plan.place;
  const { ghi_kWh_m2_day, temperature_degC } = plan.climate;
  const sun = sunYear(plan.place);
  return syntheticDays({ sun, latitude_deg, elevation_m, ghi_kWh_m2_day, temperature_degC, years, seed }).ghi_kWh_m2;
}

/** Sums up a record of days. */
export function spellsOf(
  daily_kWh_m2: Float64Array,
  plan: SitePlan,
  seed: number,
  assumptions: readonly Assumption[],
): SpellsOutcome {
  const years = daily_kWh_m2.length / DAYS_PER_YEAR;
  if (years < LEAST_YEARS)
    throw userError(
      'spells-too-few-years',
      `the weather has ${years === 1 ? 'one year' : `${years} years`}: how often a dark spell comes can be told from ${LEAST_YEARS} years upwards; give a longer record, or leave --weather out to take synthetic years`,
    );
  const startMonth = sunniestMonth(monthlyOf(daily_kWh_m2));
  const found = findSpells(daily_kWh_m2, startMonth, seed);
  const rows = spellRows(found);
  return {
    command: 'spells',
    perch: plan.name,
    verdict: verdictOf(plan.name, rows),
    years: years - 1,
    seed,
    weather: plan.weather,
    startMonth: startMonth + 1,
    spells: rows,
    lowest: found.flatMap(({ days, radiation_kWh_m2_day }) =>
      radiation_kWh_m2_day.map(({ period_y, value, low, high }) => ({
        days,
        period_years: period_y,
        ghi_kWh_m2_day: value,
        low,
        high,
      })),
    ),
    worst: found.map(({ days, worstShare }) => ({ days, share: Math.min(...worstShare) })),
    notes: plan.notes,
    assumptions,
  };
}

function monthlyOf(daily: Float64Array): Float64Array {
  const sum = new Float64Array(12);
  for (let m = 0; m < 12; m++)
    for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++)
      for (let i = d; i < daily.length; i += DAYS_PER_YEAR) sum[m]! += daily[i]!;
  return sum.map((s, m) => s / (MONTH_START[m + 1]! - MONTH_START[m]!));
}

function verdictOf(perch: string, rows: readonly SpellRow[]): string {
  const most = Math.max(...rows.map((r) => r.period_years));
  const period = Math.min(10, most);
  const told = rows
    .filter((r) => r.period_years === period)
    .map(
      (r) =>
        `${r.days} days bring ${Math.round(100 * r.share)} % (95 %: ${Math.round(100 * r.low)} to ${Math.round(100 * r.high)} %)`,
    );
  if (told.length === 0)
    return `At ${perch} the sun is too low in the dark season for a share of the mean to say anything; see the lowest radiation.`;
  return `At ${perch} once in ${period} years the darkest days in a row bring, of what is usual at that time of year: ${told.join(', ')}.`;
}

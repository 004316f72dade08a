/** How dark the darkest spells are, and how often they come. */
import { createRandom, quantileOfSorted } from '../math/index.ts';
import { DAYS_PER_YEAR } from '../units/index.ts';

/** Return periods told, years. */
export const RETURN_PERIODS_y: readonly number[] = [2, 5, 10, 20, 50];

/** A value that is passed (undercut) once in `period_y` years on average, with a 95 % bootstrap interval. */
export interface ReturnValue {
  readonly period_y: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface DarkSpell {
  readonly days: number;
  /** Worst n-day mean of each year as a share of the seasonal mean of the same days. */
  readonly worstShare: Float64Array;
  /** Lowest n-day mean of each year, kWh/m² a day. */
  readonly lowest_kWh_m2_day: Float64Array;
  /** Return values of the share; only periods that the number of years can bear (period <= years / 2). */
  readonly share: readonly ReturnValue[];
  /** Return values of the lowest n-day mean. */
  readonly radiation_kWh_m2_day: readonly ReturnValue[];
}

/** Windows whose seasonal mean is below this, kWh/m² a day, are left out of the share: near polar night it says nothing. */
const DARK_SEASON_kWh_m2_day = 0.1;
const RESAMPLES = 400;

/**
 * Dark spells of a daily record.
 *
 * For each window of n consecutive days: its mean radiation, and that as a share of the record's own long-term mean over
 * the same days of the year (each day's mean over all years, smoothed over 31 days). The year of a window is that of its
 * last day; years run from `yearStart_day` (0..364, default 182 for the north's midsummer; give the start of the sunniest
 * month), so that no winter is cut in two. What remains before the first and after the last such
 * year is left out, so that N calendar years give N-1 values.
 *
 * Return value for T years: the 1/T quantile of the yearly worst (linear between order statistics), interval by bootstrap
 * over whole years (percentiles 2.5 and 97.5). Radiation of any kind and plane may be given, e.g. the plane of array.
 *
 * `daily_kWh_m2`: whole years of 365 days in order of time, at least three (RangeError).
 */
export function darkSpells(
  daily_kWh_m2: ArrayLike<number>,
  spans_d: readonly number[],
  options: { readonly yearStart_day?: number; readonly seed?: number } = {},
): DarkSpell[] {
  const years = daily_kWh_m2.length / DAYS_PER_YEAR;
  if (!Number.isInteger(years) || years < 3) throw new RangeError('darkSpells: three or more whole years are needed');
  const start = options.yearStart_day ?? 182;
  const season = seasonalMean(daily_kWh_m2);
  return spans_d.map((days) => {
    if (!(Number.isInteger(days) && days >= 1 && days <= 60)) throw new RangeError(`darkSpells: span of ${days} days`);
    const worstShare = new Float64Array(years - 1).fill(Number.POSITIVE_INFINITY);
    const lowest_kWh_m2_day = new Float64Array(years - 1).fill(Number.POSITIVE_INFINITY);
    let sum = 0;
    let mean = 0;
    for (let i = start; i < start + (years - 1) * DAYS_PER_YEAR; i++) {
      sum += daily_kWh_m2[i]!;
      mean += season[i % DAYS_PER_YEAR]!;
      if (i - start >= days) {
        sum -= daily_kWh_m2[i - days]!;
        mean -= season[(i - days) % DAYS_PER_YEAR]!;
      }
      if (i - start < days - 1) continue;
      const year = Math.floor((i - start) / DAYS_PER_YEAR);
      lowest_kWh_m2_day[year] = Math.min(lowest_kWh_m2_day[year]!, Math.max(0, sum / days));
      if (mean >= DARK_SEASON_kWh_m2_day * days)
        worstShare[year] = Math.min(worstShare[year]!, Math.max(0, sum / mean));
    }
    const seed = (options.seed ?? 1) + days;
    return {
      days,
      worstShare,
      lowest_kWh_m2_day,
      share: returnValues(worstShare, seed),
      radiation_kWh_m2_day: returnValues(lowest_kWh_m2_day, seed),
    };
  });
}

/** Return values of the yearly minima for each period up to half the number of years. */
export function returnValues(yearlyMinimum: Float64Array, seed: number): ReturnValue[] {
  const n = yearlyMinimum.length;
  const periods = RETURN_PERIODS_y.filter((period) => period <= n / 2);
  const sorted = Float64Array.from(yearlyMinimum).sort();
  const chance = createRandom(seed);
  const samples = periods.map(() => new Float64Array(RESAMPLES));
  const drawn = new Float64Array(n);
  for (let r = 0; r < RESAMPLES; r++) {
    for (let i = 0; i < n; i++) drawn[i] = yearlyMinimum[chance.below(n)]!;
    drawn.sort();
    periods.forEach((period, k) => {
      samples[k]![r] = quantileOfSorted(drawn, 1 / period);
    });
  }
  return periods.map((period_y, k) => {
    const spread = samples[k]!.sort();
    return {
      period_y,
      value: quantileOfSorted(sorted, 1 / period_y),
      low: quantileOfSorted(spread, 0.025),
      high: quantileOfSorted(spread, 0.975),
    };
  });
}

/** Long-term mean of each day of the year, smoothed by a 31-day running mean around the year. */
function seasonalMean(daily_kWh_m2: ArrayLike<number>): Float64Array {
  const years = daily_kWh_m2.length / DAYS_PER_YEAR;
  const raw = new Float64Array(DAYS_PER_YEAR);
  for (let i = 0; i < daily_kWh_m2.length; i++) raw[i % DAYS_PER_YEAR]! += daily_kWh_m2[i]! / years;
  return raw.map((_, d) => {
    let sum = 0;
    for (let k = -15; k <= 15; k++) sum += raw[(d + k + DAYS_PER_YEAR) % DAYS_PER_YEAR]!;
    return sum / 31;
  });
}

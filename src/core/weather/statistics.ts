/** Statistics of daily records, computed as in the tables of measured ones that the tests compare with. */
import { DAYS_PER_YEAR } from '../units/index.ts';
import { monthOfDays } from './monthly-curve.ts';

export interface DailyStatistics {
  readonly monthMean_kt: Float64Array;
  /** Standard deviation of daily clearness about the month's long-term mean. */
  readonly monthSd_kt: Float64Array;
  /** Year-to-year coefficient of variation of each month's mean clearness. */
  readonly interannual_cv: Float64Array;
  /** Correlation of (Kt - month mean) / month sd on consecutive days, pooled over the year and the years. */
  readonly lag1: number;
  /** Share of days below a quarter and below a half of the month's mean. */
  readonly belowQuarter: number;
  readonly belowHalf: number;
}

/**
 * Statistics of `years` x 365 daily clearness values in order of time. Months in `skip` (no sun) are left out of the pooled
 * figures. The mean of a month is the plain mean of its days' clearness.
 */
export function dailyStatistics(kt: ArrayLike<number>, skip?: (month: number) => boolean): DailyStatistics {
  const years = kt.length / DAYS_PER_YEAR;
  if (!Number.isInteger(years) || years < 2)
    throw new RangeError('dailyStatistics: two or more whole years are needed');
  const months = monthOfDays();
  const monthMean_kt = new Float64Array(12);
  const monthSd_kt = new Float64Array(12);
  const count = new Float64Array(12);
  const yearly = new Float64Array(12 * years);
  const days = new Float64Array(12);
  for (let d = 0; d < DAYS_PER_YEAR; d++) days[months[d]!]!++;
  for (let i = 0; i < kt.length; i++) {
    const m = months[i % DAYS_PER_YEAR]!;
    monthMean_kt[m]! += kt[i]!;
    count[m]!++;
    yearly[m * years + Math.floor(i / DAYS_PER_YEAR)]! += kt[i]! / days[m]!;
  }
  for (let m = 0; m < 12; m++) monthMean_kt[m]! /= count[m]!;
  for (let i = 0; i < kt.length; i++) {
    const m = months[i % DAYS_PER_YEAR]!;
    monthSd_kt[m]! += (kt[i]! - monthMean_kt[m]!) ** 2 / count[m]!;
  }
  const interannual_cv = new Float64Array(12);
  for (let m = 0; m < 12; m++) {
    monthSd_kt[m] = Math.sqrt(monthSd_kt[m]!);
    let square = 0;
    for (let y = 0; y < years; y++) square += (yearly[m * years + y]! - monthMean_kt[m]!) ** 2;
    interannual_cv[m] = monthMean_kt[m]! > 0 ? Math.sqrt(square / (years - 1)) / monthMean_kt[m]! : 0;
  }
  const usable = (m: number) => monthSd_kt[m]! > 1e-9 && !(skip?.(m) ?? false);
  const standard = (i: number) => {
    const m = months[i % DAYS_PER_YEAR]!;
    return usable(m) ? (kt[i]! - monthMean_kt[m]!) / monthSd_kt[m]! : Number.NaN;
  };
  let across = 0;
  let pairs = 0;
  let quarter = 0;
  let half = 0;
  let counted = 0;
  let before = Number.NaN;
  for (let i = 0; i < kt.length; i++) {
    const z = standard(i);
    if (!Number.isNaN(z)) {
      const mean = monthMean_kt[months[i % DAYS_PER_YEAR]!]!;
      counted++;
      if (kt[i]! < 0.25 * mean) quarter++;
      if (kt[i]! < 0.5 * mean) half++;
      if (!Number.isNaN(before)) {
        across += z * before;
        pairs++;
      }
    }
    before = z;
  }
  return {
    monthMean_kt,
    monthSd_kt,
    interannual_cv,
    lag1: across / pairs,
    belowQuarter: quarter / counted,
    belowHalf: half / counted,
  };
}

/**
 * Running n-day means of Kt divided by the mean of the months' Kt over the same days, in order of time (length - n + 1
 * values): how dark a spell is for its season.
 */
export function spellRatios(kt: ArrayLike<number>, monthMean_kt: ArrayLike<number>, n: number): Float64Array {
  const months = monthOfDays();
  const out = new Float64Array(kt.length - n + 1);
  let sum = 0;
  let mean = 0;
  for (let i = 0; i < kt.length; i++) {
    sum += kt[i]!;
    mean += monthMean_kt[months[i % DAYS_PER_YEAR]!]!;
    if (i >= n) {
      sum -= kt[i - n]!;
      mean -= monthMean_kt[months[(i - n) % DAYS_PER_YEAR]!]!;
    }
    if (i >= n - 1) out[i - n + 1] = sum / mean;
  }
  return out;
}

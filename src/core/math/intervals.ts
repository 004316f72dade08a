import { inverseIncompleteBeta } from './beta.ts';
import type { Random } from './random.ts';

/** A value with the ends of its interval. */
export interface Interval {
  readonly mean: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Exact two-sided interval on a proportion, `events` in `trials` (Clopper & Pearson 1934): quantiles of the beta
 * distribution. No event gives low = 0 and an upper bound 1 - (alpha/2)^(1/n); it covers at least `confidence`.
 * Checked against published values in test/core/math.
 */
export function clopperPearson(events: number, trials: number, confidence = 0.95): Interval {
  if (!(Number.isInteger(events) && Number.isInteger(trials) && events >= 0 && events <= trials && trials > 0))
    throw new RangeError(`clopperPearson: ${events} events in ${trials} trials`);
  const tail = (1 - confidence) / 2;
  return {
    mean: events / trials,
    low: events === 0 ? 0 : inverseIncompleteBeta(tail, events, trials - events + 1),
    high: events === trials ? 1 : inverseIncompleteBeta(1 - tail, events + 1, trials - events),
  };
}

/** Quantile by linear interpolation between order statistics (Hyndman & Fan 1996, type 7) of an ascending array. */
export function quantileOfSorted(sorted: ArrayLike<number>, p: number): number {
  const n = sorted.length;
  if (n === 0) return Number.NaN;
  const position = Math.min(Math.max(p, 0), 1) * (n - 1);
  const below = Math.floor(position);
  const above = Math.min(below + 1, n - 1);
  return sorted[below]! + (position - below) * (sorted[above]! - sorted[below]!);
}

/** Quantile of values in any order; the input is left as it is. */
export function quantile(values: ArrayLike<number>, p: number): number {
  return quantileOfSorted(Float64Array.from(values).sort(), p);
}

/**
 * Interval on the mean of whole years by the percentile bootstrap (Efron 1979): `resamples` means of n years drawn with
 * replacement. With a single value, or all values alike, the interval has no width: it says nothing about rare events.
 */
export function bootstrapMean(
  values: ArrayLike<number>,
  random: Random,
  confidence = 0.95,
  resamples = 2000,
): Interval {
  const n = values.length;
  if (n === 0) throw new RangeError('bootstrapMean: no values');
  let total = 0;
  for (let i = 0; i < n; i++) total += values[i]!;
  const means = new Float64Array(resamples);
  for (let r = 0; r < resamples; r++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += values[random.below(n)]!;
    means[r] = sum / n;
  }
  means.sort();
  const tail = (1 - confidence) / 2;
  return { mean: total / n, low: quantileOfSorted(means, tail), high: quantileOfSorted(means, 1 - tail) };
}

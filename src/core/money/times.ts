/** Times taken at the bench: somebody had a coffee, somebody forgot the clock. Figures that bear it. */
import { quantileOfSorted } from '../math/index.ts';

const ascending = (values: readonly number[]) => Float64Array.from(values).sort();

/** Mean without the lowest and highest `share` of the values, each floor(n·share) of them (Tukey 1962). */
export function trimmedMean(values: readonly number[], share: number): number {
  if (values.length === 0 || !(share >= 0 && share < 0.5))
    throw new RangeError(`trimmedMean: ${values.length}, ${share}`);
  const sorted = ascending(values);
  const cut = Math.floor(sorted.length * share);
  const kept = sorted.subarray(cut, sorted.length - cut);
  return kept.reduce((sum, v) => sum + v, 0) / kept.length;
}

export interface TypicalTime {
  readonly value: number;
  /** Median of few; else the mean of the middle half. */
  readonly by: 'median' | 'middle half';
  readonly from: number;
}

/** Fewer times than this have no middle half. */
const FEW = 4;

/**
 * What a step takes when nothing comes between: the median of up to three times, from four on the mean of the middle half
 * (25 % trimmed at each end; Tukey's midmean). A quarter of the times may be too long by any amount without moving it
 * beyond the others. It also leaves out the honest slow ones: a plain mean of undisturbed times lies a little above it
 * where times are skewed.
 */
export function typicalTime(times: readonly number[]): TypicalTime {
  if (times.length < FEW) return { value: quantileOfSorted(ascending(times), 0.5), by: 'median', from: times.length };
  return { value: trimmedMean(times, 0.25), by: 'middle half', from: times.length };
}

/** Values within one and a half quartile ranges of the quartiles (Tukey's fences, Exploratory Data Analysis, 1977). */
export function withinFences(values: readonly number[]): number[] {
  if (values.length < FEW) return [...values];
  const sorted = ascending(values);
  const [low, high] = [quantileOfSorted(sorted, 0.25), quantileOfSorted(sorted, 0.75)];
  const reach = 1.5 * (high - low);
  return values.filter((v) => v >= low - reach && v <= high + reach);
}

/** Line through points by the median of the slopes between all pairs (Theil 1950; Sen 1968), and the median of y - slope x. */
export function medianLine(x: readonly number[], y: readonly number[]): { slope: number; start: number } {
  const slopes: number[] = [];
  for (let i = 0; i < x.length; i++)
    for (let j = 0; j < i; j++) if (x[i] !== x[j]) slopes.push((y[i]! - y[j]!) / (x[i]! - x[j]!));
  if (slopes.length === 0) throw new RangeError('medianLine: two different places are wanted');
  const slope = quantileOfSorted(ascending(slopes), 0.5);
  const start = quantileOfSorted(ascending(y.map((v, i) => v - slope * x[i]!)), 0.5);
  return { slope, start };
}

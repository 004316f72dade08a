import { chartFactors } from './chart-factors.ts';
import { compensatedSum } from './descriptive.ts';

/** A row of values with its centre line and limits at three standard deviations. */
export interface Chart {
  readonly values: Float64Array;
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  /** Standard deviation of what is plotted, by which the run rules measure. */
  readonly sigma: number;
}

function mean(values: ArrayLike<number>): number {
  return compensatedSum(values) / values.length;
}

/**
 * Charts of single values and of their moving ranges (NIST/SEMATECH e-Handbook 6.3.2.2): sigma = mean moving range /
 * d2(2). `sigma` of the first chart is the short-term standard deviation of the values.
 *
 * @throws RangeError for fewer than two values
 */
export function individualsChart(values: Float64Array): { individuals: Chart; movingRange: Chart } {
  if (values.length < 2) throw new RangeError('individualsChart: fewer than two values');
  const ranges = Float64Array.from({ length: values.length - 1 }, (_, i) => Math.abs(values[i + 1]! - values[i]!));
  const { d2, d3, D4 } = chartFactors(2);
  const centre = mean(values);
  const meanRange = mean(ranges);
  const sigma = meanRange / d2;
  return {
    individuals: { values, centre, lower: centre - 3 * sigma, upper: centre + 3 * sigma, sigma },
    movingRange: { values: ranges, centre: meanRange, lower: 0, upper: D4 * meanRange, sigma: d3 * sigma },
  };
}

/**
 * Charts of the means and ranges of samples of `size` (NIST/SEMATECH e-Handbook 6.3.2.1): limits +-A2 and D3, D4 times
 * the mean range.
 *
 * @param values whole samples one after another
 */
export function meanRangeChart(
  values: Float64Array,
  size: number,
): { means: Chart; ranges: Chart; withinSigma: number } {
  const count = values.length / size;
  if (!(Number.isInteger(count) && count >= 2)) throw new RangeError(`meanRangeChart: ${values.length} by ${size}`);
  const { d2, d3, A2, D3, D4 } = chartFactors(size);
  const means = new Float64Array(count);
  const ranges = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const sample = values.subarray(i * size, (i + 1) * size);
    means[i] = mean(sample);
    ranges[i] = Math.max(...sample) - Math.min(...sample);
  }
  const centre = mean(means);
  const range = mean(ranges);
  const withinSigma = range / d2;
  return {
    withinSigma,
    means: {
      values: means,
      centre,
      lower: centre - A2 * range,
      upper: centre + A2 * range,
      sigma: withinSigma / Math.sqrt(size),
    },
    ranges: { values: ranges, centre: range, lower: D3 * range, upper: D4 * range, sigma: d3 * withinSigma },
  };
}

/** Chart of the share of bad units in samples (p chart, e-Handbook 6.3.3.2); limits follow each sample's own size. */
export function shareChart(
  bad: ArrayLike<number>,
  sizes: ArrayLike<number>,
): { shares: Float64Array; centre: number; lower: Float64Array; upper: Float64Array } {
  const n = bad.length;
  if (n === 0 || n !== sizes.length) throw new RangeError(`shareChart: ${n} counts, ${sizes.length} sizes`);
  for (let i = 0; i < n; i++)
    if (!(sizes[i]! > 0 && bad[i]! >= 0 && bad[i]! <= sizes[i]!))
      throw new RangeError(`shareChart: ${bad[i]} bad of ${sizes[i]}`);
  const centre = compensatedSum(bad) / compensatedSum(sizes);
  const half = Float64Array.from({ length: n }, (_, i) => 3 * Math.sqrt((centre * (1 - centre)) / sizes[i]!));
  return {
    shares: Float64Array.from({ length: n }, (_, i) => bad[i]! / sizes[i]!),
    centre,
    lower: half.map((h) => Math.max(0, centre - h)),
    upper: half.map((h) => Math.min(1, centre + h)),
  };
}

/**
 * Cumulative sums above and below a target (Page 1954; e-Handbook 6.3.2.3), for small lasting shifts: S = max(0, S + x
 * - target - k) and its mirror image. `first` is the index of the first sum beyond `h`, or -1.
 */
export function cusum(
  values: ArrayLike<number>,
  target: number,
  k: number,
  h: number,
): { high: Float64Array; low: Float64Array; first: number } {
  if (!(k >= 0 && h > 0)) throw new RangeError(`cusum: k ${k}, h ${h}`);
  const n = values.length;
  const high = new Float64Array(n);
  const low = new Float64Array(n);
  let first = -1;
  for (let i = 0; i < n; i++) {
    high[i] = Math.max(0, (i > 0 ? high[i - 1]! : 0) + values[i]! - target - k);
    low[i] = Math.max(0, (i > 0 ? low[i - 1]! : 0) + target - k - values[i]!);
    if (first < 0 && (high[i]! > h || low[i]! > h)) first = i;
  }
  return { high, low, first };
}

/**
 * Exponentially weighted moving average (Roberts 1959; e-Handbook 6.3.2.4): z = w x + (1 - w) z, started at the target.
 * Limits of the t-th value: target +- 3 sigma sqrt(w/(2 - w) (1 - (1 - w)^(2t))); `settled` is the half width that they
 * approach.
 */
export function ewma(
  values: ArrayLike<number>,
  target: number,
  sigma: number,
  weight = 0.3,
): { average: Float64Array; half: Float64Array; settled: number } {
  if (!(weight > 0 && weight <= 1)) throw new RangeError(`ewma: weight ${weight}`);
  const settled = 3 * sigma * Math.sqrt(weight / (2 - weight));
  const average = new Float64Array(values.length);
  const half = new Float64Array(values.length);
  let z = target;
  for (let i = 0; i < values.length; i++) {
    z = weight * values[i]! + (1 - weight) * z;
    average[i] = z;
    half[i] = settled * Math.sqrt(1 - (1 - weight) ** (2 * (i + 1)));
  }
  return { average, half, settled };
}

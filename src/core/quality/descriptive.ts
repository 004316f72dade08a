export interface Description {
  readonly count: number;
  readonly mean: number;
  /** Standard deviation with n - 1. */
  readonly sd: number;
  /** Correlation of each value with the next one, in the order given. */
  readonly lagOne: number;
  readonly least: number;
  readonly most: number;
}

/**
 * Mean, standard deviation and lag-one autocorrelation r1 = sum (x_i - m)(x_{i+1} - m) / sum (x - m)².
 *
 * Sums carry their rounding error along (Neumaier 1974) and deviations are taken from the mean, with the mean's own
 * rounding put right (Chan, Golub & LeVeque 1983). Checked on six certified data sets of the NIST Statistical Reference
 * Datasets to the digits that their data have as doubles. One value has sd and lagOne NaN, values that are
 * all alike sd 0 and lagOne NaN.
 */
export function describe(values: ArrayLike<number>): Description {
  const count = values.length;
  if (count === 0) throw new RangeError('describe: no values');
  const mean = compensatedSum(values) / count;
  let square = 0;
  let across = 0;
  let left = 0;
  let before = 0;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < count; i++) {
    const value = values[i]!;
    const off = value - mean;
    square += off * off;
    left += off;
    if (i > 0) across += off * before;
    before = off;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  // Values that are all alike have no spread at all, whatever the mean was rounded to.
  square = least === most ? 0 : Math.max(0, square - (left * left) / count);
  return {
    count,
    mean: least === most ? least : mean,
    sd: Math.sqrt(square / (count - 1)),
    lagOne: square === 0 ? Number.NaN : across / square,
    least,
    most,
  };
}

/** Sum whose rounding error does not grow with the number of values (Neumaier 1974). */
export function compensatedSum(values: ArrayLike<number>): number {
  let sum = 0;
  let lost = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  return sum + lost;
}

export interface Line {
  readonly intercept: number;
  readonly slope: number;
  /** Standard errors of the two. */
  readonly interceptError: number;
  readonly slopeError: number;
  /** Standard deviation of the residuals, n - 2 degrees of freedom. */
  readonly residual: number;
  /** Share of the variance that the line explains. */
  readonly explained: number;
}

/** Straight line by least squares, by deviations from the means. Checked on NIST's certified Norris data to 1e-10. */
export function fitLine(x: ArrayLike<number>, y: ArrayLike<number>): Line {
  const n = x.length;
  if (n !== y.length || n < 3) throw new RangeError(`fitLine: ${n} and ${y.length} values`);
  const meanX = compensatedSum(x) / n;
  const meanY = compensatedSum(y) / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < n; i++) {
    const dx = x[i]! - meanX;
    const dy = y[i]! - meanY;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  if (!(xx > 0)) throw new RangeError('fitLine: all x are alike');
  const slope = xy / xx;
  const intercept = meanY - slope * meanX;
  let rest = 0;
  for (let i = 0; i < n; i++) rest += (y[i]! - meanY - slope * (x[i]! - meanX)) ** 2;
  const residual = Math.sqrt(rest / (n - 2));
  return {
    intercept,
    slope,
    interceptError: residual * Math.sqrt(1 / n + (meanX * meanX) / xx),
    slopeError: residual / Math.sqrt(xx),
    residual,
    explained: yy > 0 ? 1 - rest / yy : 1,
  };
}

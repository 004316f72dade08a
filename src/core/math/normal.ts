/** Density of the standard normal law. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}

/**
 * Share of the standard normal law below `z`, by its Taylor series (|z| < 3) and beyond by the continued fraction of the
 * tail (Abramowitz & Stegun 1964, 26.2.11 and 26.2.14). Relative error below 1e-12 in both tails.
 */
export function normalShareBelow(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const size = Math.abs(z);
  const density = normalDensity(size);
  if (size < 3) {
    let term = size;
    let sum = size;
    for (let k = 3; term > 1e-17 * sum; k += 2) {
      term *= (size * size) / k;
      sum += term; // 26.2.11
    }
    return z < 0 ? 0.5 - density * sum : 0.5 + density * sum;
  }
  let fraction = size;
  for (let k = 100; k >= 1; k--) fraction = size + k / fraction;
  const tail = density / fraction; // 26.2.14
  return z < 0 ? tail : 1 - tail;
}

/**
 * Standard normal value below which a share `p` lies (0 < p < 1): the inverse of `normalShareBelow`.
 *
 * Starts from Abramowitz & Stegun 26.2.22 and takes four steps of Halley's method, which triple the correct digits each.
 * Absolute error below 1e-9 for 1e-12 < p < 1 - 1e-12.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile: p=${p} must lie between 0 and 1`);
  // The lower tail is computed and mirrored: near one, 1 - p would lose digits in the tail's relative error.
  if (p > 0.5) return -normalQuantile(1 - p);
  const t = Math.sqrt(-2 * Math.log(p));
  let z = (2.30753 + 0.27061 * t) / (1 + t * (0.99229 + 0.04481 * t)) - t; // 26.2.22, lower tail
  for (let i = 0; i < 4; i++) {
    const miss = (normalShareBelow(z) - p) / normalDensity(z);
    z -= miss / (1 + 0.5 * z * miss);
  }
  return z;
}

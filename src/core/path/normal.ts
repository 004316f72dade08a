/**
 * Inverse complementary cumulative normal distribution: the standard normal value exceeded with probability `x`.
 *
 * Source: ITU-R P.1812-8, Attachment 2, eq. 96-97 (the rational approximation 26.2.23 of Abramowitz & Stegun). `x` is held in
 * 1e-6..1-1e-6, as there. Absolute error up to 4.5e-4. Serves only where a Recommendation is built upon it.
 */
export function inverseComplementaryNormal(x: number): number {
  const held = Math.min(Math.max(x, 1e-6), 1 - 1e-6);
  return held <= 0.5 ? upperTail(held) : -upperTail(1 - held); // eq. 96
}

function upperTail(x: number): number {
  const t = Math.sqrt(-2 * Math.log(x)); // eq. 97a
  const above = (0.010328 * t + 0.802853) * t + 2.515516698;
  const below = ((0.001308 * t + 0.189269) * t + 1.432788) * t + 1;
  return t - above / below; // eq. 97b-c
}

/**
 * Cumulative standard normal distribution, by its Taylor series (|z| < 3) and beyond by the continued fraction of the tail
 * (Abramowitz & Stegun 1964, 26.2.11 and 26.2.14). Relative error below 1e-12 in both tails.
 */
export function normalShareBelow(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const size = Math.abs(z);
  const density = Math.exp(-0.5 * size * size) / Math.sqrt(2 * Math.PI);
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
 * Starts from the approximation of the Recommendation and takes three steps of Halley's method, which triple the correct
 * digits each. Absolute error below 1e-9 for 1e-12 < p < 1 - 1e-12. Checked against published quantiles.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile: p=${p} must lie between 0 and 1`);
  // The lower tail is computed and mirrored: near one, 1 - p would lose digits in the tail's relative error.
  if (p > 0.5) return -normalQuantile(1 - p);
  let z = -upperTail(Math.max(p, 1e-300));
  for (let i = 0; i < 3; i++) {
    const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
    const miss = (normalShareBelow(z) - p) / density;
    z -= miss / (1 + 0.5 * z * miss);
  }
  return z;
}

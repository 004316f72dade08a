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

/**
 * Quantile of the standard normal law: Wichura, Algorithm AS 241 (PPND7), Applied Statistics 37(3) 477-484 (1988);
 * coefficients from memory, checked in the tests against printed quantiles. Relative accuracy about 1e-7.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile: p = ${p} is outside (0, 1)`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (
      (q * (((59.10937472 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179)) /
      (((67.1875636 * r + 78.757757664) * r + 17.895169469) * r + 1)
    );
  }
  let r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  let x: number;
  if (r <= 5) {
    r -= 1.6;
    x =
      (((0.17023821103 * r + 1.3067284816) * r + 2.75681539) * r + 1.4234372777) /
      ((0.12021132975 * r + 0.7370016425) * r + 1);
  } else {
    r -= 5;
    x =
      (((0.017337203997 * r + 0.42868294337) * r + 3.081226386) * r + 6.657905115) /
      ((0.012258202635 * r + 0.24197894225) * r + 1);
  }
  return q < 0 ? -x : x;
}

/** Distribution function of the standard normal law: Abramowitz & Stegun 1964, 26.2.17; absolute error below 7.5e-8. */
export function normalProbability(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const tail =
    0.3989422804014327 *
    Math.exp((-x * x) / 2) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return x >= 0 ? 1 - tail : tail;
}

/** Cells of the table of quickNormal. */
const CELLS = 1024;

/**
 * Mean of the standard normal within each of 1024 equally likely cells, scaled to unit variance: (phi(a) - phi(b)) / P.
 * A uniform draw picks a cell and takes its mean. Ends at 3.4: for noise whose far tail does not matter, such as
 * the hours within a day.
 */
export function quickNormalTable(): Float64Array {
  const density = (x: number) => 0.3989422804014327 * Math.exp((-x * x) / 2);
  const edge = (i: number) => (i === 0 || i === CELLS ? 0 : density(normalQuantile(i / CELLS)));
  const table = Float64Array.from({ length: CELLS }, (_, i) => (edge(i) - edge(i + 1)) * CELLS);
  let square = 0;
  for (let i = 0; i < CELLS; i++) square += table[i]! ** 2 / CELLS;
  return table.map((x) => x / Math.sqrt(square));
}

/** The standard normal value of a uniform draw in [0, 1). */
export function quickNormal(table: Float64Array, uniform: number): number {
  return table[(uniform * CELLS) | 0]!;
}

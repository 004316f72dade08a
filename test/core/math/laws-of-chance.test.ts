import { describe, expect, it } from 'vitest';
import {
  chiSquareQuantile,
  fShareAbove,
  incompleteGamma,
  normalQuantile,
  normalShareBelow,
  studentQuantile,
} from '../../../src/core/math/index.ts';

describe('quantiles of the laws used for intervals', () => {
  // Printed in any table, e.g. Abramowitz & Stegun 1964, tables 26.5, 26.8 and 26.10 (from memory).
  it('normal', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 9);
    expect(normalQuantile(0.95)).toBeCloseTo(1.6448536269514722, 9);
    expect(normalQuantile(1e-6)).toBeCloseTo(-4.753424308822899, 9);
    for (const p of [1e-9, 0.001, 0.3, 0.5, 0.9, 0.9999])
      expect(normalShareBelow(normalQuantile(p))).toBeCloseTo(p, 12);
  });

  it('chi-square: 0.05 and 0.95 points', () => {
    expect(chiSquareQuantile(0.95, 1)).toBeCloseTo(3.8415, 4);
    expect(chiSquareQuantile(0.95, 10)).toBeCloseTo(18.307, 3);
    expect(chiSquareQuantile(0.05, 30)).toBeCloseTo(18.4927, 4);
    expect(incompleteGamma(1, 2)).toBeCloseTo(1 - Math.exp(-2), 13); // exponential law
    expect(incompleteGamma(300, 310)).toBeCloseTo(1 - poissonBelow(300, 310), 10); // DLMF 8.4.10
  });

  it("Student's t and F", () => {
    expect(studentQuantile(0.975, 31)).toBeCloseTo(2.0395, 4);
    expect(studentQuantile(0.975, 7)).toBeCloseTo(2.3646, 4);
    expect(studentQuantile(0.025, 2)).toBeCloseTo(-4.30265, 4);
    expect(fShareAbove(4.9646, 1, 10)).toBeCloseTo(0.05, 5);
    expect(fShareAbove(3.3258, 5, 10)).toBeCloseTo(0.05, 5);
  });
});

/** Chance of fewer than `n` events at a mean of `mean`, by its sum. */
function poissonBelow(n: number, mean: number): number {
  let log = -mean;
  let sum = Math.exp(log);
  for (let k = 1; k < n; k++) {
    log += Math.log(mean / k);
    sum += Math.exp(log);
  }
  return sum;
}

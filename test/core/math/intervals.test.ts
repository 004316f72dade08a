import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bootstrapMean,
  clopperPearson,
  createRandom,
  findMaximum,
  findRoot,
  incompleteBeta,
  logGamma,
  quantile,
} from '../../../src/core/math/index.ts';
import { readGolden } from '../../golden.ts';

describe('exact interval on a proportion', () => {
  const golden = readGolden('math-clopper-pearson.csv');
  it.each(golden.rows)('$events of $trials', (row) => {
    const interval = clopperPearson(Number(row['events']), Number(row['trials']));
    expect(interval.low).toBeCloseTo(Number(row['low']), 4);
    expect(interval.high).toBeCloseTo(Number(row['high']), 4);
  });

  it('is mirrored when events and their absence change places', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 400 }), fc.double({ min: 0, max: 1, noNaN: true }), (n, share) => {
        const k = Math.round(n * share);
        const one = clopperPearson(k, n);
        const other = clopperPearson(n - k, n);
        expect(one.low).toBeCloseTo(1 - other.high, 9);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it('covers at least 95 % for any true proportion (exact sum over outcomes)', () => {
    for (const p of [0.003, 0.02, 0.1, 0.37]) {
      const n = 60;
      let covered = 0;
      for (let k = 0; k <= n; k++) {
        const { low, high } = clopperPearson(k, n);
        const logChance =
          logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1) + k * Math.log(p) + (n - k) * Math.log1p(-p);
        if (p >= low && p <= high) covered += Math.exp(logChance);
      }
      expect(covered).toBeGreaterThanOrEqual(0.95);
    }
  });
});

it('the incomplete beta of whole parameters is a binomial tail (DLMF 8.17.5)', () => {
  const x = 0.3;
  let tail = 0;
  const choose = [1, 8, 28, 56, 70, 56, 28, 8, 1];
  for (let j = 3; j <= 8; j++) tail += choose[j]! * x ** j * (1 - x) ** (8 - j);
  expect(incompleteBeta(x, 3, 6)).toBeCloseTo(tail, 12);
});

describe('random numbers', () => {
  it('are the same for a seed and differ between seeds and forks', () => {
    const draw = (seed: number) => Array.from({ length: 4 }, createRandom(seed).next);
    expect(draw(7)).toEqual(draw(7));
    expect(draw(7)).not.toEqual(draw(8));
    expect(createRandom(7).fork(1).next()).not.toEqual(createRandom(7).fork(2).next());
  });

  it('have the moments of the uniform and the normal law', () => {
    const random = createRandom(3);
    const n = 200_000;
    let mean = 0;
    let normalMean = 0;
    let normalSquare = 0;
    let beyond2 = 0;
    for (let i = 0; i < n; i++) {
      mean += random.next() / n;
      const z = random.normal();
      normalMean += z / n;
      normalSquare += (z * z) / n;
      if (Math.abs(z) > 1.959964) beyond2++;
    }
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / n));
    expect(Math.abs(normalMean)).toBeLessThan(4 / Math.sqrt(n));
    expect(Math.abs(normalSquare - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
    expect(Math.abs(beyond2 / n - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / n));
  });
});

it('the bootstrap interval of a mean agrees with the normal one on many values', () => {
  const random = createRandom(11);
  const values = Float64Array.from({ length: 400 }, () => 10 + 2 * random.normal());
  const interval = bootstrapMean(values, random);
  const half = (interval.high - interval.low) / 2;
  expect(half).toBeGreaterThan(0.9 * ((1.96 * 2) / 20));
  expect(half).toBeLessThan(1.1 * ((1.96 * 2) / 20));
});

it('quantiles interpolate (type 7, the spreadsheet definition)', () => {
  expect(quantile([4, 1, 3, 2], 0.5)).toBe(2.5);
  expect(quantile([4, 1, 3, 2], 0.9)).toBeCloseTo(3.7, 12);
});

it('root and maximum are found', () => {
  expect(findRoot((x) => Math.cos(x) - x, 0, 1)).toBeCloseTo(0.7390851332151607, 12); // the fixed point of the cosine
  expect(findMaximum((x) => -((x - 2) ** 2), -5, 9)).toBeCloseTo(2, 5);
  expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(RangeError);
});

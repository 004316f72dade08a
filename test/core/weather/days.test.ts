import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import { nextState, STATES } from '../../../src/core/weather/aguiar.ts';
import {
  bendtLaw,
  bendtProbability,
  bendtQuantile,
  classOf,
  clearnessLaw,
  cumulativeWithLag1,
  monthlyCurve,
  normalProbability,
  normalQuantile,
} from '../../../src/core/weather/index.ts';
import { boundedNormal, boundedValue, stratifiedNormals } from '../../../src/core/weather/month-draws.ts';
import { quickNormal, quickNormalTable } from '../../../src/core/weather/normal.ts';
import { rescaleCapped } from '../../../src/core/weather/rescale.ts';
import { readGolden } from '../../golden.ts';

describe('the Markov library', () => {
  it('has the stationary law, mean, spread and persistence solved independently from the ten tables', () => {
    for (const row of readGolden('weather-aguiar-stationary.csv').rows) {
      const law = clearnessLaw(Number(row.class));
      expect(Math.abs(law.mean_kt - Number(row.mean_kt))).toBeLessThan(0.002);
      expect(Math.abs(law.sd_kt - Number(row.sd_kt))).toBeLessThan(0.002);
      expect(Math.abs(law.lag1 - Number(row.lag1))).toBeLessThan(0.003);
      for (let i = 0; i < STATES; i++) expect(Math.abs(law.stationary[i]! - Number(row[`p${i}`]))).toBeLessThan(0.002);
    }
  });

  it('has each class where its title says (Aguiar et al. 1988: 0.05 wide from 0.30 to 0.70)', () => {
    expect([0.2, 0.3, 0.301, 0.35, 0.52, 0.7, 0.701, 0.8].map(classOf)).toEqual([0, 0, 1, 1, 5, 8, 9, 9]);
    for (let i = 1; i < 10; i++) expect(Math.abs(clearnessLaw(i).mean_kt - (0.275 + 0.05 * i))).toBeLessThan(0.03);
  });

  it('takes another persistence without changing its stationary law', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9 }), fc.double({ min: 0.02, max: 0.6, noNaN: true }), (index, target) => {
        const law = clearnessLaw(index);
        const rows = cumulativeWithLag1(law, target);
        const p = (i: number, j: number) => rows[i * STATES + j]! - (j > 0 ? rows[i * STATES + j - 1]! : 0);
        let across = 0;
        for (let j = 0; j < STATES; j++) {
          let share = 0;
          for (let i = 0; i < STATES; i++) share += law.stationary[i]! * p(i, j);
          expect(Math.abs(share - law.stationary[j]!)).toBeLessThan(1e-9);
        }
        for (let i = 0; i < STATES; i++)
          for (let j = 0; j < STATES; j++) {
            const centre = (k: number) => law.min_kt + (k + 0.5) * law.step_kt - law.mean_kt;
            across += law.stationary[i]! * p(i, j) * centre(i) * centre(j);
          }
        expect(Math.abs(across / law.sd_kt ** 2 - target)).toBeLessThan(1e-9);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it('gives a walk with the law and the persistence asked for', () => {
    const law = clearnessLaw(5);
    const rows = cumulativeWithLag1(law, 0.45);
    const chance = createRandom(3);
    let state = 5;
    let mean = 0;
    let before = 0;
    let across = 0;
    const n = 200_000;
    for (let i = 0; i < n; i++) {
      state = nextState(rows, state, chance.next());
      const value = law.min_kt + (state + chance.next()) * law.step_kt - law.mean_kt;
      mean += value / n;
      across += (value * before) / n;
      before = value;
    }
    expect(Math.abs(mean)).toBeLessThan(0.003);
    expect(Math.abs(across / law.sd_kt ** 2 - 0.45)).toBeLessThan(0.015); // 4 standard errors
  });
});

describe('the Bendt marginal', () => {
  const golden = readGolden('weather-bendt.csv').rows;

  it('has the published parameters and distribution', () => {
    for (const row of golden) {
      const law = bendtLaw(Number(row.kbar));
      expect(Math.abs(law.gamma - Number(row.gamma))).toBeLessThan(1e-4);
      expect(Math.abs(law.max_kt - Number(row.kt_max))).toBeLessThan(1e-4);
      expect(Math.abs(bendtProbability(law, Number(row.K)) - Number(row.F))).toBeLessThan(1e-4);
    }
  });

  it('has the mean and spread worked out independently', () => {
    for (const row of golden) {
      const law = bendtLaw(Number(row.kbar));
      const n = 20_000;
      const values = Array.from({ length: n }, (_, i) => bendtQuantile(law, (i + 0.5) / n));
      const mean = values.reduce((a, b) => a + b, 0) / n;
      const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / n);
      expect(Math.abs(mean - Number(row.mean))).toBeLessThan(0.002);
      expect(Math.abs(sd - Number(row.sd))).toBeLessThan(0.002);
    }
  });

  it('has a quantile that undoes the distribution', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 0.74, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (k, p) => {
          const law = bendtLaw(k);
          expect(Math.abs(bendtProbability(law, bendtQuantile(law, p)) - p)).toBeLessThan(1e-9);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });
});

describe('the normal law', () => {
  it('has the printed quantiles (Abramowitz & Stegun 1964, table 26.5; from memory)', () => {
    const printed: [number, number][] = [
      [0.5, 0],
      [0.75, 0.67449],
      [0.9, 1.281552],
      [0.95, 1.644854],
      [0.975, 1.959964],
      [0.99, 2.326348],
      [0.999, 3.090232],
      [0.9999, 3.719016],
    ];
    for (const [p, x] of printed) {
      expect(Math.abs(normalQuantile(p) - x)).toBeLessThan(2e-6);
      expect(Math.abs(normalQuantile(1 - p) + x)).toBeLessThan(2e-6);
      expect(Math.abs(normalProbability(x) - p)).toBeLessThan(1e-6);
    }
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });

  it('has a quick table with zero mean, unit variance and the right tails', () => {
    const table = quickNormalTable();
    const mean = table.reduce((a, b) => a + b, 0) / table.length;
    const square = table.reduce((a, b) => a + b * b, 0) / table.length;
    expect(Math.abs(mean)).toBeLessThan(1e-6);
    expect(Math.abs(square - 1)).toBeLessThan(1e-12);
    expect(Math.abs(quickNormal(table, 0.975) - 1.96)).toBeLessThan(0.02);
    expect(table[table.length - 1]!).toBeGreaterThan(3.2);
  });
});

describe('month draws', () => {
  it('hit each stratum once in a block', () => {
    const out = new Float64Array(240);
    stratifiedNormals(createRandom(5), out);
    for (let m = 0; m < 12; m++) {
      const strata = Array.from(out.subarray(m * 20, m * 20 + 20), (z) => Math.floor(normalProbability(z) * 20));
      expect(strata.sort((a, b) => a - b)).toEqual(Array.from({ length: 20 }, (_, i) => i));
    }
  });

  it('keep their mean when clipped', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 0.75, noNaN: true }),
        fc.double({ min: 0.02, max: 0.2, noNaN: true }),
        (mean, cv) => {
          const law = boundedNormal(mean, cv * mean, 0.3 * mean, 0.78);
          const n = 2000;
          let sum = 0;
          for (let i = 0; i < n; i++) sum += boundedValue(law, normalQuantile((i + 0.5) / n));
          expect(Math.abs(sum / n / mean - 1)).toBeLessThan(0.001);
        },
      ),
      { seed: 1, numRuns: 30 },
    );
    expect(() => boundedNormal(0.8, 0.1, 0.2, 0.78)).toThrow(RangeError);
  });
});

describe('monthlyCurve', () => {
  it('gives the monthly means back and has no step at a border', () => {
    const means = [2, 3, 4, 5, 6, 6.5, 6, 5.5, 4.5, 3.2, 2.1, 1.7];
    const curve = monthlyCurve(means);
    const starts = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];
    means.forEach((mean, m) => {
      const days = curve.subarray(starts[m], starts[m + 1]);
      expect(Math.abs(days.reduce((a, b) => a + b, 0) / days.length - mean)).toBeLessThan(1e-8);
    });
    for (let d = 0; d < 365; d++) expect(Math.abs(curve[d]! - curve[(d + 1) % 365]!)).toBeLessThan(0.06);
  });
});

describe('rescaleCapped', () => {
  it('meets the weighted sum exactly without passing a cap, or scales the caps and says so', () => {
    const entry = fc.record({
      value: fc.double({ min: 0.01, max: 1, noNaN: true }),
      weight: fc.double({ min: 0.1, max: 1000, noNaN: true }),
      cap: fc.double({ min: 0.1, max: 0.9, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(entry, { minLength: 1, maxLength: 31 }),
        fc.double({ min: 0.01, max: 1.2, noNaN: true }),
        (list, level) => {
          const values = Float64Array.from(list, (e) => e.value);
          const weights = list.map((e) => e.weight);
          const caps = list.map((e) => e.cap);
          const most = list.reduce((a, e) => a + e.weight * e.cap, 0);
          const target = level * most;
          const within = rescaleCapped(values, weights, caps, 0, list.length, target);
          const sum = values.reduce((a, v, i) => a + v * weights[i]!, 0);
          expect(Math.abs(sum / target - 1)).toBeLessThan(1e-9);
          if (level < 0.999) expect(within).toBe(true);
          if (level > 1.001) expect(within).toBe(false);
          if (within) expect(values.every((v, i) => v <= caps[i]! * (1 + 1e-12))).toBe(true);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import type { InspectionLevel, LotVerdict, Severity } from '../../../src/core/quality/index.ts';
import {
  AQL_pct,
  acceptChance,
  acceptChanceOfLot,
  codeLetter,
  drawSample,
  INSPECTION_LEVELS,
  judgeSample,
  lotPoints,
  nextSeverity,
  operatingCurve,
  planOfLetter,
  qualityAccepted,
  samplingPlan,
} from '../../../src/core/quality/index.ts';
import { readGolden } from '../../golden.ts';

describe('sampling tables', () => {
  it('letters at both ends of every row', () => {
    for (const row of readGolden('quality-code-letters.csv').rows)
      for (const level of INSPECTION_LEVELS) {
        expect(codeLetter(Number(row['from']), level)).toBe(row[level]);
        expect(codeLetter(row['to'] === '' ? 1e9 : Number(row['to']), level)).toBe(row[level]);
      }
  });

  it('all cells of the normal, tightened and reduced tables', () => {
    const wrong: string[] = [];
    let cells = 0;
    for (const row of readGolden('quality-sampling-plans.csv').rows)
      for (const [key, wanted] of Object.entries(row)) {
        if (key === 'severity' || key === 'letter') continue;
        const plan = planOfLetter(row['letter']!, Number(key), row['severity'] as Severity);
        const found = `${plan.sample}/${plan.accept}/${plan.reject}`;
        if (found !== wanted) wrong.push(`${row['severity']} ${row['letter']} ${key}: ${found} for ${wanted}`);
        cells++;
      }
    expect(wrong).toEqual([]);
    expect(cells).toBe(3 * 16 * AQL_pct.length);
  });

  it('plans by lot, the whole lot when the sample is not smaller', () => {
    const { rows } = readGolden('quality-plans.csv');
    for (const row of rows) {
      const plan = samplingPlan({
        lot: Number(row['lot']),
        level: row['level'] as InspectionLevel,
        aql_pct: Number(row['aql_pct']),
        severity: 'normal',
      });
      expect({
        ...row,
        letter: plan.planLetter,
        n: plan.sample,
        all: plan.wholeLot,
        a: plan.accept,
        r: plan.reject,
      }).toEqual({
        ...row,
        letter: row['letter'],
        n: Number(row['n']),
        all: row['all'] === 'True',
        a: Number(row['accept']),
        r: Number(row['reject']),
      });
    }
    expect(rows.length).toBe(19);
  });

  it('says what cannot be', () => {
    const request = { lot: 1, level: 'IV' as InspectionLevel, aql_pct: 2, severity: 'normal' as const };
    expect(() => samplingPlan(request)).toThrow(/at 2 units[\s\S]*level is IV[\s\S]*the nearest is 1\.5/);
    expect(samplingPlan({ ...request, lot: 2, level: 'II', aql_pct: 1000 }).sample).toBe(2);
  });

  it('the gap of reduced inspection accepts the lot and goes back', () => {
    const plan = samplingPlan({ lot: 500, level: 'II', aql_pct: 2.5, severity: 'reduced' });
    expect(plan).toMatchObject({ letter: 'H', sample: 20, accept: 1, reject: 4 });
    expect([1, 2, 3, 4].map((bad) => judgeSample(plan, bad))).toEqual([
      'accept',
      'accept-then-normal',
      'accept-then-normal',
      'refuse',
    ]);
  });

  it('switching rules', () => {
    const lots = (severity: Severity, text: string): LotVerdict[] =>
      [...text].map((c) => ({ severity, verdict: c === 'a' ? 'accept' : c === 'r' ? 'refuse' : 'accept-then-normal' }));
    expect(nextSeverity([]).severity).toBe('normal');
    expect(nextSeverity(lots('normal', 'raaar')).severity).toBe('tightened');
    expect(nextSeverity(lots('normal', 'raaaar')).severity).toBe('normal');
    expect(nextSeverity([...lots('normal', 'rr'), ...lots('tightened', 'aaaa')]).severity).toBe('tightened');
    expect(nextSeverity([...lots('normal', 'rr'), ...lots('tightened', 'aaaaa')]).severity).toBe('normal');
    expect(nextSeverity(lots('tightened', 'rrarr')).stop).toBe(false);
    expect(nextSeverity(lots('tightened', 'rrarrr')).stop).toBe(true);
    expect(nextSeverity(lots('reduced', 'ag')).severity).toBe('normal');
    // What happened in an earlier spell does not count.
    expect(
      nextSeverity([...lots('normal', 'rr'), ...lots('tightened', 'aaaaa'), ...lots('normal', 'r')]).severity,
    ).toBe('normal');
  });
});

describe('operating characteristic', () => {
  it('published and computed chances', () => {
    for (const row of readGolden('quality-operating.csv').rows) {
      const [lot, n, c, at] = ['lot', 'n', 'c', 'at'].map((k) => Number(row[k])) as [number, number, number, number];
      const found =
        row['kind'] === 'binomial'
          ? acceptChance(n, c, at)
          : row['kind'] === 'point'
            ? qualityAccepted(n, c, at)
            : acceptChanceOfLot(lot, at, n, c);
      expect(Math.abs(found - Number(row['value'])), JSON.stringify(row)).toBeLessThanOrEqual(Number(row['tolerance']));
    }
  });

  it('a lot on its own tends to the binomial as it grows, falls with the bad ones and sums to one', () => {
    expect(acceptChanceOfLot(2_000_000, 100_000, 32, 1)).toBeCloseTo(acceptChance(32, 1, 0.05), 5);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 300 }), fc.nat(300), fc.nat(300), fc.nat(20), (lot, bad, n, c) => {
        const d = bad % (lot + 1);
        const sample = 1 + (n % lot);
        const chance = acceptChanceOfLot(lot, d, sample, c);
        expect(chance).toBeGreaterThanOrEqual(0);
        expect(chance).toBeLessThanOrEqual(1);
        if (d < lot) expect(acceptChanceOfLot(lot, d + 1, sample, c)).toBeLessThanOrEqual(chance + 1e-12);
        if (sample === lot) expect(chance).toBe(d <= c ? 1 : 0);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it('points of a lot: the chance crosses 0.95 and 0.10 there', () => {
    const { producer, consumer } = lotPoints(60, 13, 0);
    expect(acceptChanceOfLot(60, producer, 13, 0)).toBeGreaterThanOrEqual(0.95);
    expect(acceptChanceOfLot(60, producer + 1, 13, 0)).toBeLessThan(0.95);
    expect(acceptChanceOfLot(60, consumer, 13, 0)).toBeLessThanOrEqual(0.1);
    expect(acceptChanceOfLot(60, consumer - 1, 13, 0)).toBeGreaterThan(0.1);
    const curve = operatingCurve(13, 0, 0.2, 5);
    expect(curve.share[4]).toBeCloseTo(0.2, 12);
    expect(curve.chance[2]).toBeCloseTo(0.2541865828329, 10);
  });
});

describe('random draw', () => {
  it('is sorted, without repeats, within the lot, and the same for a seed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 500 }), fc.nat(500), fc.nat(), (lot, n, seed) => {
        const sample = n % (lot + 1);
        const drawn = drawSample(createRandom(seed), lot, sample);
        expect(drawn.length).toBe(sample);
        expect(drawn.every((x, i) => x >= 1 && x <= lot && (i === 0 || x > drawn[i - 1]!))).toBe(true);
        expect(drawSample(createRandom(seed), lot, sample)).toEqual(drawn);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it('every pair of a lot of five comes equally often', () => {
    const random = createRandom(7);
    const counts = new Map<string, number>();
    for (let i = 0; i < 20_000; i++) {
      const key = drawSample(random, 5, 2).join();
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    expect(counts.size).toBe(10);
    // Chi-square with nine degrees: 27.9 is passed once in a thousand.
    expect([...counts.values()].reduce((s, c) => s + (c - 2000) ** 2 / 2000, 0)).toBeLessThan(27.9);
  });
});

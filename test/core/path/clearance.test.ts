import { describe, expect, it } from 'vitest';
import { findClearance, findMastAdvice, pointClearances } from '../../../src/core/path/index.ts';

const steps = (n: number, length_km: number) => Float64Array.from({ length: n }, (_, i) => (i * length_km) / (n - 1));
const flat = (n: number, peaks: Record<number, number> = {}) => {
  const height_m = new Float64Array(n);
  for (const [i, h] of Object.entries(peaks)) height_m[Number(i)] = h;
  return height_m;
};
const base = {
  distance_km: steps(11, 10),
  frequency_MHz: 868,
  fromHeight_m: 40,
  toHeight_m: 40,
  effectiveRadius_km: 1e6,
};

describe('what is in the way', () => {
  it('measures the middle of a path as by hand', () => {
    // 868 MHz, middle of 10 km: first zone 29.385 m (test/golden/path-edges.csv); bulge 5²·500/1e6 = 0.0125 m; ray at 40 m.
    const middle = pointClearances({ ...base, height_m: flat(11, { 5: 60 }) })[4]!;
    expect(middle.point).toBe(5);
    expect(middle.above_m).toBeCloseTo(20.0125, 9);
    expect(middle.fresnelRadius_m).toBeCloseTo(29.385, 3);
    expect(middle.edgeLoss_dB).toBeCloseTo(13.68, 1); // 20 m above: 13.6816 dB in that table
  });

  it('counts the bulge of the Earth', () => {
    // d1·d2/(2·radius) = 5·5/17000 km = 1.47 m for the usual 8500 km.
    const { effectiveRadius_km: _, ...usual } = base;
    const middle = pointClearances({ ...usual, height_m: flat(11) })[4]!;
    expect(middle.above_m).toBeCloseTo(-40 + 1.4706, 3);
  });

  it('tells clear, grazing, one edge and several apart', () => {
    const verdict = (peaks: Record<number, number>) => findClearance({ ...base, height_m: flat(11, peaks) });
    expect(verdict({}).verdict).toBe('clear');
    expect(verdict({ 5: 35 }).verdict).toBe('grazing');
    expect(verdict({ 5: 60 }).verdict).toBe('one edge');
    const two = verdict({ 3: 60, 7: 70 });
    expect(two.verdict).toBe('several edges');
    expect(two.obstacles.map((o) => o.point)).toEqual([7, 3]);
    expect(two.worst.point).toBe(7);
    // A broad hill is one obstacle, with its highest point.
    const broad = verdict({ 4: 58, 5: 60, 6: 59 });
    expect(broad.verdict).toBe('one edge');
    expect(broad.obstacles.map((o) => o.point)).toEqual([5]);
  });

  it('tells woods in the way from ground', () => {
    const clutter_m = new Float64Array(11).fill(20);
    const trees = findClearance({ ...base, height_m: flat(11, { 5: 15 }), clutter_m });
    expect(trees.byClutterOnly).toBe(true);
    const ground = findClearance({ ...base, height_m: flat(11, { 5: 45 }), clutter_m });
    expect(ground.byClutterOnly).toBe(false);
    // Clutter at the two ends does not count.
    const ends = new Float64Array(11);
    ends[0] = 200;
    ends[10] = 200;
    expect(findClearance({ ...base, height_m: flat(11), clutter_m: ends }).verdict).toBe('clear');
  });
});

describe('how much higher the mast must be', () => {
  it('clears 0.6 of the zone, no more and no less', () => {
    const request = { ...base, height_m: flat(11, { 5: 60 }) };
    // By hand: 20.0125 + 0.6·29.385 = 37.64 m in the middle: twice as much at one end alone.
    const advice = findMastAdvice(request);
    expect(advice.raiseBoth_m).toBeCloseTo(37.7, 9);
    expect(advice.raiseFrom_m).toBeCloseTo(75.3, 9);
    expect(advice.raiseTo_m).toBeCloseTo(75.3, 9);
    expect(advice.now_dB).toBeGreaterThan(15);
    for (const [from, to] of [
      [advice.raiseFrom_m, 0],
      [0, advice.raiseTo_m],
      [advice.raiseBoth_m, advice.raiseBoth_m],
    ] as const) {
      const raised = { ...request, fromHeight_m: 40 + from, toHeight_m: 40 + to };
      expect(findClearance(raised).verdict).toBe('clear');
      expect(
        findClearance({ ...raised, fromHeight_m: raised.fromHeight_m - 0.3, toHeight_m: raised.toHeight_m - 0.3 })
          .verdict,
      ).not.toBe('clear');
    }
    expect(advice.withBoth_dB).toBeLessThan(advice.now_dB);
  });

  it('asks for nothing on a clear path, and says so where no mast can do it', () => {
    const clear = findMastAdvice({ ...base, height_m: flat(11) });
    expect([clear.raiseFrom_m, clear.raiseTo_m, clear.raiseBoth_m]).toEqual([0, 0, 0]);
    const wall = findMastAdvice({ ...base, height_m: flat(11, { 9: 900 }) });
    expect(wall.raiseFrom_m).toBeGreaterThan(3000);
    expect(wall.withFrom_dB).toBeNaN();
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import {
  type HeightGrid,
  planeMetric,
  type SightCounts,
  type SightSetting,
  viewshed,
} from '../../../src/core/terrain/index.ts';

const grid = (rows: number, columns: number, at: (row: number, column: number) => number): HeightGrid => ({
  kind: 'projected',
  projection: 'EPSG:32632',
  rows,
  columns,
  west_u: 0,
  north_u: 0,
  stepEast_u: 30,
  stepNorth_u: 30,
  pixelIs: 'area',
  height_m: Float32Array.from({ length: rows * columns }, (_, k) => at(Math.floor(k / columns), k % columns)),
});

const FLAT_EARTH = Number.POSITIVE_INFINITY;
function look(g: HeightGrid, over: Partial<SightSetting> = {}): { out: Uint8Array; counts: SightCounts } {
  const setting: SightSetting = {
    row: Math.floor(g.rows / 2),
    column: Math.floor(g.columns / 2),
    observerHeight_m: 10,
    targetHeight_m: 2,
    range_m: 1e6,
    effectiveRadius_m: (6_371_000 * 4) / 3,
    ...over,
  };
  const out = new Uint8Array(g.rows * g.columns);
  return { out, counts: viewshed(g, setting, planeMetric(g, setting.row), out) };
}

/** Rolling hills with rough ground on them: sines of several lengths and noise, drawn by seed. */
function hills(rows: number, columns: number, seed: number, rough_m: number): HeightGrid {
  const random = createRandom(seed);
  const waves = Array.from({ length: 12 }, (_, k) => ({
    a: (60 / (1 + k / 3)) * random.next(),
    x: (random.next() - 0.5) * 0.1 * (1 + k),
    y: (random.next() - 0.5) * 0.1 * (1 + k),
    p: 6.28 * random.next(),
  }));
  return grid(
    rows,
    columns,
    (r, c) =>
      500 +
      waves.reduce((sum, w) => sum + w.a * Math.sin(w.x * c + w.y * r + w.p), 0) +
      rough_m * (random.next() - 0.5),
  );
}

/** Exact line of sight by its definition: the ray to one cell, its ground interpolated wherever it crosses a line of cells. */
function seenExactly(g: HeightGrid, s: SightSetting, row: number, column: number): boolean {
  const dr = row - s.row;
  const dc = column - s.column;
  const n = Math.max(Math.abs(dr), Math.abs(dc));
  const bySteps = Math.abs(dr) > Math.abs(dc);
  const level = (r: number, c: number) =>
    g.height_m[r * g.columns + c]! -
    (((r - s.row) * 30) ** 2 + ((c - s.column) * 30) ** 2) / (2 * s.effectiveRadius_m) -
    (g.height_m[s.row * g.columns + s.column]! + s.observerHeight_m);
  const target = (level(row, column) + s.targetHeight_m) / n;
  for (let i = 1; i < n; i++) {
    const y = s.row + (dr * i) / n;
    const x = s.column + (dc * i) / n;
    const r = Math.floor(y + 1e-9);
    const c = Math.floor(x + 1e-9);
    const f = bySteps ? x - c : y - r;
    const a = level(r, c);
    const h = f < 1e-9 ? a : a + f * ((bySteps ? level(r, c + 1) : level(r + 1, c)) - a);
    if (h / i > target) return false;
  }
  return true;
}

const settingOf = (g: HeightGrid, over: Partial<SightSetting> = {}): SightSetting => ({
  row: Math.floor(g.rows / 2),
  column: Math.floor(g.columns / 2),
  observerHeight_m: 10,
  targetHeight_m: 2,
  range_m: 1e6,
  effectiveRadius_m: (6_371_000 * 4) / 3,
  ...over,
});

describe('line of sight over a grid', () => {
  // 98.8 % is what Franklin & Ray 1994 found between their R2 and the exact rays on mapped ground; smoother ground does better.
  it.each([
    [1, 0, 10, 0.998],
    [2, 0, 60, 0.998],
    [3, 25, 10, 0.995],
    [4, 8, 120, 0.988],
  ])(
    'is alike with the exact ray to every cell (hills %i, roughness %i m, antenna %i m)',
    (seed, rough, height, share) => {
      const g = hills(161, 161, seed, rough);
      const setting = settingOf(g, { observerHeight_m: height });
      const { out, counts } = look(g, setting);
      let alike = 0;
      let seen = 0;
      for (let k = 0; k < out.length; k++) {
        const exact = seenExactly(g, setting, Math.floor(k / 161), k % 161);
        seen += exact ? 1 : 0;
        if (out[k] === (exact ? 1 : 0)) alike++;
      }
      expect(seen / out.length).toBeGreaterThan(0.02);
      expect(seen / out.length).toBeLessThan(0.9);
      expect(alike / out.length).toBeGreaterThan(share);
      expect(counts.cellsInRange).toBe(161 * 161);
      expect(counts.cellsVisible).toBe(out.reduce((sum, v) => sum + (v === 1 ? 1 : 0), 0));
    },
  );

  it('is exact along rows, columns and diagonals, where rays meet the cells', () => {
    const g = hills(301, 301, 5, 30);
    const setting = settingOf(g, { observerHeight_m: 40 });
    const { out } = look(g, setting);
    let seen = 0;
    for (let n = 1; n <= 150; n++)
      for (const [dr, dc] of [
        [-1, 0],
        [1, 0],
        [0, -1],
        [0, 1],
        [-1, -1],
        [-1, 1],
        [1, -1],
        [1, 1],
      ] as const) {
        const exact = seenExactly(g, setting, 150 + n * dr, 150 + n * dc) ? 1 : 0;
        seen += exact;
        expect([n, dr, dc, out[(150 + n * dr) * 301 + 150 + n * dc]]).toEqual([n, dr, dc, exact]);
      }
    expect(seen).toBeGreaterThan(50);
    expect(seen).toBeLessThan(1100);
  });

  it('turns and mirrors with the ground', () => {
    // On a flat Earth the same sums are made whichever way the ground lies, so rows and columns must agree to the cell.
    const random = createRandom(6);
    const heights = Array.from({ length: 91 * 91 }, () => 40 * random.next() ** 3);
    const base = grid(91, 91, (r, c) => heights[r * 91 + c]!);
    const over = { effectiveRadius_m: FLAT_EARTH, row: 40, column: 52, range_m: 1000, observerHeight_m: 25 };
    const { out, counts } = look(base, over);
    const transposed = look(
      grid(91, 91, (r, c) => heights[c * 91 + r]!),
      { ...over, row: 52, column: 40 },
    );
    const mirrored = look(
      grid(91, 91, (r, c) => heights[r * 91 + 90 - c]!),
      { ...over, column: 38 },
    );
    expect(mirrored.counts).toEqual(counts);
    for (let r = 0; r < 91; r++)
      for (let c = 0; c < 91; c++) expect(mirrored.out[r * 91 + 90 - c]).toBe(out[r * 91 + c]);
    expect(transposed.counts.cellsInRange).toBe(counts.cellsInRange);
    let alike = 0;
    for (let r = 0; r < 91; r++)
      for (let c = 0; c < 91; c++) if (transposed.out[c * 91 + r] === out[r * 91 + c]) alike++;
    expect(alike).toBe(91 * 91);
  });

  it('never hides a cell when either end is raised', () => {
    const g = hills(121, 81, 7, 15);
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 120 }),
        fc.integer({ min: 0, max: 80 }),
        fc.double({ min: 0, max: 60, noNaN: true }),
        fc.double({ min: 0.5, max: 60, noNaN: true }),
        (row, column, low_m, more_m) => {
          const from = look(g, { row, column, observerHeight_m: low_m });
          const higher = look(g, { row, column, observerHeight_m: low_m + more_m });
          const target = look(g, { row, column, observerHeight_m: low_m, targetHeight_m: 2 + more_m });
          for (let k = 0; k < from.out.length; k++) {
            if (from.out[k] !== 1) continue;
            expect(higher.out[k]).toBe(1);
            expect(target.out[k]).toBe(1);
          }
        },
      ),
      { seed: 3, numRuns: 25 },
    );
  });

  it('ends at the range, which counts inclusive', () => {
    const flat = grid(101, 101, () => 0);
    const { out, counts } = look(flat, { range_m: 1200, effectiveRadius_m: FLAT_EARTH });
    // Lattice points in a circle of radius 40 (Gauss's circle problem, OEIS A000328: N(40) = 5025).
    expect(counts).toEqual({ cellsInRange: 5025, cellsVisible: 5025, cellsVoid: 0 });
    expect(out[50 * 101 + 90]).toBe(1);
    expect(out[50 * 101 + 91]).toBe(2);
    expect(out[90 * 101 + 50]).toBe(1);
    expect(out[91 * 101 + 50]).toBe(2);
  });

  it('sees to the horizon of the sea and no further', () => {
    // Distance of the horizon over a sphere, sqrt(2 R h) (P.526: 4.12 (sqrt h1 + sqrt h2) km at k = 4/3, sec. 3.2.1, from memory).
    const sea = grid(3, 1400, () => 0);
    const { out } = look(sea, { row: 1, column: 0, observerHeight_m: 20, targetHeight_m: 5, range_m: 60_000 });
    const horizon_m = Math.sqrt((2 * 6_371_000 * 4 * 20) / 3) + Math.sqrt((2 * 6_371_000 * 4 * 5) / 3);
    expect(horizon_m / 1000).toBeCloseTo(4.12 * (Math.sqrt(20) + Math.sqrt(5)), 1);
    const last = out.subarray(1400, 2800).lastIndexOf(1);
    expect(Math.abs(last * 30 - horizon_m)).toBeLessThan(30);
  });

  it('leaves voids open, counts them, and looks across', () => {
    const g = grid(41, 41, (r) => (r === 10 ? Number.NaN : 0));
    const { out, counts } = look(g, { effectiveRadius_m: FLAT_EARTH });
    expect(counts).toEqual({ cellsInRange: 40 * 41, cellsVisible: 40 * 41, cellsVoid: 41 });
    expect(out[10 * 41 + 3]).toBe(2);
    expect(out[5 * 41 + 3]).toBe(1);
    expect(() => look(g, { row: 10 })).toThrow(RangeError);
    expect(() => look(g, { row: 41 })).toThrow(RangeError);
  });

  it('hides what a wall shades: the shadow ends where the ray comes down behind it', () => {
    // Antenna 30 m over a plain, wall of 20 m at 300 m: the ray over it falls 10 m in 300 m, and meets 2 m at 840 m.
    const wall = grid(201, 201, (_, c) => (c === 110 ? 20 : 0));
    const { out } = look(wall, { observerHeight_m: 30, effectiveRadius_m: FLAT_EARTH });
    const row = out.subarray(100 * 201, 101 * 201);
    expect(Array.from(row.subarray(100, 111))).toEqual(Array(11).fill(1));
    expect(row.subarray(111, 128).includes(1)).toBe(false);
    expect(row[128]).toBe(1);
  });

  it('works on oblong cells, from a corner, and on a strip', () => {
    const g = { ...hills(60, 200, 8, 5), stepEast_u: 8 };
    const setting = settingOf(g, { row: 0, column: 0, observerHeight_m: 30, range_m: 1500 });
    const out = new Uint8Array(60 * 200);
    const counts = viewshed(g, setting, planeMetric(g, 0), out);
    let inRange = 0;
    for (let r = 0; r < 60; r++) for (let c = 0; c < 200; c++) if ((r * 30) ** 2 + (c * 8) ** 2 <= 1500 ** 2) inRange++;
    expect(counts.cellsInRange).toBe(inRange);
    expect(counts.cellsVisible).toBeGreaterThan(10);
    expect(look(grid(2, 2, () => 0)).counts.cellsInRange).toBe(4);
    expect(
      look(
        grid(2, 500, () => 0),
        { column: 499 },
      ).counts.cellsInRange,
    ).toBe(1000);
  });
});

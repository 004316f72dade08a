import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  columnOf,
  createMosaic,
  fillFrom,
  frameFault,
  type GridFrame,
  type HeightGrid,
  heightAt,
  isInside,
  mosaicGaps,
  pasteTile,
  sameLattice,
} from '../../../src/core/terrain/index.ts';

const frame = (over: Partial<GridFrame> = {}): GridFrame => ({
  kind: 'projected',
  projection: 'EPSG:32632',
  rows: 3,
  columns: 4,
  west_u: 1000,
  north_u: 2000,
  stepEast_u: 10,
  stepNorth_u: 20,
  pixelIs: 'area',
  ...over,
});
const grid = (over: Partial<GridFrame>, at: (row: number, column: number) => number): HeightGrid => {
  const f = frame(over);
  const height_m = Float32Array.from({ length: f.rows * f.columns }, (_, k) =>
    at(Math.floor(k / f.columns), k % f.columns),
  );
  return { ...f, height_m };
};

describe('a height between samples', () => {
  // Bilinear interpolation by hand: 100 (1-x)(1-y) + 140 x (1-y) + 60 (1-x) y + 20 x y.
  const four = grid({ rows: 2, columns: 2 }, (r, c) => [100, 140, 60, 20][2 * r + c]!);

  it('is bilinear', () => {
    expect(heightAt(four, 1002.5, 1990)).toBeCloseTo(
      100 * 0.75 * 0.5 + 140 * 0.25 * 0.5 + 60 * 0.75 * 0.5 + 20 * 0.25 * 0.5,
      9,
    );
    expect(heightAt(four, 1000, 2000)).toBe(100);
    expect(heightAt(four, 1010, 1980)).toBe(20);
  });

  it('holds in the outer half cell of areas, not around points', () => {
    expect(heightAt(four, 996, 2009)).toBe(100);
    expect(heightAt(four, 994.9, 2000)).toBeNaN();
    const points = { ...four, pixelIs: 'point' as const };
    expect(heightAt(points, 999.9, 2000)).toBeNaN();
    expect(heightAt(points, 999.999999, 2000)).toBe(100);
  });

  it('is unknown beside a void only where the void counts', () => {
    const holed = grid({}, (r, c) => (r === 1 && c === 1 ? Number.NaN : 100));
    expect(heightAt(holed, 1010, 1980)).toBeNaN();
    expect(heightAt(holed, 1012, 1990)).toBeNaN();
    expect(heightAt(holed, 1010, 2000)).toBe(100); // the row above: the void has no weight
    expect(heightAt(holed, 1020, 1980)).toBe(100);
  });

  it('of a plane is the plane, everywhere', () => {
    const plane = grid({ rows: 20, columns: 30 }, (r, c) => 3 * c - 2 * r + 7);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 29, noNaN: true }), fc.double({ min: 0, max: 19, noNaN: true }), (c, r) => {
        expect(heightAt(plane, 1000 + 10 * c, 2000 - 20 * r)).toBeCloseTo(3 * c - 2 * r + 7, 4);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('a geographic grid', () => {
  const atDateLine = frame({
    kind: 'geographic',
    projection: null,
    west_u: 179.5,
    north_u: 52,
    stepEast_u: 0.25,
    stepNorth_u: 0.25,
    columns: 5,
    pixelIs: 'point',
  });

  it('knows longitudes on both sides of the date line by any turn', () => {
    for (const x of [-179.75, 180.25, 540.25]) expect(columnOf(atDateLine, x)).toBeCloseTo(3, 9);
    expect(isInside(atDateLine, -179.4, 51.9)).toBe(false);
    expect(isInside(atDateLine, -179.5, 51.9)).toBe(true);
    expect(isInside(atDateLine, 179.4, 51.9)).toBe(false);
  });

  it('reaches no further than the Earth', () => {
    expect(frameFault(atDateLine)).toBeNull();
    expect(frameFault({ ...atDateLine, north_u: 95 })).toMatch(/90 each way/);
    expect(frameFault({ ...atDateLine, columns: 1500 })).toMatch(/once around/);
    expect(frameFault({ ...atDateLine, stepEast_u: 0 })).toMatch(/above zero/);
    expect(frameFault({ ...atDateLine, rows: 1 })).toMatch(/at least 2 x 2/);
  });
});

describe('a mosaic', () => {
  const plane = (f: Partial<GridFrame>) =>
    grid(f, (r, c) => {
      const g = frame(f);
      return (g.west_u + c * g.stepEast_u) * 0.1 - (g.north_u - r * g.stepNorth_u) * 0.05;
    });
  const left = plane({ rows: 5, columns: 5, pixelIs: 'point' });
  const right = plane({ rows: 5, columns: 5, west_u: 1040, pixelIs: 'point' });
  const box = { west_u: 1000, east_u: 1080, south_u: 1920, north_u: 2000 };

  it('joins tiles that share an edge, and tiles that only touch, without a seam', () => {
    const touching = plane({ rows: 5, columns: 5, west_u: 1050, pixelIs: 'area' });
    for (const [second, east_u] of [
      [right, 1080],
      [touching, 1090],
    ] as const) {
      const mosaic = createMosaic(left, { ...box, east_u });
      pasteTile(mosaic, left);
      pasteTile(mosaic, second);
      expect(mosaicGaps(mosaic)).toEqual({ missing: 0, voids: 0 });
      fc.assert(
        fc.property(fc.double({ min: 1000, max: east_u, noNaN: true }), (x) => {
          expect(heightAt(mosaic.grid, x, 1951)).toBeCloseTo(x * 0.1 - 1951 * 0.05, 4);
        }),
        { seed: 2, numRuns: 200 },
      );
    }
  });

  it('tells missing cells from voids, and lets a neighbour fill a void of the shared edge', () => {
    const voidEdge = { ...left, height_m: left.height_m.slice() };
    for (let r = 0; r < 5; r++) voidEdge.height_m[r * 5 + 4] = Number.NaN;
    voidEdge.height_m[0] = Number.NaN;
    const mosaic = createMosaic(left, box);
    pasteTile(mosaic, voidEdge);
    expect(mosaicGaps(mosaic)).toEqual({ missing: 20, voids: 6 });
    pasteTile(mosaic, right);
    expect(mosaicGaps(mosaic)).toEqual({ missing: 0, voids: 1 });
    expect(heightAt(mosaic.grid, 1000, 2000)).toBeNaN();
  });

  it('knows what lies on one lattice', () => {
    expect(sameLattice(left, right)).toBe(true);
    expect(sameLattice(left, plane({ west_u: 1045 }))).toBe(false);
    expect(sameLattice(left, plane({ stepEast_u: 11 }))).toBe(false);
    expect(sameLattice(left, plane({ projection: 'EPSG:32633' }))).toBe(false);
    const west = frame({ kind: 'geographic', projection: null, west_u: -180, stepEast_u: 0.1, stepNorth_u: 0.1 });
    expect(sameLattice(west, { ...west, west_u: 179 })).toBe(true);
  });

  it('takes from another lattice only where it is open', () => {
    const mosaic = createMosaic(left, box);
    pasteTile(mosaic, left);
    const other = plane({ rows: 30, columns: 60, west_u: 990, north_u: 2010, stepEast_u: 3, stepNorth_u: 7 });
    const filled = fillFrom(mosaic, other, (x, y, out) => {
      out[0] = x;
      out[1] = y;
    });
    expect(filled).toBe(20);
    expect(heightAt(mosaic.grid, 1063, 1949)).toBeCloseTo(106.3 - 97.45, 3);
    expect(mosaic.grid.height_m[0]).toBe(left.height_m[0]);
  });
});

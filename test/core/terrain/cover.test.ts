import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import { type CoverKind, type CoverShape, OPEN_GROUND, paintCover } from '../../../src/core/terrain/index.ts';
import { insidePolygon, type Ring } from '../../../src/formats/geojson.ts';

const WOOD: CoverKind = { cover: 'woods', height_m: 15, loss_dB: undefined };
const HOUSES: CoverKind = { cover: 'houses', height_m: 10, loss_dB: undefined };
const KINDS = [OPEN_GROUND, WOOD, HOUSES];

const flat = (ring: Ring) => Float64Array.from(ring.flat());
function paint(rows: number, columns: number, shapes: readonly CoverShape[]) {
  const kind = new Uint8Array(rows * columns);
  const woods = new Uint8Array(rows * columns);
  paintCover(rows, columns, shapes, KINDS, kind, woods);
  return { kind, woods };
}

const blob = (seed: number, corners: number, x: number, y: number, size: number): [number, number][] => {
  const random = createRandom(seed);
  const turn = seed % 2 === 0 ? 1 : -1;
  return Array.from({ length: corners }, (_, i) => {
    const a = (turn * 2 * Math.PI * (i + 0.8 * random.next())) / corners;
    const r = size * (0.3 + 0.7 * random.next());
    return [x + r * Math.cos(a), y + r * Math.sin(a)] as [number, number];
  });
};

describe('ground cover on cells', () => {
  it('covers by halves of cells a rectangle that ends inside them, by hand', () => {
    // From 0.25 to 2.5 columns: cell 1 (0.5 to 1.5) whole, cell 0 (-0.5 to 0.5) a quarter, cell 2 whole; rows 0.75 to 1.5: row 1 three quarters.
    const ring = flat([
      [0.25, 0.75],
      [2.5, 0.75],
      [2.5, 1.5],
      [0.25, 1.5],
      [0.25, 0.75],
    ]);
    const { kind, woods } = paint(3, 4, [{ kind: 1, rings: [ring] }]);
    expect([...woods.subarray(4, 8)]).toEqual([Math.round(255 * 0.25 * 0.75), 191, 191, 0]);
    expect([...kind]).toEqual([0, 0, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]);
  });

  it('has the area of its polygons, holes left out, whatever way they turn (the surveyor’s formula)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 3, max: 40 }), (seed, corners) => {
        const outer = blob(seed, corners, 30, 25, 20);
        const hole = blob(seed + 1, 5, 30, 25, 3);
        const area = (ring: [number, number][]) =>
          Math.abs(
            ring.reduce(
              (s, [x, y], i) => s + x * ring[(i + 1) % ring.length]![1] - ring[(i + 1) % ring.length]![0] * y,
              0,
            ),
          ) / 2;
        const { woods } = paint(50, 60, [{ kind: 1, rings: [flat(outer), flat(hole)] }]);
        const sum = woods.reduce((s, v) => s + v, 0) / 255;
        // A star around its middle is simple; a hole counts where it lies inside.
        const holeInside = hole.every(([x, y]) => insidePolygon([outer], x, y));
        if (holeInside) expect(Math.abs(sum - area(outer) + area(hole))).toBeLessThan(0.3);
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  it('has the kind of the cell’s middle away from edges, and reaches beyond the raster', () => {
    const outer = blob(7, 12, 4, 30, 45);
    const { kind, woods } = paint(50, 60, [{ kind: 1, rings: [flat(outer)] }]);
    let looked = 0;
    for (let k = 0; k < kind.length; k++) {
      if (woods[k] !== 0 && woods[k] !== 255) continue;
      looked++;
      expect(kind[k]).toBe(insidePolygon([outer], k % 60, Math.floor(k / 60)) ? 1 : 0);
    }
    expect(looked).toBeGreaterThan(2500);
  });

  it('lets later shapes lie over earlier ones, woods give way to houses', () => {
    const square = (from: number, to: number) =>
      flat([
        [from, from],
        [to, from],
        [to, to],
        [from, to],
      ]);
    const { kind, woods } = paint(10, 10, [
      { kind: 1, rings: [square(-0.5, 9.5)] },
      { kind: 2, rings: [square(3.5, 6.5)] },
    ]);
    expect(kind[44]).toBe(2);
    expect(woods[44]).toBe(0);
    expect(kind[0]).toBe(1);
    expect(woods.reduce((s, v) => s + (v === 255 ? 1 : 0), 0)).toBe(91);
  });
});

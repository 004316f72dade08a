import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nearLongitude_deg, withinMeridian } from '../../src/formats/antimeridian.ts';
import { insidePolygon } from '../../src/formats/geojson.ts';

type Position = [number, number];
const closed = (ring: Position[]): Position[] => [...ring, ring[0]!];
const box = (west: number, south: number, east: number, north: number): Position[] =>
  closed([
    [west, south],
    [east, south],
    [east, north],
    [west, north],
  ]);

// Rule: RFC 7946, section 3.1.9 (a geometry that crosses the antimeridian is cut in two); cases by hand.
describe('a polygon at the 180th meridian', () => {
  it('within it is left as it is; over it, it comes in two that meet there', () => {
    expect(withinMeridian([box(170, 1, 180, 2)])).toEqual([[box(170, 1, 180, 2)]]);
    const parts = withinMeridian([box(179, 1, 183, 2)]);
    const spans = parts.map(([ring]) => ring!.map(([lon]) => lon)).map((l) => [Math.min(...l), Math.max(...l)]);
    expect(spans).toEqual([
      [179, 180],
      [-180, -177],
    ]);
    const west = withinMeridian([box(-181, 1, -179, 2)]).map(([ring]) => ring!.map(([lon]) => lon));
    expect(west.map((l) => [Math.min(...l), Math.max(...l)])).toEqual([
      [179, 180],
      [-180, -179],
    ]);
    expect(withinMeridian([box(181, 1, 182, 2)])).toEqual([[box(-179, 1, -178, 2)]]);
  });

  it('loses and gains no ground, holes with it, whatever its form', () => {
    const star = fc.array(fc.double({ min: 0.3, max: 1, noNaN: true }), { minLength: 5, maxLength: 12 });
    fc.assert(
      fc.property(star, fc.double({ min: -0.9, max: 0.9, noNaN: true }), (radii, shift) => {
        const ring = (scale: number): Position[] =>
          closed(
            radii.map((r, i): Position => {
              const a = (2 * Math.PI * i) / radii.length;
              return [180 + shift + scale * r * Math.cos(a), 46 + scale * r * Math.sin(a)];
            }),
          );
        const polygon = [ring(1), ring(0.4).reverse()];
        const parts = withinMeridian(polygon);
        for (const part of parts) for (const at of part.flat()) expect(Math.abs(at[0])).toBeLessThanOrEqual(180);
        for (let x = -1.03; x < 1.1; x += 0.0917)
          for (let y = -1.01; y < 1.1; y += 0.0931) {
            const [lon, lat] = [180 + shift + x, 46 + y];
            const here = nearLongitude_deg(lon, 0);
            expect(parts.some((part) => insidePolygon(part, here, lat))).toBe(insidePolygon(polygon, lon, lat));
          }
      }),
      { seed: 1, numRuns: 25 },
    );
  });
});

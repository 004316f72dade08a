import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { horizonAt_deg, horizonFromPairs, skyView } from '../../../src/core/sun/index.ts';
import { UserError } from '../../../src/core/units/index.ts';

const RAD = Math.PI / 180;
const level = (elevation_deg: number) => new Float32Array(360).fill(elevation_deg);

describe('skyline', () => {
  it('runs straight between its points and closes around north', () => {
    const h = horizonFromPairs([
      { azimuth_deg: 90, elevation_deg: 10 },
      { azimuth_deg: 350, elevation_deg: 0 },
      { azimuth_deg: 10, elevation_deg: 20 },
    ]);
    expect(h.length).toBe(360);
    expect(h[0]).toBeCloseTo(10, 5); // halfway from 350° to 10°
    expect(h[10]).toBe(20);
    expect(h[50]).toBeCloseTo(15, 5);
    expect(h[90]).toBe(10);
    expect(h[220]).toBeCloseTo(5, 5);
    expect(horizonAt_deg(h, 359.5)).toBeCloseTo(9.5, 5);
    expect(horizonAt_deg(h, -0.5)).toBeCloseTo(9.5, 5);
    expect(horizonAt_deg(h, 10.5)).toBeCloseTo(19.9375, 4);
  });
  it('takes none, one, doubled and negative azimuths', () => {
    expect(horizonFromPairs([])).toEqual(level(0));
    expect(horizonFromPairs([{ azimuth_deg: 123.4, elevation_deg: 7 }])).toEqual(level(7));
    const doubled = horizonFromPairs([
      { azimuth_deg: 360, elevation_deg: 3 },
      { azimuth_deg: 0, elevation_deg: 5 },
      { azimuth_deg: -180, elevation_deg: 1 },
    ]);
    expect(doubled[0]).toBe(5);
    expect(doubled[180]).toBe(1);
  });
  it('says which point is wrong', () => {
    const bad = (azimuth_deg: number, elevation_deg: number) => () =>
      horizonFromPairs([
        { azimuth_deg: 0, elevation_deg: 0 },
        { azimuth_deg, elevation_deg },
      ]);
    expect(bad(361, 0)).toThrow(/point 2 .*azimuth_deg 361/);
    expect(bad(Number.NaN, 0)).toThrow(UserError);
    expect(bad(0, 90.01)).toThrow(/point 2 .*elevation_deg 90.01.*swapped/);
    expect(bad(0, 90)).not.toThrow();
    expect(bad(0, -10.01)).toThrow(UserError);
  });
});

describe('skyView', () => {
  it('meets the closed forms', () => {
    // Closed forms: the integral of the cosine over the part of the sphere that is seen, worked by hand.
    for (const h of [0, 5, 20, 45, 70]) {
      expect(skyView(level(h), 0, 180).sky).toBeCloseTo(Math.cos(h * RAD) ** 2, 6); // horizontal: cos² h
      const wall = 1 - (2 * h * RAD + Math.sin(2 * h * RAD)) / Math.PI; // vertical: the upper part of half a sphere
      expect(skyView(level(h), 90, 37).sky).toBeCloseTo(wall, 6);
      for (const tilt of [10, 30, 60]) {
        if (h < tilt) continue; // the skyline hides the plane's own edge: all of the rest is seen
        const cap = Math.cos(tilt * RAD) * Math.cos(h * RAD) ** 2;
        expect(skyView(level(h), tilt, 200).sky).toBeCloseTo(cap / ((1 + Math.cos(tilt * RAD)) / 2), 6);
      }
    }
  });
  it('loses half of the sky behind a wall of half the turn', () => {
    const half = level(0).map((_, k) => (k > 90 && k < 270 ? 90 : k === 90 || k === 270 ? 90 : 0));
    expect(skyView(half, 0, 0).sky).toBeCloseTo(0.5, 2);
    expect(skyView(half, 90, 180).sky).toBeCloseTo(0, 6);
    expect(skyView(half, 90, 0).sky).toBeCloseTo(1, 6);
  });
  it('is one without a skyline and falls as the skyline rises', () => {
    expect(skyView(undefined, 45, 180).sky).toBe(1);
    expect(skyView(level(-5), 45, 180).sky).toBe(1);
    expect(() => skyView(new Float32Array(36), 0, 0)).toThrow(RangeError);
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 60, noNaN: true }), { minLength: 8, maxLength: 8 }),
        fc.double({ min: 0, max: 90, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (heights, tilt, azimuth) => {
          const make = (lift: number) =>
            horizonFromPairs(heights.map((e, k) => ({ azimuth_deg: 45 * k, elevation_deg: e + lift })));
          const low = skyView(make(0), tilt, azimuth).sky;
          const high = skyView(make(5), tilt, azimuth).sky;
          expect(low).toBeLessThanOrEqual(1);
          expect(high).toBeLessThan(low);
          expect(high).toBeGreaterThanOrEqual(0);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
  });
});

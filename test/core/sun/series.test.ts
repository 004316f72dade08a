import fc from 'fast-check';
import { getSpa, SPA_ZA } from 'nrel-spa';
import { describe, expect, it } from 'vitest';
import { sunPosition, sunSeries, unix_msOfJulianDay } from '../../../src/core/sun/index.ts';

const turned = (difference_deg: number) => difference_deg - 360 * Math.round(difference_deg / 360);
const run = (start: number, step_h: number, latitude_deg: number, longitude_deg: number, count: number) => {
  const out = { elevation_deg: new Float64Array(count), azimuth_deg: new Float64Array(count) };
  sunSeries(start, step_h, latitude_deg, longitude_deg, 0, out);
  return out;
};

describe('sunSeries', () => {
  it('is within 0.01° of the full algorithm, every hour of two years', () => {
    // Source: npm nrel-spa 2.0 (Reda & Andreas 2004, full series) without air.
    const start = 2458849.5; // 2020-01-01
    for (const [latitude_deg, longitude_deg] of [
      [46.4, 10.2],
      [-44.3, 170],
    ] as const) {
      const { elevation_deg, azimuth_deg } = run(start, 1, latitude_deg, longitude_deg, 17544);
      let worst = 0;
      for (let i = 0; i < 17544; i += 5) {
        const date = new Date(Math.round(unix_msOfJulianDay(start + i / 24)));
        const spa = getSpa(date, latitude_deg, longitude_deg, 0, { function: SPA_ZA, pressure: 0, delta_t: 69 });
        worst = Math.max(worst, Math.abs(elevation_deg[i]! - (90 - spa.zenith)));
        const aside = Math.abs(turned(azimuth_deg[i]! - spa.azimuth)) * Math.cos((elevation_deg[i]! * Math.PI) / 180);
        worst = Math.max(worst, aside);
      }
      expect(worst).toBeLessThan(0.001);
    }
  });

  it('is the slow path at any step, place and epoch', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2433282.5, max: 2488069.5, noNaN: true }),
        fc.constantFrom(0.01, 0.25, 1, 7.3, 24, 96, 97, 500),
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        (start, step_h, latitude_deg, longitude_deg) => {
          const out = run(start, step_h, latitude_deg, longitude_deg, 60);
          for (let i = 0; i < 60; i++) {
            const p = sunPosition(start + (i * step_h) / 24, latitude_deg, longitude_deg);
            expect(Math.abs(out.elevation_deg[i]! - p.elevation_deg)).toBeLessThan(0.0002);
            const aside = turned(out.azimuth_deg[i]! - p.azimuth_deg) * Math.cos((p.elevation_deg * Math.PI) / 180);
            expect(Math.abs(aside)).toBeLessThan(0.0002);
            expect(out.azimuth_deg[i]).toBeGreaterThanOrEqual(0);
            expect(out.azimuth_deg[i]).toBeLessThan(360);
          }
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });

  it('takes empty output and refuses bad arguments', () => {
    expect(run(2451545, 1, 0, 0, 0).elevation_deg.length).toBe(0);
    const pair = (a: number, b: number) => ({ elevation_deg: new Float64Array(a), azimuth_deg: new Float64Array(b) });
    expect(() => sunSeries(2451545, 0, 0, 0, 0, pair(1, 1))).toThrow(RangeError);
    expect(() => sunSeries(2451545, 1, 91, 0, 0, pair(1, 1))).toThrow(RangeError);
    expect(() => sunSeries(2451545, 1, 0, 0, 0, pair(1, 2))).toThrow(RangeError);
  });
});

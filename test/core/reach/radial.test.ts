import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import { bullingtonLoss_dB, deltaBullington, type Wave, wavelength_m } from '../../../src/core/path/index.ts';
import { createHull, highestOver, pushPoint, steepestBack } from '../../../src/core/reach/hull.ts';
import { createRadialScratch, radialLosses } from '../../../src/core/reach/radial.ts';
import { smoothBullington_dB } from '../../../src/core/reach/smooth-bullington.ts';

const WAVE: Wave = { frequency_GHz: 0.868, wavelength_m: wavelength_m(868), polarization: 'vertical', seaShare: 0 };

/** A rough profile: hills of several lengths, or a nearly flat plain, or a terrace with steps. */
function ground(seed: number, n: number, relief_m: number): Float64Array {
  const random = createRandom(seed);
  const waves = Array.from({ length: 6 }, () => ({
    length: 4 + random.next() * n,
    phase: random.next() * 6.28,
    height: random.normal() * relief_m,
  }));
  return Float64Array.from({ length: n }, (_, i) => {
    let h = 1500 + random.normal() * relief_m * 0.02;
    for (const w of waves) h += w.height * Math.sin((6.28 * i) / w.length + w.phase);
    return h;
  });
}

function out(n: number) {
  return {
    diffraction_dB: new Float32Array(n),
    sight: new Uint8Array(n),
    leaves_mrad: new Float32Array(n),
    arrives_mrad: new Float32Array(n),
  };
}

const cases = fc.record({
  seed: fc.integer({ min: 1, max: 1e6 }),
  n: fc.integer({ min: 2, max: 260 }),
  relief_m: fc.constantFrom(0, 0.5, 5, 60, 400),
  step_km: fc.constantFrom(0.005, 0.03, 0.2),
  fromHeight_m: fc.constantFrom(1.5, 6, 60),
  toHeight_m: fc.constantFrom(1.5, 10),
  clutter_m: fc.constantFrom(0, 12),
});

// A law: the way that shares work against the walk over each profile (`deltaBullington`, itself checked on the published examples).
describe('radial losses', () => {
  it('agree with delta-Bullington over each profile on its own, to 0.01 dB', () => {
    let worst_dB = 0;
    let receivers = 0;
    fc.assert(
      fc.property(cases, ({ seed, n, relief_m, step_km, fromHeight_m, toHeight_m, clutter_m }) => {
        const height_m = ground(seed, n, relief_m);
        const top_m = height_m.map((h, i) => h + (i % 7 < 3 ? clutter_m : 0));
        const distance_km = Float64Array.from({ length: n }, (_, i) => i * step_km);
        const result = out(n);
        const setting = { step_km, fromHeight_m, toHeight_m, radius_km: 8500, wave: WAVE };
        radialLosses(height_m, top_m, n, 1, setting, createRadialScratch(n), result);
        for (let j = 2; j < n; j++) {
          const obstacle_m = top_m.slice(0, j + 1);
          obstacle_m[0] = height_m[0]!;
          obstacle_m[j] = height_m[j]!;
          const from_m = height_m[0]! + fromHeight_m;
          const to_m = height_m[j]! + toHeight_m;
          const walk = deltaBullington({
            distance_km,
            height_m,
            obstacle_m,
            n: j + 1,
            from_m,
            to_m,
            radius_km: 8500,
            wave: WAVE,
          });
          worst_dB = Math.max(worst_dB, Math.abs(result.diffraction_dB[j]! - walk.loss_dB));
          receivers++;
          let clear = 1;
          for (let i = 1; i < j; i++) {
            const x = distance_km[i]!;
            const d = distance_km[j]!;
            const ray_m = from_m + ((to_m - from_m) * x) / d;
            if (obstacle_m[i]! + (500 / 8500) * x * (d - x) > ray_m + 1e-9) clear = 0;
          }
          expect(result.sight[j]).toBe(clear);
        }
      }),
      { seed: 1, numRuns: 150 },
    );
    expect(receivers).toBeGreaterThan(10_000);
    expect(worst_dB).toBeLessThan(0.01);
  });

  it('are not known beyond the first void', () => {
    const height_m = ground(3, 50, 60);
    height_m[20] = Number.NaN;
    const result = out(50);
    const setting = { step_km: 0.03, fromHeight_m: 6, toHeight_m: 2, radius_km: 8500, wave: WAVE };
    radialLosses(height_m, height_m, 50, 1, setting, createRadialScratch(50), result);
    expect(result.diffraction_dB.subarray(1, 20).every(Number.isFinite)).toBe(true);
    expect(result.diffraction_dB.subarray(20).every(Number.isNaN)).toBe(true);
  });

  it('give the elevations of both rays: over a plain equal, down by half of the arc', () => {
    const flat = new Float64Array(400);
    const result = out(400);
    const setting = { step_km: 0.03, fromHeight_m: 10, toHeight_m: 10, radius_km: 8500, wave: WAVE };
    radialLosses(flat, flat, 400, 1, setting, createRadialScratch(400), result);
    // Geometry: over an arc of 9 km the chord dips by 9/(2·8500) rad at both ends.
    expect(result.leaves_mrad[300]).toBeCloseTo((-1000 * 9) / 17000, 5);
    expect(result.arrives_mrad[300]).toBeCloseTo((-1000 * 9) / 17000, 5);
  });
});

describe('smooth Bullington without a walk', () => {
  it('agrees with the walk over the points', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 900 }),
        fc.constantFrom(0.005, 0.03, 0.1),
        fc.double({ min: 0.01, max: 900, noNaN: true }),
        fc.double({ min: 0.01, max: 900, noNaN: true }),
        (last, step_km, a, b) => {
          const distance_km = Float64Array.from({ length: last + 1 }, (_, i) => i * step_km);
          const walk = bullingtonLoss_dB(distance_km, null, last + 1, {
            from_m: a,
            to_m: b,
            radius_km: 8500,
            wavelength_m: 0.345,
          });
          expect(smoothBullington_dB(a, b, last, step_km, 500 / 8500, 0.345)).toBeCloseTo(walk, 6);
        },
      ),
      { seed: 1, numRuns: 3000 },
    );
  });
});

describe('running hull', () => {
  it('answers as a search over all points does', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 1, maxLength: 60 }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: -9, max: 9, noNaN: true }),
        (ys, y, slope) => {
          const hull = createHull(ys.length);
          ys.forEach((value, i) => {
            pushPoint(hull, i, value);
          });
          const x = ys.length;
          expect(steepestBack(hull, x, y)).toBeCloseTo(Math.max(...ys.map((v, i) => (v - y) / (x - i))), 9);
          expect(highestOver(hull, slope)).toBeCloseTo(Math.max(...ys.map((v, i) => v - slope * i)), 9);
        },
      ),
      { seed: 1, numRuns: 2000 },
    );
  });
});

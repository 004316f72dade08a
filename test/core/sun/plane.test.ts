import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import {
  diffuseModifiers,
  horizonFromPairs,
  type IrradianceHours,
  type PlaneModel,
  type PlaneSpec,
  physicalModifier,
  planeGeometry,
  planeOfArray,
  skyView,
  sunYear,
  transpose,
} from '../../../src/core/sun/index.ts';

const PLACE = { latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1800, utcOffset_h: 1 };
const SUN = sunYear(PLACE);
const DEG = 180 / Math.PI;
const ALBEDO = [0.6, 0.6, 0.5, 0.3, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.3, 0.5];
const BARE: PlaneSpec = { tilt_deg: 60, azimuth_deg: 170, albedo: ALBEDO, cover: 'none', model: 'perez' };

/** A year of made-up light: cloud by seeded chance, some by twilight, nothing deep in the night. */
function madeUp(seed: number, sun = SUN): IrradianceHours {
  const random = createRandom(seed);
  const hours = {
    length: 8760,
    hourOfYear: Uint16Array.from({ length: 8760 }, (_, i) => i),
    ghi_W_m2: new Float32Array(8760),
    dni_W_m2: new Float32Array(8760),
    dhi_W_m2: new Float32Array(8760),
  };
  for (let i = 0; i < 8760; i++) {
    const top = sun.extraterrestrialHorizontal_Wh_m2[i]!;
    if (sun.up[i]! < -0.05) continue;
    hours.dhi_W_m2[i] = random.next() < 0.02 ? 0 : 2 + top * 0.4 * random.next();
    hours.dni_W_m2[i] = random.next() < 0.4 ? 0 : 900 * random.next();
    hours.ghi_W_m2[i] = hours.dhi_W_m2[i]! + hours.dni_W_m2[i]! * Math.max(0, sun.up[i]!);
  }
  return hours;
}
const run = (hours: IrradianceHours, spec: PlaneSpec, sun = SUN) => {
  const out = new Float32Array(hours.length).fill(-1);
  planeOfArray(hours, planeGeometry(sun, spec), out);
  return out;
};
const monthOf = (hour: number) => new Date(Date.UTC(2001, 0, 1, hour)).getUTCMonth();

describe('planeOfArray', () => {
  it('is the scalar transposition for a bare plane, each model', () => {
    const hours = madeUp(1);
    for (const model of ['perez', 'hay-davies', 'isotropic'] as PlaneModel[]) {
      for (const [tilt_deg, azimuth_deg] of [
        [0, 180],
        [35, 95],
        [60, 200],
        [90, 0],
      ] as const) {
        const out = run(hours, { ...BARE, model, tilt_deg, azimuth_deg });
        for (let i = 0; i < 8760; i++) {
          const want = transpose(model, {
            zenith_deg: Math.acos(SUN.up[i]!) * DEG,
            solarAzimuth_deg: SUN.azimuth_deg[i]!,
            tilt_deg,
            surfaceAzimuth_deg: azimuth_deg,
            ghi_W_m2: hours.ghi_W_m2[i]!,
            dni_W_m2: hours.dni_W_m2[i]!,
            dhi_W_m2: hours.dhi_W_m2[i]!,
            extraterrestrialNormal_W_m2: SUN.extraterrestrialNormal_W_m2[Math.floor(i / 24)]!,
            albedo: ALBEDO[monthOf(i)]!,
          }).total_W_m2;
          const off = Math.abs(out[i]! - (hours.ghi_W_m2[i]! > 0 ? want : 0));
          if (off > 0.01) throw new Error(`${model} ${tilt_deg} hour ${i}: ${out[i]} for ${want}`);
        }
      }
    }
  });

  it('gives no beam by a sun below the horizontal, behind the skyline or in the shade', () => {
    const hours = { ...madeUp(2), dhi_W_m2: new Float32Array(8760) };
    const noGround = { ...BARE, albedo: Array<number>(12).fill(0) };
    const skyline = horizonFromPairs([
      { azimuth_deg: 90, elevation_deg: 25 },
      { azimuth_deg: 180, elevation_deg: 12 },
      { azimuth_deg: 270, elevation_deg: 30 },
    ]);
    const open = run(hours, noGround);
    const hidden = run(hours, { ...noGround, horizon: skyline });
    const shade = new Float32Array(288).fill(1);
    for (let hour = 0; hour < 12; hour++) shade[6 * 24 + hour] = 0.25; // July mornings
    const shaded = run(hours, { ...noGround, shade });
    let behind = 0;
    for (let i = 0; i < 8760; i++) {
      const apparent = Math.asin(SUN.up[i]!) * DEG;
      if (SUN.up[i]! <= 0) expect(open[i]).toBe(0);
      const k = Math.round(SUN.azimuth_deg[i]!) % 360;
      if (Math.abs(apparent - skyline[k]!) > 1) {
        expect(hidden[i]).toBe(apparent > skyline[k]! ? open[i] : 0);
        if (apparent > 0 && apparent < skyline[k]! && open[i]! > 0) behind++;
      }
      const factor = monthOf(i) === 6 && i % 24 < 12 ? 0.25 : 1;
      expect(Math.abs(shaded[i]! - factor * open[i]!)).toBeLessThan(1e-3);
    }
    expect(behind).toBeGreaterThan(300);
  });

  it('takes from an even sky what skyline and glass take', () => {
    const n = 8760;
    const hours = { ...madeUp(3), dni_W_m2: new Float32Array(n) };
    hours.ghi_W_m2.set(hours.dhi_W_m2);
    const spec: PlaneSpec = { ...BARE, model: 'isotropic', albedo: Array<number>(12).fill(0.25) };
    const horizon = new Float32Array(360).fill(20);
    const plain = run(hours, { ...spec, albedo: Array<number>(12).fill(0) });
    const full = run(hours, { ...spec, horizon, cover: 'glass' });
    const m = diffuseModifiers(60);
    const view = skyView(horizon, 60, 170).sky;
    for (let i = 0; i < n; i++) {
      const ground = hours.ghi_W_m2[i]! * 0.25 * ((1 - Math.cos(60 / DEG)) / 2);
      expect(Math.abs(full[i]! - (plain[i]! * view * m.sky + ground * m.ground))).toBeLessThan(0.01);
    }
  });

  it('weakens the beam by the modifier of its angle under glass', () => {
    const hours = { ...madeUp(4), dhi_W_m2: new Float32Array(8760) };
    const noGround = { ...BARE, albedo: Array<number>(12).fill(0) };
    const bare = run(hours, noGround);
    const glass = run(hours, { ...noGround, cover: 'glass' });
    for (let i = 0; i < 8760; i++) {
      if (bare[i]! < 1 || hours.dni_W_m2[i]! < 1) continue;
      const angle = Math.acos(Math.min(1, bare[i]! / hours.dni_W_m2[i]!)) * DEG;
      expect(Math.abs(glass[i]! - bare[i]! * physicalModifier(angle))).toBeLessThan(0.05);
    }
  });

  it('mirrors the southern sky', () => {
    // Law: a plane turned over the east-west line under the mirrored sun gets the same light.
    const hours = madeUp(5);
    const mirrored = {
      ...SUN,
      north: SUN.north.map((x) => -x),
      azimuth_deg: SUN.azimuth_deg.map((a) => (540 - a) % 360),
    };
    const a = run(hours, { ...BARE, azimuth_deg: 180 - 25 });
    const b = run(hours, { ...BARE, azimuth_deg: 25 }, mirrored);
    for (let i = 0; i < 8760; i++) expect(Math.abs(a[i]! - b[i]!)).toBeLessThan(0.01);
  });

  it('is never negative nor without a number, and leaves what lies outside the range alone', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<PlaneModel>('perez', 'hay-davies', 'isotropic'),
        fc.double({ min: 0, max: 90, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.integer({ min: 0, max: 2 ** 30 }),
        (model, tilt_deg, azimuth_deg, seed) => {
          const out = run(madeUp(seed), { ...BARE, model, tilt_deg, azimuth_deg });
          for (let i = 0; i < 8760; i++) if (!(out[i]! >= 0)) throw new Error(`hour ${i}: ${out[i]}`);
        },
      ),
      { seed: 1, numRuns: 25 },
    );
    const out = new Float32Array(8760).fill(-7);
    planeOfArray(madeUp(6), planeGeometry(SUN, BARE), out, 4000, 4010);
    expect(out[3999]).toBe(-7);
    expect(out[4010]).toBe(-7);
    expect(out[4005]).toBeGreaterThanOrEqual(0);
  });

  it('refuses a plane that cannot be', () => {
    const with_ = (change: Partial<PlaneSpec>) => () => planeGeometry(SUN, { ...BARE, ...change });
    expect(with_({ tilt_deg: 90.01 })).toThrow(RangeError);
    expect(with_({ tilt_deg: -0.01 })).toThrow(RangeError);
    expect(with_({ tilt_deg: 90 })).not.toThrow();
    expect(with_({ azimuth_deg: Number.NaN })).toThrow(RangeError);
    expect(with_({ albedo: [0.2] })).toThrow(RangeError);
    expect(with_({ shade: new Float32Array(24) })).toThrow(RangeError);
    expect(with_({ horizon: new Float32Array(36) })).toThrow(RangeError);
  });
});

import { describe, expect, it } from 'vitest';
import { horizonFromPairs } from '../../../src/core/sun/index.ts';
import {
  effectiveRadius_m,
  type Fan,
  fanOnGrid,
  type HeightGrid,
  horizonOf,
  horizonPairs,
  RADIUS_FACTOR,
  sampleRay,
} from '../../../src/core/terrain/index.ts';

const STEP_m = 50;
const plane = (half: number, at: (x_m: number, y_m: number) => number): HeightGrid => {
  const n = 2 * half + 1;
  return {
    kind: 'projected',
    projection: 'EPSG:32632',
    rows: n,
    columns: n,
    west_u: -half * STEP_m,
    north_u: half * STEP_m,
    stepEast_u: STEP_m,
    stepNorth_u: STEP_m,
    pixelIs: 'area',
    height_m: Float32Array.from({ length: n * n }, (_, k) =>
      at(((k % n) - half) * STEP_m, (half - Math.floor(k / n)) * STEP_m),
    ),
  };
};
/** Straight rays of a plane. */
function fanAround(azimuths: readonly number[], range_m: number): Fan {
  const nodes = Math.ceil(range_m / 500) + 1;
  const at = (f: (a: number) => number) =>
    Float64Array.from({ length: azimuths.length * nodes }, (_, k) => {
      const a = (azimuths[Math.floor(k / nodes)]! * Math.PI) / 180;
      return (k % nodes) * 500 * f(a);
    });
  return { azimuth_deg: Float64Array.from(azimuths), nodes, nodeStep_m: 500, x_u: at(Math.sin), y_u: at(Math.cos) };
}
const degrees = (radians: number) => (radians * 180) / Math.PI;

describe('the horizon of a perch', () => {
  it('of one long ridge is atan(height/distance) by azimuth, less the curve', () => {
    // A ridge of 800 m along x at y = 8 km: in azimuth a it stands 8 km/cos(a) away (closed form).
    const ridge = plane(300, (_, y) => Math.max(0, 800 - Math.abs(y - 8000) * 2));
    const azimuths = [0, 10, 20, 30, 45];
    const radius_m = effectiveRadius_m(RADIUS_FACTOR.light);
    const h = horizonOf(ridge, fanOnGrid(ridge, fanAround(azimuths, 14_000)), {
      eyeHeight_m: 5,
      step_m: 50,
      range_m: 14_000,
      effectiveRadius_m: radius_m,
    });
    azimuths.forEach((a, i) => {
      const d_m = 8000 / Math.cos((a * Math.PI) / 180);
      const wanted_deg = degrees(Math.atan((800 - 5) / d_m - d_m / (2 * radius_m)));
      // A step of 50 m along the ray meets the crest within 25 m, where it is 50 m lower at most: 0.35°.
      expect(h.elevation_deg[i]).toBeLessThanOrEqual(wanted_deg + 0.001);
      expect(h.elevation_deg[i]).toBeGreaterThan(wanted_deg - 0.36);
      expect(Math.abs(h.ridge_km[i]! - d_m / 1000)).toBeLessThan(0.06);
    });
    // Due north a sample stands on the crest itself.
    expect(h.elevation_deg[0]).toBeCloseTo(degrees(Math.atan(795 / 8000 - 8000 / (2 * radius_m))), 3);
    expect(h.ridge_m[0]).toBeCloseTo(800, 3);
    expect(h.unknownShare).toBe(0);
  });

  it('of the sea dips by sqrt(2 h / R)', () => {
    // Dip of the horizon, closed form on a sphere for small angles; 1.93' sqrt(h/m) without refraction (navigation tables 1.93, from memory).
    const sea = plane(360, () => 0);
    const h = horizonOf(sea, fanOnGrid(sea, fanAround([0, 90, 200], 17_000)), {
      eyeHeight_m: 15,
      step_m: 50,
      range_m: 17_000,
      effectiveRadius_m: effectiveRadius_m(1),
    });
    for (const e of h.elevation_deg) {
      expect(e).toBeCloseTo(-degrees(Math.sqrt(30 / 6_371_000)), 3);
      expect(-e * 60).toBeCloseTo(1.93 * Math.sqrt(15), 1);
    }
    for (const d of h.ridge_km) expect(Math.abs(d - Math.sqrt(30 * 6_371_000) / 1000)).toBeLessThan(0.6);
  });

  it('layers ridges by distance, the hidden ones too', () => {
    const ridges = plane(220, (_, y) => (Math.abs(y - 2000) < 30 ? 200 : Math.abs(y - 9000) < 30 ? 400 : 0));
    const h = horizonOf(ridges, fanOnGrid(ridges, fanAround([0], 10_000)), {
      eyeHeight_m: 2,
      step_m: 50,
      range_m: 10_000,
      effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.light),
      layerBounds_km: [1, 5, 50],
    });
    expect(h.layers.map((l) => [l.from_km, l.to_km])).toEqual([
      [0, 1],
      [1, 5],
      [5, 10],
    ]);
    expect(h.layers[1]!.elevation_deg[0]).toBeCloseTo(degrees(Math.atan(198 / 2000 - 2000 / (2 * 7_432_833))), 3);
    expect(h.layers[2]!.elevation_deg[0]).toBeCloseTo(degrees(Math.atan(398 / 9000 - 9000 / (2 * 7_432_833))), 3);
    expect(h.elevation_deg[0]).toBe(h.layers[1]!.elevation_deg[0]);
  });

  it('tells how much of the view it does not know, and gives pairs that the energy model takes', () => {
    const half = plane(100, (x) => (x > 2000 ? Number.NaN : 100 - 0.01 * x));
    const azimuths = Array.from({ length: 720 }, (_, i) => i / 2);
    const h = horizonOf(half, fanOnGrid(half, fanAround(azimuths, 5000)), {
      eyeHeight_m: 3,
      step_m: 50,
      range_m: 5000,
      effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.light),
    });
    // Mean over all azimuths of 1 - 0.4/sin(a) where that is above zero: (2 acos 0.4 - 0.8 ln cot(asin(0.4)/2))/(2 pi) = 0.1695; the
    // cell before the edge is lost to interpolation as well.
    const edge = Math.asin(0.4);
    const wanted = (Math.PI - 2 * edge - 0.8 * Math.log(1 / Math.tan(edge / 2))) / (2 * Math.PI);
    expect(h.unknownShare).toBeGreaterThan(wanted - 0.001);
    expect(h.unknownShare).toBeLessThan(wanted + 0.006);
    expect(Array.from(h.elevation_deg).every((e) => Number.isFinite(e))).toBe(true);
    const pairs = horizonPairs(h);
    expect(pairs).toHaveLength(720);
    const line = horizonFromPairs(pairs);
    expect(line[270]).toBeCloseTo(h.elevation_deg[540]!, 4);
    const nowhere = plane(5, () => Number.NaN);
    expect(() =>
      horizonOf(nowhere, fanOnGrid(nowhere, fanAround([0], 500)), {
        eyeHeight_m: 3,
        step_m: 50,
        range_m: 500,
        effectiveRadius_m: effectiveRadius_m(1),
      }),
    ).toThrow(RangeError);
  });
});

describe('a ray', () => {
  it('is sampled at even steps to its end', () => {
    const slope = plane(60, (x, y) => 0.1 * x - 0.2 * y);
    const fan = fanOnGrid(slope, fanAround([0, 30], 2000));
    const out = new Float64Array(100);
    expect(sampleRay(slope, fan, 1, 100, 100, out)).toBe(21);
    for (let i = 0; i <= 20; i++)
      expect(out[i]).toBeCloseTo(100 * i * (0.1 * Math.sin(Math.PI / 6) - 0.2 * Math.cos(Math.PI / 6)), 3);
    expect(sampleRay(slope, fan, 0, 100, 5, out)).toBe(5);
  });
});

import { describe, expect, it } from 'vitest';
import { byNeed } from '../../src/app/reach-marks.ts';
import { thinned } from '../../src/app/reach-report.ts';

describe('report of a reach', () => {
  it('puts places not reached first, nearest first, then the weakest', () => {
    const place = (distance_km: number, margin_dB: number) => ({ distance_km, margin_dB, reached: margin_dB >= 0 });
    const sorted = byNeed([place(1, 30), place(9, -1), place(5, 2), place(3, -20)]);
    expect(sorted.map((p) => p.distance_km)).toEqual([3, 9, 5, 1]);
  });

  it('thins a profile without losing its ends, its highest top and its lowest ground', () => {
    const n = 2347;
    const profile = {
      distance_km: Float64Array.from({ length: n }, (_, i) => i * 0.03),
      height_m: Float64Array.from({ length: n }, (_, i) => 800 + 300 * Math.sin(i * 0.37) + (i === 1234 ? 900 : 0)),
      clutter_m: Float64Array.from({ length: n }, (_, i) => (i === 777 ? 2000 : 0)),
    };
    const few = thinned(profile, 500);
    const kept = few.distance_km.length;
    expect(kept).toBeLessThanOrEqual(500);
    expect([few.distance_km[0], few.distance_km[kept - 1]]).toEqual([0, (n - 1) * 0.03]);
    expect(few.height_m).toContain(profile.height_m[1234]);
    expect(few.clutter_m).toContain(2000);
    expect(Math.min(...Array.from(few.height_m))).toBe(Math.min(...profile.height_m));
    const ds = Array.from(few.distance_km);
    expect(ds.every((d, i) => i === 0 || d > ds[i - 1]!)).toBe(true);
    expect(thinned(profile, n).distance_km).toEqual(profile.distance_km);
  });
});

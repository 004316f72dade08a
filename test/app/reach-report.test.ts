import { describe, expect, it } from 'vitest';
import { pathLoss } from '../../src/app/path.ts';
import { reach } from '../../src/app/reach.ts';
import { byNeed } from '../../src/app/reach-marks.ts';
import { reachReport, thinned } from '../../src/app/reach-report.ts';
import { ossel, portsOf } from './flat-terrain.ts';

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

  it('draws each side view over the profile of its row in the table: `path` finds the same loss over what is drawn', async () => {
    const request = { perch: '46.425,10.195,5', kit: 'examples/alder-3.yaml' };
    const places = 'examples/ossel-places.csv';
    const found = await reach(portsOf(), { ...request, radius_km: 9, places }, ossel);
    const { profiles, places: rows } = await reachReport(portsOf(), request, found, ossel);
    expect(profiles.length).toBeGreaterThan(3);
    expect(profiles.some((_, i) => rows[i]!.sight !== 'clear')).toBe(true);
    for (const [i, p] of profiles.entries()) {
      const row = rows[i]!;
      expect(p.to.name).toBe(row.name);
      const side = row.margin_dB < 0 ? 'lacking' : 'to spare';
      expect(p.sentence.replaceAll('−', '-')).toContain(`${Math.abs(row.margin_dB).toFixed(1)} dB`);
      expect(p.sentence).toContain(side);
      // Few enough points to be drawn whole: the picture is the profile.
      const lines = Array.from(p.distance_km, (d, k) => `${d},${p.height_m[k]}`);
      expect(lines.length).toBeLessThan(500);
      const { outcome } = await pathLoss(portsOf({ 'p.csv': `distance_km,height_m\n${lines.join('\n')}\n` }), {
        profile: 'p.csv',
        method: 'delta-bullington',
        frequency_MHz: found.outcome.frequency_MHz,
        fromHeight_m: p.from.height_m,
        toHeight_m: p.to.height_m,
        effectiveRadius_km: p.effectiveRadius_km,
      });
      const { loss_dB, diffraction_dB } = found.outcome.places.find((at) => at.name === row.name)!;
      expect(Math.abs(outcome.loss_dB - loss_dB)).toBeLessThan(0.05);
      expect(p.sentence).toContain(
        `loses ${loss_dB.toFixed(1)} dB by delta-Bullington, ${diffraction_dB.toFixed(1)} dB of it by diffraction`,
      );
    }
  });
});

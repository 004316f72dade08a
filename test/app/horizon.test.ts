import { describe, expect, it } from 'vitest';
import { horizon } from '../../src/app/horizon.ts';
import { skylineAt_deg, skylinePairs, sunMonths } from '../../src/app/skyline.ts';
import { cooperDeclination_deg } from '../../src/core/sun/index.ts';
import { ossel, plain, portsOf, terrainOf } from './flat-terrain.ts';
import { problemsOf } from './real-ports.ts';

const level = new Float32Array(360);
const RAD = Math.PI / 180;

describe('hours of sun', () => {
  it.each([46.4, -44.3, 0])('are those of the day length over a level horizon at latitude %d', (latitude_deg) => {
    const months = sunMonths(latitude_deg, 10.2, level);
    const mid = [15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349];
    months.forEach((m, i) => {
      // cos ω = -tan φ tan δ; δ by Cooper 1969 (Duffie & Beckman 2013, eq. 1.6.1a and 1.6.10).
      const delta = cooperDeclination_deg(mid[i]!) * RAD;
      const day_h = (2 / 15) * (Math.acos(-Math.tan(latitude_deg * RAD) * Math.tan(delta)) / RAD);
      expect(Math.abs(m.open_h - day_h)).toBeLessThan(0.2);
      expect(m.visible_h).toBe(m.open_h);
    });
  });

  it('vanish behind a wall higher than the noon sun', () => {
    // The noon sun of mid-December stands 90 - 46.4 - 23.3 = 20.3° high.
    expect(sunMonths(46.4, 10.2, new Float32Array(360).fill(20.5))[11]!.visible_h).toBe(0);
    expect(sunMonths(46.4, 10.2, new Float32Array(360).fill(19.5))[11]!.visible_h).toBeGreaterThan(0.5);
  });

  it('read the skyline straight between its steps and around north', () => {
    const sky = Float32Array.of(10, 20, 30, 40);
    expect([0, 45, 90, 315, -45, 360].map((a) => skylineAt_deg(sky, a))).toEqual([10, 15, 20, 25, 25, 10]);
    expect(skylineAt_deg(Float32Array.of(Number.NaN, 1), 0)).toBe(0);
    expect(skylinePairs(new Float32Array(720).fill(12.34), 90)).toEqual(
      [0, 90, 180, 270].map((azimuth_deg) => ({ azimuth_deg, elevation_deg: 12.3 })),
    );
  });
});

describe('horizon', () => {
  // A ridge 2 km to the south of 46.4 N, 400 m over a plain, endless to east and west.
  const south = terrainOf((lat) => (lat < 46.4 - 2 / 111.17 ? 900 : 500));

  it('sees a ridge where it is, and takes the winter sun behind it', async () => {
    const { outcome } = await horizon(portsOf(), { perch: '46.4,10.2,4', radius_km: 6 }, south);
    // atan(396/2000) = 11.2°; cells of 93 m may put the edge half a cell off.
    expect(Math.abs(outcome.highest.elevation_deg - 11.2)).toBeLessThan(0.6);
    expect(outcome.highest.distance_km).toBeCloseTo(2, 0);
    expect(outcome.months[11]!.lost_h).toBeGreaterThan(2);
    expect(outcome.months[5]!.lost_h).toBeLessThan(0.2);
    expect(outcome.darkestMonth).toBe(12);
    const at = (a: number) => outcome.horizon.find((p) => p.azimuth_deg === a)!.elevation_deg;
    expect(Math.abs(at(180) - 11.2)).toBeLessThan(0.6);
    expect(at(0)).toBeLessThan(0.1);
  });

  it('tells other perches clear, grazing or blocked', async () => {
    const others = ['46.42,10.2,10', '46.36,10.2,4', '46.41,10.22,10'];
    const { outcome, panorama } = await horizon(portsOf(), { perch: '46.4,10.2,30', others, radius_km: 6 }, south);
    expect(outcome.others.map((o) => o.sight)).toEqual(['clear', 'blocked', 'clear']);
    expect(outcome.others[0]!.azimuth_deg).toBeCloseTo(0, 3);
    expect(outcome.others[1]!.azimuth_deg).toBeCloseTo(180, 3);
    expect(outcome.others[1]!.margin_dB).toBeLessThan(outcome.others[0]!.margin_dB - 15);
    expect(panorama.others).toHaveLength(3);
    expect(outcome.verdict).toContain('of 3 other perches 2 in clear sight, 0 grazing, 1 blocked');
  });

  it('takes the perches of a net from beside it', async () => {
    const files = {
      'n/net.yaml': 'name: Net\nmembers:\n  - { perch: a, kit: k }\n  - { perch: b, kit: k }\n',
      'n/a.yaml': 'name: A\nlatitude_deg: 46.4\nlongitude_deg: 10.2\nheight_m: 6\nelevation_m: 500\n',
      'n/b.yaml': 'name: B\nlatitude_deg: 46.41\nlongitude_deg: 10.2\nheight_m: 6\nelevation_m: 500\n',
    };
    const { outcome } = await horizon(portsOf(files), { perch: 'n/a.yaml', net: 'n/net.yaml', radius_km: 3 }, plain);
    expect(outcome.others.map((o) => o.name)).toEqual(['B']);
  });

  it('has the same skyline in the picture as in the pairs', async () => {
    const { outcome, panorama } = await horizon(portsOf(), { perch: '46.425,10.195,5', radius_km: 8 }, ossel);
    const high = Math.max(
      ...panorama.layers.map((l) => Math.max(...Array.from(l.elevation_deg).filter(Number.isFinite))),
    );
    expect(outcome.highest.elevation_deg).toBeCloseTo(high, 5);
    expect(outcome.horizon).toHaveLength(72);
  });

  it('tells the same spot twice, and one that is too far', async () => {
    const run = (other: string) =>
      problemsOf(() => horizon(portsOf(), { perch: '46.4,10.2', others: [other], radius_km: 3 }, plain));
    expect((await run('46.4,10.2'))[0]!.message).toContain('stand at one spot');
    expect((await run('48.4,10.2'))[0]!.message).toContain('at most 60 km');
  });
});

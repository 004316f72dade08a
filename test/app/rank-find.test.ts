import { describe, expect, it } from 'vitest';
import { find } from '../../src/app/find.ts';
import { rank } from '../../src/app/rank.ts';
import { osselHeight_m } from '../../src/core/terrain/index.ts';
import { plain, portsOf, terrainOf } from './flat-terrain.ts';
import { problemsOf } from './real-ports.ts';

/** The valley at 6 arc-seconds: quick. */
const ossel = terrainOf((lat, lon) => osselHeight_m(lat, lon, 1), 1 / 600);
const KIT = 'examples/alder-3.yaml';

describe('rank', () => {
  const files = {
    'c.yaml':
      '- { name: Shoulder, latitude_deg: 46.425, longitude_deg: 10.195, height_m: 5, access: hut path }\n- { name: Wood, latitude_deg: 46.3715, longitude_deg: 10.2 }\n- { name: Bridge, latitude_deg: 46.412, longitude_deg: 10.248 }\n',
    'p.csv': 'name,lat,lon\nVillage,46.4035,10.206\nHut,46.4320,10.2725\n',
  };
  const request = { candidates: 'c.yaml', area: '46.41,10.21,4', kit: KIT, places: 'p.csv' };

  it('tells of each candidate what it reaches, whom it sees and its winter sun', async () => {
    const o = await rank(portsOf(files), request, ossel);
    expect(o.area_km2 / (Math.PI * 16)).toBeCloseTo(1, 1);
    const [shoulder, wood, bridge] = o.candidates;
    expect(shoulder).toMatchObject({ name: 'Shoulder', height_m: 5, access: 'hut path', onFront: true });
    expect(shoulder!.reachedShare).toBeGreaterThan(bridge!.reachedShare);
    expect(shoulder!.winter.visible_h).toBeGreaterThan(bridge!.winter.visible_h);
    expect(shoulder!.winter.light_kWh_m2).toBeGreaterThan(bridge!.winter.light_kWh_m2 + 10);
    // A north face in December: diffuse light only.
    expect(wood!.winter.visible_h).toBe(0);
    expect(wood!.winter.light_kWh_m2).toBeLessThan(0.3 * shoulder!.winter.light_kWh_m2);
    expect(shoulder!.advantage_m).toBeGreaterThan(bridge!.advantage_m!);
    for (const c of o.candidates) {
      expect(c.placesReached.length + c.placesMissed.length).toBe(2);
      expect(c.links.filter((l) => l.sight === 'clear')).toHaveLength(c.clearSight);
    }
    expect(o.others).toEqual(['Shoulder', 'Wood', 'Bridge']);
    expect(o.assumptions.map((a) => a.field)).toContain('--perches');
  });

  it('counts perches that stand already, and an area by polygon', async () => {
    const ring = '[[10.18,46.40],[10.23,46.40],[10.23,46.43],[10.18,46.43],[10.18,46.40]]';
    const more = {
      ...files,
      'a.geojson': `{"type":"Polygon","coordinates":[${ring}]}`,
      's.csv': 'name,lat,lon,height_m\nOne,46.44,10.24,6\nTwo,46.364,10.165,6\n',
    };
    const o = await rank(portsOf(more), { ...request, area: 'a.geojson', perches: 's.csv' }, ossel);
    expect(o.others).toEqual(['One', 'Two']);
    expect(o.candidates[0]!.links.map((l) => l.name)).toEqual(['One', 'Two']);
    // 0.05° of longitude at 46.415 N times 0.03° of latitude.
    expect(o.area_km2).toBeCloseTo(0.05 * 111.32 * Math.cos((46.415 * Math.PI) / 180) * 0.03 * 111.17, 0);
  });

  it.each([
    [{ area: '146.4,10.2,4' }, 'wanted are a latitude'],
    [{ area: '10.2,46.4,4' }, 'is a latitude exchanged with a longitude'],
    [{ area: '46.41,10.21,4', candidates: 'far.csv' }, 'is a latitude exchanged with a longitude'],
    [{ candidates: 'twice.csv' }, 'both called A'],
  ])('tells what is wrong with %o', async (more, sentence) => {
    const ports = portsOf({
      ...files,
      'far.csv': 'name,lat,lon\nA,10.2,46.4\n',
      'twice.csv': 'name,lat,lon\nA,46.4,10.2\nA,46.41,10.2\n',
    });
    const [problem] = await problemsOf(() => rank(ports, { ...request, ...more }, plain));
    expect(problem!.message).toContain(sentence);
  });
});

describe('find', () => {
  // Two hills on a plain, 300 m high, 6 km apart, with a wall of 500 m between: each sees its own side only.
  const hill = (lat: number, lon: number, at: number) =>
    300 * Math.max(0, 1 - Math.hypot((lat - 46.4) * 111.2, (lon - at) * 76.7) / 0.8);
  const twoHills = terrainOf(
    (lat, lon) => 500 + hill(lat, lon, 10.16) + hill(lat, lon, 10.24) + (Math.abs(lon - 10.2) < 0.002 ? 500 : 0),
    1 / 600,
  );
  const places = 'name,lat,lon\nWest 1,46.39,10.15\nWest 2,46.41,10.15\nEast 1,46.39,10.25\nEast 2,46.41,10.25\n';

  it('puts one perch on each side of a wall', async () => {
    const o = await find(
      portsOf({ 'p.csv': places }),
      { area: '46.4,10.2,5', count: 2, kit: KIT, places: 'p.csv', judged: 30, odds: 0.95 },
      twoHills,
    );
    expect(o).toMatchObject({ goal: 'places', targets: 4, covered: 4, bound: 4, gap: 0, missed: [] });
    expect(new Set(o.chosen.flatMap((c) => c.places)).size).toBe(4);
  });

  it('keeps to the paths, and tells how far they are', async () => {
    const line = '{"type":"LineString","coordinates":[[10.23,46.37],[10.23,46.43]]}';
    const o = await find(
      portsOf({ 'w.geojson': line }),
      { area: '46.4,10.2,5', count: 1, kit: KIT, paths: 'w.geojson', pathWithin_km: 0.5, judged: 20 },
      twoHills,
    );
    expect(o.goal).toBe('area');
    expect(o.chosen[0]!.path_km).toBeLessThanOrEqual(0.5 + 0.01);
    expect(Math.abs(o.chosen[0]!.longitude_deg - 10.23) * 76.7).toBeCloseTo(o.chosen[0]!.path_km!, 1);
  });

  it.each([
    [{ count: 0 }, '--n is 0'],
    [{ odds: 90 }, '--odds is 90: it lies between 0.5 and 0.999; it is a share, 90 % are 0.9'],
    [{ paths: 'p.geojson' }, 'the file holds no line'],
    [{ count: 5, apart_km: 8 }, 'stand 8 km from each other'],
    [{ area: '46.4,10.2,50' }, 'at most 45 km'],
  ])('tells what is wrong with %o', async (more, sentence) => {
    const ports = portsOf({ 'p.geojson': '{"type":"Point","coordinates":[10.2,46.4]}' });
    const request = { area: '46.4,10.2,2', count: 1, kit: KIT, judged: 10, ...more };
    const [problem] = await problemsOf(() => find(ports, request, twoHills));
    expect(problem!.message).toContain(sentence);
  });
});

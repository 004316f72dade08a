import { describe, expect, it } from 'vitest';
import { find } from '../../src/app/find.ts';
import { horizon } from '../../src/app/horizon.ts';
import { pathBetween } from '../../src/app/path-between.ts';
import { rank } from '../../src/app/rank.ts';
import { reach } from '../../src/app/reach.ts';
import { portsOf, terrainOf } from './flat-terrain.ts';

/*
 * Law: the same hills elsewhere around the world have the same answers. Hills at 10° east are turned by whole degrees until they
 * lie on the 180th meridian, at 46° and at 80° north.
 */
const KIT = 'examples/alder-3.yaml';
const RAD = Math.PI / 180;
const hills = (turn_deg: number) =>
  terrainOf((lat, lon) => {
    const east = (((lon - turn_deg) % 360) + 360) % 360;
    return (
      600 +
      200 * Math.sin(3100 * lat * RAD) +
      150 * Math.sin(2300 * east * RAD) +
      90 * Math.sin(7000 * (lat + east) * RAD)
    );
  }, 1 / 600);
const on = (longitude_deg: number) => longitude_deg - 360 * Math.round(longitude_deg / 360);
const east = (deg: number) => String(Number(on(deg).toFixed(6)));

const answers = async (latitude_deg: number, turn_deg: number) => {
  const at = (north: number, lon: number) => `${(latitude_deg + north).toFixed(3)},${east(10 + lon + turn_deg)}`;
  const terrain = hills(turn_deg);
  const corners = [
    [-0.0205, -0.0305],
    [-0.0205, 0.0405],
    [0.0205, 0.0405],
    [0.0205, -0.0305],
    [-0.0205, -0.0305],
  ].map(([north, lon]) => [Number(east(10 + lon! + turn_deg)), latitude_deg + north!]);
  const ports = portsOf({
    'c.csv': `name,latitude_deg,longitude_deg\nWest,${at(0.01, -0.02)}\nEast,${at(0, 0.02)}\nTwin,${at(0, 0.02)}\n`,
    'a.geojson': JSON.stringify({ type: 'Polygon', coordinates: [corners] }),
  });
  const perch = `${at(0, -0.004)},8`;
  const kit = KIT;
  const there = await reach(
    ports,
    { perch, kit, radius_km: 3, places: 'c.csv', candidates: 'c.csv', contours: true },
    terrain,
  );
  const ranked = await rank(ports, { candidates: 'c.csv', area: 'a.geojson', kit }, terrain);
  const found = await find(ports, { area: 'a.geojson', count: 2, kit, judged: 6, apart_km: 0.5 }, terrain);
  const skyline = await horizon(ports, { perch, kit, others: [`${at(0, 0.02)},6`], radius_km: 3 }, terrain);
  const link = await pathBetween(ports, { a: perch, b: `${at(0.01, 0.03)},6`, kitA: kit, terrain });
  return { there, ranked, found, skyline, link };
};

const shares = (o: Awaited<ReturnType<typeof answers>>) => ({
  ...o.there.outcome.share,
  places: o.there.outcome.places.map((p) => [p.name, p.margin_dB]),
  role: o.there.outcome.role?.links.map((l) => [l.name, l.margin_dB]),
  area_km2: o.ranked.area_km2,
  reached: o.ranked.candidates.map((c) => c.reached_km2),
  found: o.found.chosen.map((c) => [c.latitude_deg, c.ground_m, c.openShare]),
  highest: o.skyline.outcome.highest,
  margin_dB: o.link.outcome.margin_dB,
});

/** Every number alike: what differs is rounding of the turned longitudes. */
function alike(a: unknown, b: unknown, at = ''): void {
  if (typeof a === 'number') {
    expect(Math.abs(a - (b as number)), at).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(a)));
  } else if (typeof a === 'object' && a !== null) {
    expect(Object.keys(b as object), at).toEqual(Object.keys(a));
    for (const key of Object.keys(a)) alike((a as never)[key], (b as never)[key], `${at}.${key}`);
  } else expect(b, at).toEqual(a);
}

describe.each([46, 80])('hills on the 180th meridian at %d° north', (latitude_deg) => {
  it('have the answers of the same hills at 10° east', async () => {
    const [here, away] = [await answers(latitude_deg, 0), await answers(latitude_deg, 170)];
    alike(shares(here), shares(away));
    for (const { longitude_deg } of [...away.found.chosen, ...away.there.outcome.places])
      expect(Math.abs(longitude_deg)).toBeLessThanOrEqual(180);
    const sides = new Set<number>();
    for (const { geometry } of away.there.contours!.features)
      for (const [lon] of geometry.coordinates.flat(2)) {
        expect(Math.abs(lon)).toBeLessThanOrEqual(180);
        if (Math.abs(lon) < 180) sides.add(Math.sign(lon));
      }
    expect(sides.size).toBe(2);
    // Two candidates on one spot are told.
    expect(away.ranked.notes).toEqual([expect.stringContaining('East and Twin stand at one spot')]);
  });
});

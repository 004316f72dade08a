import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { pathBetween } from '../../src/app/path-between.ts';
import { groundFromFile, groundFromTerrain } from '../../src/app/path-ground.ts';
import { xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { hgtFrame, hgtName, writeHgt } from '../../src/formats/hgt.ts';
import { openTerrain } from '../../src/host/terrain-store.ts';
import { kitText, perchText } from '../records/reading.ts';
import { profileCsv } from './radio-cases.ts';
import { PORTS, portsWith, problemsOf } from './real-ports.ts';

const folder = mkdtempSync(join(tmpdir(), 'sunperch-ground-'));

/** Writes a tile of one degree at 3 arc-seconds, its heights by a formula; NaN is void. */
function tile(into: string, south_deg: number, west_deg: number, height_m: (lat: number, lon: number) => number): void {
  const frame = hgtFrame({ south_deg, west_deg }, 1201);
  const heights = new Float32Array(frame.rows * frame.columns);
  for (let r = 0; r < frame.rows; r++)
    for (let c = 0; c < frame.columns; c++)
      heights[r * frame.columns + c] = Math.round(height_m(yOfRow_u(frame, r), xOfColumn_u(frame, c)));
  mkdirSync(join(folder, into), { recursive: true });
  const name = hgtName(south_deg + 0.5, west_deg + 0.5);
  writeFileSync(join(folder, into, name), writeHgt({ ...frame, height_m: heights }));
}

/** A ridge along the meridian 10.5 E, 300 m over a plain of 500 m. */
const ridge = (_: number, lon: number) => 500 + 300 * Math.max(0, 1 - Math.abs(lon - 10.5) / 0.01);
tile('ridge', 46, 10, ridge);
tile('dateline', 10, 179, () => 100);
tile('dateline', 10, -180, () => 100);
tile('north', 80, 20, () => 250);
// A hole of 0.02 degrees, some 1.5 km, and one of a single row of cells.
tile('hole', 46, 10, (lat, lon) => (Math.abs(lon - 10.5) < 0.01 ? Number.NaN : lat > 46.75 ? Number.NaN : 500));
tile('crack', 46, 10, (_, lon) => (Math.abs(lon - 10.5) < 0.0005 ? Number.NaN : 500));

const open = (name: string) => openTerrain(join(folder, name));
const NAMES = ['A', 'B'] as const;

describe('the ground between two places', () => {
  it('follows the geodesic at the spacing of the terrain, with the heights that are there', async () => {
    const from = { latitude_deg: 46.4, longitude_deg: 10.45 };
    const to = { latitude_deg: 46.4, longitude_deg: 10.55 };
    const { profile, azimuth_deg, notes } = await groundFromTerrain(await open('ridge'), from, to, NAMES);
    const d = profile.distance_km;
    // 0.1 degree of the parallel 46.4 N: a·cos(lat)/sqrt(1 - e² sin² lat)·0.1° = 7.6899 km (WGS 84), the geodesic a hair shorter.
    expect(d[d.length - 1]!).toBeCloseTo(7.6899, 3);
    expect(azimuth_deg).toBeCloseTo(90 - 0.05 * Math.sin((46.4 * Math.PI) / 180), 2);
    // 3 arc-seconds of longitude there are 64 m.
    expect(d[1]! * 1000).toBeGreaterThan(60);
    expect(d[1]! * 1000).toBeLessThan(64.2);
    const top = profile.height_m.reduce((a, b) => Math.max(a, b), 0);
    expect(Math.abs(top - 800)).toBeLessThan(15);
    const at = profile.height_m.indexOf(top);
    expect(Math.abs(d[at]! - 7.6899 / 2)).toBeLessThan(0.065);
    expect(profile.height_m[0]).toBe(500);
    expect(notes).toEqual([]);
  });

  it('crosses the date line and lies at 80 north', async () => {
    const east = { latitude_deg: 10.5, longitude_deg: 179.97 };
    const west = { latitude_deg: 10.5, longitude_deg: -179.97 };
    const over = await groundFromTerrain(await open('dateline'), east, west, NAMES);
    // 0.06 degree of the parallel 10.5 N: 6.568 km.
    expect(over.profile.distance_km.at(-1)!).toBeCloseTo(6.568, 2);
    expect(Array.from(over.profile.height_m).every((h) => h === 100)).toBe(true);
    const one = { latitude_deg: 80.4, longitude_deg: 20.2 };
    const two = { latitude_deg: 80.4, longitude_deg: 20.8 };
    const far = await groundFromTerrain(await open('north'), one, two, NAMES);
    // 0.6 degree of the parallel 80.4 N: 0.6·111.32·cos(80.4°)·1.0033 = 11.18 km.
    expect(far.profile.distance_km.at(-1)!).toBeCloseTo(11.18, 1);
    expect(far.profile.height_m[10]).toBe(250);
  });

  it('bridges a crack and tells it, refuses a hole, an end in the open, and places far apart', async () => {
    const from = { latitude_deg: 46.4, longitude_deg: 10.45 };
    const to = { latitude_deg: 46.4, longitude_deg: 10.55 };
    const crack = await groundFromTerrain(await open('crack'), from, to, NAMES);
    expect(crack.notes.join()).toMatch(/points of the path have no height .* a straight line bridges them/);
    expect(Array.from(crack.profile.height_m).every((h) => h === 500)).toBe(true);
    const told = async (name: string, a: typeof from, b: typeof from) => {
      const terrain = await open(name);
      return (await problemsOf(() => groundFromTerrain(terrain, a, b, NAMES)))[0]!.message;
    };
    expect(await told('hole', from, to)).toMatch(/^the ground is not known over 1\.\d\d km on end from 3\.\d\d km/);
    expect(await told('hole', from, { latitude_deg: 46.8, longitude_deg: 10.45 })).toContain(
      'the ground at B is not known',
    );
    expect(await told('ridge', from, { latitude_deg: -46.4, longitude_deg: 10.45 })).toContain(
      'km apart: are latitude',
    );
    expect(await told('ridge', { latitude_deg: 50, longitude_deg: 3 }, to)).toContain('lies outside the terrain');
  });

  it('tells a profile file that is not of this path', async () => {
    const csv = portsWith(profileCsv([0, 1, 2, 3, 5], [1, 1, 1, 1, 1]));
    const from = { latitude_deg: 46.4, longitude_deg: 10.2 };
    const near = await groundFromFile(csv, 'p.csv', from, { latitude_deg: 46.445, longitude_deg: 10.2 });
    expect(near.notes).toEqual([]);
    expect(near.azimuth_deg).toBeCloseTo(0, 6);
    const off = await groundFromFile(csv, 'p.csv', from, { latitude_deg: 46.6, longitude_deg: 10.2 });
    expect(off.notes.join()).toContain('is 5.00 km long, but the two places lie 22.2');
  });
});

describe('a link over terrain', () => {
  const files: Readonly<Record<string, string>> = {
    'kit.yaml': kitText({
      radio: '{ frequency_MHz: 868.3, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: 4/6, power_dBm: 14 }',
      antenna: '{ gain_dBi: 2 }',
    }),
    'west.yaml': perchText({ name: 'West', latitude_deg: '46.4', longitude_deg: '10.45', height_m: '10' }),
    'east.yaml': perchText({ name: 'East', latitude_deg: '46.4', longitude_deg: '10.55', height_m: '10' }),
    'south.yaml': perchText({ name: 'South', latitude_deg: '46.35', longitude_deg: '10.55', height_m: '10' }),
  };
  const ports = (more: Readonly<Record<string, string>> = {}) => ({
    ...PORTS,
    readText: async (path: string) => ({ ...files, ...more })[path]!,
  });
  const request = { a: 'west.yaml', b: 'east.yaml', kitA: 'kit.yaml', kitB: 'kit.yaml' };

  it('finds the ridge, and says that the perches have another elevation', async () => {
    const { outcome } = await pathBetween(ports(), { ...request, terrain: await open('ridge') });
    expect(outcome.dominant).toBe('one edge');
    expect(outcome.inTheWay[0]!.distance_km).toBeCloseTo(3.84, 1);
    // The ridge's 800 m over a ray at 510 m.
    expect(outcome.inTheWay[0]!.above_m).toBeGreaterThan(270);
    expect(outcome.inTheWay[0]!.above_m).toBeLessThan(295);
    expect(outcome.azimuth_deg).toBeCloseTo(90, 0);
    expect(outcome.notes.join()).toContain('West has elevation_m 1500, but the ground under it lies at 500 m');
  });

  it('reckons measured links between other perches on the same terrain, of the same kind alone', async () => {
    const terrain = await open('ridge');
    const plain = (await pathBetween(ports(), { ...request, terrain })).outcome;
    const clear = (await pathBetween(ports(), { ...request, a: 'south.yaml', terrain })).outcome;
    expect([plain.kind, clear.kind]).toEqual(['obstructed', 'clear']);
    const csv = 'link,snr_dB,date\nsouth.yaml > east.yaml,4,2026-03-01\nsouth.yaml > west.yaml,-18,2026-03-01\n';
    const told = (await pathBetween(ports({ 'm.csv': csv }), { ...request, terrain, measured: 'm.csv' })).outcome;
    expect(told.measured).toMatchObject({ kind: 'obstructed', links: 1, rows: 1 });
    expect(told.notes.join()).toContain('1 row of m.csv is passed over: that link is not obstructed');
  });

  it('needs the positions of both ends', async () => {
    const terrain = await open('ridge');
    const found = await problemsOf(() => pathBetween(ports(), { kitA: 'kit.yaml', terrain }));
    expect(found[0]!.message).toContain('both ends need a position');
  });
});

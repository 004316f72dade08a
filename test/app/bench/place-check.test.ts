import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { placeOrder } from '../../../src/app/bench/leaving.ts';
import { positionOf } from '../../../src/app/bench/order-spot.ts';
import { kitAtPlace, placeCheck } from '../../../src/app/bench/place-check.ts';
import { parseSetting } from '../../../src/formats/setting.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readKit } from '../../../src/records/index.ts';
import { testBench } from './bench.ts';

const text = readFileSync(new URL('../../../examples/alder-3.yaml', import.meta.url), 'utf8');
const store = {
  history: async () => [{ content: text, number: 1 }] as never,
  newest: async () => undefined,
};

describe('an order and its place', () => {
  it('runs the kit of the plan there, and its change holds when it is made', async () => {
    const bench = await testBench();
    const order = { customer: 'One', plan: 'alder-3', count: 1, region: 'EU' as const };
    const north = { name: 'High fell', latitude_deg: 69.65, longitude_deg: 18.96 };
    const south = { name: 'Dry hill', latitude_deg: 23.0, longitude_deg: 12.0 };
    await bench.do((s) => placeOrder(s, 'north', { ...order, place: north }));
    await bench.do((s) => placeOrder(s, 'south', { ...order, place: south }));
    await bench.do((s) => placeOrder(s, 'nowhere', { ...order, place: { name: 'the hut' } }));
    // The sun does not rise for two months at 69.65° N (spherical astronomy: noon elevation 90 - 69.65 - 23.44 < 0).
    const dark = await placeCheck(store, bench.state, 'north');
    expect(dark.state).toBe('goes dark');
    expect([11, 12, 1, 2]).toContain(dark.worstMonth);
    expect(dark.verdict).toMatch(/will go dark at High fell in (November|December|January|February)/);
    const light = await placeCheck(store, bench.state, 'south');
    expect(light).toMatchObject({ state: 'stays up', darkYears: 0, changes: [] });
    expect(light.verdict).toContain('stays up at Dry hill: no dark winter in 80');
    await expect(placeCheck(store, bench.state, 'nowhere')).rejects.toThrow(/no position/);
    const holds = dark.changes.find((change) => change.holds);
    if (holds === undefined) expect(dark.verdict).toContain('Nothing that was tried');
    else expect(dark.verdict).toContain(holds.change);
  });

  it('runs at the perch of the workshop that the place is: a wall to the south is not overlooked', async () => {
    const bench = await testBench();
    const order = { customer: 'One', plan: 'alder-3', count: 1, region: 'EU' as const };
    const place = { name: 'High hut', latitude_deg: 46.42, longitude_deg: 10.19 };
    await bench.do((s) => placeOrder(s, 'hut', { ...order, place }));
    const wall = [90, 270].map((azimuth_deg) => ({ azimuth_deg, elevation_deg: 35 }));
    const perch = { name: 'High hut', latitude_deg: 46.42, longitude_deg: 10.19, elevation_m: 1500, horizon: wall };
    const knowing = { ...store, newest: async () => ({ content: JSON.stringify(perch), number: 1 }) as never };
    const open = await placeCheck(store, bench.state, 'hut');
    const walled = await placeCheck(knowing, bench.state, 'hut');
    expect([open.perch, walled.perch, walled.elevation_m, walled.distance_km]).toEqual([null, 'high-hut', 1500, null]);
    // The noon sun of midwinter stands 90 - 46.42 - 23.44 = 20.1° high (spherical astronomy): behind a wall of 35° all day.
    expect(walled.dark_h_per_year).toBeGreaterThan(open.dark_h_per_year);
    expect(walled.state).toBe('goes dark');
    expect(walled.notes[0]).toContain('at the perch high-hut of the workshop');
  });

  it('makes the change that it names, and it holds', () => {
    const set = (...settings: string[]) =>
      readKit(parseYamlRecord(text, 'alder-3.yaml'), { set: settings.map(parseSetting) }).value;
    const at = { latitude_deg: 46.42, longitude_deg: 10.19 };
    const weak = ['kit.cells.count=1', 'kit.panel.power_W=1.2'];
    const before = kitAtPlace(set(...weak), 'Hut', at, 80, 1);
    expect(before.state).not.toBe('stays up');
    const change = before.changes.at(-1)!;
    expect(change.holds).toBe(true);
    expect(change.set.every((setting) => setting.startsWith('kit.'))).toBe(true);
    expect(kitAtPlace(set(...weak, ...change.set), 'Hut', at, 80, 1).state).toBe('stays up');
  });

  it('takes a place by its position, or by the name of a reference climate', () => {
    expect(positionOf({ key: 'a', place: { name: 'x', latitude_deg: 1, longitude_deg: 2 } })).toEqual({
      latitude_deg: 1,
      longitude_deg: 2,
    });
    expect(() => positionOf({ key: 'a', place: undefined })).toThrow(/has no place/);
  });
});

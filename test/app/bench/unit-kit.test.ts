import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { openBatch, savePlan } from '../../../src/app/bench/batches.ts';
import { ofUnit, portsOfUnit, unitFile, unitKit } from '../../../src/app/bench/unit-kit.ts';
import { measureGate, noteMeasured } from '../../../src/app/bench/units.ts';
import { readKitFile } from '../../../src/app/inputs.ts';
import { pathBetween } from '../../../src/app/path-between.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readPlan } from '../../../src/records/bench/index.ts';
import { emptyTestBench, PLAN } from './bench.ts';

const kitText = readFileSync(new URL('../../../examples/alder-3.yaml', import.meta.url), 'utf8');
const store = { history: async () => [{ content: kitText, number: 4 }] as never };
const files = new Map([
  ['kit.yaml', kitText],
  ['profile.csv', 'distance_km,height_m\n0,100\n5,90\n10,100\n'],
]);
const ports = {
  readText: async (path: string) => files.get(path) ?? Promise.reject(new Error(path)),
  readWeather: () => Promise.reject(new Error('no weather')),
  progress: () => undefined,
  runTasks: () => Promise.reject(new Error('no tasks')),
};

it('a unit stands in place of a kit’s file: what was measured on it, the radio of its region, the rest of its kit', async () => {
  const bench = await emptyTestBench();
  const radio = { frequency_MHz: 917.5, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: '4/6', power_dBm: 14 };
  const gates = [
    ...PLAN.gates,
    { key: 'match', name: 'Match', measures: 'antenna match', high: 3 },
    { key: 'power', name: 'Power', measures: 'transmit power', low: 8, high: 15 },
  ];
  const variants = [{ region: 'NZ', radio, antenna: { gain_dBi: 2 } }];
  const plan = readPlan(parseYamlRecord(JSON.stringify({ ...PLAN, gates, variants }), 'plan.yaml'));
  await bench.do((s) => savePlan(s, 'alder-3', plan));
  await bench.do((s) => openBatch(s, { key: 'nz', plan: 'alder-3', count: 1, region: 'NZ', prefix: 'NZ1' }));
  const serial = bench.state.batches.get('nz')!.serials[0]!;
  const typed = serial.toLowerCase().replace('-', '');
  for (const [gate, value] of [
    ['sleep', 30],
    ['match', 3],
    ['power', 11],
  ] as const)
    await bench.do((s) => measureGate(s, serial, { gate, value }));
  await bench.do((s) => noteMeasured(s, serial, { field: 'cellCapacity_mAh', value: 3000, how: 'discharge' }));

  const unit = await unitKit(store, bench.state, typed);
  expect(unit.told).toMatchObject({ serial, kit: 'alder-3', kitNumber: 4, region: 'NZ' });
  expect(unit.told.values.map((v) => v.field)).toEqual([
    'sleepCurrent_uA',
    'cellCapacity_mAh',
    'vswr',
    'transmitPower_dBm',
  ]);
  expect(unit.told.fromKit.join()).toMatch(/ceiling.*reconnect.*panel/);
  expect(unit.told.fromKit.join()).not.toMatch(/sleep|capacity/);
  const own = portsOfUnit(ports, unit);
  const { kit } = await readKitFile(own, unitFile(unit));
  expect(kit.cells.measuredCapacity_mAh).toBe(3000);
  expect(kit.radio).toMatchObject({ ...radio, power_dBm: 11 });

  // Against the kit of the plan: 3 dB less power (14 to 11 dBm), and the mismatch of a ratio of 3, which is a reflection of
  // (3 - 1)/(3 + 1) = 0.5: 1 - 0.25 passes, 1.249 dB (arithmetic).
  const link = {
    a: undefined,
    b: undefined,
    profile: 'profile.csv',
    kitB: 'kit.yaml',
    set: ['kit.radio.frequency_MHz=917.5'],
  };
  const sheet = (await pathBetween(own, { ...link, kitA: 'kit.yaml', fromHeight_m: 20, toHeight_m: 20 })).outcome;
  const found = (await pathBetween(own, { ...link, kitA: unitFile(unit), fromHeight_m: 20, toHeight_m: 20 })).outcome;
  expect(found.a.mismatchLoss_dB).toBeCloseTo(-10 * Math.log10(0.75), 3);
  expect(sheet.there.received_dBm - found.there.received_dBm).toBeCloseTo(3 - 10 * Math.log10(0.75), 3);
  const told = ofUnit(found, unit);
  expect(told.verdict.startsWith(`${serial}: `)).toBe(true);
  expect(told.assumptions[0]).toMatchObject({
    field: expect.stringContaining('quiescent'),
    why: expect.stringContaining('measured on this unit'),
  });
});

import { describe, expect, it } from 'vitest';
import { measureCells, measureCurrent, measurePanel, measureRamp } from '../../../src/app/bench/measurements.ts';
import { ownValues, settingsOf } from '../../../src/app/bench/unit-values.ts';
import * as u from '../../../src/app/bench/units.ts';
import { yearOfUnit } from '../../../src/app/bench/year-of-unit.ts';
import { loadOf } from '../../../src/app/node-of.ts';
import { average_mA_at } from '../../../src/core/load/index.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readKit } from '../../../src/records/index.ts';
import { PORTS, problemsOf } from '../real-ports.ts';
import { testBench } from './bench.ts';

const file = { name: 'log.csv', sha256: 'a'.repeat(64) };
const text = await PORTS.readText('examples/alder-3.yaml');
const source = parseYamlRecord(text, 'alder-3.yaml');
const kit = readKit(source).value;

describe('logs of the bench', () => {
  it('give the capacity and resistance of the cell that made the log (arithmetic: 3 h of 1 A, 50 mΩ)', () => {
    // Voltage falls in a straight line from 4.2 to 2.4 V over 3 h; every tenth minute the load is off for one second.
    const rows = ['time_s,voltage_V,current_mA'];
    for (let t = 0; t <= 10_800; t += 60) {
      const open = 4.25 - (1.8 * t) / 10_800;
      if (t % 600 === 0) rows.push(`${t - 1},${open},0`.replace('-1,', '0,'));
      rows.push(`${t},${open - 0.05},1000`);
    }
    const found = measureCells(rows.join('\n'), file, { temperature_degC: 24 });
    // The line from 4.2 V meets 2.5 V after 1.7/1.8 of three hours: 2,833 mAh, less what the dips miss (30 s each, 16 of them).
    expect(found.result.capacity_mAh.value).toBeGreaterThan(2833 - 16 * 9);
    expect(found.result.capacity_mAh.value).toBeLessThan(2834);
    expect(found.result.resistance_mOhm?.value).toBeCloseTo(50, 0);
    expect(found.values.map((v) => v.field)).toEqual(['cellCapacity_mAh', 'cellResistance_mOhm']);
    const pair = measureCells(rows.join('\n'), file, { cells: 2 });
    expect(pair.result.capacity_mAh.value).toBeCloseTo(found.result.capacity_mAh.value / 2, 9);
    const short = measureCells(rows.join('\n'), file, { empty_V: 2 });
    expect(short.verdict).toContain('at least');
    expect(short.values.map((v) => v.field)).toEqual(['cellResistance_mOhm']);
  });

  it('give the thresholds of the switch that made the log', () => {
    const rows = ['time_s,supply_V,current_mA'];
    let on = true;
    for (let i = 0; i <= 200; i++) {
      const v = 4 - 1.4 * (1 - Math.abs(i - 100) / 100);
      on = on ? v >= 3.2 : v > 3.6;
      rows.push(`${i},${v.toFixed(4)},${on ? 10 : 0.04}`);
    }
    const found = measureRamp(rows.join('\n'), file, {});
    expect(found.result.cutoff_V.low).toBeLessThanOrEqual(3.2);
    expect(found.result.cutoff_V.high).toBeGreaterThanOrEqual(3.2 - 1e-9);
    expect(Math.abs(found.result.reconnect_V!.value - 3.6)).toBeLessThan(0.0141);
    expect(found.result.ownConsumption_mA.value).toBeCloseTo(0.04, 9);
  });

  it('keep the average of a load, or the states that are named', async () => {
    const rows = ['time_s,current_mA'];
    for (let i = 0; i < 2000; i++) rows.push(`${i * 0.01},${i % 100 < 50 ? 0.02 : 6}`);
    const log = rows.join('\n');
    expect(measureCurrent(log, file, {}).values.map((v) => v.field)).toEqual(['loadAverage_mA']);
    const [sleep] = measureCurrent(log, file, { sleep: 1 }).values;
    expect(sleep?.value).toBeCloseTo(20, 6);
    expect((await problemsOf(() => measureCurrent(log, file, { receive: 9 })))[0]?.code).toBe('no-such-state');
  });

  it('give the watts of a panel that does what its sheet says', () => {
    const at = {
      at: '2026-06-21T11:30+02:00',
      latitude_deg: 46.4,
      longitude_deg: 10.2,
      tilt_deg: 40,
      azimuth_deg: 150,
    };
    const meters = { irradiance_W_m2: 1000, cell_degC: 25 };
    const found = measurePanel(kit, { ...at, ...meters, isc_A: 0.576, voc_V: 7.2 });
    expect(found.result.shareOfLabel).toBeCloseTo(1, 3);
    expect(found.values[0]?.field).toBe('panel_W');
    const sky = measurePanel(kit, { ...at, isc_A: 0.5, voc_V: 6.8 });
    expect(sky.notes.join()).toContain('clear');
    expect(sky.result.low_W).toBeLessThan(sky.result.power_W);
  });
});

describe("a unit's own values", () => {
  it('come from passed gates and kept measurements, the newest counts', async () => {
    const bench = await testBench();
    const serial = bench.state.batches.get('a-07')!.serials[0]!;
    await bench.do((s) => u.measureGate(s, serial, { gate: 'sleep', value: 22.5 }));
    await bench.do((s) => u.noteMeasured(s, serial, { field: 'cellCapacity_mAh', value: 2500, how: 'log' }));
    await bench.do((s) => u.measureGate(s, serial, { gate: 'ceiling', value: 4.2 }));
    // The ceiling has failed: it is not what will leave the bench.
    expect(ownValues(bench.state, serial).map((v) => [v.field, v.value])).toEqual([
      ['sleepCurrent_uA', 22.5],
      ['cellCapacity_mAh', 2500],
    ]);
  });

  it('go to the fields of the kit; a receive current comes back out of the load', () => {
    const own = (field: Parameters<typeof settingsOf>[1][number]['field'], value: number) => ({
      field,
      value,
      low: null,
      high: null,
      how: 'test',
      at: '2030-01-01T00:00:00Z',
    });
    const values = [
      own('sleepCurrent_uA', 30),
      own('receiveCurrent_mA', 8),
      own('cutoff_V', 3.25),
      own('panel_W', 2.6),
    ];
    const { settings, used } = settingsOf(kit, values);
    expect(used.every((v) => v.unused === null)).toBe(true);
    const mine = readKit(source, { set: settings }).value;
    expect(mine.cutoff.cutoff_V).toBe(3.25);
    expect(mine.load.regulator?.quiescent_uA).toBeCloseTo(30, 9);
    // Listening: everything that is on at least half of the time, always on, without transmission (arithmetic).
    const parts = mine.load.parts!.filter((p) => (p.duty ?? 1) >= 0.5).map((p) => ({ ...p, duty: 1 }));
    const { transmit: _, ...rest } = mine.load;
    expect(average_mA_at(loadOf({ ...mine, load: { ...rest, parts } }), 3.7)).toBeCloseTo(8, 6);
    const average = settingsOf(kit, [own('loadAverage_mA', 9), own('sleepCurrent_uA', 30)]);
    expect(average.used.find((v) => v.field === 'sleepCurrent_uA')?.unused).toContain('average');
    expect(readKit(source, { set: average.settings }).value.load.average_mA).toBe(9);
  });

  it('change its forecast, and the verdict says how', async () => {
    const bench = await testBench();
    const serial = bench.state.batches.get('a-07')!.serials[0]!;
    const revision = { number: 1, at: '2030-01-01T00:00:00Z', content: text };
    const store = { history: async () => [revision] } as unknown as Parameters<typeof yearOfUnit>[1];
    const request = { serial, perch: 'examples/hut-kaldra.yaml', years: 6 };
    const bare = await yearOfUnit(PORTS, store, bench.state, request);
    expect(bare.outcome.unit.difference).toContain('Nothing that the forecast takes was measured');
    expect(bare.outcome.unit.measured).toEqual(bare.outcome.unit.sheet);
    await bench.do((s) =>
      u.noteMeasured(s, serial, { field: 'panel_W', value: 0.25, low: 0.2, high: 0.3, how: 'sun' }),
    );
    const { outcome } = await yearOfUnit(PORTS, store, bench.state, request);
    expect(outcome.unit.measured.dark_h_per_year).toBeGreaterThan(outcome.unit.sheet.dark_h_per_year);
    expect(outcome.assumptions.find((a) => a.field === 'kit.panel.measuredPower_W')?.why).toContain(
      'measured on this unit',
    );
    expect(outcome.verdict).toContain(outcome.unit.difference);
  });
});

import { describe, expect, it } from 'vitest';
import { load } from '../../src/app/load.ts';
import { createRandom } from '../../src/core/math/index.ts';
import { syntheticLog } from '../core/load/synthetic-log.ts';
import { readGolden } from '../golden.ts';
import { kitText } from '../records/reading.ts';
import { PORTS, portsWith, problemsOf } from './real-ports.ts';

/** A kit whose load is that of a row of the golden arithmetic. */
function kitOfRow(row: Record<string, string>): string {
  const regulator =
    row.regulator === 'none'
      ? ''
      : `regulator: { type: ${row.regulator}, output_V: ${row.output_V}, quiescent_uA: ${row.quiescent_uA}${row.efficiency ? `, efficiency: ${row.efficiency}` : ''} }, `;
  const supply = row.regulator === 'none' ? ', supply: battery' : '';
  return kitText({
    load: `{ ${regulator}transmit: { current_mA: ${row.transmit_mA}, airtime_s_per_h: ${row.airtime_s_per_h}${supply} }, parts: [{ name: Receiver, kind: receive, current_mA: ${row.receive_mA}${supply} }, { name: Processor, current_mA: ${row.processor_mA}, duty: ${row.processor_duty}${supply} }] }`,
  });
}

describe('load of a kit', () => {
  const { rows } = readGolden('load-arithmetic.csv');

  it.each(rows)('$case: the sum by hand, and Wh a day = mA x 3.7 V x 24 h', async (row) => {
    const { load: told } = await load(portsWith(kitOfRow(row)), { kit: 'kit.yaml' });
    expect(Math.abs(told!.average_mA / Number(row.average_mA) - 1)).toBeLessThan(1e-9);
    expect(told!.energy_Wh_day).toBeCloseTo((Number(row.average_mA) * 3.7 * 24) / 1000, 9);
    const shares = told!.parts.reduce((sum, part) => sum + part.share, 0);
    expect(shares).toBeCloseTo(1, 12);
    expect(told!.parts.reduce((sum, part) => sum + part.average_mA, 0)).toBeCloseTo(told!.average_mA, 9);
    expect(told!.parts.reduce((sum, part) => sum + part.energy_Wh_day, 0)).toBeCloseTo(told!.energy_Wh_day, 9);
  });

  it('tells the draw at other cell voltages: a constant power draws more from lower cells (P = U I)', async () => {
    const switching = rows.find((row) => row.regulator === 'switching')!;
    const { load: told } = await load(portsWith(kitOfRow(switching)), { kit: 'kit.yaml' });
    for (const { voltage_V, average_mA } of told!.byVoltage)
      expect((average_mA - told!.constantCurrent_mA) * voltage_V).toBeCloseTo(told!.constantPower_mW, 9);
  });

  it('takes settings, and the plain mode at its own voltage', async () => {
    const text = kitText({ load: '{ average_mA: 9 }' });
    const set = await load(portsWith(text), { kit: 'kit.yaml', set: ['kit.load.average_mA=12'] });
    expect(set.load!.average_mA).toBeCloseTo(12, 12);
    const plain = await load(PORTS, { kit: 'examples/reference/kit.yaml' });
    expect(plain.load!.voltage_V).toBe(3.6);
    expect(plain.load!.energy_Wh_day).toBeCloseTo((plain.load!.average_mA * 3.6 * 24) / 1000, 9);
  });

  it('tells what is wrong with the kit', async () => {
    const text = kitText({ load: '{ average_mA: -9 }' });
    const found = await problemsOf(() => load(portsWith(text), { kit: 'kit.yaml' }));
    expect(found).toMatchObject([{ field: 'kit.load.average_mA' }]);
  });
});

describe('load from a log', () => {
  const levels = [
    { current_mA: 6, visit_s: 20, weight: 1 },
    { current_mA: 118, visit_s: 1, weight: 1 },
  ];
  const random = createRandom(3);
  const log = syntheticLog(levels, { samples: 40_000, step_s: 0.05, relative: 0.005, zero_mA: 0.01, random });
  const text = ['time_s,current_mA', ...Array.from(log.time_s, (t, i) => `${t},${log.current_mA[i]}`)].join('\n');
  const truth_mA =
    Array.from(log.level, (k) => levels[k]!.current_mA).reduce((sum, v) => sum + v, 0) / log.level.length;

  it('gives the average with its interval, and the states that were put in', async () => {
    const { log: told, load: none } = await load(portsWith(text), { log: 'log.csv' });
    expect(none).toBeNull();
    expect(told!.samples).toBe(40_000);
    // The noise is 0.5 % of each sample: its mean over 40,000 is far below 0.1 %.
    expect(Math.abs(told!.average_mA.mean / truth_mA - 1)).toBeLessThan(0.001);
    expect(told!.average_mA.low).toBeLessThan(truth_mA);
    expect(told!.average_mA.high).toBeGreaterThan(truth_mA);
    expect(told!.states.map((s) => Math.round(s.level_mA))).toEqual([6, 118]);
    expect(told!.states.reduce((sum, s) => sum + s.chargeShare, 0)).toBeCloseTo(1, 9);
    expect(told!.energy_Wh_day).toBeCloseTo((told!.average_mA.mean * 3.7 * 24) / 1000, 9);
  });

  it('sets the measurement against the kit', async () => {
    const ports = {
      ...PORTS,
      readText: async (path: string) => (path === 'log.csv' ? text : kitText({ load: '{ average_mA: 9 }' })),
    };
    const told = await load(ports, { kit: 'kit.yaml', log: 'log.csv' });
    expect(told.measuredOverComposed!.mean).toBeCloseTo(told.log!.average_mA.mean / 9, 9);
    expect(told.measuredOverComposed!.low).toBeLessThan(told.measuredOverComposed!.mean);
  });

  it('tells a log that cannot be read, and asks for something to read', async () => {
    const found = await problemsOf(() => load(portsWith('time_s,volts\n0,1\n'), { log: 'log.csv' }));
    expect(found).toMatchObject([{ code: 'current-log-titles' }]);
    await expect(load(PORTS, {})).rejects.toThrow(RangeError);
  });
});

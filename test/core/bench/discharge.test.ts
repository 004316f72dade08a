import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDischarge } from '../../../src/core/bench/index.ts';

/**
 * A cell whose open-circuit voltage falls in a straight line from 4.1 to 2.7 V over its capacity, with a resistance.
 */
function emptied(
  capacity_mAh: number,
  resistance_mOhm: number,
  current_mA: (t: number) => number,
  step_s = 1,
  rest_s = 20,
) {
  const time_s: number[] = [];
  const voltage_V: number[] = [];
  const flow_mA: number[] = [];
  let used_mAs = 0;
  for (let t = 0; used_mAs < 3600 * capacity_mAh; t += step_s) {
    const i = t < rest_s ? 0 : current_mA(t);
    time_s.push(t);
    flow_mA.push(i);
    voltage_V.push(4.1 - (1.4 * used_mAs) / (3600 * capacity_mAh) - (i * resistance_mOhm) / 1e6);
    used_mAs += i * step_s;
  }
  return {
    time_s: Float64Array.from(time_s),
    voltage_V: Float64Array.from(voltage_V),
    current_mA: Float64Array.from(flow_mA),
  };
}

describe('a discharge log', () => {
  it('constant current: charge = current x time to the end voltage, energy = charge x mean voltage', () => {
    // Arithmetic: 500 mA, 60 mΩ: 3.0 V under load is met at 4.1 - 0.03 - 1.4 x = 3.0, x = 0.7643 of 3,350 mAh.
    const found = readDischarge(
      emptied(3350, 60, () => 500),
      { empty_V: 3 },
    );
    const share = (4.1 - 0.03 - 3) / 1.4;
    expect(found.capacity_mAh.value / (3350 * share)).toBeCloseTo(1, 3);
    expect(found.capacity_mAh.high / found.capacity_mAh.value).toBeCloseTo(1.01, 12);
    expect(found.meanVoltage_V).toBeCloseTo((4.07 + 3) / 2, 3);
    expect(found.energy_mWh).toBeCloseTo(found.capacity_mAh.value * found.meanVoltage_V, 6);
    expect(found.meanCurrent_mA).toBeCloseTo(500, 6);
    expect(found.reachedEmpty).toBe(true);
    // Two steps: the current comes on, and the log ends under load, so one; its voltage falls by 30 mV.
    expect(found.resistance_mOhm!.value).toBeCloseTo(60, 6);
    expect(found.resistance_mOhm!.count).toBe(1);
  });

  it('a log that ends too soon says at least, and rests are no part of it', () => {
    const whole = emptied(1000, 80, (t) => (t % 200 < 150 ? 800 : 0));
    const found = readDischarge(whole, { empty_V: 2.5, meter_pct: 0.2 });
    expect(found.reachedEmpty).toBe(false);
    expect(found.capacity_mAh.value / 1000).toBeCloseTo(1, 2);
    // Where the current goes off, a second's fall of the open-circuit voltage (1.4 V x 800/3.6e6) stands against it:
    // 0.389 mΩ at every second step.
    expect(found.resistance_mOhm!.value).toBeCloseTo(80 - 0.389 / 2, 1);
    expect(found.resistance_mOhm!.count).toBeGreaterThan(20);
  });

  it('finds capacity and resistance whatever they are', () => {
    fc.assert(
      fc.property(fc.integer({ min: 200, max: 5000 }), fc.integer({ min: 10, max: 300 }), (capacity, mOhm) => {
        const found = readDischarge(
          emptied(capacity, mOhm, () => capacity / 2, 4),
          { empty_V: 3 },
        );
        const share = (4.1 - (capacity / 2) * (mOhm / 1e6) - 3) / 1.4;
        expect(found.capacity_mAh.value / (capacity * share)).toBeCloseTo(1, 2);
        expect(found.resistance_mOhm!.value).toBeCloseTo(mOhm, 4);
      }),
      { seed: 1, numRuns: 20 },
    );
  });

  it('says what is wrong with a log', () => {
    const log = emptied(100, 60, () => 100);
    const turned = { ...log, current_mA: log.current_mA.map((i) => -i) };
    expect(() => readDischarge(turned, { empty_V: 3 })).toThrow(/turn the sign/);
    expect(() => readDischarge(log, { empty_V: 4.2 })).toThrow(/charge the cell first/);
    const back = Float64Array.from(log.time_s);
    back[5] = 0;
    expect(() => readDischarge({ ...log, time_s: back }, { empty_V: 3 })).toThrow(/row 6: the time goes back by 4 s/);
    const hole = Float64Array.from(log.voltage_V);
    hole[2] = Number.NaN;
    expect(() => readDischarge({ ...log, voltage_V: hole }, { empty_V: 3 })).toThrow(/row 3: voltage_V is no number/);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RampLog } from '../../../src/core/bench/index.ts';
import { readRamp } from '../../../src/core/bench/index.ts';
import { createRandom } from '../../../src/core/math/index.ts';

/**
 * Supply from 4.2 V down to 2.5 V and up again, `cycles` times, on a switch with thresholds; the load sleeps and
 * bursts.
 */
function ramped(cutoff_V: number, reconnect_V: number, own_mA: number, cycles = 3, step_V = 0.005, seed = 1): RampLog {
  const random = createRandom(seed);
  const time_s: number[] = [];
  const supply_V: number[] = [];
  const current_mA: number[] = [];
  let on = true;
  let t = 0;
  const leg = Math.round(1.7 / step_V);
  for (let i = 0; i < 2 * leg * cycles; i++) {
    const phase = i % (2 * leg);
    const truth_V = 4.2 - step_V * (phase < leg ? phase : 2 * leg - phase);
    if (truth_V < cutoff_V) on = false;
    if (truth_V > reconnect_V) on = true;
    time_s.push(t);
    supply_V.push(truth_V + 0.0005 * random.normal());
    current_mA.push(on ? own_mA + (i % 7 === 0 ? 40 : 0.2) : own_mA * (1 + 0.02 * random.normal()));
    t += 0.5;
  }
  return {
    time_s: Float64Array.from(time_s),
    supply_V: Float64Array.from(supply_V),
    current_mA: Float64Array.from(current_mA),
  };
}

describe('a supply ramp', () => {
  it('gives cut-off, reconnect, hysteresis and own consumption of a known switch', () => {
    const found = readRamp(ramped(3.1, 3.4, 0.012));
    expect(found.cutoff_V.value).toBeCloseTo(3.1, 2);
    expect(found.cutoff_V.count).toBe(3);
    expect(found.cutoff_V.low).toBeLessThan(3.1);
    expect(found.cutoff_V.high).toBeGreaterThan(3.1);
    expect(found.reconnect_V!.value).toBeCloseTo(3.4, 2);
    expect(found.hysteresis_V!.value).toBeCloseTo(0.3, 2);
    expect(found.ownConsumption_mA.value).toBeCloseTo(0.012, 3);
    expect(found.mostSwitchings).toBe(1);
    expect(found.rate_V_s).toBeCloseTo(0.01, 3);
  });

  it('holds the truth within its interval, whatever the thresholds', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2.8, max: 3.3, noNaN: true }),
        fc.double({ min: 0.05, max: 0.6, noNaN: true }),
        fc.double({ min: 0.001, max: 0.05, noNaN: true }),
        fc.nat(),
        (cutoff_V, hysteresis_V, own_mA, seed) => {
          const found = readRamp(ramped(cutoff_V, cutoff_V + hysteresis_V, own_mA, 1, 0.01, seed));
          // Half a step is the resolution; the noise of the voltage adds to it.
          expect(Math.abs(found.cutoff_V.value - cutoff_V)).toBeLessThan(0.005 + 0.003);
          expect(Math.abs(found.hysteresis_V!.value - hysteresis_V)).toBeLessThan(2 * 0.008);
          expect(Math.abs(found.ownConsumption_mA.value / own_mA - 1)).toBeLessThan(0.02);
        },
      ),
      { seed: 1, numRuns: 30 },
    );
  });

  it('one way down has no reconnect; chatter is counted; a flat supply and a load that never goes off are told', () => {
    const log = ramped(3.1, 3.4, 0.012, 1);
    const half = (a: Float64Array) => a.slice(0, a.length / 2);
    const down = { time_s: half(log.time_s), supply_V: half(log.supply_V), current_mA: half(log.current_mA) };
    expect(readRamp(down).reconnect_V).toBeUndefined();
    expect(readRamp(ramped(3.1, 3.1001, 0.012, 1)).hysteresis_V!.value).toBeCloseTo(0, 1);
    const flaps = Float64Array.from(down.current_mA);
    const at = flaps.findIndex((i) => i < 0.1);
    flaps[at + 1] = 0.2;
    expect(readRamp({ ...down, current_mA: flaps }).mostSwitchings).toBe(3);
    const flat = { ...log, supply_V: new Float64Array(log.time_s.length).fill(3.7) };
    expect(() => readRamp(flat)).toThrow(/lead it down/);
    const always = { ...log, current_mA: new Float64Array(log.time_s.length).fill(5) };
    expect(() => readRamp(always)).toThrow(/no switching shows/);
    expect(() => readRamp(always, { threshold_mA: 1 })).toThrow(/never goes off/);
  });
});

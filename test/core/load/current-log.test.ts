import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findStates, MOST_STATES, summariseCurrentLog } from '../../../src/core/load/index.ts';
import { createRandom } from '../../../src/core/math/index.ts';
import { type Level, syntheticLog } from './synthetic-log.ts';

// All logs here are synthetic, with known truth; currents are of the size of a transceiver's data sheet (sleep a few µA,
// reception some mA, sending about 100 mA).
const SLEEP: Level = { current_mA: 0.004, visit_s: 2, weight: 3 };
const IDLE: Level = { current_mA: 0.8, visit_s: 0.3, weight: 2 };
const RECEIVE: Level = { current_mA: 6, visit_s: 1, weight: 3 };
const SEND: Level = { current_mA: 105, visit_s: 0.2, weight: 1 };
const options = { samples: 60_000, step_s: 0.01, relative: 0.02, zero_mA: 0.0005 };

describe('states of a current log', () => {
  const cases: [string, Level[], number, number][] = [
    ['one', [RECEIVE], 0.02, 0.0005],
    ['reception and sending', [RECEIVE, SEND], 0.02, 0.0005],
    ['sleep, reception, sending', [SLEEP, RECEIVE, SEND], 0.02, 0.0005],
    ['sleep, idle, reception, sending', [SLEEP, IDLE, RECEIVE, SEND], 0.03, 0.001],
    ['quiet meter', [SLEEP, RECEIVE, SEND], 0, 0],
    ['noisy meter', [SLEEP, RECEIVE, SEND], 0.05, 0.05],
    ['rare sending', [{ ...SLEEP, visit_s: 20 }, { ...SEND, weight: 0.3 }, RECEIVE], 0.02, 0.0005],
  ];
  it.each(cases)('finds %s without being told how many', (_, levels, relative, zero_mA) => {
    for (let seed = 1; seed <= 5; seed++) {
      const log = syntheticLog(levels, { ...options, relative, zero_mA, random: createRandom(seed) });
      const states = findStates(log.time_s, log.current_mA);
      const truth = levels.map((l, k) => ({ ...l, k })).sort((a, b) => a.current_mA - b.current_mA);
      expect(states.length).toBe(truth.length);
      truth.forEach(({ current_mA, k }, i) => {
        const state = states[i];
        const share = log.level.reduce((n, l) => n + (l === k ? 1 : 0), 0) / log.level.length;
        let visits = 0;
        log.level.forEach((l, j) => {
          if (l === k && log.level[j - 1] !== k) visits++;
        });
        expect(Math.abs((state?.level_mA ?? 0) - current_mA)).toBeLessThan(0.01 * current_mA + 0.1 * zero_mA);
        expect(Math.abs((state?.timeShare ?? 0) - share)).toBeLessThan(0.001);
        expect(Math.abs((state?.visits ?? 0) - visits)).toBeLessThanOrEqual(0.01 * visits);
      });
    }
  });

  it('sees sleep through a meter with steps of 1 µA', () => {
    const log = syntheticLog([SLEEP, RECEIVE, SEND], { ...options, zero_mA: 0.0008, random: createRandom(3) });
    const stepped = log.current_mA.map((v) => Math.round(v * 1000) / 1000);
    const states = findStates(log.time_s, stepped);
    expect(states.length).toBe(3);
    expect(states[0]?.level_mA).toBeCloseTo(0.004, 3);
  });

  it('gives the samples caught on an edge to the higher state', () => {
    const log = syntheticLog([SLEEP, SEND], { ...options, random: createRandom(4) });
    const edged = log.current_mA.slice();
    for (let i = 1; i < edged.length; i++)
      if (log.level[i] !== log.level[i - 1]) edged[i] = 105 * (0.05 + 0.9 * ((i * 0.618) % 1));
    const states = findStates(log.time_s, edged);
    expect(states.length).toBe(2);
    expect(states[0]?.level_mA).toBeCloseTo(0.004, 3);
    // 0.004 mA over about ten minutes: edges counted in would make it many times more.
    const slept_h = ((states[0]?.timeShare ?? 0) * 600) / 3600;
    expect(states[0]?.charge_mAh ?? 0).toBeLessThan(2 * 0.004 * slept_h);
  });

  it('reports six at most', () => {
    const many = Array.from({ length: 9 }, (_, k) => ({ current_mA: 0.01 * 3 ** k, visit_s: 0.5, weight: 1 }));
    const log = syntheticLog(many, { ...options, random: createRandom(5) });
    expect(findStates(log.time_s, log.current_mA).length).toBe(MOST_STATES);
  });

  it('of a log without any change is one', () => {
    const time = Float64Array.from({ length: 100 }, (_, i) => i);
    for (const level of [0, 5, -0.001]) {
      const states = findStates(time, new Float64Array(100).fill(level));
      expect(states.length).toBe(1);
      expect(states[0]).toMatchObject({ level_mA: level, timeShare: 1, visits: 1 });
    }
  });

  it('shares sum to one and charges to the trapezoid integral, whatever the log', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.double({ min: 0, max: 100, noNaN: true }), fc.double({ min: -1, max: 1e4, noNaN: true })),
          {
            minLength: 2,
            maxLength: 60,
          },
        ),
        (pairs) => {
          const time = Float64Array.from(pairs, ([t]) => t).sort();
          fc.pre((time[time.length - 1] ?? 0) - (time[0] ?? 0) > 1e-6);
          const current = Float64Array.from(pairs, ([, c]) => c);
          const log = summariseCurrentLog(time, current);
          let integral = 0;
          for (let i = 1; i < time.length; i++)
            integral += ((time[i] ?? 0) - (time[i - 1] ?? 0)) * 0.5 * ((current[i] ?? 0) + (current[i - 1] ?? 0));
          const near = (a: number, b: number, size: number) => expect(Math.abs(a - b)).toBeLessThan(1e-9 * size);
          near(log.charge_mAh * 3600, integral, 1e4 * log.duration_s + 1e-9);
          near(
            log.states.reduce((sum, s) => sum + s.charge_mAh, 0),
            log.charge_mAh,
            1e4 * log.duration_s + 1e-9,
          );
          near(
            log.states.reduce((sum, s) => sum + s.timeShare, 0),
            1,
            1,
          );
          expect(log.states.length).toBeGreaterThanOrEqual(1);
          expect(log.states.length).toBeLessThanOrEqual(MOST_STATES);
          expect(log.low_mA).toBeLessThanOrEqual(log.average_mA + 1e-9);
          expect(log.high_mA).toBeGreaterThanOrEqual(log.average_mA - 1e-9);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('average of a current log', () => {
  it('is the trapezoid integral over time (arithmetic)', () => {
    // 0→10 mA over 10 s, 10 mA for 20 s, 10→0 over 30 s: 50 + 200 + 150 = 400 mA·s in 60 s.
    const log = summariseCurrentLog(Float64Array.of(0, 10, 30, 60), Float64Array.of(0, 10, 10, 0));
    expect(log.average_mA).toBeCloseTo(400 / 60, 12);
    expect(log.charge_mAh).toBeCloseTo(400 / 3600, 12);
    expect(log.duration_s).toBe(60);
  });

  it('has batch means that average to it, also with uneven sampling', () => {
    const random = createRandom(2);
    const time = Float64Array.from({ length: 5000 }, () => 1000 * random.next()).sort();
    const current = Float64Array.from({ length: 5000 }, () => 5 + random.normal());
    const log = summariseCurrentLog(time, current);
    expect((log.low_mA + log.high_mA) / 2).toBeCloseTo(log.average_mA, 9);
    expect(log.high_mA - log.low_mA).toBeLessThan(0.3);
    expect(log.high_mA - log.low_mA).toBeGreaterThan(0.02);
  });

  it('has an interval that covers the truth about as often as it says', () => {
    // Truth by renewal theory: in the long run time shares are visit lengths weighted by how often each is entered; two
    // levels take turns, so share = visit_s over the sum. Visits are rounded to samples of at least four: long visits here.
    const a = { current_mA: 6, visit_s: 4, weight: 1 };
    const b = { current_mA: 105, visit_s: 1, weight: 1 };
    const step_s = 0.1;
    const meanVisit = (visit_s: number) => {
      let mean = 0;
      for (let k = 1; k < 20_000; k++) {
        const from = k === 1 ? 0 : (k - 0.5) * step_s;
        const chance = Math.exp(-from / visit_s) - Math.exp(-((k + 0.5) * step_s) / visit_s);
        mean += chance * Math.max(4, k) * step_s;
      }
      return mean;
    };
    const share = meanVisit(b.visit_s) / (meanVisit(a.visit_s) + meanVisit(b.visit_s));
    const truth = 6 + share * 99;
    let covered = 0;
    const logs = 200;
    for (let seed = 1; seed <= logs; seed++) {
      const log = syntheticLog([a, b], {
        samples: 30_000,
        step_s,
        relative: 0.02,
        zero_mA: 0,
        random: createRandom(seed),
      });
      const { low_mA, high_mA } = summariseCurrentLog(log.time_s, log.current_mA);
      if (low_mA <= truth && truth <= high_mA) covered++;
    }
    // 95 % of 200 is 190; three binomial standard deviations are 9. A log holds about 120 bursts.
    expect(covered).toBeGreaterThanOrEqual(181);
    expect(covered).toBeLessThanOrEqual(199);
  });

  it('warns of pauses, of rare events that matter, of drift and of a wrong zero', () => {
    const time = Float64Array.from({ length: 2000 }, (_, i) => i + (i > 1000 ? 500 : 0));
    const flat = new Float64Array(2000).fill(5);
    expect(summariseCurrentLog(time, flat).warnings.join(' ')).toMatch(/pause of 501 s/);
    const even = Float64Array.from({ length: 2000 }, (_, i) => i);
    expect(summariseCurrentLog(even, flat).warnings).toEqual([]);
    const drift = flat.map((v, i) => v + i / 1000);
    expect(summariseCurrentLog(even, drift).warnings.join(' ')).toMatch(/drifts/);
    expect(summariseCurrentLog(even, drift).batches).toBe(8);
    const event = flat.map((v, i) => (i > 300 && i < 400 ? 100 : v));
    expect(summariseCurrentLog(even, event).warnings.join(' ')).toMatch(/fewer than five times/);
    const below = flat.map((v, i) => (i % 10 === 0 ? -0.01 : v));
    expect(summariseCurrentLog(even, below).warnings.join(' ')).toMatch(/10 % of the samples are negative/);
  });

  it('refuses what is no log', () => {
    const of = (t: number[], c: number[]) => () => summariseCurrentLog(Float64Array.from(t), Float64Array.from(c));
    expect(of([0], [1])).toThrow(RangeError);
    expect(of([0, 1], [1])).toThrow(/length/);
    expect(of([0, 1], [1, Number.NaN])).toThrow(/no number/);
    expect(of([1, 0], [1, 1])).toThrow(/backwards/);
    expect(of([1, 1], [1, 1])).toThrow(/no time/);
  });
});

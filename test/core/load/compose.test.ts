import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LoadInput, OutputStage, Regulator } from '../../../src/core/load/index.ts';
import {
  average_mA_at,
  average_mW_at,
  averageLoad,
  composeLoad,
  peak_mA_at,
  typicalTransmit_mA,
} from '../../../src/core/load/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

function problemsOf(call: () => unknown) {
  try {
    call();
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
}
const regulatorOf = (row: Record<string, string>): Regulator | undefined =>
  row['regulator'] === 'none'
    ? undefined
    : {
        type: row['regulator'] as 'linear' | 'switching',
        output_V: Number(row['output_V']),
        quiescent_uA: Number(row['quiescent_uA']),
        efficiency: row['efficiency'] === '' ? undefined : Number(row['efficiency']),
      };

describe('a composed load', () => {
  it('adds up as by hand', () => {
    const { rows } = readGolden('load-arithmetic.csv');
    expect(rows.length).toBe(5);
    for (const row of rows) {
      const load = composeLoad({
        parts: [
          { name: 'receive', kind: 'receive', current_mA: Number(row['receive_mA']) },
          { name: 'processor', current_mA: Number(row['processor_mA']), duty: Number(row['processor_duty']) },
        ],
        transmit: { current_mA: Number(row['transmit_mA']), airtime_s_per_h: Number(row['airtime_s_per_h']) },
        regulator: regulatorOf(row),
      });
      expect(load.constantCurrent_mA).toBeCloseTo(Number(row['constantCurrent_mA']), 9);
      expect(load.constantPower_mW).toBeCloseTo(Number(row['constantPower_mW']), 9);
      expect(average_mA_at(load, 3.7)).toBeCloseTo(Number(row['average_mA']), 9);
    }
  });

  it('tells the pulse at the cells (arithmetic)', () => {
    const parts = [
      { name: 'receive', kind: 'receive', current_mA: 5 },
      { name: 'processor', current_mA: 4 },
      { name: 'positioning', current_mA: 25, seconds_per_h: 10 },
    ];
    const transmit = { current_mA: 118, airtime_s_per_h: 36 };
    const bare = composeLoad({ parts, transmit });
    expect(bare.peak_mA).toBeCloseTo(147, 12); // 118 + 4 + 25: the receiver is off meanwhile
    expect(bare.inrush_mA).toBeCloseTo(147, 12);
    const regulator = { type: 'switching', output_V: 3.3, quiescent_uA: 20, efficiency: 0.88 } as const;
    const switched = composeLoad({ parts, transmit, regulator, inrush_mA: 400 });
    expect(switched.peak_mA).toBeCloseTo((147 * 3.3) / 0.88 / 3 + 0.02, 9);
    expect(peak_mA_at(switched, 4)).toBeCloseTo((147 * 3.3) / 0.88 / 4 + 0.02, 9);
    expect(switched.inrush_mA).toBe(400);
    expect(composeLoad({ parts, transmit, transmitPeak_mA: 160 }).peak_mA).toBe(160);
    expect(composeLoad({ parts }).peak_mA).toBeCloseTo(34, 12); // nothing is sent: the receiver counts
  });

  it('takes parts straight on the cells past the regulator', () => {
    const regulator = { type: 'switching', output_V: 3.3, quiescent_uA: 0, efficiency: 0.9 } as const;
    const load = composeLoad({
      parts: [
        { name: 'lamp', current_mA: 10, duty: 0.1, supply: 'battery' },
        { name: 'sensor', power_mW: 20, duty: 0.5, supply: 'battery' },
        { name: 'processor', power_mW: 9 },
      ],
      regulator,
    });
    expect(load.constantCurrent_mA).toBeCloseTo(1, 12);
    expect(load.constantPower_mW).toBeCloseTo(10 + 10, 12); // arithmetic: 20·0.5 + 9/0.9
    const linear = composeLoad({ parts: [{ name: 'p', power_mW: 33 }], regulator: { ...regulator, type: 'linear' } });
    expect(linear.constantCurrent_mA).toBeCloseTo(10, 12); // arithmetic: 33 mW at 3.3 V
  });

  it('of a frugal node runs for over a week on 6 Ah without sun', () => {
    // Common practice, no source: about 6 Ah of cells carries a frugal node for over a week. Currents: data sheet of a
    // LoRa transceiver (reception 5 mA, sending 118 mA); processor 6 mA from memory.
    const load = composeLoad({
      parts: [
        { name: 'receive', kind: 'receive', current_mA: 5.3 },
        { name: 'processor', current_mA: 6 },
      ],
      transmit: { power_dBm: 22, airtime_s_per_h: 72 },
      regulator: { type: 'linear', output_V: 3.3, quiescent_uA: 60 },
    });
    const days = 6000 / average_mA_at(load, 3.6) / 24;
    expect(days).toBeGreaterThan(7);
    expect(days).toBeLessThan(40);
  });

  it('keeps its parts and its whole in step, whatever the load', () => {
    const part = fc.record({
      name: fc.constantFrom('a', 'b', 'c'),
      kind: fc.constantFrom('receive', 'other'),
      current_mA: fc.double({ min: 0, max: 500, noNaN: true }),
      duty: fc.double({ min: 0, max: 1, noNaN: true }),
      supply: fc.constantFrom('regulated' as const, 'battery' as const),
    });
    const regulator = fc.record({
      type: fc.constantFrom('linear' as const, 'switching' as const),
      output_V: fc.double({ min: 1.8, max: 5, noNaN: true }),
      quiescent_uA: fc.double({ min: 0, max: 500, noNaN: true }),
      efficiency: fc.double({ min: 0.5, max: 1, noNaN: true }),
    });
    const transmit = fc.record({
      current_mA: fc.double({ min: 0, max: 500, noNaN: true }),
      airtime_s_per_h: fc.double({ min: 0, max: 3600, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 1, maxLength: 6 }),
        fc.option(regulator, { nil: undefined }),
        fc.option(transmit, { nil: undefined }),
        fc.double({ min: 2.8, max: 4.3, noNaN: true }),
        (parts, reg, tx, volt) => {
          const load = composeLoad({ parts, regulator: reg, transmit: tx });
          const whole = average_mA_at(load, 3.7);
          const near = (a: number, b: number) => expect(Math.abs(a - b)).toBeLessThan(1e-9 * (1 + Math.abs(b)));
          near(
            load.parts.reduce((sum, p) => sum + p.average_mA, 0),
            whole,
          );
          if (whole > 0)
            near(
              load.parts.reduce((sum, p) => sum + p.share, 0),
              1,
            );
          near(average_mW_at(load, volt), volt * average_mA_at(load, volt));
          // A worse efficiency never draws less.
          if (reg !== undefined) {
            const worse = composeLoad({ parts, regulator: { ...reg, efficiency: reg.efficiency * 0.9 }, transmit: tx });
            expect(average_mA_at(worse, volt)).toBeGreaterThanOrEqual(average_mA_at(load, volt) - 1e-12);
          }
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('typical transmit currents', () => {
  it('meet the data sheet', () => {
    const { rows } = readGolden('load-transmit.csv');
    expect(rows.length).toBe(7);
    for (const row of rows) {
      const got = typicalTransmit_mA(Number(row['power_dBm']), row['stage'] as OutputStage);
      expect(Math.abs(got - Number(row['current_mA']))).toBeLessThan(0.5);
    }
  });

  it('rise with power, hold below 14 dBm, and end at 22 dBm', () => {
    for (const stage of ['matched', 'turned-down'] as const) {
      for (let p = 0; p < 22; p += 0.5)
        expect(typicalTransmit_mA(p + 0.5, stage)).toBeGreaterThanOrEqual(typicalTransmit_mA(p, stage));
      expect(typicalTransmit_mA(2, stage)).toBe(typicalTransmit_mA(14, stage));
    }
    const [problem] = problemsOf(() => typicalTransmit_mA(22.1, 'matched', 'load.transmit.power_dBm'));
    expect(problem?.code).toBe('load-transmit-power');
    expect(problem?.place?.field).toBe('load.transmit.power_dBm');
  });

  it('are told as typical in the result', () => {
    const load = composeLoad({ transmit: { power_dBm: 22, airtime_s_per_h: 10 } });
    expect(load.notes.join(' ')).toMatch(/118 mA: typical of 22 dBm, not measured/);
    expect(composeLoad({ transmit: { current_mA: 110, airtime_s_per_h: 10 } }).notes).toEqual([]);
  });
});

describe('a load known by its average', () => {
  it('is a current at the cells, or a power where a voltage goes with it (arithmetic)', () => {
    expect(averageLoad({ average_mA: 20 })).toMatchObject({ constantCurrent_mA: 20, constantPower_mW: 0 });
    const plain = averageLoad({ average_mA: 20, voltage_V: 3.6 });
    expect(average_mW_at(plain, 3.1)).toBeCloseTo(72, 12);
    expect(plain.notes.join(' ')).toMatch(/no transmit pulse/);
    expect(averageLoad({ average_mA: 20, transmitPeak_mA: 150 })).toMatchObject({ peak_mA: 150, inrush_mA: 150 });
  });

  it('refuses what is no current', () => {
    expect(problemsOf(() => averageLoad({ average_mA: -1 }))[0]?.place?.field).toBe('load.average_mA');
    expect(problemsOf(() => averageLoad({ average_mA: Number.NaN })).length).toBe(1);
    expect(problemsOf(() => averageLoad({ average_mA: 1, voltage_V: 0 })).length).toBe(1);
  });
});

describe('a faulty load', () => {
  const codes = (input: LoadInput) => problemsOf(() => composeLoad(input)).map((p) => p.code);
  const one = (part: object): LoadInput => ({ parts: [{ name: 'p', ...part }] });

  it('is told with all faults and their fields at once', () => {
    const problems = problemsOf(() =>
      composeLoad({
        parts: [{ name: 'a' }, { name: 'b', current_mA: 1, duty: 1.2 }],
        transmit: { current_mA: -5, airtime_s_per_h: 4000 },
      }),
    );
    expect(problems.map((p) => p.place?.field)).toEqual([
      'load.parts[0]',
      'load.parts[1].duty',
      'load.transmit.airtime_s_per_h',
      'load.transmit.current_mA',
    ]);
  });

  it('is told at each limit, just outside, and not at it', () => {
    expect(codes({})).toEqual(['load-empty']);
    expect(codes(one({ current_mA: 1, power_mW: 1 }))).toEqual(['load-draw']);
    expect(codes(one({ current_mA: 1, duty: 0.5, seconds_per_h: 3 }))).toEqual(['load-duty-twice']);
    expect(codes(one({ current_mA: 0, duty: 0 }))).toEqual([]);
    expect(codes(one({ current_mA: 1, duty: 1 }))).toEqual([]);
    expect(codes(one({ current_mA: 1, duty: 1.0001 }))).toEqual(['load-range']);
    expect(codes(one({ current_mA: 1, seconds_per_h: 3600 }))).toEqual([]);
    expect(codes(one({ current_mA: 1, seconds_per_h: 3600.1 }))).toEqual(['load-range']);
    expect(codes(one({ current_mA: Number.NaN }))).toEqual(['load-range']);
    expect(codes({ transmit: { airtime_s_per_h: 1 } })).toEqual(['load-draw']);
    const withRegulator = (efficiency: number) => ({
      ...one({ current_mA: 1 }),
      regulator: { type: 'switching' as const, output_V: 3.3, quiescent_uA: 0, efficiency },
    });
    expect(codes(withRegulator(1))).toEqual([]);
    expect(codes(withRegulator(1.01))).toEqual(['load-range']);
    expect(codes(withRegulator(0.05))).toEqual([]);
    expect(codes(withRegulator(0))).toEqual(['load-range']);
  });
});

import { describe, expect, it } from 'vitest';
import { formatProblem, UserError } from '../../src/core/units/index.ts';
import { type BenchLogOptions, readBenchLog } from '../../src/formats/bench-log.ts';

function problemsOf(text: string, options?: BenchLogOptions) {
  try {
    readBenchLog(text, 'log.csv', options);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
}
const codes = (text: string, options?: BenchLogOptions) => problemsOf(text, options).map((p) => p.code);

describe('a bench log in CSV', () => {
  it('is read with units in its titles, in any order, below a preamble (arithmetic)', () => {
    const log = readBenchLog('meter 2\r\nCurrent_A,note,Time_min,voltage_mV\r\n0.5,a,0,4100\r\n\r\n0.25,b,2,4000\r\n');
    expect([...log.time_s]).toEqual([0, 120]);
    expect([...log.voltage_V]).toEqual([4.1, 4]);
    expect([...log.current_mA]).toEqual([500, 250]);
    expect(log.notes).toEqual(['1 lines above the titles were passed over']);
  });

  it('understands decimal commas, and takes the current from a resistor (Ohm)', () => {
    const log = readBenchLog('\uFEFFtime_h;supply_V\n0;4,2\n0,5;3,5\n', 'log.csv', { resistor_ohm: 10 });
    expect([...log.time_s]).toEqual([0, 1800]);
    expect([...log.current_mA]).toEqual([420, 350]);
  });

  it('tells every fault with its line', () => {
    const text = 'time_s,voltage_V,current_mA\n0,4.1,500\n1,NaN,500\n2,4.0,\n1,4.0,500\n3,4000,500\n';
    expect(problemsOf(text).map((p) => [p.code, p.place?.line])).toEqual([
      ['bench-log-number', 3],
      ['bench-log-number', 4],
      ['bench-log-range', 6],
    ]);
    // The row that was passed over for its fault does not count: time is compared with the last good one.
    expect(codes('time_s,voltage_V,current_mA\n5,4,1\n4,4,1\n')).toEqual(['bench-log-time']);
    expect(formatProblem(problemsOf(text)[0]!)).toContain("voltage_V is 'NaN'");
  });

  it('tells what is wrong with the titles', () => {
    expect(codes('')).toEqual(['bench-log-titles']);
    expect(codes('a,b\n1,2\n')).toEqual(['bench-log-titles']);
    expect(codes('time_s,voltage_V\n0,4\n1,4\n')).toEqual(['bench-log-column']);
    expect(codes('time,voltage_kV,current_mA\n0,4,1\n')).toEqual(['bench-log-unit', 'bench-log-unit']);
    expect(codes('time_s,voltage_V,supply_V,current_mA\n0,4,4,1\n')).toEqual(['bench-log-twice']);
    expect(codes('time_s,voltage_V,current_mA\n0,4,1\n')).toEqual(['bench-log-short']);
  });

  it('counts faults beyond the first twenty', () => {
    const text = `time_s,voltage_V,current_mA\n${'0,x,1\n'.repeat(30)}`;
    const found = problemsOf(text);
    expect(found).toHaveLength(21);
    expect(found[20]?.message).toBe('and 10 more faults.');
  });
});

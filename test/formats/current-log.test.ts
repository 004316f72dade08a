import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { summariseCurrentLog } from '../../src/core/load/index.ts';
import { formatProblem, UserError } from '../../src/core/units/index.ts';
import { readCurrentLog } from '../../src/formats/current-log.ts';

function problemsOf(text: string) {
  try {
    readCurrentLog(text, 'log.csv');
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
}
const codes = (text: string) => problemsOf(text).map((p) => p.code);

describe('a current log in CSV', () => {
  it('is read with each unit of time and current (arithmetic)', () => {
    const of = (titles: string) => readCurrentLog(`${titles}\n0,5\n2000,7\n`);
    expect(Array.from(of('time_ms,current_uA').time_s)).toEqual([0, 2]);
    expect(Array.from(of('time_s,current_mA').current_mA)).toEqual([5, 7]);
    expect(of('time_s,current_uA').current_mA[0]).toBeCloseTo(0.005, 15);
    expect(of('time_s,current_A').current_mA[1]).toBeCloseTo(7000, 9);
    expect(of('Time_ms, Current_µA').current_mA[1]).toBeCloseTo(0.007, 15);
    expect(of('time_ms,current_μA').current_mA[1]).toBeCloseTo(0.007, 15); // the Greek letter, not the micro sign
  });

  it('is read with columns in any order, a preamble, a mark, quotes, mixed line ends and empty lines', () => {
    const text =
      '\uFEFFmeter 3\r\nrange auto\n"voltage_V","current_mA","time_s"\r3.7,"5.5",0\r\n\n3.7,6.5,1\n3.7,7.5,1\n\n';
    const log = readCurrentLog(text);
    expect(Array.from(log.time_s)).toEqual([0, 1, 1]);
    expect(Array.from(log.current_mA)).toEqual([5.5, 6.5, 7.5]);
    expect(log.notes).toEqual(['2 lines above the titles were passed over']);
  });

  it('is read with semicolons or tabs and decimal commas', () => {
    expect(Array.from(readCurrentLog('time_s;current_mA\n0,0;1,5\n0,5;-2,5e-3\n').current_mA)).toEqual([1.5, -0.0025]);
    expect(Array.from(readCurrentLog('time_s\tcurrent_mA\n0\t1,5\n,5\t2.\n').time_s)).toEqual([0, 0.5]);
  });

  it('goes on to its summary', () => {
    const rows = Array.from({ length: 400 }, (_, i) => `${i},${i % 20 < 5 ? 105 : 6}`);
    const log = readCurrentLog(`time_s,current_mA\n${rows.join('\n')}`);
    expect(summariseCurrentLog(log.time_s, log.current_mA).states.map((s) => s.level_mA)).toEqual([6, 105]);
  });
});

describe('a faulty log', () => {
  it('is told in a sentence with file, line and field', () => {
    const [problem] = problemsOf('time_s,current_mA\n0,5\n1,abc\n2,5\n');
    expect(problem === undefined ? '' : formatProblem(problem)).toBe(
      "log.csv:3: current_mA: current_mA is 'abc': a number is needed, such as 0.012. [current-log-number]",
    );
  });

  it('is told for each kind of fault', () => {
    expect(codes('')).toEqual(['current-log-empty']);
    expect(codes('\n \n')).toEqual(['current-log-empty']);
    expect(codes('a,b\n1,2\n')).toEqual(['current-log-titles']);
    expect(codes('0,5\n1,6\n')).toEqual(['current-log-titles']);
    expect(codes('time,current_mA\n0,1\n1,1\n')).toEqual(['current-log-unit']);
    expect(codes('time_s,current\n0,1\n1,1\n')).toEqual(['current-log-unit']);
    expect(codes('time_h,current_kA\n0,1\n1,1\n')).toEqual(['current-log-unit']);
    expect(codes('time_s,time_ms,current_mA\n0,0,1\n')).toEqual(['current-log-twice']);
    expect(codes('time_s,current_mA,current_A\n0,0,1\n')).toEqual(['current-log-twice']);
    expect(codes('time_s,current_mA\n')).toEqual(['current-log-short']);
    expect(codes('time_s,current_mA\n0,1\n')).toEqual(['current-log-short']);
    expect(codes('time_s,current_mA\n3,1\n3,2\n')).toEqual(['current-log-span']);
    expect(codes('time_s,current_mA\n0,1\n2,1\n1,1\n')).toEqual(['current-log-time']);
    expect(codes('time_s,current_mA\n0,NaN\n1,\n2\n3,Infinity\n')).toEqual(Array(4).fill('current-log-number'));
    expect(codes('time_s,current_mA\n0,0x10\n1,1e999\n2,1\n')).toEqual(Array(2).fill('current-log-number'));
    expect(codes('time_s,current_A\n0,1000\n1,1\n')).toEqual([]);
    expect(codes('time_s,current_A\n0,1000.1\n1,1\n')).toEqual(['current-log-range']);
    expect(codes('time_s,current_A\n0,1\n1.1e11,1\n')).toEqual(['current-log-range']);
  });

  it('is told with all faults at once, the first twenty by name', () => {
    const text = `time_s,current_mA\n${Array.from({ length: 30 }, (_, i) => `${i},x`).join('\n')}`;
    const problems = problemsOf(text);
    expect(problems.length).toBe(21);
    expect(problems[20]?.message).toBe('and 10 more faults.');
    expect(problems[19]?.place?.line).toBe(21);
  });

  it('of whatever text or bytes is a UserError or a log, never anything else', () => {
    const pieces = fc.array(
      fc.oneof(
        fc.constantFrom(
          'time_s',
          'current_mA',
          'time_ms',
          ',',
          ';',
          '\t',
          '\n',
          '\r\n',
          '"',
          '0',
          '1.5',
          '-',
          'e9',
          '\uFEFF',
        ),
        fc.string({ unit: 'binary', maxLength: 5 }),
      ),
      { maxLength: 60 },
    );
    const bytes = fc.uint8Array({ maxLength: 400 }).map((b) => new TextDecoder('latin1').decode(b));
    const text = fc.oneof(
      pieces.map((p) => p.join('')),
      bytes,
      bytes.map((b) => `time_s,current_mA\n${b}`),
      fc
        .array(fc.tuple(fc.double(), fc.double()))
        .map((rows) => `time_s,current_mA\n${rows.map((r) => r.join(',')).join('\n')}`),
      fc
        .array(fc.double({ min: -10, max: 1e6, noNaN: true }), { minLength: 2 })
        .map((rows) => `time_s,current_mA\n${rows.map((c, i) => `${i},${c}`).join('\n')}`),
    );
    let read = 0;
    fc.assert(
      fc.property(text, (t) => {
        try {
          const log = readCurrentLog(t);
          read++;
          const { states, average_mA } = summariseCurrentLog(log.time_s, log.current_mA);
          expect(states.length).toBeGreaterThan(0);
          expect(Number.isNaN(average_mA)).toBe(false);
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
        }
      }),
      { seed: 1, numRuns: 2000 },
    );
    expect(read).toBeGreaterThan(100);
  });
});

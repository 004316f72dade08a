import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'load-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const log = join(folder, 'log.csv');
const current = (i: number) => (i % 100 < 5 ? 100 : 5);
writeFileSync(
  log,
  `time_ms,current_mA\n${Array.from({ length: 4000 }, (_, i) => `${i * 10},${current(i)}`).join('\n')}\n`,
);

describe('sunperch load', () => {
  it('tells average, pulse and parts of a kit', () => {
    const run = sunperch('load', 'examples/alder-3.yaml', '--json');
    expect(run).toMatchObject({ code: 0, err: '' });
    const { load } = run.json() as { load: { average_mA: number; pulse_mA: number; parts: { name: string }[] } };
    // By hand: regulated currents through 3.3 V / 0.9 to 3.7 V, plus 20 uA (arithmetic of the example file).
    const share = 120 / 3600;
    const output_mA = (5.3 + 1.5) * (1 - share) + 3.5 * 0.25 + 0.6 * 0.75 + 0.05 + 0.005 + 2 * 0.002 + 45 * share;
    expect(load.average_mA).toBeCloseTo((output_mA * 3.3) / 0.9 / 3.7 + 0.02, 9);
    expect(load.pulse_mA).toBe(60);
    expect(load.parts.map(({ name }) => name)).toContain('transmit');
  });

  it('reads a log without a kit', () => {
    const run = sunperch('load', '--log', log, '--json');
    expect(run).toMatchObject({ code: 0, err: '' });
    const told = run.json() as { load: null; log: { average_mA: { mean: number }; states: { level_mA: number }[] } };
    expect(told.load).toBeNull();
    // 5 of 100 samples at 100 mA, the others at 5 mA: 9.75 mA, less what the trapezoid cuts at the two ends.
    expect(Math.abs(told.log.average_mA.mean / 9.75 - 1)).toBeLessThan(0.02);
    expect(told.log.states.map(({ level_mA }) => level_mA)).toEqual([5, 100]);
  });

  it('sets both side by side in words', () => {
    const run = sunperch('load', 'examples/alder-3.yaml', '--log', log);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/^Alder 3 draws 9\.\d\d mA on average at 3\.7 V/);
    expect(run.out).toMatch(/Measured over composed: 1\.\d\d \(95 %:/);
  });

  it.each([
    ['nothing to read', [], 2, /name a kit file, a current log with --log, or both/],
    ['an absent kit', ['absent.yaml'], 1, /^absent\.yaml: cannot be read: there is no such file/],
    ['an absent log', ['--log', 'absent.csv'], 1, /^absent\.csv: cannot be read/],
    [
      'a wrong setting',
      ['examples/alder-3.yaml', '--set', 'kit.load.transmit.airtime_s_per_h=-5'],
      1,
      /airtime_s_per_h is -5/,
    ],
    ['a setting that is none', ['examples/alder-3.yaml', '--set', 'nonsense'], 1, /is no setting/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('load', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

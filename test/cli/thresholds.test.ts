import { describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const KIT = 'examples/bare-board.yaml';
const PERCH = 'examples/rescue-post.yaml';

describe('sunperch thresholds', () => {
  it('gives choice, reasons, alternatives and resistors in words', () => {
    const run = sunperch('thresholds', KIT, PERCH, '--years', '3');
    expect(run.code).toBe(0);
    expect(run.err).toBe('');
    expect(run.out).toMatch(/^Bare board at Rescue post: charge to \d\.\d+ V/);
    for (const part of ['Why:', 'recommended', 'R1, R2, R3', 'E96:', 'kit.cutoff.tolerance_mV: 40'])
      expect(run.out).toContain(part);
  });

  it('gives the same as JSON', () => {
    const run = sunperch('thresholds', KIT, PERCH, '--years', '3', '--series', 'E24', '--reference', '0.6', '--json');
    expect(run.json()).toMatchObject({
      command: 'thresholds',
      years: 3,
      seed: 1,
      reference_V: 0.6,
      recommended: { proven: true },
      dividers: [{ series: 'E24' }],
    });
  });

  it.each([
    ['a plain kit', ['examples/reference/kit.yaml', PERCH], 1, /thresholds are tuned as voltages/],
    ['an unknown series', [KIT, PERCH, '--series', 'E48'], 2, /Allowed choices are E24, E96/],
    ['a reference above the cut-off', [KIT, PERCH, '--years', '2', '--reference', '5'], 1, /--reference is 5/],
    ['no perch', [KIT], 2, /missing required argument 'perch'/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('thresholds', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const KITS = ['examples/alder-3.yaml', 'examples/bare-board.yaml'];
const AT = ['--perch', 'examples/hut-kaldra.yaml', '--years', '3'];

describe('sunperch compare', () => {
  it('lays the kits side by side and marks what differs', () => {
    const run = sunperch('compare', ...KITS, ...AT);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/^At Hut Kaldra/);
    expect(run.out).toMatch(/The same weather for all: .*3 years, seed 1/);
    expect(run.out).toMatch(/kit\.cells\.count +3 +1/);
    expect(run.out).toMatch(/kit\.cutoff\.cutoff_V +3\.2 +-/);
  });

  it('gives kits and differences as JSON, and writes the page', () => {
    const folder = mkdtempSync(join(tmpdir(), 'sunperch-'));
    try {
      const page = join(folder, 'compare.html');
      const told = sunperch('compare', ...KITS, ...AT, '--json', '--report', page).json() as {
        kits: { command: string; kit: string }[];
        differences: { field: string; values: unknown[] }[];
      };
      expect(told.kits.map((k) => [k.command, k.kit])).toEqual([
        ['year', 'Alder 3'],
        ['year', 'Bare board'],
      ]);
      for (const d of told.differences) expect(d.values).toHaveLength(2);
      const html = readFileSync(page, 'utf8');
      expect(html).toMatch(/^<!doctype html>/i);
      expect(html).toContain('kit.cells.count');
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it.each([
    ['one kit', [KITS[0]!, ...AT], 1, /two or more/],
    ['no perch', KITS, 2, /--perch <file>/],
    ['a kit that is not there', ['nowhere.yaml', KITS[0]!, ...AT], 1, /nowhere\.yaml: cannot be read/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('compare', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

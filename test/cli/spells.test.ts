import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { powerDaily } from '../formats/weather/make.ts';
import { sunperch } from './run.ts';

/** Six years in which every day brings 1 kWh/m²: less than the sky gives even in December. */
const SIX_YEARS = Array.from({ length: 6 * 365 + 1 }, (_, i) => {
  const date = new Date(Date.UTC(2001, 0, 1 + i));
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate(), ghi: 1, temperature: 5 };
});

const PERCH = 'examples/hut-kaldra.yaml';

describe('sunperch spells', () => {
  it('says the ten-year spells in words and in a table', () => {
    const run = sunperch('spells', PERCH);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/^At Hut Kaldra once in 10 years/);
    expect(run.out).toMatch(/days in a row +2 years +5 years +10 years +20 years +50 years/);
    expect(run.out).toMatch(/200 years, each from July to the next/);
  });

  it('gives the names of its contract as JSON', () => {
    const told = sunperch('spells', PERCH, '--years', '40', '--json').json() as { spells: Record<string, number>[] };
    expect(told).toMatchObject({ command: 'spells', years: 40, seed: 1 });
    expect(Object.keys(told.spells[0]!)).toEqual(['days', 'period_years', 'share', 'low', 'high']);
  });

  it('reads a record of several years: days that are all alike bring all of the mean', () => {
    const folder = mkdtempSync(join(tmpdir(), 'sunperch-'));
    try {
      const file = join(folder, 'six-years.csv');
      writeFileSync(file, powerDaily(SIX_YEARS).join('\n'));
      const run = sunperch('spells', PERCH, '--weather', file, '--json');
      expect(run.err).toBe('');
      const told = run.json() as { years: number; spells: { share: number }[] };
      expect(told.years).toBe(5);
      expect(told.spells.length).toBeGreaterThan(0);
      for (const { share } of told.spells) expect(share).toBeCloseTo(1, 5);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it.each([
    ['three years', [PERCH, '--years', '3'], 2, /whole number from 4/],
    ['no file', ['nowhere.yaml'], 1, /nowhere\.yaml: cannot be read/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('spells', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

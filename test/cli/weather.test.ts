import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { invent, tmy3 } from '../formats/weather/make.ts';
import { sunperch } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'weather-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const path = join(folder, 'hut.csv.gz');
writeFileSync(path, gzipSync(`${tmy3(invent([2019])).join('\n')}\n`));

describe('sunperch weather', () => {
  it('reads a gzipped file and answers in the names of the contract', () => {
    const run = sunperch('weather', path, '--tilt', '60', '--azimuth', '180', '--albedo', '0.2', '--json');
    expect(run).toMatchObject({ code: 0, err: '' });
    const told = run.json() as Record<string, number[]>;
    expect(told).toMatchObject({ rows: 8760, format: 'TMY3', tilt_deg: 60 });
    for (const key of ['ghi_kWh_m2_day', 'poa_kWh_m2_day', 'temperature_degC']) expect(told[key]).toHaveLength(12);
    expect(Array.isArray(told.notes)).toBe(true);
  });

  it('says it in words, with what it took for granted', () => {
    const run = sunperch('weather', path);
    expect(run.out).toMatch(/^TMY3 file of OSSEL HUT, XX: one year, 8,760 rows\./);
    expect(run.out).toMatch(/--tilt: 61 \(latitude \+ 15 degrees/);
    for (const line of run.out.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
  });

  it.each([
    ['no file', [], 2, /missing required argument 'file'/],
    ['a file that is not there', ['absent.epw'], 1, /^absent\.epw: There is no such file/],
    ['a folder', ['test'], 1, /directory/],
    ['no weather', ['package.json'], 1, /^package\.json/],
    ['a tilt outside', ['absent.epw', '--tilt', '-200'], 1, /--tilt is -200/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('weather', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

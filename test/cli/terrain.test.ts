import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { osselGrid, osselHeight_m } from '../../src/core/terrain/index.ts';
import { bufferSource, openGeotiff } from '../../src/formats/geotiff.ts';
import { hgtFrame, writeHgt } from '../../src/formats/hgt.ts';
import { sunperch } from './run.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunperch-'));
  const grid = osselGrid(hgtFrame({ south_deg: 46, west_deg: 10 }, 1201), 1);
  writeFileSync(join(folder, 'N46E010.hgt'), writeHgt(grid));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('sunperch elevation', () => {
  it('tells the height at a place, as JSON and in words', () => {
    const told = sunperch('elevation', '46.4', '10.2', '--terrain', folder, '--json').json();
    expect(Math.abs((told['height_m'] as number) - osselHeight_m(46.4, 10.2, 1))).toBeLessThanOrEqual(0.5001);
    expect(sunperch('elevation', '46.4', '10.2', '--terrain', folder).out).toMatch(
      /^The ground lies \d+\.\d m above the sea/,
    );
  });

  it('tells null and the reason where there is none', () => {
    const run = sunperch('elevation', '47.4', '10.2', '--terrain', folder, '--json');
    expect(run.code).toBe(0);
    expect(run.json()).toMatchObject({ height_m: null, reason: expect.stringMatching(/N47E010\.hgt would hold it/) });
    expect(sunperch('elevation', '-44.3', '170.5', '--terrain', folder).out).toMatch(/^No height there/);
  });

  it.each([
    ['no terrain', ['46.4', '10.2'], 2, /--terrain/],
    ['words', ['here', '10.2', '--terrain', '.'], 2, /not a number/],
    ['a latitude of 146', ['146.4', '10.2', '--terrain', '.'], 1, /between -90 and 90/],
    [
      'an absent folder',
      ['46.4', '10.2', '--terrain', 'absent/terrain'],
      1,
      /^absent\/terrain: the terrain cannot be read/,
    ],
    ['a folder without terrain', ['46.4', '10.2', '--terrain', 'bin'], 1, /no terrain in this folder/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('elevation', ...args);
    expect([run.code, run.out]).toEqual([code, '']);
    expect(run.err).toMatch(sentence);
  });
});

describe('sunperch reach --sight-only', () => {
  const ASK = ['--height', '10', '--target-height', '2', '--radius', '8', '--sight-only'];
  const AT = ['--lat', '46.4', '--lon', '10.2'];

  it('counts the cells and writes them on the terrain’s own grid', async () => {
    const file = join(folder, 'sub', 'sight.tif');
    const told = sunperch('reach', ...AT, ...ASK, '--terrain', folder, '--out', file, '--json').json() as Record<
      string,
      number
    >;
    const raster = await openGeotiff(bufferSource(readFileSync(file)), file);
    expect(raster.frame).toEqual(hgtFrame({ south_deg: 46, west_deg: 10 }, 1201));
    const values = (await raster.read()).height_m;
    const count = (value: number) => values.reduce((sum, v) => sum + (v === value ? 1 : 0), 0);
    expect(count(1)).toBe(told['cellsVisible']);
    expect(count(0) + count(1)).toBe(told['cellsInRange']);
    expect(count(2)).toBe(1201 * 1201 - told['cellsInRange']!);
    expect(told['cellsVisible']).toBeGreaterThan(1000);
    // A circle of 8 km in cells of 92.6 m by 92.8 m cos 46.4°: length of a degree at 46.4° N by the series of Snyder 1987 (from memory).
    const [north_m, east_m] = [111_155 / 1200, 76_908 / 1200];
    expect(Math.abs(told['cellsInRange']! / ((Math.PI * 64e6) / (north_m * east_m)) - 1)).toBeLessThan(0.003);
    expect(told['visibleArea_km2']! / told['visibleShare']!).toBeCloseTo(64 * Math.PI, 0);
  });

  it('says it in words, with what to know', () => {
    const run = sunperch('reach', ...AT, ...ASK, '--terrain', folder);
    expect(run.out).toMatch(/^In line of sight of an antenna 10 m above the ground/);
    const edge = sunperch('reach', '--lat', '46.99', '--lon', '10.2', ...ASK, '--terrain', folder);
    expect(edge.code).toBe(0);
  });

  it.each([
    ['a radius in metres', [...AT, '--sight-only', '--radius', '8000'], 1, /8000 m are 8/],
    [
      'a place outside',
      ['--lat', '48', '--lon', '10.2', ...ASK],
      1,
      /lies outside the terrain, which has N46E010\.hgt/,
    ],
    ['a mast below ground', [...AT, '--sight-only', '--height', '-3'], 1, /--height is -3/],
  ])('%s', (_, args, code, sentence) => {
    const file = join(folder, 'none.tif');
    const run = sunperch('reach', ...args, '--terrain', folder, '--out', file);
    expect([run.code, run.out]).toEqual([code, '']);
    expect(run.err).toMatch(sentence);
    expect(existsSync(file)).toBe(false);
  });
});

import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { deltaBullingtonGolden, type PathCase, p1812Golden, profileCsv } from '../app/radio-cases.ts';
import { checkPicture } from '../report/xml.ts';
import { sunperch } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'sunperch-radio-'));
const unfolded = (text: string) => text.replace(/\s+/g, ' ');
const put = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};

function argsOf({ id, csv, request }: PathCase): string[] {
  const option = (name: string, value: number | string | undefined) =>
    value === undefined ? [] : [name, String(value)];
  return [
    'path',
    ...option('--profile', put(`${id}.csv`, csv)),
    ...option('--frequency', request.frequency_MHz),
    ...option('--from-height', request.fromHeight_m),
    ...option('--to-height', request.toHeight_m),
    ...option('--method', request.method),
    ...option('--time', request.time_pct),
    ...option('--locations', request.locations_pct),
    ...option('--lat', request.latitude_deg),
    ...option('--delta-n', request.deltaN),
    ...option('--n0', request.n0),
    ...option('--effective-radius', request.effectiveRadius_km),
    ...option('--polarization', request.polarization?.[0]),
    '--json',
  ];
}

describe('sunperch path, by its contract', () => {
  it.each(p1812Golden())('$id within 0.01 dB of the validation results of P.1812-8', (c) => {
    const told = sunperch(...argsOf(c)).json() as Record<string, number>;
    for (const [key, value] of Object.entries(c.expected)) expect(Math.abs(told[key]! - value)).toBeLessThan(0.01);
  });

  it.each(deltaBullingtonGolden())('$id within 0.1 dB of the examples of Study Group 3', (c) => {
    const told = sunperch(...argsOf(c)).json() as Record<string, number>;
    expect(Math.abs(told['diffraction_dB']! - c.expected.diffraction_dB)).toBeLessThan(0.1);
    expect(told['loss_dB']).toBeCloseTo(told['freeSpace_dB']! + told['diffraction_dB']!, 9);
  });

  const hill = put('hill.csv', profileCsv([0, 1, 2, 2.5, 3, 4, 5], [100, 100, 105, 140, 105, 100, 100]));
  const hilly = ['path', '--profile', hill, '--frequency', '915', '--from-height', '10', '--to-height', '2'];

  it('takes vertical polarization, coasts far away and no spread unless told', () => {
    const loss = (...more: string[]) =>
      (sunperch(...hilly, '--time', '50', '--lat', '46', ...more, '--json').json() as { loss_dB: number }).loss_dB;
    expect(loss('--polarization', 'v')).toBe(loss());
    expect(loss('--locations', '95')).toBe(loss());
    expect(loss('--locations', '95', '--square', '100')).toBeGreaterThan(loss() + 2);
  });

  it('refuses more than half of the time, in a sentence and as JSON', () => {
    const run = sunperch(...hilly, '--time', '51', '--json');
    expect(run.code).toBe(1);
    expect(run.err).toMatch(/^--time: The loss is asked for 51 % of time: ITU-R P\.1812 gives no figure above 50 %/);
    expect(run.json()).toMatchObject({ problems: [{ code: 'path.time', place: { field: '--time' } }] });
  });

  it('says a link in words and draws it', () => {
    const svg = join(folder, 'link.svg');
    const ends = ['examples/hut-kaldra.yaml', 'examples/rescue-post.yaml'];
    const kits = ['--kit-a', 'examples/alder-3.yaml', '--kit-b', 'examples/alder-3.yaml'];
    const run = sunperch('path', ...ends, ...kits, '--profile', hill, '--region', 'EU', '--svg', svg);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/^The link from Hut Kaldra to Rescue post, 5\.00 km, is on the edge: .* to\nspare/);
    expect(unfolded(run.out)).toContain('keeps a rule of the European table');
    checkPicture(readFileSync(svg, 'utf8'));
  });

  it.each([
    ['one end', ['path', '46.4,10.2'], 2, /one end is named: a path has two/],
    ['no ground', ['path', '46.4,10.2', '46.5,10.2'], 1, /--terrain: the ground between the two ends is not given/],
    ['places south of the equator', ['path', '-44.3,168.9', '-44.4,168.9'], 1, /--terrain: the ground between/],
    [
      'a link option without a link',
      ['path', '--profile', 'x.csv', '--fade-margin', '3'],
      2,
      /--fade-margin is about a link/,
    ],
    ['an unknown method', ['path', '--profile', 'x.csv', '--method', 'line'], 2, /Allowed choices are p1812/],
    ['no such file', ['path', '--profile', 'no-such.csv'], 1, /^no-such.csv: cannot be read: there is no such file/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch(...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

describe('sunperch airtime', () => {
  it('gives the worked example of AN1200.13: 164.864 ms', () => {
    const base = ['airtime', '--sf', '9', '--bandwidth', '125', '--coding-rate', '4/5', '--payload', '13'];
    const run = sunperch(...base, '--preamble', '8', '--json');
    expect((run.json() as { timeOnAir_ms: number }).timeOnAir_ms).toBeCloseTo(164.864, 6);
  });

  it('takes the options of the contract', () => {
    const run = (...more: string[]) =>
      sunperch('airtime', '--sf', '8', '--bandwidth', '125', '--payload', '10', ...more, '--json').json() as {
        timeOnAir_ms: number;
        lowRate: boolean;
      };
    // ns-3 LoRaWAN module, case 4 (78.336 ms): SF8, 4/6, no header; without the check 16 bits less.
    expect(run('--coding-rate', '4/6', '--implicit-header')['timeOnAir_ms']).toBeCloseTo(78.336, 6);
    // 12 bytes at SF8: ceil(108/32) = 4 blocks of 5 symbols with the check, ceil(92/32) = 3 without (SX1276 data sheet, 4.1.1.7).
    const saved_ms = run('--payload', '12').timeOnAir_ms - run('--payload', '12', '--no-crc').timeOnAir_ms;
    expect(saved_ms).toBeCloseTo(5 * 2.048, 6);
    expect(run('--low-rate', 'on')['lowRate']).toBe(true);
    expect(run('--low-rate', 'auto')['lowRate']).toBe(false);
  });

  it.each([
    ['a rate that is none', ['--coding-rate', '4/9'], 1, /The coding rate is "4\/9"/],
    ['a mode that is none', ['--low-rate', 'maybe'], 2, /Allowed choices are on, off, auto/],
    ['a payload in words', ['--payload', 'ten'], 2, /'ten' is not a number/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('airtime', '--sf', '8', '--bandwidth', '125', '--payload', '10', ...args);
    expect(run.code).toBe(code);
    expect(run.err).toMatch(sentence);
  });
});

describe('sunperch sweep', () => {
  it('answers by its contract for the synthetic antenna of the shared reference folder (0.0005)', () => {
    const run = sunperch('sweep', 'test/golden/ant_db.s1p', '--marker', '868', '--marker', '915', '--json');
    const told = run.json() as {
      points: number;
      minVswr: number;
      atMinVswr_MHz: number;
      markers: { frequency_MHz: number; vswr: number; returnLoss_dB: number; mismatchLoss_dB: number }[];
      usable: { from_MHz: number; to_MHz: number; limitVswr: number };
    };
    expect(told).toMatchObject({
      points: 101,
      atMinVswr_MHz: 892,
      usable: { from_MHz: 870, to_MHz: 916, limitVswr: 2 },
    });
    expect(Math.abs(told.minVswr - 1.19048)).toBeLessThan(0.0005);
    expect(Math.abs(told.markers[0]!.vswr - 2.02721)).toBeLessThan(0.0005);
    expect(Math.abs(told.markers[0]!.returnLoss_dB - 9.38768)).toBeLessThan(0.0005);
    expect(Math.abs(told.markers[1]!.vswr - 1.9432)).toBeLessThan(0.0005);
  });

  it('draws, and says it in words', () => {
    const svg = join(folder, 'sweep.svg');
    const run = sunperch('sweep', 'test/golden/ant_ri.s1p', '--region', 'EU', '--marker', '868', '--svg', svg);
    expect(run.out).toMatch(/^test\/golden\/ant_ri\.s1p is best matched at 892 MHz, standing-wave ratio 1\.19/);
    expect(checkPicture(readFileSync(svg, 'utf8')).title).toBe('Match of test/golden/ant_ri.s1p');
  });

  it.each([
    ['a marker outside', ['--marker', '2400'], 1, /The marker at 2400 MHz lies outside the sweep/],
    ['a band in words', ['--band', 'all'], 2, /'all' is no band: write it like 863-870/],
    ['an unknown region', ['--region', 'Mars'], 1, /is no region of the table/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('sweep', 'test/golden/ant_ri.s1p', ...args);
    expect(run.code).toBe(code);
    expect(run.err).toMatch(sentence);
  });
});

describe('sunperch limits', () => {
  it('gives rows with citation and how sure they are', () => {
    const told = sunperch('limits', 'EU', '--json').json() as { readOn: string; rows: Record<string, unknown>[] };
    expect(told.readOn).toMatch(/^\d{4}-\d\d-\d\d$/);
    for (const row of told.rows) {
      expect(row['citation']).toEqual(expect.any(String));
      expect(row['confirmation']).toMatch(/^(confirmed|partly|from memory)$/);
    }
  });

  it('tells power above the limit, computed all the same', () => {
    const run = sunperch('limits', 'EU', '--frequency', '868.3', '--power', '20', '--gain', '2.15');
    expect(run.code).toBe(0);
    expect(unfolded(run.out)).toContain('keeps no rule of the European table');
    expect(run.out).toContain('22.1 dBm e.i.r.p., 20.0 dBm e.r.p.');
    expect(run.out).toContain('local law decides');
  });

  it('an unknown region is told with the known ones', () => {
    const run = sunperch('limits', 'Mars');
    expect(run).toMatchObject({ code: 1, out: '' });
    expect(run.err).toMatch(/"Mars" is no region of the table: it knows US, EU, UK, AU, NZ, JP, IN/);
  });
});

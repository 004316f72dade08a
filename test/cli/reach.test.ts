import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { decode } from 'fast-png';
import { fromArrayBuffer } from 'geotiff';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { OSSEL, osselGrid } from '../../src/core/terrain/index.ts';
import { hgtFrame, hgtName, writeHgt } from '../../src/formats/hgt.ts';
import { checkPage } from '../report/check-page.ts';
import { checkPicture } from '../report/xml.ts';
import { cli, ensureBuilt } from './built.ts';

const folder = mkdtempSync(join(tmpdir(), 'sunperch-reach-'));
const terrain = join(folder, 'terrain');
mkdirSync(terrain);
writeFileSync(
  join(terrain, hgtName(OSSEL.latitude_deg, OSSEL.longitude_deg)),
  writeHgt(osselGrid(hgtFrame({ south_deg: 46, west_deg: 10 }, 1201), 1)),
);
beforeAll(ensureBuilt);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const KIT = ['--kit', 'examples/alder-3.yaml'];
const TERRAIN = ['--terrain', terrain];
const SHOULDER = '46.425,10.195,5';
const file = (name: string) => join(folder, name);

describe('sunperch reach', () => {
  it('writes the report page: one file with map, ways, panorama, role, limits and cautions', () => {
    const page = file('reach.html');
    const more = ['--candidates', 'examples/ossel-candidates.yaml', '--region', 'EU', '--report', page];
    const places = ['--places', 'examples/ossel-places.csv'];
    const run = cli(['reach', SHOULDER, ...KIT, ...TERRAIN, '--radius', '8', ...places, ...more, '--json']);
    expect(run.code).toBe(0);
    const told = run.json();
    expect(told['files']).toEqual([page]);
    const html = readFileSync(page, 'utf8');
    checkPage(html);
    expect(html.length).toBeLessThan(1_500_000);
    const sections = [...html.matchAll(/<section id="([^"]+)"/g)].map((m) => m[1]);
    expect(sections).toEqual(
      expect.arrayContaining(['map', 'shares', 'places', 'profiles', 'panorama', 'role', 'limits', 'cautions']),
    );
    expect(html.replaceAll('\u00a0', ' ')).toContain(`<h1>${told['verdict']}</h1>`);
    for (const p of told['places'] as { name: string; margin_dB: number }[])
      expect(html).toMatch(new RegExp(`>\\d+ ${p.name}<.*?>${p.margin_dB.toFixed(1).replace('-', '−')}<`, 's'));
    for (const caution of ['Keep two attachment points', 'surge arrester', 'overhead line kills', 'limited by law'])
      expect(html).toContain(caution);
    const map = decode(Buffer.from(/data:image\/png;base64,([^"]+)"/.exec(html)![1]!, 'base64'));
    expect([map.width, map.height]).toEqual([800, 800]);
  });

  it('tells a region or candidates that are not known, and files that cannot be written, before it computes', () => {
    const base = ['reach', SHOULDER, ...KIT, ...TERRAIN, '--radius', '1'];
    const report = ['--report', file('not.html')];
    expect(cli([...base, ...report, '--sight-only']).err).toContain('leave one of them out');
    expect(cli([...base, ...report, '--region', 'Mars']).code).toBe(1);
    const far = cli([...base, ...report, '--candidates', 'examples/ossel-candidates.yaml']);
    expect(far.code).toBe(1);
    expect(far.err).toContain('names no other perch within 1 km');
    expect(existsSync(file('not.html'))).toBe(false);
    // The terrain is not there: whoever complains of something else has looked before.
    const early = (...args: string[]) => cli(['reach', SHOULDER, '--terrain', file('nowhere'), ...args]).err;
    writeFileSync(file('mine'), '');
    for (const option of ['--out', '--png', '--geojson', '--report'])
      expect(early(option, join(file('mine'), 'deep'))).toContain('cannot be written');
    expect(early('--out', file('one'), '--png', file('one'))).toContain('--out and --png name one file');
    expect(early('--sight-only', '--png', file('s.png'))).toContain('--png is about links, and --sight-only computes');
    expect(early('--report', file('no.html'), '--paper', 'A4')).toContain('name a file that ends in .pdf');
  });

  it('tells role, limits and cautions without a page too', () => {
    const base = ['reach', SHOULDER, ...KIT, ...TERRAIN, '--radius', '3'];
    const plain = cli([...base, '--json']).json();
    expect(plain).toMatchObject({ role: null, limits: null });
    const more = ['--candidates', 'examples/ossel-candidates.yaml', '--region', 'EU'];
    const told = cli([...base, ...more, '--json']).json() as Record<string, never>;
    const { role, reason, links } = told['role'] as { role: string; reason: string; links: { name: string }[] };
    expect(['leaf', 'relay', 'backbone']).toContain(role);
    expect(reason).not.toBe('');
    expect(links.length).toBeGreaterThan(0);
    expect(Object.keys(links[0]!)).toEqual(['name', 'distance_km', 'margin_dB', 'odds', 'sight']);
    expect(told['limits']).toMatchObject({ region: 'EU', lines: [{ within: true }, { within: true }] });
    const codes = (told['cautions'] as { code: string }[]).map((c) => c.code);
    expect(codes).toEqual(
      expect.arrayContaining([
        'work-at-height',
        'lightning-and-earthing',
        'overhead-lines',
        'radio-limits',
        'limits-dated',
      ]),
    );
    const { out } = cli([...base, ...more]);
    expect(out).toContain(`Role: ${role}, for `);
    expect(out.replace(/\s+/g, ' ')).toContain('Legal limits, EU:');
  });

  it('writes margin, picture and contours, all of the same ground, by workers', async () => {
    const [tif, png, geo] = ['m.tif', 'm.png', 'm.geojson'].map(file) as [string, string, string];
    const run = cli([
      'reach',
      SHOULDER,
      ...KIT,
      ...TERRAIN,
      '--radius',
      '6',
      '--places',
      'examples/ossel-places.csv',
      '--out',
      tif,
      '--png',
      png,
      '--geojson',
      geo,
      '--json',
    ]);
    expect(run.code).toBe(0);
    const told = run.json();
    expect(Object.keys(told)).toEqual(
      expect.arrayContaining([
        'command',
        'verdict',
        'share',
        'places',
        'skipped',
        'mostLoss_dB',
        'assumptions',
        'files',
      ]),
    );
    expect(told['files']).toEqual([tif, png, geo]);
    const image = await (await fromArrayBuffer(new Uint8Array(readFileSync(tif)).buffer)).getImage();
    const [margins] = (await image.readRasters()) as unknown as [Float32Array];
    const known = Array.from(margins).filter((v) => !Number.isNaN(v));
    expect(known.length).toBe(told['cells']);
    const share = (told['share'] as { reached: number }).reached;
    expect(known.filter((v) => v >= 0).length / known.length).toBeCloseTo(share, 2);
    // Cells on the terrain's own lattice: samples of a tile are points at whole multiples of 3 arc-seconds.
    const [west] = image.getBoundingBox() as [number];
    expect(Math.abs(west * 1200 - Math.round(west * 1200))).toBeLessThan(1e-6);
    expect(decode(readFileSync(png)).width).toBe(1000);
    const contours = JSON.parse(readFileSync(geo, 'utf8')) as { features: { properties: { margin_dB: number } }[] };
    expect(contours.features.map((f) => f.properties.margin_dB)).toEqual([0, 10, 20]);
  });

  it('counts ground cover, walls and measured links, by workers as in path', () => {
    const cover = ['--cover', 'examples/ossel-cover.geojson'];
    const base = ['reach', SHOULDER, ...KIT, ...TERRAIN, '--radius', '3', '--places', 'examples/ossel-places.csv'];
    writeFileSync(file('m.csv'), 'link,snr_dB,date,expectedSnr_dB\nx > y,-6,2026-03-01,-3\nx > z,-9,2026-03-01,-5\n');
    const told = cli([...base, ...cover, '--indoors', '--measured', file('m.csv'), '--json']).json();
    expect(told).toMatchObject({ indoors: 'traditional', woods_m: null, cover: { features: 7 } });
    expect(told['measured']).toMatchObject({ clear: { links: 2, mean_dB: 3.5 }, obstructed: { prior_dB: 10 } });
    const village = (told['places'] as Record<string, number | string>[]).find((p) => p['name'] === 'Village Ossel')!;
    const ends = ['path', SHOULDER, `${village['latitude_deg']},${village['longitude_deg']}`, '--kit-a', KIT[1]!];
    const path = cli([...ends, ...TERRAIN, ...cover, '--indoors', '--method', 'delta-bullington', '--json']).json();
    const extra = path['extraLosses'] as { what: string; loss_dB: number }[];
    expect(extra.map((e) => e.what.split(' ')[0])).toEqual(['houses', 'walls']);
    const excess_dB = (told['measured'] as { clear: { excess_dB: number } }).clear.excess_dB;
    expect(Math.abs((village['margin_dB'] as number) + excess_dB - (path['margin_dB'] as number))).toBeLessThan(0.05);
    const words = cli([...base, ...cover]).out;
    expect(words.replaceAll(/\s+/g, ' ')).toContain('Ground cover of examples/ossel-cover.geojson: open on');
    expect(cli([...base, ...cover, '--sight-only']).err).toContain('--sight-only computes none');
  });

  it('keeps the contract of --sight-only', () => {
    const place = ['--lat', '46.425', '--lon', '10.195', '--height', '10', '--target-height', '2', '--radius', '4'];
    const told = cli(['reach', ...place, ...TERRAIN, '--sight-only', '--out', file('s.tif'), '--json']).json();
    expect(told['cellsInRange']).toBeGreaterThan(told['cellsVisible'] as number);
    expect(existsSync(file('s.tif'))).toBe(true);
    const fromFile = cli(['reach', 'examples/hut-kaldra.yaml', '--radius', '2', ...TERRAIN, '--sight-only', '--json']);
    expect(fromFile.code).toBe(0);
  });

  it('speaks: the answer first, then shares, places, what is assumed', () => {
    const { out } = cli([
      'reach',
      SHOULDER,
      ...KIT,
      ...TERRAIN,
      '--radius',
      '6',
      '--places',
      'examples/ossel-places.csv',
    ]);
    expect(out).toMatch(/^46\.425 N 10\.195 E reaches \d/);
    for (const words of [
      'of it in line of sight',
      'Village Ossel',
      'Not judged',
      'Hut Kaldra: at the perch itself',
      'Assumed',
    ])
      expect(out).toContain(words);
  });

  it.each([
    [['reach', ...TERRAIN], 'no place is named'],
    [['reach', SHOULDER, '--lat', '46.4', '--lon', '10.2', ...TERRAIN], 'one place is wanted'],
    [['reach', '47.5,10.2', ...TERRAIN], 'lies outside the terrain'],
    [['reach', SHOULDER, ...TERRAIN, '--radius', '200'], 'lies between 0.5 and 60 km'],
    [['reach', SHOULDER, ...TERRAIN, '--places', 'none.csv'], 'there is no such file'],
    [['horizon', '46.4,10.2', '--others', '46.4,10.2', ...TERRAIN], 'stand at one spot'],
    [['rank', 'examples/ossel-places.csv', ...KIT, '--area', '46.4', ...TERRAIN], 'LAT,LON,RADIUS in km'],
    [['find', ...KIT, '--area', '46.4,10.2,5', '--n', '30', ...TERRAIN], '--n is 30'],
  ])('tells what is wrong with %j', (args, sentence) => {
    const { code, err } = cli(args);
    expect(code).toBe(1);
    expect(err).toContain(sentence);
  });
});

describe('sunperch horizon', () => {
  it('draws the panorama and prints the skyline for a perch file', () => {
    const svg = file('p.svg');
    const others = ['--others', '46.412,10.248,6', '46.39,10.125,4'];
    const told = cli(['horizon', SHOULDER, ...others, ...KIT, ...TERRAIN, '--svg', svg, '--json']).json();
    expect((told['others'] as { sight: string }[]).map((o) => o.sight)).toEqual(['clear', 'blocked']);
    expect(told['months']).toHaveLength(12);
    checkPicture(readFileSync(svg, 'utf8'));
    expect(readFileSync(svg).length).toBeLessThan(60_000);
    const yaml = cli(['horizon', SHOULDER, ...TERRAIN, '--yaml']).out;
    writeFileSync(
      file('perch.yaml'),
      `name: Shoulder\nlatitude_deg: 46.425\nlongitude_deg: 10.195\nelevation_m: 2148\n${yaml}`,
    );
    // What is printed stands in a perch file and feeds the year.
    const year = cli(['year', 'examples/alder-3.yaml', file('perch.yaml'), '--years', '2', '--json']);
    expect(year.code).toBe(0);
    expect(JSON.stringify(year.json()['assumptions'])).not.toContain('perch.horizon');
  });
});

describe('sunperch rank and find', () => {
  it('rank candidates, with the front and the roles', () => {
    const all = readFileSync('examples/ossel-candidates.yaml', 'utf8').split(/^(?=- )/m);
    writeFileSync(file('three.yaml'), all.slice(1, 4).join(''));
    const args = ['rank', file('three.yaml'), ...KIT, ...TERRAIN, '--area', '46.405,10.21,2'];
    const told = cli([...args, '--places', 'examples/ossel-places.csv', '--json']).json();
    const rows = told['candidates'] as { name: string; onFront: boolean; role: string }[];
    expect(rows).toHaveLength(3);
    expect(rows.filter((r) => r.onFront).map((r) => r.name)).toEqual(told['front']);
    expect(rows.every((r) => ['leaf', 'relay', 'backbone'].includes(r.role))).toBe(true);
  });

  it('find perches near the paths, and print the gap', () => {
    const args = ['find', ...KIT, ...TERRAIN, '--area', '46.405,10.21,4', '--n', '2', '--judged', '20'];
    const more = ['--places', 'examples/ossel-places.csv', '--paths', 'examples/ossel-paths.geojson'];
    const { out, code } = cli([...args, ...more]);
    expect(code).toBe(0);
    expect(out).toMatch(/optimality gap 0 %/);
    const told = cli([...args, ...more, '--json']).json();
    expect(told['chosen']).toHaveLength(2);
    expect(told['gap']).toBe(0);
  });
});

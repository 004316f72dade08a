import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { FULL_KIT, HUT } from '../app/records.ts';
import { epw, HEAD, type Hour, invent, PLACE, plain, tmy3 } from '../formats/weather/make.ts';
import { cli, ensureBuilt, KIT, PERCH, ROOT, type Told } from './built.ts';

/*
 * What is wrong with the input is told in a sentence that names file, line, field, what was found and the mend; never
 * swallowed, never a stack trace, and nothing on standard output. The files are those of a user, through the program.
 */

const folder = mkdtempSync(join(tmpdir(), 'bad-input-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeAll(ensureBuilt, 120_000);

const kitText = FULL_KIT;
const perchText = HUT;

/** Runs in the folder of the bad file, so that messages name it shortly. */
function told(args: readonly string[], files: Readonly<Record<string, string | Uint8Array>> = {}): Told {
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return cli(args, { cwd: folder });
}

/** The one replacement; fails when the text does not hold what is to be replaced. */
function swap(text: string, from: string, to: string): string {
  if (!text.includes(from)) throw new Error(`the text does not hold "${from}"`);
  return text.replace(from, to);
}
const lineOf = (text: string, part: string) => text.slice(0, text.indexOf(part)).split('\n').length;

function expectRefused(run: Told, ...sentences: readonly (string | RegExp)[]): void {
  expect(run).toMatchObject({ code: 1, out: '' });
  const lines = run.err.trimEnd().split('\n');
  expect(lines, run.err).toHaveLength(sentences.length);
  for (const [i, sentence] of sentences.entries()) expect(lines[i]).toMatch(sentence);
  // Every line ends in a stable code.
  for (const line of lines) expect(line).toMatch(/ \[[a-zA-Z.-]+\]$/);
}

describe('kit and perch', () => {
  it('latitude 95', () => {
    const bad = swap(perchText, 'latitude_deg: 46.4', 'latitude_deg: 95');
    const line = lineOf(bad, 'latitude_deg: 95');
    expectRefused(
      told(['year', KIT, 'perch.yaml'], { 'perch.yaml': bad }),
      new RegExp(
        `^perch\\.yaml:${line}:15: perch\\.latitude_deg: latitude_deg is 95: a latitude lies between -90 and 90; is it the longitude\\?`,
      ),
    );
  });

  it('tilt -200', () => {
    const bad = swap(perchText, 'tilt_deg: 70', 'tilt_deg: -200');
    expectRefused(
      told(['year', KIT, 'perch.yaml'], { 'perch.yaml': bad }),
      new RegExp(
        `^perch\\.yaml:${lineOf(bad, 'tilt_deg: -200')}:11: perch\\.tilt_deg: tilt_deg is -200: a tilt lies between 0 and 90`,
      ),
    );
    expectRefused(
      told(['weather', 'x.epw', '--tilt', '-200']),
      /^--tilt: --tilt is -200: a tilt lies between 0 and 90/,
    );
  });

  it('capacity 0', () => {
    const bad = swap(kitText, 'capacity_mAh: 3350', 'capacity_mAh: 0');
    expectRefused(
      told(['year', 'kit.yaml', PERCH], { 'kit.yaml': bad }),
      new RegExp(
        `^kit\\.yaml:${lineOf(bad, 'capacity_mAh: 0')}:17: kit\\.cells\\.capacity_mAh: capacity_mAh is 0: the capacity of one cell lies between 20 and 200000`,
      ),
    );
  });

  it('reconnect below cut-off', () => {
    const bad = swap(kitText, 'reconnect_V: 3.6', 'reconnect_V: 3.1');
    expectRefused(
      told(['year', 'kit.yaml', PERCH], { 'kit.yaml': bad }),
      new RegExp(
        `^kit\\.yaml:${lineOf(bad, 'reconnect_V: 3.1')}:16: kit\\.cutoff\\.reconnect_V: reconnect_V is 3\\.1, below cutoff_V 3\\.2: the load must come back above`,
      ),
    );
  });

  it('ceiling below reconnect', () => {
    const bad = swap(kitText, 'ceiling_V: 4.1', 'ceiling_V: 3.5');
    expectRefused(
      told(['year', 'kit.yaml', PERCH], { 'kit.yaml': bad }),
      new RegExp(
        `^kit\\.yaml:${lineOf(bad, 'ceiling_V: 3.5')}:14: kit\\.charger\\.ceiling_V: ceiling_V is 3\\.5, not above reconnect_V 3\\.6: the load could never come back`,
      ),
    );
    const socs = told([
      ...['year', join(ROOT, 'examples/reference/kit.yaml'), PERCH],
      ...['--set', 'kit.charger.ceiling_soc=0.15'],
    ]);
    expectRefused(socs, /ceiling_soc is 0\.15, not above reconnect_soc 0\.2/);
  });

  it('monthly radiation above the extraterrestrial limit, told for each month that is', () => {
    const bad = swap(perchText, '[1.85, 2.85,', '[6.85, 9.85,');
    expectRefused(
      told(['year', KIT, 'perch.yaml'], { 'perch.yaml': bad }),
      /^perch\.yaml:\d+:22: perch\.climate\.monthly\.ghi_kWh_m2_day\[0\]: ghi_kWh_m2_day of January is 6\.85: above the air itself only 3\.\d+ kWh\/m2 a day arrive at latitude 46\.4; are the months in order, the hemisphere and the unit right\?/,
      /ghi_kWh_m2_day\[1\]: ghi_kWh_m2_day of February is 9\.85/,
    );
    const ghi = '6.7,2.6,3.9,4.9,5.4,5.9,5.9,5.0,4.1,2.8,1.8,1.4';
    const run = told([
      ...['tilt', '--lat', '46.4', '--lon', '10.2', '--ghi', ghi, '--tilt', '60'],
      ...['--temperature', '1,1,1,1,1,1,1,1,1,1,1,1'],
    ]);
    expectRefused(run, /^--ghi: --ghi of January is 6\.7, but no more than 3\.\d+ reaches the top of the atmosphere/);
  });

  it('a panel whose Vmp cannot reach the cells through a linear charger', () => {
    const kit = `
name: Low
panel: { power_W: 1, vmp_V: 4 }
charger: { type: linear, dropout_V: 0.2, ceiling_V: 4.2 }
cutoff: { cutoff_V: 3.2, reconnect_V: 3.6 }
cells: { count: 1, capacity_mAh: 3000 }
load: { average_mA: 10 }
`;
    expectRefused(
      told(['year', 'low.yaml', PERCH], { 'low.yaml': kit }),
      /^low\.yaml:3:\d+: kit\.panel\.vmp_V: vmp_V is 4: a linear charger needs at least 4\.4 V \(cells at the ceiling 4\.2 V \+ dropout 0\.2 V\); take a panel of higher voltage or a charger that steps up/,
    );
  });

  it('unknown keys name the nearest known one', () => {
    const bad = swap(swap(kitText, 'currentLimit_mA', 'currentLimt_mA'), 'enclosure:', 'enclosur:');
    expectRefused(
      told(['year', 'kit.yaml', PERCH], { 'kit.yaml': bad }),
      /^kit\.yaml:\d+:3: kit\.charger\.currentLimt_mA: .* did you mean currentLimit_mA\?/,
      /^kit\.yaml:\d+:1: kit\.enclosur: .* did you mean enclosure\?/,
    );
  });

  it('YAML with tabs, with keys that stand twice, with nothing in it, with bytes that are no text', () => {
    expectRefused(
      told(['year', KIT, 'tab.yaml'], { 'tab.yaml': 'latitude_deg: 46\nclimate:\n\tmonthly: 3\n' }),
      /^tab\.yaml:3:1: the line is indented with a tab: YAML wants blanks, two for each level/,
    );
    expectRefused(
      told(['year', KIT, 'twice.yaml'], { 'twice.yaml': 'latitude_deg: 46\nlongitude_deg: 10\nlatitude_deg: 47\n' }),
      /^twice\.yaml:3:1: latitude_deg: latitude_deg stands twice: first on line 1; delete one of the two/,
    );
    expectRefused(
      told(['year', KIT, 'empty.yaml'], { 'empty.yaml': '' }),
      /^empty\.yaml:1:1: the file is empty: wanted keys and values/,
    );
    expectRefused(
      told(['year', KIT, 'bytes.yaml'], { 'bytes.yaml': Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 0xff) }),
      /^bytes\.yaml: this is not a text file/,
    );
  });

  it('all errors of both files at once, each with its line', () => {
    const kit = swap(
      swap(swap(kitText, 'capacity_mAh: 3350', 'capacity_mAh: 0'), 'reconnect_V: 3.6', 'reconnect_V: 3.0'),
      'airtime_s_per_h: 120',
      'airtime_s_per_h: 7200',
    );
    const perch = swap(swap(perchText, 'latitude_deg: 46.4', 'latitude_deg: 95'), 'tilt_deg: 70', 'tilt_deg: -200');
    const run = told(['year', 'kit.yaml', 'perch.yaml'], { 'kit.yaml': kit, 'perch.yaml': perch });
    expectRefused(
      run,
      /kit\.cutoff\.reconnect_V/,
      /kit\.cells\.capacity_mAh/,
      /kit\.load\.transmit\.airtime_s_per_h: airtime_s_per_h is 7200: .* between 0 and 3600/,
      /perch\.latitude_deg/,
      /perch\.tilt_deg/,
    );
    const lines = run.err
      .split('\n')
      .slice(0, 3)
      .map((l) => Number(/^kit\.yaml:(\d+):/.exec(l)?.[1]));
    expect(lines).toEqual([...lines].sort((a, b) => a - b));
  });

  it('a byte-order mark and mixed line ends in YAML are no error', () => {
    const perch = '\ufefflatitude_deg: 46\r\nlongitude_deg: 10\nelevation_m: 10\r\n';
    expect(told(['year', KIT, 'marked.yaml', '--years', '1'], { 'marked.yaml': perch })).toMatchObject({
      code: 0,
      err: '',
    });
  });

  it('settings that name nothing, or no setting at all', () => {
    const wrong = (set: string) => told(['load', KIT, '--set', set]);
    expectRefused(wrong('kit.panel.powr_W=2'), /^--set: kit\.panel\.powr_W: .* did you mean power_W\?/);
    expectRefused(
      wrong('kitt.panel.power_W=2'),
      /"kitt" is no record: a setting begins with kit or perch.*did you mean kit\?/,
    );
    expectRefused(
      wrong('nonsense'),
      /"nonsense" is no setting: wanted a field and its value, e\.g\. kit\.panel\.power_W=2/,
    );
    expectRefused(wrong('kit.load.parts[99].duty=1'), /\[99\] is not there/);
  });

  it('with --json the problems stand on standard output too, with their places', () => {
    const bad = swap(perchText, 'latitude_deg: 46.4', 'latitude_deg: 95');
    const run = told(['year', KIT, 'perch.yaml', '--json'], { 'perch.yaml': bad });
    expect(run.code).toBe(1);
    expect(run.json()).toEqual({
      problems: [
        {
          code: 'out-of-range',
          message: expect.stringContaining('latitude_deg is 95'),
          place: {
            file: 'perch.yaml',
            line: lineOf(bad, 'latitude_deg: 95'),
            column: 15,
            field: 'perch.latitude_deg',
          },
        },
      ],
    });
  });
});

describe('weather files', () => {
  const year = invent([2019]);
  const cut = (lines: string[], row: number, count: number) => {
    lines.splice(row, count);
    return lines;
  };
  const put = (lines: string[], row: number, field: number, value: string) => {
    const parts = lines[row]!.split(',');
    parts[field] = value;
    lines[row] = parts.join(',');
    return lines;
  };
  const text = (lines: readonly string[]) => `${lines.join('\n')}\n`;
  const withoutGhi = (hours: readonly Hour[]) =>
    plain(hours, 'time,dni_W_m2,dhi_W_m2,temperature_degC,wind_m_s', (h) => {
      const [time, , ...rest] = plain([h]).at(-1)!.split(',');
      return [time, ...rest].join(',');
    });

  it.each<[string, string, string, RegExp[]]>([
    [
      'a missing column',
      'missing.csv',
      text(withoutGhi(year)),
      [/^missing\.csv:5: The column ghi_W_m2 is missing; found: "time", "dni_W_m2"/],
    ],
    [
      'a gap',
      'gap.epw',
      text(cut(epw(year), HEAD.epw + 2000, 100)),
      [/^gap\.epw:2008: 100 hours are missing between line 2008 \(25 March 07:00\) and line 2009/, /8,660 rows/],
    ],
    [
      '8,700 lines',
      'short.csv',
      text(tmy3(year).slice(0, HEAD.tmy3 + 8700)),
      [
        /^short\.csv: 8,700 rows: a year has 8,760 \(8,784 with 29 February\), and whole years are needed; .* line 8702/,
      ],
    ],
    [
      'a time zone of another continent',
      'zone.epw',
      text(epw(year, { ...PLACE, utcOffset_h: -5 })),
      [
        /^zone\.epw:1: LOCATION utcOffset_h: A UTC offset of −5 h does not fit longitude 10\.2°.*: is the sign of the longitude right/,
      ],
    ],
    [
      'a time zone three hours off',
      'clock.epw',
      text(epw(year, { ...PLACE, utcOffset_h: 4 })),
      [/^clock\.epw: utcOffset_h: Radiation peaks 3\.\d h before solar noon .*: is the UTC offset \+4 right/],
    ],
    [
      'NaN',
      'nan.epw',
      text(put(epw(year), HEAD.epw + 100, 13, 'NaN')),
      [/^nan\.epw:109:\d+: global horizontal radiation: "NaN" stands where a number should/],
    ],
    ['an empty file', 'none.epw', '', [/^none\.epw: The file is empty/]],
    [
      'a kit in place of the weather',
      'kit.epw',
      kitText,
      [/^kit\.epw:1: The file begins with "name: Ash 3", which is none of the formats read: EPW, TMY3 CSV/],
    ],
    [
      'several faults, all at once',
      'many.csv',
      text(
        put(put(put(plain(year), HEAD.plain + 100, 1, 'NaN'), HEAD.plain + 200, 4, 'x'), HEAD.plain + 400, 1, '5000'),
      ),
      [
        /^many\.csv:106:\d+: ghi_W_m2: "NaN"/,
        /^many\.csv:206:\d+: temperature_degC: "x"/,
        /^many\.csv:406: ghi_W_m2: .*5000/,
      ],
    ],
  ])('%s', (_, name, content, sentences) => {
    expectRefused(told(['weather', name], { [name]: content }), ...sentences);
    // The same words where the file is named by another command.
    expectRefused(told(['year', KIT, PERCH, '--weather', name]), ...sentences);
  });

  it('mixed line ends are read and told; a byte-order mark and gzip are read', () => {
    const lines = epw(year);
    const good = told(['weather', 'good.epw', '--json'], { 'good.epw': text(lines) });
    const mixed = told(['weather', 'mixed.epw', '--json'], {
      'mixed.epw': lines.map((line, i) => line + (i % 2 ? '\r\n' : '\n')).join(''),
    });
    expect(mixed).toMatchObject({ code: 0, err: '' });
    expect(mixed.json()['notes']).toEqual([expect.stringMatching(/Line ends are mixed: 4,384 CRLF, 4,384 others/)]);
    const marked = told(['weather', 'marked.epw', '--json'], { 'marked.epw': `\ufeff${text(lines)}` });
    const zipped = told(['weather', 'zipped.epw', '--json'], { 'zipped.epw': gzipSync(text(lines)) });
    for (const run of [mixed, marked, zipped])
      expect(run.json()['poa_kWh_m2_day']).toEqual(good.json()['poa_kWh_m2_day']);
    expectRefused(
      told(['weather', 'half.epw'], { 'half.epw': gzipSync(text(lines)).subarray(0, 20_000) }),
      /^half\.epw: The gzip file is cut off before its end: fetch it again/,
    );
  });
});

describe('paths', () => {
  it('that cannot be read', () => {
    expectRefused(
      told(['year', 'absent.yaml', 'nowhere.yaml']),
      /^absent\.yaml: cannot be read: there is no such file/,
      /^nowhere\.yaml: cannot be read: there is no such file/,
    );
    expectRefused(told(['year', folder, PERCH]), /cannot be read: it is a folder, a file is wanted/);
    expectRefused(told(['year', `${KIT}/x.yaml`, PERCH]), /cannot be read: a part of the path is a file, not a folder/);
    expectRefused(told(['weather', 'absent.epw']), /^absent\.epw: There is no such file/);
    expectRefused(told(['weather', folder]), /This is a directory: name the weather file in it/);
    expectRefused(told(['weather', `${KIT}/x.epw`]), /There is no such file: a part of its path is no directory/);
  });

  it('that cannot be written: told, and nothing is left behind', () => {
    writeFileSync(join(folder, 'file'), 'mine');
    const before = readdirSync(folder).sort();
    const size = ['size', PERCH, '--kit', KIT, '--target', '1 in 2', '--years', '6'];
    for (const [args, sentence] of [
      [
        ['year', KIT, PERCH, '--years', '2', '--report', 'file/report.html'],
        /a part of the path is a file, not a folder/,
      ],
      [[...size, '--svg', '.'], /it is a folder, a file is wanted/],
      [[...size, '--svg', 'file/deep/map.svg'], /a part of the path is a file, not a folder/],
      // A file system without folders of one's own; as root no permission would stop it.
      [[...size, '--svg', '/proc/none/map.svg'], /no folder can be made there/],
      [['new', 'kit', 'file/kit.yaml'], /a part of the path is a file, not a folder/],
    ] as const) {
      const run = told(args);
      expectRefused(run, new RegExp(`cannot be written: ${sentence.source}`));
    }
    expect(readdirSync(folder).sort()).toEqual(before);
    expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('mine');
  });
});

it('random bytes in place of any file: a sentence, never a crash', () => {
  fc.assert(
    fc.property(
      fc.uint8Array({ minLength: 1, maxLength: 400 }),
      fc.constantFrom('kit', 'perch', 'weather', 'log'),
      (bytes, place) => {
        writeFileSync(join(folder, 'random'), bytes);
        const args = {
          kit: ['year', 'random', PERCH],
          perch: ['year', KIT, 'random'],
          weather: ['weather', 'random'],
          log: ['load', '--log', 'random'],
        }[place];
        const run = told(args);
        expect(run).toMatchObject({ code: 1, out: '' });
        expect(run.err).toMatch(/^random/);
      },
    ),
    { seed: 1, numRuns: 12 },
  );
});

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { epw, invent } from '../formats/weather/make.ts';
import { cli, ensureBuilt, KIT, PERCH, ROOT, type Told } from './built.ts';

/* The contract of the commands: names in JSON, exit codes, help, negative values, settings, defaults that are told. */

const folder = mkdtempSync(join(tmpdir(), 'contract-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const WEATHER = join(folder, 'hut.epw');
writeFileSync(WEATHER, `${epw(invent([2019])).join('\n')}\n`);
const REFERENCE = ['examples/reference/kit.yaml', 'examples/reference/perch.yaml'];
const GHI = '5.9,5,4.1,2.8,1.8,1.4,1.7,2.6,3.9,4.9,5.4,5.9';
const COLD = '12,12,8,4,-2,-5,-6,-5,-2,1,6,10';
const SOUTH = ['--lat', '-46.4', '--lon', '-71.5', '--elevation', '-10'];

interface Case {
  readonly command: string;
  readonly args: readonly string[];
  readonly keys: readonly string[];
}

const BALANCE = ['harvest_Wh', 'load_Wh', 'curtailed_Wh', 'losses_Wh', 'stored_Wh', 'error_Wh'];
const PASS = [
  'verdict',
  'dark_h',
  'darkSpells',
  'longestDark_h',
  'unserved_Wh',
  'minStateOfCharge',
  'endStateOfCharge',
];
const MANY = [
  'verdict',
  'years',
  'seed',
  'dark_h_per_year',
  'darkYearShare',
  'worstMonth',
  'longestDark_h',
  'autonomy_d',
];

/** Every energy command with what its JSON must hold by the contract (those without a contract: what a script would look for). */
const CASES: readonly Case[] = [
  {
    command: 'sun',
    args: ['--lat', '39.74', '--lon', '-105.18', '--elevation', '1830', '--at', '2003-10-17T12:30:30-07:00'],
    keys: ['elevation_deg', 'azimuth_deg'],
  },
  {
    command: 'tilt',
    args: [...SOUTH, '--ghi', GHI, '--temperature', COLD, '--tilt', '60', '--azimuth', '-20', '--albedo', '0.2'],
    keys: ['poa_kWh_m2_day', 'years', 'seed'],
  },
  {
    command: 'weather',
    args: [WEATHER, '--tilt', '60', '--azimuth', '180', '--albedo', '0.2'],
    keys: ['rows', 'ghi_kWh_m2_day', 'poa_kWh_m2_day', 'temperature_degC', 'notes'],
  },
  {
    command: 'year (a weather file)',
    args: [
      'year',
      ...REFERENCE,
      ...['--weather', WEATHER, '--repeat', '3'],
      ...['--set', 'kit.panel.power_W=2', '--set', 'perch.tilt_deg=60'],
    ],
    keys: [...PASS, 'harvest_Wh', 'coldBlocked_h', 'balance'],
  },
  {
    command: 'year (many years)',
    args: ['year', KIT, PERCH, '--years', '10', '--seed', '1'],
    keys: [...MANY, 'recovery_d', 'balance', 'assumptions', 'cautions'],
  },
  {
    command: 'size',
    args: [PERCH, '--kit', KIT, '--target', '1 dark winter in 4', '--years', '13'],
    keys: ['frontier', 'lacks', 'verdict', 'years', 'seed'],
  },
  {
    command: 'where',
    args: [KIT, '--only', 'ESP,NZL', '--target', '1 in 2', '--years', '6'],
    keys: ['rows', 'counts', 'verdict', 'years', 'seed'],
  },
  { command: 'thresholds', args: [KIT, PERCH, '--years', '6'], keys: ['recommended', 'verdict', 'dividers'] },
  {
    command: 'compare',
    args: [KIT, 'examples/bare-board.yaml', '--perch', PERCH, '--years', '4'],
    keys: ['kits', 'differences', 'verdict'],
  },
  { command: 'spells', args: [PERCH, '--years', '20'], keys: ['spells', 'lowest', 'verdict'] },
  { command: 'load', args: [KIT], keys: ['load'] },
  { command: 'cell', args: [KIT, '--temperature', '-10'], keys: ['restedVoltage_V', 'usableEnergy_Wh', 'ageing'] },
  { command: 'new (a list)', args: ['new', '--list', 'cells'], keys: ['list', 'parts'] },
  { command: 'new (a file)', args: ['new', 'kit'], keys: ['kind', 'file', 'text'] },
];

const argsOf = ({ command, args }: Case) => (command.includes(' ') ? args : [command, ...args]);

let told: Map<string, Told>;
beforeAll(() => {
  ensureBuilt();
  told = new Map(CASES.map((c) => [c.command, cli([...argsOf(c), '--json'])]));
}, 120_000);

/** Numbers anywhere in a result; JSON has no NaN, it shows as null. */
function numbersIn(value: unknown, path: string, found: [string, number][] = []): [string, number][] {
  if (typeof value === 'number') found.push([path, value]);
  else if (Array.isArray(value)) for (const [i, item] of value.entries()) numbersIn(item, `${path}[${i}]`, found);
  else if (typeof value === 'object' && value !== null)
    for (const [key, item] of Object.entries(value)) numbersIn(item, `${path}.${key}`, found);
  return found;
}

describe('--json', () => {
  it.each(CASES)('$command has the names of the contract, and nothing on standard error', ({ command, keys }) => {
    const run = told.get(command)!;
    expect(run).toMatchObject({ code: 0, err: '' });
    const json = run.json();
    for (const key of keys) expect(json, key).toHaveProperty(key);
    expect(json['command']).toBe(command.split(' ')[0]);
    // The units stand in the names: shares within 0..1, hours of a year within a year.
    for (const [path, value] of numbersIn(json, command)) {
      expect(Number.isFinite(value), path).toBe(true);
      if (/Share(\.|\[|$)|StateOfCharge$/.test(path)) expect(value, path).toBeLessThanOrEqual(1);
      if (/(_h_per_year)(\.|$)/.test(path)) expect(value, path).toBeLessThanOrEqual(8760);
    }
  });

  it('the shapes of the contract', () => {
    const of = (command: string) => told.get(command)!.json() as Record<string, never>;
    for (const [command, key] of [
      ['tilt', 'poa_kWh_m2_day'],
      ['weather', 'ghi_kWh_m2_day'],
      ['weather', 'poa_kWh_m2_day'],
      ['weather', 'temperature_degC'],
    ] as const)
      expect(of(command)[key]).toHaveLength(12);
    expect(of('weather')['rows']).toBe(8760);
    for (const command of ['year (a weather file)', 'year (many years)'])
      expect(Object.keys(of(command)['balance'])).toEqual(BALANCE);
    const many = of('year (many years)');
    for (const key of ['dark_h_per_year', 'darkYearShare'])
      expect(Object.keys(many[key]!).sort()).toEqual(['high', 'low', 'mean']);
    expect(many).toMatchObject({ years: 10, seed: 1 });
    expect(many['worstMonth']).toBeGreaterThanOrEqual(1);
    expect(many['worstMonth']).toBeLessThanOrEqual(12);
    for (const point of of('size')['frontier'] as Record<string, number>[])
      for (const key of ['panel_W', 'cells', 'tilt_deg', 'darkYearShare']) expect(typeof point[key]).toBe('number');
    for (const { field, value, why } of many['assumptions'] as Record<string, string>[])
      for (const text of [field, value, why]) expect(typeof text).toBe('string');
    for (const { code, text } of many['cautions'] as Record<string, string>[])
      expect([code, text].every((t) => typeof t === 'string' && t !== '')).toBe(true);
  });

  it('docs/json.md names every key that is printed at the top', () => {
    const text = readFileSync(join(ROOT, 'docs/json.md'), 'utf8');
    for (const { command } of CASES) {
      const name = command.split(' ')[0]!;
      const section = text.split(/^## /m).find((part) => part.startsWith(`\`${name}\``));
      expect(section, `docs/json.md has a section \`${name}\``).toBeDefined();
      for (const key of Object.keys(told.get(command)!.json()))
        expect(section!.includes(`\`${key}\``) || key === 'command', `${name}: ${key}`).toBe(true);
    }
  });

  it('the same answer again, to the last sign', () => {
    const many = CASES.find((c) => c.command === 'year (many years)')!;
    expect(cli([...argsOf(many), '--json']).out).toBe(told.get(many.command)!.out);
  });
});

describe('in words', () => {
  it.each(CASES.filter((c) => !/^(where|size|new)/.test(c.command)))(
    '$command answers in words first, with what was assumed',
    (c) => {
      const run = cli(argsOf(c));
      expect(run).toMatchObject({ code: 0, err: '' });
      expect(run.out).toMatch(/^[A-Z0-9][^\n]{10,}/);
      expect(run.out).not.toMatch(/NaN|undefined|Infinity/);
    },
  );

  it('the defaults of years and seed are told', () => {
    expect(cli(['spells', PERCH]).out).toMatch(/years: 200 \(.*seed 1/);
    const { out } = cli(['year', KIT, PERCH, '--years', '4']);
    expect(out.replace(/\s+/g, ' ')).toMatch(/years: 4 \(simulated seasons, .*; seed 1\)/);
  });
});

describe('help', () => {
  const commands = () =>
    [...cli(['--help']).out.matchAll(/^ {2}([a-z]+) /gm)].map((m) => m[1]!).filter((name) => name !== 'help');

  it('names every command of the contract', () => {
    const list = commands();
    for (const { command } of CASES) expect(list).toContain(command.split(' ')[0]);
  });

  it('every command has help with an example, a description and its units', () => {
    const checked = new Set(CASES.map(({ command }) => command.split(' ')[0]!));
    for (const name of checked) {
      const run = cli([name, '--help']);
      expect(run, name).toMatchObject({ code: 0, err: '' });
      expect(run.out, name).toMatch(new RegExp(`\\nExample:\\n {2}\\$ sunperch ${name} `));
      expect(run.out, name).toMatch(/--json/);
      expect(cli(['help', name]).out).toBe(run.out);
    }
    expect(cli(['tilt', '--help']).out).toMatch(/kWh\/m² a day/);
  });

  it('an example of the help runs as it stands', () => {
    for (const name of ['sun', 'load', 'cell', 'tilt', 'spells']) {
      const [, example] = /\nExample:\n((?: {2}\$ .*(?:\n {4,}.*)*\n?)+)/.exec(cli([name, '--help']).out)!;
      const first = example!
        .replace(/\s*\\\n\s*(?:\$\s*)?/g, ' ')
        .split('\n')
        .find((line) => line.trim().startsWith('$'))!;
      const args = first
        .trim()
        .replace(/^\$ sunperch /, '')
        .split(/\s+/);
      expect(cli(args), first).toMatchObject({ code: 0, err: '' });
    }
  });

  it('--version is that of the package', () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string };
    expect(cli(['--version'])).toMatchObject({ code: 0, out: `${version}\n` });
  });
});

describe('exit code 2 and nothing on standard output for a wrong command line', () => {
  it.each([
    ['an unknown command', ['yeer'], /unknown command 'yeer'/],
    ['an unknown option', ['year', KIT, PERCH, '--yeers', '4'], /unknown option '--yeers'/],
    ['a missing file', ['year', KIT], /missing required argument 'perch'/],
    ['one file too many', ['year', KIT, PERCH, PERCH], /too many arguments/],
    ['an option without its value', ['year', KIT, PERCH, '--years'], /'--years <n>' argument missing/],
    ['half a year', ['year', KIT, PERCH, '--years', '1.5'], /'1\.5' is not a whole number from 1/],
    ['no year', ['year', KIT, PERCH, '--years', '0'], /'0' is not a whole number from 1/],
    ['a word for a seed', ['year', KIT, PERCH, '--seed', 'x'], /'x' is not a number/],
    ['no kit to size', ['size', PERCH], /--kit.*--unit/],
    [
      'a list that is too short',
      ['tilt', ...SOUTH, '--ghi', '1,2', '--temperature', COLD, '--tilt', '3'],
      /12 are wanted/,
    ],
    [
      'a hole in a list',
      ['tilt', ...SOUTH, '--ghi', GHI, '--temperature', COLD.replace('8', ''), '--tilt', '3'],
      /not a number/,
    ],
    ['no kits to compare', ['compare', '--perch', PERCH], /missing required argument 'kits'/],
  ])('%s', (_, args, sentence) => {
    const run = cli(args);
    expect(run).toMatchObject({ code: 2, out: '' });
    expect(run.err).toMatch(sentence);
    expect(run.err).toMatch(/--help/);
  });

  it('no command at all shows the help', () => {
    const run = cli([]);
    expect(run.code).toBe(2);
    expect(run.err).toMatch(/^Usage: sunperch/);
  });
});

describe('exit code 1 with an answer', () => {
  it('where the answer is no, alone and in a process that has answered before', () => {
    const wrong = cli(['unit', 'serial', 'check', 'A07-012X']);
    expect(wrong).toMatchObject({ code: 1, err: '' });
    expect(wrong.out).toMatch(/^A07012X is not right/);
    expect(cli(['unit', 'serial', 'check', 'A07-012X'])).toMatchObject({ code: 1, out: wrong.out });
    expect(cli(['unit', 'serial', 'check', 'A07-012H'])).toMatchObject({ code: 0, err: '' });
  });
});

describe('negative values', () => {
  it('in options and positions, with and without an equals sign', () => {
    const at = ['--at', '2003-10-17T12:30:30Z', '--json'];
    const spaced = cli(['sun', '--lat', '-33.9', '--lon', '-18.4', '--elevation', '-100', ...at]);
    expect(spaced.json()).toMatchObject({ place: { latitude_deg: -33.9, longitude_deg: -18.4, elevation_m: -100 } });
    const joined = cli(['sun', '--lat=-33.9', '--lon=-18.4', '--elevation=-100', ...at]);
    expect(joined.out).toBe(spaced.out);
    expect(told.get('tilt')!.json()).toMatchObject({
      place: { latitude_deg: -46.4, longitude_deg: -71.5, elevation_m: -10 },
      azimuth_deg: 340,
    });
  });

  it('at the head of a list', () => {
    const list = COLD.split(',')
      .reverse()
      .map((t) => String(-Math.abs(Number(t))))
      .join(',');
    const run = cli(['tilt', ...SOUTH, '--ghi', GHI, '--temperature', list, '--tilt', '10', '--years', '8', '--json']);
    expect(run).toMatchObject({ code: 0, err: '' });
  });

  it('in settings', () => {
    const run = cli(['load', KIT, '--set', 'kit.load.parts[0].current_mA=-1']);
    expect(run.code).toBe(1);
    expect(run.err).toMatch(/current_mA is -1: a current lies between 0 and 20000/);
    const moved = cli([
      'spells',
      'examples/tarnwick-shed.yaml',
      '--set',
      'perch.longitude_deg=-171',
      '--years',
      '8',
      '--json',
    ]);
    expect(moved).toMatchObject({ code: 0, err: '' });
  });
});

describe('--set overrides any field of both records', () => {
  const year = (...set: string[]) =>
    cli(['year', KIT, PERCH, '--years', '1', ...set.flatMap((s) => ['--set', s]), '--json']).json() as {
      kit: string;
      perch: string;
      autonomy_d: number;
      place: object;
      balance: { harvest_Wh: number };
    };
  it('names, positions, numbers, lists and whole parts', () => {
    const base = year();
    const renamed = year('kit.name=Willow', 'perch.name=Old barn', 'perch.elevation_m=1500');
    expect(renamed).toMatchObject({ kit: 'Willow', perch: 'Old barn', place: { elevation_m: 1500 } });
    expect(year('kit.cells.count=6').autonomy_d).toBeGreaterThan(1.9 * base.autonomy_d);
    const twice = year('kit.panel.power_W=6.4').balance.harvest_Wh / base.balance.harvest_Wh;
    expect(twice).toBeGreaterThan(1.8);
    expect(twice).toBeLessThan(2.05);
    expect(year('perch.horizon=none').balance.harvest_Wh).toBeGreaterThan(base.balance.harvest_Wh);
    const two = year('kit.panel=[{part: panel-2W-6V-etfe}, {part: panel-2W-6V-etfe, azimuth_deg: 90}]');
    expect(two.balance.harvest_Wh).toBeGreaterThan(0);
    // The last of two settings of one field counts.
    expect(year('kit.name=A', 'kit.name=B').kit).toBe('B');
  });

  it('a perch whose place comes from the weather file faces the equator there', () => {
    const run = cli(['year', ...REFERENCE, '--weather', WEATHER, '--json']).json();
    expect(run['perch']).toBe('Place of the weather file');
    expect(JSON.stringify(run['assumptions'])).toMatch(/"perch.azimuth_deg","value":"180"/);
  });
});

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'new-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('sunperch new', () => {
  it('writes a kit that the program takes, and names its schema for editors', () => {
    const path = join(folder, 'made/kit.yaml');
    expect(sunperch('new', 'kit', path, '--name', 'Pine 4', '--count', '2')).toMatchObject({ code: 0, err: '' });
    const text = readFileSync(path, 'utf8');
    const schema = /\$schema=(\S+)/.exec(text)![1]!;
    expect(JSON.parse(readFileSync(resolve(dirname(path), schema), 'utf8'))).toHaveProperty('properties.panel');
    expect(sunperch('load', path).out).toMatch(/^Pine 4 draws/);
  });

  it('writes to standard output, with negative positions', () => {
    const run = sunperch('new', 'perch', '--lat', '-44.3', '--lon', '-170.5', '--elevation', '-12');
    expect(run).toMatchObject({ code: 0, err: '' });
    expect(run.out).toMatch(/^latitude_deg: -44\.3 .*$/m);
    expect(run.out).toMatch(/^longitude_deg: -170\.5 .*$/m);
    expect(run.out).toMatch(/^elevation_m: -12 .*$/m);
  });

  it('leaves a file alone that is there, unless told', () => {
    const path = join(folder, 'there.yaml');
    writeFileSync(path, 'mine\n');
    const run = sunperch('new', 'kit', path);
    expect(run.code).toBe(1);
    expect(run.err).toMatch(/there\.yaml: a file of that name is there already: .*--force/);
    expect(readFileSync(path, 'utf8')).toBe('mine\n');
    expect(sunperch('new', 'kit', path, '--force').code).toBe(0);
    expect(readFileSync(path, 'utf8')).toMatch(/^# yaml-language-server/);
  });

  it('lists the parts', () => {
    const run = sunperch('new', '--list', 'loads', '--json');
    const told = run.json() as { list: string; parts: { id: string }[] };
    expect(told.list).toBe('loads');
    expect(told.parts.map(({ id }) => id)).toContain('radio-receive');
    expect(sunperch('new', '--list', 'panels').out).toMatch(/^panel-\S+ +\S/m);
  });

  it.each([
    ['no kind', [], 2, /say what to write: kit or perch/],
    ['an unknown kind', ['lamp'], 2, /Allowed choices are kit, perch/],
    ['an unknown list', ['--list', 'lamps'], 2, /Allowed choices are panels/],
    ['a list of a kit', ['kit', '--list', 'panels'], 2, /--list stands alone/],
    ['a place of a kit', ['kit', '--lat', '46'], 2, /--lat belongs to a perch, not to a kit/],
    ['a panel of a perch', ['perch', '--panel', 'x'], 2, /--panel belongs to a kit, not to a perch/],
    ['an unknown part', ['kit', '--panel', 'panel-3W'], 1, /no generic part has that name/],
    ['latitude 95', ['perch', '--lat', '95'], 1, /--lat is 95/],
    [
      'a path that cannot be written',
      ['kit', 'package.json/kit.yaml'],
      1,
      /cannot be written: .*(file, not a folder|exist)/,
    ],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('new', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

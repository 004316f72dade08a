import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findPostgres, type PostgresServer, startPostgres } from '../store/postgres-server.ts';
import { sunperch } from './run.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunperch-workshop-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
/** One command on the file `name`. */
const on =
  (name: string) =>
  (...args: string[]) =>
    sunperch('workshop', ...args, '--workshop', at(name));

describe('sunperch workshop', () => {
  it('keeps the examples through change, stale save, undo, export, import and backup', () => {
    const workshop = on('a.sunperch');
    expect(workshop('init')).toMatchObject({ code: 0, err: '', out: expect.stringMatching(/^Made: .*a\.sunperch/) });
    expect(workshop('list').out).toMatch(/Nothing is in the workshop yet/);
    const files = ['alder-3', 'bare-board', 'hut-kaldra', 'rescue-post', 'tarnwick-shed'].map(
      (name) => `examples/${name}.yaml`,
    );
    expect(workshop('add', ...files).out.match(/^Saved: .*revision 1\.$/gm)).toHaveLength(5);
    expect(workshop('list', 'perch').out).toMatch(/^perch +hut-kaldra +Hut Kaldra +1 +\d{4}-\d\d-\d\d \d\d:\d\d$/m);

    // The text comes out as it went in, and goes back changed.
    const own = at('alder.yaml');
    const before = readFileSync('examples/alder-3.yaml', 'utf8');
    expect(workshop('show', 'kit', 'alder-3').out).toBe(before);
    writeFileSync(own, before.replace('cutoff_V: 3.2', 'cutoff_V: 3.25'));
    expect(workshop('add', own)).toMatchObject({
      code: 1,
      out: '',
      err: expect.stringMatching(/cutoff\.cutoff_V: 3\.2 there, 3\.25 here.*--from 1.*\[revision-unsaid\]/),
    });
    expect(workshop('add', own, '--from', '1', '--note', 'cold hut').out).toMatch(
      /^Saved: kit alder-3 \(Alder 3\), revision 2\.$/m,
    );
    writeFileSync(own, before.replace('cutoff_V: 3.2', 'cutoff_V: 3.3'));
    const late = workshop('add', own, '--from', '1', '--json');
    expect(late.code).toBe(1);
    expect((late.json()['problems'] as { code: string }[]).map(({ code }) => code)).toEqual([
      'stale-save',
      'changed-by-both',
    ]);
    expect(late.err).toMatch(/^kit\.cutoff\.cutoff_V: 3\.2 in revision 1, 3\.25 in revision 2; yours: 3\.3/m);

    expect(workshop('undo', 'kit', 'alder-3').out).toMatch(
      /revision 3, equal as revision 1 was\.\n {2}cutoff\.cutoff_V: 3\.25 -> 3\.2\n$/,
    );
    expect(workshop('history', 'kit', 'alder-3').out).toMatch(
      /^Revision 2, .* UTC: cold hut\n {2}cutoff\.cutoff_V: 3\.2 -> 3\.25\nRevision 3, .*: as revision 1$/m,
    );
    expect(workshop('remove', 'perch', 'tarnwick-shed').out).toMatch(/undo perch tarnwick-shed/);
    expect(workshop('list').out).not.toMatch(/tarnwick-shed/);

    expect(workshop('export', at('out')).out).toMatch(/: 5 records, 8 revisions\.$/m);
    expect(readFileSync(at('out/perches/hut-kaldra.yaml'), 'utf8')).toBe(
      readFileSync('examples/hut-kaldra.yaml', 'utf8'),
    );
    expect(workshop('export', at('out'))).toMatchObject({
      code: 1,
      err: expect.stringContaining('[folder-not-empty]'),
    });
    const other = on('b.sunperch');
    other('init');
    expect(other('import', at('out')).out).toMatch(/^Imported: 8 revisions; 0 were there already\.$/m);
    const listed = (run: typeof workshop) => run('list', '--removed', '--json').json()['records'];
    expect(listed(other)).toEqual(listed(workshop));

    expect(workshop('backup', at('c.sunperch')).code).toBe(0);
    expect(listed(on('c.sunperch'))).toEqual(listed(workshop));
    expect(on('c.sunperch')('check').out).toMatch(/^Sound: .*: 5 records, 8 revisions\.$/m);
    expect(workshop('backup', at('c.sunperch'))).toMatchObject({
      code: 1,
      err: expect.stringContaining('[file-exists]'),
    });
  });

  it('gives JSON from every command', () => {
    const workshop = on('json.sunperch');
    const json = (...args: string[]) => workshop(...args, '--json').json();
    const place = { workshop: at('json.sunperch') };
    const kit = { kind: 'kit', key: 'alder-3' };
    expect(json('init')).toEqual({ command: 'workshop init', ...place });
    expect(json('add', 'examples/alder-3.yaml')).toMatchObject({
      command: 'workshop add',
      ...place,
      saved: [{ ...kit, number: 1 }],
      unchanged: [],
      notes: [],
    });
    expect(json('list')).toMatchObject({
      command: 'workshop list',
      ...place,
      records: [{ ...kit, name: 'Alder 3', removed: false }],
    });
    expect(json('show', 'kit', 'alder-3')).toMatchObject({
      command: 'workshop show',
      ...place,
      record: { ...kit, content: readFileSync('examples/alder-3.yaml', 'utf8') },
    });
    expect(json('history', 'kit', 'alder-3')).toMatchObject({
      command: 'workshop history',
      revisions: [{ ...kit, changes: [] }],
    });
    expect(json('remove', 'kit', 'alder-3')).toMatchObject({
      command: 'workshop remove',
      record: { ...kit, number: 2, removed: true },
    });
    expect(json('undo', 'kit', 'alder-3')).toMatchObject({
      command: 'workshop undo',
      record: { ...kit, number: 3, restores: 1 },
    });
    expect(json('export', at('json'))).toEqual({
      command: 'workshop export',
      ...place,
      folder: at('json'),
      records: 1,
      revisions: 3,
      entries: 0,
      notes: [],
    });
    expect(json('import', at('json'))).toEqual({
      command: 'workshop import',
      ...place,
      folder: at('json'),
      added: 0,
      known: 3,
      entriesAdded: 0,
      entriesKnown: 0,
      notes: [],
    });
    expect(json('backup', at('json.copy'))).toEqual({ command: 'workshop backup', ...place, file: at('json.copy') });
    expect(json('check')).toEqual({ command: 'workshop check', ...place, records: 1, revisions: 3, entries: 0 });
  });

  it.each([
    ['no command', [], 2, /Usage: sunperch workshop/],
    [
      'no workshop',
      ['list', '--workshop', 'none.sunperch'],
      1,
      /none\.sunperch: there is no workshop here: `sunperch workshop init`/,
    ],
    ['a text file', ['list', '--workshop', 'README.md'], 1, /README\.md: this is not a workshop file/],
    ['a folder', ['list', '--workshop', 'src'], 1, /src: it cannot be opened/],
    [
      'a folder that is not there',
      ['init', '--workshop', 'none/x'],
      1,
      /none\/x: the folder of this name does not exist/,
    ],
    ['a key for two files', ['add', 'a', 'b', '--key', 'x'], 2, /--key goes with one file/],
    ['no files', ['add'], 2, /missing required argument 'file'/],
    ['an unknown kind', ['undo', 'kettle', 'x'], 2, /Allowed choices are kit, perch, net/],
    ['a revision zero', ['add', 'a', '--from', '0'], 2, /not a whole number from 1/],
    [
      'an address that is none',
      ['list', '--workshop', 'postgres://x'],
      1,
      /SUNPERCH_DATABASE: the address of the database cannot be read/,
    ],
  ])('tells %s', (_, args, code, sentence) => {
    const run = sunperch('workshop', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
    expect(existsSync('none.sunperch')).toBe(false);
  });

  it('tells a damaged file and leaves it alone', () => {
    const workshop = on('bad.sunperch');
    workshop('init');
    workshop('add', 'examples/alder-3.yaml', 'examples/hut-kaldra.yaml');
    const bytes = readFileSync(at('bad.sunperch'));
    // The file may hold stale copies of a page besides the one that counts.
    let found = 0;
    for (let where = bytes.indexOf('3.2 W panel'); where >= 0; where = bytes.indexOf('3.2 W panel', where + 1)) {
      bytes[where] = 0x34;
      found++;
    }
    expect(found).toBeGreaterThan(0);
    writeFileSync(at('bad.sunperch'), bytes);
    copyFileSync(at('bad.sunperch'), at('same'));
    for (const args of [['check'], ['show', 'kit', 'alder-3'], ['export', at('bad')]])
      expect(workshop(...args)).toMatchObject({
        code: 1,
        out: '',
        err: expect.stringMatching(/revision 1 of kit alder-3 is not as it was saved/),
      });
    expect(readFileSync(at('bad.sunperch')).equals(readFileSync(at('same')))).toBe(true);
    expect(workshop('show', 'perch', 'hut-kaldra').code).toBe(0);
  });
});

const bin = findPostgres();
const absent = bin === undefined ? ' (not installed; on Debian: apt-get install postgresql)' : '';
describe.skipIf(bin === undefined)(`sunperch workshop on a server${absent}`, () => {
  let server: PostgresServer;
  beforeAll(async () => {
    server = await startPostgres(bin!);
    process.env['SUNPERCH_DATABASE'] = await server.newDatabase();
  });
  afterAll(() => {
    delete process.env['SUNPERCH_DATABASE'];
    server.stop();
  });

  it('goes where SUNPERCH_DATABASE says, and comes back as a file', () => {
    expect(sunperch('workshop', 'list').err).toMatch(/no workshop in this database: `sunperch workshop init`/);
    const made = sunperch('workshop', 'init');
    expect(made.out).toMatch(/^Made: postgres:\/\/perch@127\.0\.0\.1:\d+\/workshop_1\./);
    expect(sunperch('workshop', 'add', 'examples/alder-3.yaml', 'examples/hut-kaldra.yaml').out).toMatch(/kit alder-3/);
    const record = sunperch('workshop', 'list', '--json').json()['records'];
    expect(sunperch('workshop', 'backup', at('from-server.sunperch')).code).toBe(0);
    // A file named outright goes before the server.
    expect(on('from-server.sunperch')('list', '--json').json()['records']).toEqual(record);
    expect(sunperch('workshop', 'check').out).toMatch(/2 records, 2 revisions/);
  });
});

// source: the issue "The bench": tables out and in through the command line; nothing imported until it is all right
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { IMPORT_ORDER } from '../../src/app/bench/tables.ts';
import { registerTables } from '../../src/cli/commands/stores-tables.ts';
import { UserError } from '../../src/core/units/index.ts';
import { openStore } from '../../src/store/index.ts';
import { inProcess } from './in-process.ts';
import { sunperch } from './run.ts';

let folder = '';
const at = (name: string) => join(folder, name);
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tables-'));
  for (const name of ['a', 'b'])
    await (await openStore(at(`${name}.sunperch`), { create: true, now: () => '2030-01-01T00:00:00Z' })).close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const tables = inProcess(registerTables);

/** The command in this process: what it printed, as JSON where that was asked for, and its exit code. */
async function stores(name: string, ...args: string[]) {
  const { out: text, code } = await tables.ran([...args, '--workshop', at(`${name}.sunperch`)]);
  return { text, json: args.includes('--json') ? (JSON.parse(text) as Record<string, unknown>) : {}, code };
}
const file = (name: string, content: string | Uint8Array) => {
  writeFileSync(at(name), content);
  return at(name);
};

describe('sunperch stores export, import', () => {
  it('looks first, keeps all rows or none, and says what is wrong with which', async () => {
    const text = 'Part no;Description;is\ncell-a;Zelle für draußen;cell\nBAD;x;cell\ncell-b;=cmd;cheese\n';
    const parts = file('parts.csv', Uint8Array.from([...text].map((c) => c.charCodeAt(0))));
    const map = ['--map', 'Part no=key,Description=name'];
    const seen = await stores('a', 'import', 'parts', parts, ...map, '--preview', '--json');
    expect(seen).toMatchObject({ code: 0, json: { fresh: 1, kept: false, encoding: 'Windows-1252' } });
    const wrong = await stores('a', 'import', 'parts', parts, ...map);
    expect(wrong).toMatchObject({
      code: 1,
      text: expect.stringMatching(/2 of 3 rows are wrong; nothing.*row 3: key "BAD"/s),
    });
    const left = await stores(
      'a',
      'import',
      'parts',
      parts,
      '--map',
      'Part no=key,Description=name,is=',
      '--skip',
      '3',
      '--json',
    );
    expect(left).toMatchObject({ code: 0, json: { fresh: 2, kept: true, unread: ['is'] } });
    expect((await stores('a', 'import', 'parts', parts, ...map, '--skip', '3,4', '--json')).json).toMatchObject({
      fresh: 1,
    });

    const lots = 'key;part;count;supplier;currency;goods;received\nl-1;cell-a;10;one;EUR;1.234,50;2026-07-01 08:30\n';
    const refused = await stores('a', 'import', 'lots', file('lots.csv', lots), '--json');
    expect(refused).toMatchObject({
      code: 1,
      json: { problems: [{ row: 2, message: expect.stringContaining('offset from UTC') }] },
    });
    const zone = ['--zone', 'Europe/Zurich', '--by', 'M. Berg', '--json'];
    expect((await stores('a', 'import', 'lots', at('lots.csv'), ...zone)).json).toMatchObject({ kept: true, fresh: 1 });
    const said = (work: Promise<unknown>) =>
      work.then(String, (e: unknown) => (e instanceof UserError ? e.problems[0]!.message : e));
    expect(await said(stores('a', 'import', 'shipments', at('lots.csv')))).toContain('read history');
    expect(await said(stores('a', 'import', 'lots', file('book.csv', Uint8Array.from([80, 75, 3, 4, 0]))))).toContain(
      'xlsx',
    );
    expect(await said(stores('a', 'import', 'lots', at('none.csv')))).toContain('cannot be read (ENOENT)');
  });

  it('writes every table; another workshop that reads them writes the same', async () => {
    expect((await stores('a', 'export', at('first'))).text).toContain('parts.csv');
    for (const table of IMPORT_ORDER)
      expect(
        (await stores('b', 'import', table, at(`first/${table}.csv`), '--by', 'M. Berg', '--json')).json,
      ).toMatchObject({
        kept: true,
        problems: [],
      });
    await stores('b', 'export', at('second'), '--json');
    const saved = /\d{4}-\d\d-\d\dT[\d:]+Z(?=\r\n)/g;
    const all = (name: string) =>
      readdirSync(at(name)).map((own) => [
        own,
        readFileSync(join(at(name), own), 'utf8').replace(own === 'parts.csv' ? saved : /$^/g, ''),
      ]);
    expect(all('second')).toEqual(all('first'));
    expect(readFileSync(at('second/parts.csv'), 'utf8')).toContain("'=cmd");
    expect(readFileSync(at('second/lots.csv'), 'utf8')).toContain(
      '1234.50,0.00,0.00,0.00,,2026-07-01T06:30:00Z,M. Berg',
    );
  });

  it('does so as a process of its own, too', () => {
    const run = sunperch('stores', 'import', 'bom', at('first/bom.csv'), '--workshop', at('b.sunperch'), '--json');
    expect([run.code, run.json()]).toMatchObject([0, { command: 'stores import', rows: 0, kept: true }]);
  });
});

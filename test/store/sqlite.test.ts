import { copyFileSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createRandom } from '../../src/core/math/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { openStore } from '../../src/store/index.ts';
import { migrate, readMigrations } from '../../src/store/migrations.ts';
import { told } from '../../src/store/problems.ts';
import { appendTo, everythingIn } from '../../src/store/queries.ts';
import { openSqlite } from '../../src/store/sqlite.ts';
import { problemsOf } from '../app/real-ports.ts';
import { readGolden } from '../golden.ts';
import { now, revision } from './places.ts';

let folder = '';
let made = 0;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunperch-sqlite-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const fresh = () => join(folder, `${++made}.sunperch`);

describe('the file', () => {
  it('is opened with the settings that keep what is acknowledged', async () => {
    const engine = openSqlite(fresh(), true);
    for (const { pragma, value } of readGolden('sqlite-settings.csv').rows) {
      const { rows } = await sql.raw<Record<string, unknown>>(`pragma ${pragma}`).execute(engine.db);
      expect(String(Object.values(rows[0]!)[0]), pragma).toBe(value);
    }
    await engine.close();
  });

  it('may be an empty one, which is made a workshop', async () => {
    const file = fresh();
    writeFileSync(file, '');
    expect(await problemsOf(() => openStore(file, { now }))).toMatchObject([{ code: 'no-workshop' }]);
    expect(readFileSync(file).length).toBe(0);
    await (await openStore(file, { now, create: true })).close();
    await (await openStore(file, { now })).close();
  });

  it.each([
    ['a text', 'name: Alder 3\n'.repeat(100), 'not-a-workshop'],
    ['noise', Buffer.from(Array.from({ length: 5000 }, (_, i) => (i * 7919) % 251)), 'not-a-workshop'],
  ])('that is %s is told and left as it is', async (_, content, code) => {
    const file = fresh();
    writeFileSync(file, content);
    for (const create of [false, true]) {
      expect(await problemsOf(() => openStore(file, { now, create }))).toMatchObject([{ code }]);
      expect(readFileSync(file).equals(Buffer.from(content))).toBe(true);
    }
  });

  it("that is another program's database is told and left as it is", async () => {
    const file = fresh();
    const other = new Database(file);
    other.exec('create table revision (a)');
    other.close();
    const before = readFileSync(file);
    for (const create of [false, true])
      expect(await problemsOf(() => openStore(file, { now, create }))).toMatchObject([{ code: 'not-a-workshop' }]);
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  it('that cannot be opened is told', async () => {
    expect(await problemsOf(() => openStore(folder, { now }))).toMatchObject([{ code: 'workshop-unopenable' }]);
    const nowhere = join(folder, 'none', 'x.sunperch');
    expect(await problemsOf(() => openStore(nowhere, { now, create: true }))).toMatchObject([{ code: 'no-folder' }]);
  });

  it('that another program holds is told after a while', async () => {
    const file = fresh();
    const store = await openStore(file, { now, create: true });
    const other = new Database(file);
    other.exec('begin immediate');
    expect(await problemsOf(() => store.append([revision('a', 1)]))).toMatchObject([{ code: 'workshop-busy' }]);
    other.exec('rollback');
    other.close();
    expect(await store.append([revision('a', 1)])).toEqual({ saved: true });
    await store.close();
  });

  it('on a full disk keeps what it had', async () => {
    const file = fresh();
    const engine = openSqlite(file, true);
    await migrate(engine, readMigrations('sqlite'), now);
    await appendTo(engine, [revision('a', 1)]);
    await sql`pragma max_page_count = 40`.execute(engine.db);
    const big = (number: number) => revision('b', number, { content: 'x'.repeat(30_000) });
    let kept = 0;
    const problems = await problemsOf(() =>
      told(file, async () => {
        for (let i = 1; i <= 20; i++) {
          await appendTo(engine, [big(i), revision('c', i)]);
          kept = i;
        }
      }),
    );
    expect(problems).toMatchObject([{ code: 'disk-full' }]);
    expect(kept).toBeGreaterThan(0);
    const keys = (await everythingIn(engine.db)).map(({ key }) => key);
    expect(keys).toEqual(['a', ...Array(kept).fill('b'), ...Array(kept).fill('c')]);
    expect(await engine.check(true)).toEqual([]);
    await engine.close();
  });

  it('when damaged anywhere is told or read, never a crash', async () => {
    const good = fresh();
    const store = await openStore(good, { now, create: true });
    for (let i = 1; i <= 60; i++)
      await store.append([revision(`k${i % 9}`, Math.ceil(i / 9), { content: `${i} `.repeat(700) })]);
    const saved = await store.everything();
    await store.close();
    const bytes = readFileSync(good);
    const random = createRandom(3);
    const codes: Record<string, number> = {};
    for (let i = 0; i < 150; i++) {
      const file = fresh();
      if (i % 5 === 0) {
        copyFileSync(good, file);
        truncateSync(file, random.below(bytes.length));
      } else {
        const bad = Buffer.from(bytes);
        const from = i % 2 === 0 ? random.below(200) : random.below(bytes.length - 64);
        for (let n = 0; n < 48; n++) bad[from + n] = random.below(256);
        writeFileSync(file, bad);
      }
      let code = 'read';
      try {
        const opened = await openStore(file, { now });
        try {
          const checked = await opened.check();
          const rows = await opened.everything();
          if (checked.length > 0) code = 'told by the check';
          else expect(rows).toEqual(saved);
        } finally {
          await opened.close();
        }
      } catch (error) {
        if (!(error instanceof UserError)) throw error;
        code = error.problems[0]!.code;
      }
      codes[code] = (codes[code] ?? 0) + 1;
    }
    // Read without a word: bytes that carry nothing (free space, counters of the header), so that all is as it was saved.
    expect(codes['workshop-damaged']).toBeGreaterThan(75);
    expect(Object.keys(codes).length).toBeGreaterThan(2);
  });
});

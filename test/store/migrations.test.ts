import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Revision } from '../../src/app/store-port.ts';
import { openStore } from '../../src/store/index.ts';
import { type Migration, migrate, readMigrations } from '../../src/store/migrations.ts';
import { openPostgres } from '../../src/store/postgres.ts';
import { appendTo } from '../../src/store/queries.ts';
import { openSqlite } from '../../src/store/sqlite.ts';
import { problemsOf } from '../app/real-ports.ts';
import { now, places, revision } from './places.ts';

// What has been released is never edited; a new file is added here with its digest.
const RELEASED: Record<string, string> = {
  '0001-revisions.sql': '31acb1d4debd180cb1ca9b2c06b2204d94bc03873a3b59218e08bc3b16dae698',
  '0002-append-only.postgres.sql': '116cf69ecbf291c937784a42e0f409738cbea4df39ba1ba00d9a27d6efce9eae',
  '0002-append-only.sqlite.sql': 'fa13410342d0bb44e2d4100be9aafc008e83ffeb25635abee6cb86cdd9876e27',
  '0003-bench.sql': 'c66bbe15ac83c3f712b8a81bf37867d7aaaee2648e349a6874c0fa8a8c5c36b0',
  '0004-bench-append-only.postgres.sql': 'bec402041adfa414a872f84a415bb0a8dbe488bc777343a2592ebe0d1329b566',
  '0005-kept-files.postgres.sql': '6712c24f2f8e67844ae357eff240a19b86392fc16790535b4cb039ae36b40c2b',
  '0005-kept-files.sqlite.sql': 'fe0a2f67679bcf81db614198ee4ba27fc3bc1bf58ab83482d93069ebdcc3d78f',
  '0004-bench-append-only.sqlite.sql': '83ba9623c3c8eba7abc43d30bbb78e1ca45287dcc999552fb029c5d3306ceae3',
};
const digest = (text: string) => createHash('sha256').update(text.replace(/\r\n/g, '\n')).digest('hex');

const SCHEMA = {
  SQLite: 'select type, name, tbl_name, sql from sqlite_master order by 1, 2',
  PostgreSQL: `select table_name as a, column_name as b, data_type || is_nullable as c from information_schema.columns
      where table_schema = 'sunperch'
    union select event_object_table, trigger_name, event_manipulation from information_schema.triggers
      where trigger_schema = 'sunperch'
    union select conrelid::regclass::text, conname, pg_get_constraintdef(oid) from pg_constraint
      where connamespace = 'sunperch'::regnamespace order by 1, 2, 3`,
};

describe('migrations', () => {
  it('are as they were released', () => {
    const folder = new URL('../../migrations/', import.meta.url);
    const found = readdirSync(folder).map((name) => [name, digest(readFileSync(new URL(name, folder), 'utf8'))]);
    expect(Object.fromEntries(found)).toEqual(RELEASED);
  });

  it('have the same numbers and names for both databases', () => {
    const names = (dialect: 'sqlite' | 'postgres') => readMigrations(dialect).map(({ number, name }) => [number, name]);
    expect(names('postgres')).toEqual(names('sqlite'));
    expect(names('sqlite')[0]).toEqual([1, 'revisions']);
  });
});

for (const place of places())
  describe.skipIf(place.absent !== undefined)(
    `migrations on ${place.name}${place.absent ? ` (${place.absent})` : ''}`,
    () => {
      beforeAll(() => place.start());
      afterAll(() => place.stop());

      const dialect = place.name === 'SQLite' ? 'sqlite' : 'postgres';
      const known = readMigrations(dialect);
      const engineOn = async (target: string) =>
        dialect === 'sqlite' ? openSqlite(target, true) : openPostgres(target, true);
      const schemaOf = (target: string) => place.raw(target, SCHEMA[place.name as keyof typeof SCHEMA]);
      const madeBy = async (migrations: readonly Migration[], saved: readonly Revision[] = []) => {
        const target = await place.fresh();
        const engine = await engineOn(target);
        await migrate(engine, migrations, now);
        await appendTo(engine, saved);
        await engine.close();
        return target;
      };

      it('lead from every released state to the newest, with what was saved', async () => {
        const newest = await schemaOf(await madeBy(known));
        for (let upTo = 1; upTo < known.length; upTo++) {
          const target = await madeBy(known.slice(0, upTo), [revision('a', 1)]);
          expect(await schemaOf(target)).not.toEqual(newest);
          const store = await openStore(target, { now });
          expect(await store.everything()).toEqual([revision('a', 1)]);
          await store.append([revision('b', 1)]);
          await store.close();
          expect(await schemaOf(target)).toEqual(newest);
        }
      });

      it('leave nothing of one that fails, bookkeeping included', async () => {
        const target = await madeBy(known);
        const before = await schemaOf(target);
        const bad = {
          number: known.length + 1,
          name: 'bad',
          sha256: 'x',
          sql: 'create table half (a integer); insert into nowhere values (1)',
        };
        const engine = await engineOn(target);
        await expect(migrate(engine, [...known, bad], now)).rejects.toThrow(/nowhere/);
        await engine.close();
        expect(await schemaOf(target)).toEqual(before);
        expect(await place.raw(target, 'select number, name, applied_at from migration order by number')).toEqual(
          known.map(({ number, name }) => ({ number, name, applied_at: now() })),
        );
        await (await openStore(target, { now })).close();
      });

      it('leave a new database empty when the first fails', async () => {
        const target = await place.fresh();
        const engine = await engineOn(target);
        const bad = {
          number: 1,
          name: 'bad',
          sha256: 'x',
          sql: 'create table half (a integer); insert into nowhere values (1)',
        };
        await expect(migrate(engine, [bad], now)).rejects.toThrow(/nowhere/);
        await engine.close();
        expect(await problemsOf(() => openStore(target, { now }))).toMatchObject([{ code: 'no-workshop' }]);
        await (await openStore(target, { create: true, now })).close();
      });

      it('refuse what a newer version wrote, and tell it', async () => {
        const next = { number: known.length + 1, name: 'next', sha256: 'y', sql: 'create table later (a integer)' };
        const target = await madeBy([...known, next]);
        expect(await problemsOf(() => openStore(target, { now }))).toMatchObject([
          { code: 'newer-workshop', message: expect.stringMatching(/newer sunperch .* update/) },
        ]);
      });

      it('notice that a released one was edited', async () => {
        const target = await madeBy(known.map((m) => (m.number === 1 ? { ...m, sha256: 'z' } : m)));
        expect(await problemsOf(() => openStore(target, { now }))).toMatchObject([{ code: 'other-migrations' }]);
      });

      // On SQLite the crash tests do that with two processes.
      const race = dialect === 'postgres' ? it : undefined;
      race?.('run once when three programs start at once', async () => {
        const target = await place.fresh();
        const engines = await Promise.all([1, 2, 3].map(() => engineOn(target)));
        await Promise.all(engines.map((engine) => migrate(engine, known, now)));
        await Promise.all(engines.map((engine) => engine.close()));
        const rows = await place.raw(target, 'select number from migration order by number');
        expect(rows).toEqual(known.map(({ number }) => ({ number })));
      });
    },
  );

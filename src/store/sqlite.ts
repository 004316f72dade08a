/** The workshop as one SQLite file. */
import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { userError } from '../core/units/index.ts';
import type { Engine } from './engine.ts';
import type { Tables } from './tables.ts';

/** Marks the file as a workshop: "SUNP" as four letters of ASCII. */
const APPLICATION_ID = 0x53554e50;
/** How long a save waits for another program's. */
const BUSY_ms = 5000;

/**
 * Opens a file, or makes it. Settings after the SQLite documentation (pragma, wal, howtocorrupt): write-ahead log with
 * synchronous FULL syncs the log at each commit, so that what is acknowledged outlives a power loss; foreign keys are per
 * connection; the last two keep a file from elsewhere from running code or from reading beyond a cell.
 */
export function openSqlite(path: string, create: boolean): Engine {
  if (!create && !existsSync(path)) throw noWorkshop(path);
  if (!existsSync(dirname(path)))
    throw userError('no-folder', 'the folder of this name does not exist: make it first', { file: path });
  const database = new Database(path, { fileMustExist: !create, timeout: BUSY_ms });
  try {
    database.pragma('trusted_schema = OFF');
    database.pragma('cell_size_check = ON');
    const id = database.pragma('application_id', { simple: true });
    const tables = database.prepare('select count(*) from sqlite_master').pluck().get() as number;
    if (id !== APPLICATION_ID && (id !== 0 || tables > 0))
      throw userError('not-a-workshop', "this is another program's database: is the name right?", { file: path });
    if (!create && id !== APPLICATION_ID) throw noWorkshop(path);
    database.pragma('foreign_keys = ON');
    if (database.pragma('journal_mode = WAL', { simple: true }) !== 'wal')
      throw userError(
        'no-write-ahead-log',
        'this disk cannot hold a write-ahead log: keep the workshop on a local one',
        {
          file: path,
        },
      );
    database.pragma('synchronous = FULL');
  } catch (error) {
    database.close();
    throw error;
  }
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  return {
    dialect: 'sqlite',
    place: path,
    db,
    initialised: async () => database.pragma('application_id', { simple: true }) === APPLICATION_ID,
    migrating: (work) =>
      db.connection().execute(async (connection) => {
        database.exec('begin immediate');
        try {
          database.pragma(`application_id = ${APPLICATION_ID}`);
          const result = await work(connection, async (sql) => void database.exec(sql));
          database.exec('commit');
          return result;
        } catch (error) {
          if (database.inTransaction) database.exec('rollback');
          throw error;
        }
      }),
    // Without a pause between begin and commit: two connections of one program would wait for each other in vain.
    insertAll: async (insertions) => {
      database.exec('begin immediate');
      try {
        const whole = insertions.every(
          ({ query, rows }) => database.prepare(query.sql).all(query.parameters).length === rows,
        );
        database.exec(whole ? 'commit' : 'rollback');
        return whole;
      } catch (error) {
        if (database.inTransaction) database.exec('rollback');
        throw error;
      }
    },
    check: async (thorough) => damages(database, thorough),
    copyTo: async (to) => void (await database.backup(to)),
    close: () => db.destroy(),
  };
}

function noWorkshop(path: string) {
  return userError('no-workshop', 'there is no workshop here: `sunperch workshop init` makes one', { file: path });
}

/** The quick check leaves out the contents of indexes; neither sees foreign keys, which have a check of their own. */
function damages(database: Database.Database, thorough: boolean): string[] {
  const rows = database.pragma(thorough ? 'integrity_check(20)' : 'quick_check(20)') as Record<string, string>[];
  const found = rows.flatMap((row) => Object.values(row)).filter((text) => text !== 'ok');
  const loose = database.pragma('foreign_key_check') as { table: string; rowid: number; parent: string }[];
  for (const { table, rowid, parent } of loose.slice(0, 20))
    found.push(`row ${rowid} of ${table} points to a row of ${parent} that is missing`);
  return found;
}

/** Checks a copy and takes it out of write-ahead mode, so that it is one file without companions. */
export function closeAsOneFile(path: string): void {
  const copy = new Database(path, { fileMustExist: true });
  try {
    copy.pragma('journal_mode = DELETE');
    const found = damages(copy, true);
    if (found.length > 0) throw userError('workshop-damaged', `the copy is damaged: ${found[0]}`, { file: path });
  } finally {
    copy.close();
  }
}

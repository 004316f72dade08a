/** The numbered SQL files of `migrations/`, and bringing a database from any released state to the newest. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { userError } from '../core/units/index.ts';
import type { Dialect, Engine } from './engine.ts';

export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly sql: string;
  readonly sha256: string;
}

/** `0001-name.sql` for both databases, `0001-name.sqlite.sql` and `0001-name.postgres.sql` where they differ. */
const FILE = /^(\d{4})-([a-z0-9-]+?)(?:\.(sqlite|postgres))?\.sql$/;

/** The folder lies two levels above this source, and one above the bundle. */
function migrationsFolder(): string {
  const found = ['../../migrations/', '../migrations/']
    .map((folder) => fileURLToPath(new URL(folder, import.meta.url)))
    .find((path) => existsSync(path));
  if (found === undefined) throw new Error('the folder migrations/ is missing from this installation');
  return found;
}

/** The migrations of one database in order; their numbers are 1, 2, 3 … */
export function readMigrations(dialect: Dialect, folder = migrationsFolder()): Migration[] {
  const found: Migration[] = [];
  for (const file of readdirSync(folder).sort()) {
    const match = FILE.exec(file);
    if (match === null) throw new Error(`migrations/${file} is not named NNNN-name.sql`);
    if (match[3] !== undefined && match[3] !== dialect) continue;
    // Git may change line ends on the way; the same text has the same digest.
    const sql = readFileSync(`${folder}/${file}`, 'utf8').replace(/\r\n/g, '\n');
    const sha256 = createHash('sha256').update(sql).digest('hex');
    found.push({ number: Number(match[1]), name: match[2] as string, sql, sha256 });
  }
  found.forEach(({ number, name }, i) => {
    if (number !== i + 1) throw new Error(`migrations/ has no number ${i + 1} for ${dialect} before ${number}-${name}`);
  });
  return found;
}

/**
 * Applies what is missing, each migration in one transaction with its bookkeeping row, so that a crash leaves either the
 * former or the next state. Two programs may start at once: the second waits and finds the work done.
 *
 * Throws UserError when the database was written by a newer version or by one whose migrations were edited.
 */
export async function migrate(engine: Engine, known: readonly Migration[], now: () => string): Promise<void> {
  if (await engine.initialised()) {
    const applied = await appliedIn(engine, known);
    if (applied === known.length) return;
  }
  for (let done = 0; done < known.length; ) {
    done = await engine.migrating(async (db, script) => {
      await db.schema
        .createTable('migration')
        .ifNotExists()
        .addColumn('number', 'integer', (c) => c.primaryKey())
        .addColumn('name', 'text', (c) => c.notNull())
        .addColumn('sha256', 'text', (c) => c.notNull())
        .addColumn('applied_at', 'text', (c) => c.notNull())
        .execute();
      const before = await appliedIn({ ...engine, db }, known);
      const next = known[before];
      if (next === undefined) return before;
      await script(next.sql);
      const { number, name, sha256 } = next;
      await db.insertInto('migration').values({ number, name, sha256, applied_at: now() }).execute();
      return before + 1;
    });
  }
}

/** How many of the known migrations are applied. */
async function appliedIn({ db, place }: Engine, known: readonly Migration[]): Promise<number> {
  const rows = await db.selectFrom('migration').select(['number', 'name', 'sha256']).orderBy('number').execute();
  rows.forEach(({ number, sha256 }, i) => {
    const mine = known[i];
    if (mine === undefined)
      throw userError(
        'newer-workshop',
        `it was written by a newer sunperch (its tables are at ${rows.length}, this version knows ${known.length}): update this one`,
        { file: place },
      );
    if (mine.number !== number || mine.sha256 !== sha256)
      throw userError(
        'other-migrations',
        `it was made by another build of sunperch, whose step ${i + 1} (${mine.name}) was another: export it with that one and import it here`,
        { file: place },
      );
  });
  return rows.length;
}

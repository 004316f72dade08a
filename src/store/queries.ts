/** The queries of the workshop, the same on both databases. */
import type { Kysely } from 'kysely';
import type { Appended, Listing, RecordId, RecordKind, Revision } from '../app/store-port.ts';
import type { Engine, Insertion } from './engine.ts';
import { damageText, isIntact, LISTED, listingOf, revisionOf, rowOf, type Tables, WHOLE } from './tables.ts';

/** Rows of one insert: far below the limits on bound values (32,766 in SQLite, 65,535 in PostgreSQL). */
const ROWS_AT_ONCE = 500;

/** The newest revision of each record: the one that none follows. */
export async function listHeads(db: Kysely<Tables>, kind?: RecordKind): Promise<Listing[]> {
  const all = db
    .selectFrom('revision as r')
    .select(LISTED.map((column) => `r.${column}` as const))
    .select((eb) => eb('r.content', 'is', null).as('removed'))
    .where(({ eb, not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('revision as n')
            .select('n.number')
            .whereRef('n.kind', '=', 'r.kind')
            .whereRef('n.key', '=', 'r.key')
            .where('n.number', '=', eb('r.number', '+', 1)),
        ),
      ),
    );
  const rows = await (kind === undefined ? all : all.where('r.kind', '=', kind)).execute();
  // 0 or 1 from SQLite, a boolean from PostgreSQL.
  return rows.map((row) => listingOf(row, Boolean(row.removed))).sort(inOrder);
}

const revisionsOf = (db: Kysely<Tables>, { kind, key }: RecordId) =>
  db.selectFrom('revision').select(WHOLE).where('kind', '=', kind).where('key', '=', key);

export async function newestOf(db: Kysely<Tables>, id: RecordId): Promise<Revision | undefined> {
  const row = await revisionsOf(db, id).orderBy('number', 'desc').limit(1).executeTakeFirst();
  return row === undefined ? undefined : revisionOf(row);
}

export async function historyOf(db: Kysely<Tables>, id: RecordId): Promise<Revision[]> {
  return (await revisionsOf(db, id).orderBy('number').execute()).map(revisionOf);
}

/** In one statement, hence of one moment. */
export async function everythingIn(db: Kysely<Tables>): Promise<Revision[]> {
  const rows = await db.selectFrom('revision').select(WHOLE).execute();
  return rows.map(revisionOf).sort(inOrder);
}

/** Revisions that are not as they were saved, in words. */
export async function damagesIn(db: Kysely<Tables>): Promise<string[]> {
  const rows = await db.selectFrom('revision').select(WHOLE).execute();
  return rows.filter((row) => !isIntact(row)).map(damageText);
}

/**
 * Saves all or none. Whether a save is stale is decided by the primary key alone: of two saves made from the same revision
 * only one can take the next number, whatever the timing.
 */
export async function appendTo({ db, insertAll }: Engine, revisions: readonly Revision[]): Promise<Appended> {
  if (await insertAll(revisionInsertions(db, revisions))) return { saved: true };
  const firsts = new Map(
    [...revisions]
      .sort(inOrder)
      .reverse()
      .map((revision) => [idText(revision), revision.number]),
  );
  const heads = await listHeads(db);
  return { saved: false, stale: heads.filter((head) => head.number >= (firsts.get(idText(head)) ?? Infinity)) };
}

/** Statements that add revisions; each returns a row less when one of the same number is there. */
export function revisionInsertions(db: Kysely<Tables>, revisions: readonly Revision[]): Insertion[] {
  // One order for all writers, so that two of them cannot wait for each other.
  const sorted = [...revisions].sort(inOrder);
  const insertions: Insertion[] = [];
  for (let i = 0; i < sorted.length; i += ROWS_AT_ONCE) {
    const values = sorted.slice(i, i + ROWS_AT_ONCE).map(rowOf);
    const query = db
      .insertInto('revision')
      .values(values)
      .onConflict((on) => on.columns(['kind', 'key', 'number']).doNothing())
      .returning('number')
      .compile();
    insertions.push({ query, rows: values.length });
  }
  return insertions;
}

const idText = ({ kind, key }: RecordId) => `${kind}/${key}`;

/** Sorted here and not by the database, since the two collate text differently. */
function inOrder(a: Listing, b: Listing): number {
  if (a.kind !== b.kind) return a.kind < b.kind ? -1 : 1;
  if (a.key !== b.key) return a.key < b.key ? -1 : 1;
  return a.number - b.number;
}

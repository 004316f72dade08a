/** The bench's entries, the same on both databases. */
import type { Kysely } from 'kysely';
import type { Added, BenchStore } from '../app/bench-port.ts';
import type { Revision } from '../app/store-port.ts';
import { type Problem, UserError } from '../core/units/index.ts';
import {
  belongs,
  contentSchema,
  type Entry,
  foldUnit,
  keptBackAfter,
  type NewEntry,
  type Plan,
  reasonsNotToShip,
  streamOf,
  unitOf,
} from '../records/bench/index.ts';
import { ENTRY_COLUMNS, entryDamage, entryIntact, entryOf, entryRowOf } from './bench-rows.ts';
import type { Engine, Insertion } from './engine.ts';
import { fileDamages, fileOf, filesMissing, keepFile, keptFiles } from './kept-files.ts';
import { told } from './problems.ts';
import { revisionInsertions } from './queries.ts';
import type { Tables } from './tables.ts';

/** Rows of one insert: far below the limits on bound values. */
const ROWS_AT_ONCE = 500;

export function benchOn(engine: Engine): BenchStore {
  const { db, place } = engine;
  return {
    head: () => told(place, () => headOf(db)),
    after: (seq, most) => told(place, () => entriesAfter(db, seq, most)),
    stream: (stream) => told(place, () => streamIn(db, stream)),
    append: (entries, head) => told(place, () => appendEntries(engine, entries, head)),
    keepFile: (content) => told(place, () => keepFile(engine, content)),
    file: (sha256) => told(place, () => fileOf(db, sha256)),
    files: () => told(place, () => keptFiles(db)),
  };
}

async function headOf(db: Kysely<Tables>): Promise<number> {
  const row = await db
    .selectFrom('entry')
    .select((eb) => eb.fn.max('seq').as('head'))
    .executeTakeFirst();
  return Number(row?.head ?? 0);
}

export async function entriesAfter(db: Kysely<Tables>, seq: number, most?: number): Promise<Entry[]> {
  const all = db.selectFrom('entry').select(ENTRY_COLUMNS).where('seq', '>', seq).orderBy('seq');
  return (await (most === undefined ? all : all.limit(most)).execute()).map(entryOf);
}

async function streamIn(db: Kysely<Tables>, stream: string): Promise<Entry[]> {
  const rows = await db
    .selectFrom('entry')
    .select(ENTRY_COLUMNS)
    .where('stream', '=', stream)
    .orderBy('number')
    .execute();
  return rows.map(entryOf);
}

/** Entries that are not as they were written, in words. */
export async function benchDamages(db: Kysely<Tables>): Promise<string[]> {
  const rows = await db.selectFrom('entry').select(ENTRY_COLUMNS).orderBy('seq').execute();
  const damaged = rows.filter((row) => !entryIntact(row)).map(entryDamage);
  if (damaged.length > 0) return damaged;
  const missing = await filesMissing(db, rows.map(entryOf));
  return [...(await fileDamages(db)), ...missing.map((sha256) => `file ${sha256.slice(0, 12)} is missing`)];
}

/**
 * Adds all or none. Whether others came first is decided by the primary key alone: of two that are made from the same state
 * only one can take the next number, so that what was true of that state is true when the entries stand.
 */
async function appendEntries(engine: Engine, entries: readonly NewEntry[], head: number): Promise<Added> {
  const { db } = engine;
  if (entries.length === 0) return { added: true, entries: [] };
  for (const { stream, content } of entries) {
    if (!belongs(stream, content.kind)) throw new RangeError(`${content.kind} does not belong in ${stream}`);
    contentSchema.parse(content);
  }
  const numbers = await headsOf(db, [...new Set(entries.map((entry) => entry.stream))]);
  const numbered = entries.map((entry, i): Entry => {
    const number = (numbers.get(entry.stream) ?? 0) + 1;
    numbers.set(entry.stream, number);
    return { ...entry, seq: head + 1 + i, number };
  });
  await refuseOpenGates(db, numbered);
  await refuseMissingFiles(db, numbered);
  // A head that is behind takes numbers that are there already; one that is ahead points to a row that is missing.
  if ((await headOf(db)) !== head) return { added: false, reason: 'others came first' };
  if (!(await engine.insertAll(entryInsertions(db, numbered)))) return { added: false, reason: 'others came first' };
  return { added: true, entries: numbered };
}

/** Newest number of each of some streams. */
async function headsOf(db: Kysely<Tables>, streams: readonly string[]): Promise<Map<string, number>> {
  const heads = new Map<string, number>();
  for (let i = 0; i < streams.length; i += ROWS_AT_ONCE) {
    const rows = await db
      .selectFrom('entry')
      .select((eb) => ['stream', eb.fn.max('number').as('number')] as const)
      .where('stream', 'in', streams.slice(i, i + ROWS_AT_ONCE))
      .groupBy('stream')
      .execute();
    for (const { stream, number } of rows) heads.set(stream, Number(number));
  }
  return heads;
}

/** The last door: whoever asks, a unit with an open gate or a part of a quarantined lot is not shipped. */
async function refuseOpenGates(db: Kysely<Tables>, entries: readonly Entry[]): Promise<void> {
  const problems: Problem[] = [];
  for (const shipping of entries) {
    if (shipping.content.kind !== 'unit-shipped') continue;
    const among = (stream: string) => entries.filter((e) => e.stream === stream && e.seq < shipping.seq);
    const [first, ...rest] = [...(await streamIn(db, shipping.stream)), ...among(shipping.stream)];
    if (first === undefined) throw new RangeError(`${shipping.stream} is to be shipped before it is made`);
    const unit = unitOf(first);
    for (const entry of rest) foldUnit(unit, entry);
    const plan = await planOf(async (stream) => [...(await streamIn(db, stream)), ...among(stream)], unit.batch);
    const quarantined = new Set<string>();
    for (const lot of new Set(unit.fitted.map((f) => f.lot))) {
      const stream = streamOf('lot', lot);
      let reason: string | null = null;
      for (const { content } of [...(await streamIn(db, stream)), ...among(stream)])
        reason = keptBackAfter(reason, content);
      if (reason !== null) quarantined.add(lot);
    }
    for (const message of reasonsNotToShip(unit, plan, quarantined)) problems.push({ code: 'not-to-ship', message });
  }
  if (problems.length > 0) throw new UserError(problems);
}

/** An entry cannot name a file that is not there. */
async function refuseMissingFiles(db: Kysely<Tables>, entries: readonly Entry[]): Promise<void> {
  const [missing] = await filesMissing(db, entries);
  if (missing !== undefined) throw new RangeError(`file ${missing} is named before it is kept`);
}

async function planOf(entriesOf: (stream: string) => Promise<readonly Entry[]>, batch: string): Promise<Plan> {
  const opened = (await entriesOf(streamOf('batch', batch))).find((e) => e.content.kind === 'batch-opened')?.content;
  if (opened?.kind !== 'batch-opened') throw new RangeError(`batch ${batch} is not open`);
  const plan = (await entriesOf(streamOf('plan', opened.plan)))[opened.planNumber - 1]?.content;
  if (plan?.kind !== 'plan-saved') throw new RangeError(`plan ${opened.plan} has no number ${opened.planNumber}`);
  return plan;
}

/** Adds entries as they are, numbers and all, to an empty bench: for copies. */
export async function copyEntries({ insertAll, db }: Engine, entries: readonly Entry[]): Promise<void> {
  if (!(await insertAll(entryInsertions(db, entries)))) throw new RangeError('the bench is not empty');
}

/** Statements that add entries as they are; each returns a row less when one of the same number is there. */
export function entryInsertions(db: Kysely<Tables>, entries: readonly Entry[]): Insertion[] {
  const insertions: Insertion[] = [];
  for (let i = 0; i < entries.length; i += ROWS_AT_ONCE) {
    const values = entries.slice(i, i + ROWS_AT_ONCE).map(entryRowOf);
    const query = db
      .insertInto('entry')
      .values(values)
      .onConflict((on) => on.doNothing())
      .returning('seq')
      .compile();
    insertions.push({ query, rows: values.length });
  }
  return insertions;
}

/**
 * Adds revisions and entries of another workshop as they are, in one transaction: history is not decided again, but what an
 * entry may say and where it may stand is checked, and its number must follow.
 */
export async function restoreInto(
  { db, insertAll }: Engine,
  revisions: readonly Revision[],
  entries: readonly Entry[],
): Promise<boolean> {
  for (const [i, { seq, stream, content }] of entries.entries()) {
    if (seq !== entries[0]!.seq + i) throw new RangeError(`entry ${seq} does not follow`);
    if (!belongs(stream, content.kind)) throw new RangeError(`${content.kind} does not belong in ${stream}`);
    contentSchema.parse(content);
  }
  await refuseMissingFiles(db, entries);
  // The first must follow what is there: a head that has moved on has taken its number.
  const first = entries[0];
  if (first !== undefined && (await headOf(db)) !== first.seq - 1) return false;
  return insertAll([...revisionInsertions(db, revisions), ...entryInsertions(db, entries)]);
}

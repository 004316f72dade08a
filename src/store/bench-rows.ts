/** A row of `entry` (migrations/0003), and an entry as the bench knows it. */
import { createHash } from 'node:crypto';
import type { Selectable } from 'kysely';
import { userError } from '../core/units/index.ts';
import type { Content, Entry } from '../records/bench/index.ts';

export interface EntryTable {
  seq: number;
  previous: number | null;
  stream: string;
  number: number;
  kind: string;
  at: string;
  signed: string;
  token: string | null;
  corrects: number | null;
  content: string;
  digest: string;
}

export const ENTRY_COLUMNS = [
  'seq',
  'stream',
  'number',
  'kind',
  'at',
  'signed',
  'token',
  'corrects',
  'content',
  'digest',
] as const;
export type EntryRow = Pick<Selectable<EntryTable>, (typeof ENTRY_COLUMNS)[number]>;

/** Throws RangeError for what neither database gives back as it was: halves of a surrogate pair, and the character zero. */
export function entryRowOf(entry: Entry): Selectable<EntryTable> {
  const { seq, stream, number, at, by, token, corrects } = entry;
  const content = JSON.stringify(entry.content);
  for (const text of [stream, by, token ?? '', content])
    if (/[\p{Surrogate}\0]/u.test(text)) throw new RangeError(`${stream}: this text cannot be stored`);
  const row = { seq, stream, number, kind: entry.content.kind, at, signed: by, token, corrects, content };
  return { ...row, previous: seq === 1 ? null : seq - 1, digest: entryDigest(row) };
}

export const entryIntact = (row: EntryRow): boolean => row.digest === entryDigest(row);

export const entryDamage = ({ seq, stream, number }: EntryRow) =>
  `entry ${seq} (${stream}, number ${number}) is not as it was written`;

/** Throws UserError when the row is not as it was written. */
export function entryOf(row: EntryRow): Entry {
  if (!entryIntact(row))
    throw userError('workshop-damaged', `${entryDamage(row)}: keep the file, and go on with the newest backup`);
  const { seq, stream, number, at, token, corrects } = row;
  return { seq, stream, number, at, by: row.signed, token, corrects, content: JSON.parse(row.content) as Content };
}

function entryDigest(row: Omit<EntryRow, 'digest'>): string {
  const values = [row.seq, row.stream, row.number, row.kind, row.at, row.signed, row.token, row.corrects, row.content];
  return createHash('sha256').update(JSON.stringify(values)).digest('hex');
}

import { createHash } from 'node:crypto';
import type { Selectable } from 'kysely';
import type { Listing, RecordKind, Revision } from '../app/store-port.ts';
import { userError } from '../core/units/index.ts';
import type { EntryTable } from './bench-rows.ts';

/** A row of `revision` (migrations/0001). */
interface RevisionTable {
  kind: RecordKind;
  key: string;
  number: number;
  previous: number | null;
  name: string;
  latitude_deg: number | null;
  longitude_deg: number | null;
  elevation_m: number | null;
  restores: number | null;
  note: string;
  saved_at: string;
  content: string | null;
  digest: string;
}

/** A row of `kept_file` (migrations/0005). */
interface KeptFileTable {
  sha256: string;
  size: number;
  content: Uint8Array;
}

/** A row of `migration`, the bookkeeping of the migrations themselves. */
interface MigrationTable {
  number: number;
  name: string;
  sha256: string;
  applied_at: string;
}

export interface Tables {
  revision: RevisionTable;
  entry: EntryTable;
  kept_file: KeptFileTable;
  migration: MigrationTable;
}

export const LISTED = [
  'kind',
  'key',
  'number',
  'name',
  'latitude_deg',
  'longitude_deg',
  'elevation_m',
  'restores',
  'note',
  'saved_at',
] as const;

type ListedRow = Pick<Selectable<RevisionTable>, (typeof LISTED)[number]>;

/** Written out, since lists are long: a rest pattern takes 40 times as long. */
export function listingOf(row: ListedRow, removed: boolean): Listing {
  return {
    kind: row.kind,
    key: row.key,
    number: row.number,
    name: row.name,
    latitude_deg: row.latitude_deg,
    longitude_deg: row.longitude_deg,
    elevation_m: row.elevation_m,
    restores: row.restores,
    note: row.note,
    savedAt: row.saved_at,
    removed,
  };
}

/** Columns of a whole revision. */
export const WHOLE = [...LISTED, 'content', 'digest'] as const;
export type WholeRow = Pick<Selectable<RevisionTable>, (typeof WHOLE)[number]>;

/** Whether the row is as it was saved, to the letter. */
export const isIntact = (row: WholeRow): boolean => row.digest === digestOf(row);

/** Throws UserError when the row is not as it was saved. */
export function revisionOf(row: WholeRow): Revision {
  if (!isIntact(row))
    throw userError('workshop-damaged', `${damageText(row)}: keep the file, and go on with the newest backup`);
  const { content } = row;
  return { ...listingOf(row, content === null), content };
}

export const damageText = ({ kind, key, number }: WholeRow) =>
  `revision ${number} of ${kind} ${key} is not as it was saved`;

/** Throws RangeError for what neither database gives back as it was: halves of a surrogate pair, and the character zero. */
export function rowOf(revision: Revision): Selectable<RevisionTable> {
  const { removed: _, savedAt, number, ...rest } = revision;
  for (const text of [rest.key, rest.name, rest.note, rest.content ?? ''])
    if (/[\p{Surrogate}\0]/u.test(text)) throw new RangeError(`${rest.kind} ${rest.key}: this text cannot be stored`);
  const row = { ...rest, number, previous: number === 1 ? null : number - 1, saved_at: savedAt };
  return { ...row, digest: digestOf(row) };
}

function digestOf(row: Omit<WholeRow, 'digest'>): string {
  const values = [...LISTED, 'content' as const].map((column) => row[column]);
  return createHash('sha256').update(JSON.stringify(values)).digest('hex');
}

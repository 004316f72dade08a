import type { Selectable } from 'kysely';
import type { Listing, RecordKind, Revision } from '../app/store-port.ts';

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

/** `removed` is 0 or 1 from SQLite, a boolean from PostgreSQL. */
export function listingOf(row: ListedRow & { readonly removed: unknown }): Listing {
  const { saved_at, removed, ...rest } = row;
  return { ...rest, savedAt: saved_at, removed: Boolean(removed) };
}

export function revisionOf(row: ListedRow & { readonly content: string | null }): Revision {
  const { content } = row;
  return { ...listingOf({ ...row, removed: content === null }), content };
}

export function rowOf(revision: Revision): RevisionTable {
  const { removed: _, savedAt, number, ...rest } = revision;
  return { ...rest, number, previous: number === 1 ? null : number - 1, saved_at: savedAt };
}

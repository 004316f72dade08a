import type { Entry } from '../records/bench/index.ts';
import type { BenchStore } from './bench-port.ts';

/** What the use cases need from a database; `src/store` gives it on SQLite and on PostgreSQL. */

export type RecordKind = 'kit' | 'perch' | 'net';
export const RECORD_KINDS: readonly RecordKind[] = ['kit', 'perch', 'net'];

/** A record's name in the workshop: unique within its kind, kept for life, fit for a file name. */
export interface RecordId {
  readonly kind: RecordKind;
  readonly key: string;
}

/** What lists and maps show of a content without reading it. */
export interface Summary {
  readonly name: string;
  readonly latitude_deg: number | null;
  readonly longitude_deg: number | null;
  readonly elevation_m: number | null;
}

/** One revision without its content. */
export interface Listing extends RecordId, Summary {
  /** 1, 2, 3 … without a gap. */
  readonly number: number;
  /** The earlier revision that this one brings back. */
  readonly restores: number | null;
  readonly note: string;
  /** UTC, ISO 8601. */
  readonly savedAt: string;
  /** This revision takes the record away; the ones before it stay. */
  readonly removed: boolean;
}

/** One save. Never changed once it stands. */
export interface Revision extends Listing {
  /** The file as its maker wrote it; null in a revision that takes the record away. */
  readonly content: string | null;
}

/** Outcome of a save: everything stands, or nothing does because other saves came first. */
export type Appended = { readonly saved: true } | { readonly saved: false; readonly stale: readonly Listing[] };

export interface WorkshopStore {
  /** File or address (without password), as it is shown. */
  readonly place: string;
  /** Parts, lots, plans, batches, orders and units. */
  readonly bench: BenchStore;
  /** The newest revision of each record, of one kind or of all; removed ones included. Sorted by kind and key. */
  list(kind?: RecordKind): Promise<Listing[]>;
  newest(id: RecordId): Promise<Revision | undefined>;
  /** All revisions of a record, oldest first. */
  history(id: RecordId): Promise<Revision[]>;
  /** All revisions of all records at one moment, sorted by kind, key and number. */
  everything(): Promise<Revision[]>;
  /**
   * Saves all of `revisions` or none. Each is made from the revision numbered one below it, which must be the newest (or be
   * among those given); where it is not, nothing is saved and the newest of each such record is told. When the promise is
   * fulfilled the data is on the disk.
   */
  append(revisions: readonly Revision[]): Promise<Appended>;
  /**
   * Adds revisions and the bench's entries of another workshop as they are, numbers and all: everything, or nothing (false)
   * when one of those numbers is taken meanwhile.
   */
  restore(revisions: readonly Revision[], entries: readonly Entry[]): Promise<boolean>;
  /** Reads everything and gives what is damaged, in words; nothing when all is well. */
  check(): Promise<string[]>;
  /** Writes a copy of this moment as a workshop file of its own, which must not exist yet; other writers go on meanwhile. */
  backup(path: string): Promise<void>;
  close(): Promise<void>;
}

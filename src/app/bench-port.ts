/** What the bench needs from a database: a record of entries that is only ever added to. */
import type { Entry, NewEntry } from '../records/bench/index.ts';

/** Outcome of adding entries: all stand, or none does because others came first. */
export type Added =
  | { readonly added: true; readonly entries: readonly Entry[] }
  | { readonly added: false; readonly reason: 'others came first' };

/** A file that entries name by its digest. */
export interface KeptFile {
  /** SHA-256 of its bytes, hexadecimal. */
  readonly sha256: string;
  readonly size: number;
}

export interface BenchStore {
  /** Number of the newest entry; 0 when there is none. */
  head(): Promise<number>;
  /** Entries after `seq`, in their order. */
  after(seq: number, most?: number): Promise<Entry[]>;
  /** Entries of one stream, in their order. */
  stream(stream: string): Promise<Entry[]>;
  /**
   * Adds all of `entries` or none, provided that `head` is still the newest. A token that is kept already is refused by the
   * caller before (its state knows all tokens); should two race, the second adds nothing and finds it on its next look.
   *
   * @throws UserError when a unit is to be shipped that may not be: whatever the caller has checked
   */
  append(entries: readonly NewEntry[], head: number): Promise<Added>;
  /** Keeps the bytes of a file for good, once however often they come, and gives their digest. Comes before the entry that names it. */
  keepFile(content: Uint8Array): Promise<string>;
  /**
   * Bytes of a kept file; undefined when none has this digest.
   *
   * @throws UserError when they are not as they were kept
   */
  file(sha256: string): Promise<Uint8Array | undefined>;
  /** All kept files, without their bytes. */
  files(): Promise<readonly KeptFile[]>;
}

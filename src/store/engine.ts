import type { CompiledQuery, Kysely } from 'kysely';
import type { Tables } from './tables.ts';

export type Dialect = 'sqlite' | 'postgres';

/** One statement, and how many rows it must return. */
export interface Insertion {
  readonly query: CompiledQuery;
  readonly rows: number;
}

/** What differs between the two databases; everything else is written once. */
export interface Engine {
  readonly dialect: Dialect;
  /** File or address without password, for messages. */
  readonly place: string;
  readonly db: Kysely<Tables>;
  /** Whether a workshop stands here already. */
  initialised(): Promise<boolean>;
  /** Runs `work` in a transaction that no second migration can enter; a throw takes everything back. */
  migrating<T>(work: (db: Kysely<Tables>, script: (sql: string) => Promise<void>) => Promise<T>): Promise<T>;
  /** Runs all in one transaction; false, and nothing done, as soon as one returns fewer rows than it must. */
  insertAll(insertions: readonly Insertion[]): Promise<boolean>;
  /** What is damaged, in words. */
  check(thorough: boolean): Promise<string[]>;
  /** An online copy to a file, where the database has one of its own. */
  readonly copyTo?: (path: string) => Promise<void>;
  close(): Promise<void>;
}

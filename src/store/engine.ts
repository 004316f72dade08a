import type { Kysely } from 'kysely';
import type { Tables } from './tables.ts';

export type Dialect = 'sqlite' | 'postgres';

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
  /** What is damaged, in words. */
  check(thorough: boolean): Promise<string[]>;
  /** An online copy to a file, where the database has one of its own. */
  readonly copyTo?: (path: string) => Promise<void>;
  close(): Promise<void>;
}

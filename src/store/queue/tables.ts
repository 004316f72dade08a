/** Where runs lie in the database: a schema of ours for what is computed, one of the queue for who computes it. */
import { Logger, runMigrations } from 'graphile-worker';
import pg from 'pg';
import { withoutPassword } from '../postgres.ts';
import { told } from '../problems.ts';

/** Schema of the queue's own tables. */
export const QUEUE = 'sunperch_queue';
/** Any number that other users of advisory locks in this database do not take: "SUNQ" as four letters of ASCII. */
const MAKING_LOCK = 0x53554e51;
/** Channel on which an answer is announced, with the name of its run. */
export const ANSWERED = 'sunperch_answered';

/** Nothing in here outlives its run: no migrations. */
const TABLES = `
create schema sunperch_run;
create table sunperch_run.run (
  id text primary key,
  task text not null,
  build text not null,
  parts integer not null,
  -- When the one who asked was last heard.
  seen_at timestamptz not null default now()
);
create table sunperch_run.part (
  run text not null references sunperch_run.run on delete cascade,
  number integer not null,
  input text not null,
  answer text,
  primary key (run, number)
);
-- Typed arrays in pieces: of all inputs (part -1), and of the answer of a part.
create table sunperch_run.bytes (
  run text not null references sunperch_run.run on delete cascade,
  part integer not null,
  number integer not null,
  piece integer not null,
  bytes bytea not null,
  primary key (run, part, number, piece)
);
-- Measured and made figures hardly shrink: trying it costs more than it saves.
alter table sunperch_run.bytes alter column bytes set storage external;
create table sunperch_run.worker (
  id text primary key,
  build text not null,
  cores integer not null,
  seen_at timestamptz not null
);`;

/** The queue says nothing by itself: what matters is told in sentences of ours. */
export const SILENT = new Logger(() => () => undefined);

export interface Queue {
  readonly pool: pg.Pool;
  /** The address as it may be shown. */
  readonly place: string;
  close(): Promise<void>;
}

/** Connects, and makes the tables where they are not there yet. UserError when the database cannot be reached or refuses. */
export async function openQueue(address: string, connections: number): Promise<Queue> {
  const place = withoutPassword(address);
  const pool = new pg.Pool({
    connectionString: address,
    max: connections,
    connectionTimeoutMillis: 5000,
    keepAlive: true,
  });
  // A connection that breaks is replaced by the next query, which tells when it cannot.
  pool.on('error', () => undefined);
  pool.on('connect', (client) => void client.on('error', () => undefined));
  try {
    await told(place, () => make(pool));
  } catch (error) {
    await pool.end();
    throw error;
  }
  return { pool, place, close: () => pool.end() };
}

async function make(pool: pg.Pool): Promise<void> {
  const client = await pool.connect();
  try {
    // Two programs may start at once on an empty database: the second waits and finds the tables there.
    await client.query('select pg_advisory_lock($1)', [MAKING_LOCK]);
    const found = await client.query(`select to_regclass('sunperch_run.worker') is not null as there`);
    if (!found.rows[0].there) await client.query(`begin; ${TABLES} commit;`);
    await runMigrations({ pgPool: pool, schema: QUEUE, logger: SILENT });
    await client.query('select pg_advisory_unlock($1)', [MAKING_LOCK]);
    client.release();
  } catch (error) {
    // The lock goes with its connection.
    client.release(true);
    throw error;
  }
}

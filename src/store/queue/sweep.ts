/** Who is alive, and what those leave behind who are not. All by the clock of the database. */
import type pg from 'pg';
import { QUEUE } from './tables.ts';

/** A worker tells this often that it is alive. */
export const BEAT_ms = 2000;
/** One that was silent for longer counts as dead: its parts go to others. Five beats, so that a busy machine is not taken for a dead one. */
const DEAD = "interval '10 seconds'";
/** A run whose asker was silent for longer is taken back. */
const ABANDONED = "interval '60 seconds'";

/** Live workers by build. */
export async function workersAlive(pool: pg.Pool): Promise<{ build: string; workers: number }[]> {
  const { rows } = await pool.query<{ build: string; workers: number }>(
    `select build, count(*)::int as workers from sunperch_run.worker where seen_at > now() - ${DEAD} group by build order by build`,
  );
  return rows;
}

/** Gives the parts of dead workers back to the queue, and takes away what nobody waits for any more. Anyone may do it, any number at once. */
export async function sweep(pool: pg.Pool): Promise<void> {
  // A worker announces itself before it takes its first part: one that is not listed has gone.
  await pool.query(`
    with dead as (
      select distinct locked_by from ${QUEUE}.jobs
      where locked_at < now() - ${DEAD}
        and locked_by not in (select id from sunperch_run.worker where seen_at > now() - ${DEAD})
    )
    select ${QUEUE}.force_unlock_workers(array_agg(locked_by)) from dead having count(*) > 0`);
  await pool.query(`delete from sunperch_run.worker where seen_at < now() - ${ABANDONED}`);
  const { rows } = await pool.query<{ id: string }>(
    `select id from sunperch_run.run where seen_at < now() - ${ABANDONED}`,
  );
  for (const { id } of rows) await dropRun(pool, id);
  // Parts that were being worked on when their run was taken back.
  await pool.query(
    `select ${QUEUE}.complete_jobs(array_agg(id)) from ${QUEUE}.jobs where key is null and locked_at is null having count(*) > 0`,
  );
}

/** Takes a run back: its parts leave the queue, those who work on one find that nobody waits for it. */
export async function dropRun(pool: pg.Pool, run: string): Promise<void> {
  const client = await pool.connect();
  try {
    await client.query('begin');
    await client.query('delete from sunperch_run.run where id = $1', [run]);
    await client.query(
      `with parts as materialized (select key from ${QUEUE}.jobs where starts_with(key, $1 || '/')) select ${QUEUE}.remove_job(key) from parts`,
      [run],
    );
    await client.query('commit');
    client.release();
  } catch (error) {
    client.release(true);
    throw error;
  }
}

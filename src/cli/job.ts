import { parentPort, workerData } from 'node:worker_threads';
import { runJob } from '../app/job.ts';
import type { JobInput } from '../app/job-kinds.ts';
import type { Ports } from '../app/ports.ts';
import { UserError } from '../core/units/index.ts';
import type { JobAnswer } from '../host/job.ts';
import { runInWorkers } from '../host/pool.ts';
import type { TerrainPlace } from './terrain-place.ts';

/** What a job's thread is started with. */
export interface JobOrder {
  readonly input: JobInput;
  /** Its parts run on other machines; else on all cores, in threads that end with this one. */
  readonly spread: boolean;
  /** For jobs that need one. */
  readonly terrain?: TerrainPlace | undefined;
}

// Entry of a job's thread: runs the one job that it was started with.
const { input, spread, terrain } = workerData as JobOrder;
const answer = (message: JobAnswer) => parentPort?.postMessage(message);
const progress = (done: number, total: number, what: string) => answer({ kind: 'progress', done, total, what });

const here: Ports['runTasks'] = (task, inputs, what) =>
  runInWorkers(new URL('./worker.mjs', import.meta.url), task, inputs, (done, total) => progress(done, total, what));

const elsewhere: Ports['runTasks'] = async (task, inputs, what) => {
  const { runSpread } = await import('./spread.ts');
  const stop = new AbortController();
  parentPort?.on('message', () => stop.abort(new Error('stopped')));
  let last = 0;
  // Why nothing happens stands in place of what is done, until something is.
  let note: string | undefined;
  return runSpread(
    task,
    inputs,
    (done, total) => {
      if (done > last) note = undefined;
      last = done;
      progress(done, total, note ?? what);
    },
    (sentence) => {
      note = sentence;
    },
    stop.signal,
  );
};

try {
  const result = await runJob(
    {
      progress,
      runTasks: spread ? elsewhere : here,
      ...(terrain === undefined
        ? {}
        : { openTerrain: async () => (await import('./terrain-open.ts')).openPlace(terrain) }),
    },
    input,
  );
  answer({ kind: 'result', result });
} catch (error) {
  if (error instanceof UserError) answer({ kind: 'problems', problems: error.problems });
  else answer({ kind: 'fault', fault: error instanceof Error ? (error.stack ?? error.message) : String(error) });
}

import { parentPort, workerData } from 'node:worker_threads';
import { runJob } from '../app/job.ts';
import type { JobInput } from '../app/job-kinds.ts';
import { UserError } from '../core/units/index.ts';
import type { JobAnswer } from '../host/job.ts';
import { runInWorkers } from '../host/pool.ts';

// Entry of a job's thread: runs the one job that it was started with. Its parts run on all cores, in threads that end with this one.
const answer = (message: JobAnswer) => parentPort?.postMessage(message);
const progress = (done: number, total: number, what: string) => answer({ kind: 'progress', done, total, what });
try {
  const result = await runJob(
    {
      progress,
      runTasks: (task, inputs, what) =>
        runInWorkers(new URL('./worker.mjs', import.meta.url), task, inputs, (done, total) =>
          progress(done, total, what),
        ),
    },
    workerData as JobInput,
  );
  answer({ kind: 'result', result });
} catch (error) {
  if (error instanceof UserError) answer({ kind: 'problems', problems: error.problems });
  else answer({ kind: 'fault', fault: error instanceof Error ? (error.stack ?? error.message) : String(error) });
}

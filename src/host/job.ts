import { Worker } from 'node:worker_threads';
import { type Problem, UserError } from '../core/units/index.ts';

/** What the thread of a job answers. */
export type JobAnswer =
  | { readonly kind: 'progress'; readonly done: number; readonly total: number; readonly what: string }
  | { readonly kind: 'result'; readonly result: unknown }
  | { readonly kind: 'problems'; readonly problems: readonly Problem[] }
  | { readonly kind: 'fault'; readonly fault: string };

/** Heap of one job's thread, MB; typed arrays of the years count beside it. */
const HEAP_MB = 1024;

/**
 * Runs one job in a thread of its own; the threads that it starts for its parts end with it. Ended by `signal`: then the
 * promise is rejected with the signal's reason. With `grace_ms` the thread is first told `'stop'` and may take back what it has begun
 * elsewhere. UserError for problems with the input.
 */
export function runJobInThread(
  entry: URL,
  input: unknown,
  onProgress: (done: number, total: number, what: string) => void,
  signal: AbortSignal,
  grace_ms = 0,
): Promise<unknown> {
  return new Promise((resolve, reject) => {
    if (signal.aborted) return reject(signal.reason);
    const worker = new Worker(entry, { workerData: input, resourceLimits: { maxOldGenerationSizeMb: HEAP_MB } });
    let settled = false;
    const settle = (finish: () => void) => {
      if (settled) return;
      settled = true;
      signal.removeEventListener('abort', stop);
      clearTimeout(patience);
      // Only when the thread is gone is the job over: no work goes on behind a job that counts as stopped.
      void worker.terminate().then(finish, finish);
    };
    const end = () => settle(() => reject(signal.reason));
    let patience: NodeJS.Timeout | undefined;
    const stop = () => {
      if (grace_ms === 0) return end();
      worker.postMessage('stop');
      patience = setTimeout(end, grace_ms);
    };
    signal.addEventListener('abort', stop);
    worker.on('message', (answer: JobAnswer) => {
      if (settled) return;
      if (answer.kind === 'progress') onProgress(answer.done, answer.total, answer.what);
      else if (signal.aborted) end();
      else if (answer.kind === 'result') settle(() => resolve(answer.result));
      else if (answer.kind === 'problems') settle(() => reject(new UserError(answer.problems)));
      else settle(() => reject(new Error(answer.fault)));
    });
    worker.on('error', (error) => settle(() => reject(error)));
    worker.on('exit', (code) => settle(() => reject(new Error(`the thread of the job ended with code ${code}`))));
  });
}

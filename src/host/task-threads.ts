import { Worker } from 'node:worker_threads';
import { UserError, userError } from '../core/units/index.ts';
import type { TaskAnswer, TaskMessage } from './pool.ts';

/** Threads that last from task to task, as many as were ever busy at once. */
export interface TaskThreads {
  /** Runs a task in a thread of its own; the signal ends the thread and rejects with its reason. */
  run(task: string, input: unknown, signal: AbortSignal): Promise<unknown>;
  close(): Promise<void>;
}

/** Starts threads when they are wanted. `entry` answers tasks as `runInWorkers` expects it. UserError for problems with the input. */
export function createTaskThreads(entry: URL): TaskThreads {
  const idle: Worker[] = [];
  const all = new Set<Worker>();
  const drop = (thread: Worker) => {
    all.delete(thread);
    return thread.terminate();
  };
  return {
    run(task, input, signal) {
      return new Promise((resolve, reject) => {
        signal.throwIfAborted();
        const thread = idle.pop() ?? new Worker(entry);
        all.add(thread);
        const settle = (finish: () => void, keep: boolean) => {
          thread.removeAllListeners();
          signal.removeEventListener('abort', stop);
          if (keep) {
            // One that ends while it waits is not asked again.
            thread.on('error', () => undefined);
            thread.on('exit', () => {
              all.delete(thread);
              const at = idle.indexOf(thread);
              if (at >= 0) idle.splice(at, 1);
            });
            idle.push(thread);
            finish();
          } else void drop(thread).then(finish, finish);
        };
        const stop = () => settle(() => reject(signal.reason), false);
        signal.addEventListener('abort', stop);
        thread.removeAllListeners();
        thread.on('message', ({ result, problems, fault }: TaskAnswer) =>
          settle(() => {
            if (problems) reject(new UserError(problems));
            else if (fault !== undefined) reject(new Error(fault));
            else resolve(result);
          }, true),
        );
        thread.on('error', (error: Error & { code?: string }) =>
          settle(
            () =>
              reject(
                error.code === 'ERR_WORKER_OUT_OF_MEMORY'
                  ? userError(
                      'out-of-memory',
                      'a part needs more memory than a worker had: ask for fewer years or a smaller radius',
                    )
                  : error,
              ),
            false,
          ),
        );
        thread.on('exit', (code) => settle(() => reject(new Error(`a thread ended with code ${code}`)), false));
        thread.postMessage({ id: 0, task, input } satisfies TaskMessage);
      });
    },
    async close() {
      await Promise.all([...all].map(drop));
    },
  };
}

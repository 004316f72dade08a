import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { type Problem, UserError } from '../core/units/index.ts';

/** What a worker is asked and what it answers. */
export interface TaskMessage {
  readonly id: number;
  readonly task: string;
  readonly input: unknown;
}
export interface TaskAnswer {
  readonly id: number;
  readonly result?: unknown;
  readonly problems?: readonly Problem[];
  readonly fault?: string;
}

/**
 * Runs one task over many inputs in worker threads, one a core, each taking the next input when it is free. Results come
 * back in the order of the inputs. The first failure ends all workers and is thrown here.
 */
export async function runInWorkers(
  entry: URL,
  task: string,
  inputs: readonly unknown[],
  onDone: (done: number, total: number) => void,
  cores = availableParallelism(),
): Promise<unknown[]> {
  const results = new Array<unknown>(inputs.length);
  const workers: Worker[] = [];
  let next = 0;
  let done = 0;
  try {
    await new Promise<void>((resolve, reject) => {
      if (inputs.length === 0) resolve();
      for (let w = 0; w < Math.min(cores, inputs.length); w++) {
        const worker = new Worker(entry);
        workers.push(worker);
        const feed = () => {
          if (next >= inputs.length) return;
          const id = next++;
          worker.postMessage({ id, task, input: inputs[id] } satisfies TaskMessage);
        };
        worker.on('message', (answer: TaskAnswer) => {
          if (answer.problems) reject(new UserError(answer.problems));
          else if (answer.fault !== undefined) reject(new Error(answer.fault));
          else {
            results[answer.id] = answer.result;
            done++;
            onDone(done, inputs.length);
            if (done === inputs.length) resolve();
            else feed();
          }
        });
        worker.on('error', reject);
        worker.on('exit', (code) => {
          if (code !== 0 && done < inputs.length) reject(new Error(`a worker ended with code ${code}`));
        });
        feed();
      }
    });
    return results;
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}

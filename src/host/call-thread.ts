import { Worker } from 'node:worker_threads';
import { type Problem, UserError } from '../core/units/index.ts';

/** A question to a thread, or that its answer is wanted no more. */
export type Call =
  | { readonly id: number; readonly what: string; readonly input: unknown }
  | { readonly cancel: number };
export interface CallAnswer {
  readonly id: number;
  readonly result?: unknown;
  readonly problems?: readonly Problem[];
  readonly fault?: string;
}

/** One thread that answers questions in turn, and keeps what it has loaded. */
export interface CallThread {
  /** UserError for the user's problems. Given up by `signal`: then it is rejected with the signal's reason, and not begun any more. */
  call(what: string, input: unknown, signal?: AbortSignal): Promise<unknown>;
  close(): Promise<void>;
}

interface Waiting {
  resolve(value: unknown): void;
  reject(error: unknown): void;
}

/** Starts the thread with the first question, and anew after it has broken down. */
export function createCallThread(entry: URL, data: unknown): CallThread {
  let worker: Worker | undefined;
  let last = 0;
  const waiting = new Map<number, Waiting>();
  const fail = (from: Worker, error: unknown) => {
    if (worker !== from) return;
    worker = undefined;
    for (const one of waiting.values()) one.reject(error);
    waiting.clear();
  };
  const start = (): Worker => {
    const started = new Worker(entry, { workerData: data });
    // The thread alone keeps no process alive.
    started.unref();
    started.on('message', ({ id, result, problems, fault }: CallAnswer) => {
      const one = waiting.get(id);
      waiting.delete(id);
      if (problems !== undefined) one?.reject(new UserError(problems));
      else if (fault !== undefined) one?.reject(new Error(fault));
      else one?.resolve(result);
    });
    started.on('error', (error) => fail(started, error));
    started.on('exit', (code) => fail(started, new Error(`a thread ended with code ${code}`)));
    return started;
  };
  return {
    call(what, input, signal) {
      return new Promise((resolve, reject) => {
        if (signal?.aborted) return reject(signal.reason);
        worker ??= start();
        const id = ++last;
        const giveUp = () => {
          waiting.delete(id);
          worker?.postMessage({ cancel: id } satisfies Call);
          reject(signal?.reason);
        };
        const done = () => signal?.removeEventListener('abort', giveUp);
        signal?.addEventListener('abort', giveUp, { once: true });
        waiting.set(id, {
          resolve: (value) => {
            done();
            resolve(value);
          },
          reject: (error) => {
            done();
            reject(error);
          },
        });
        worker.postMessage({ id, what, input } satisfies Call);
      });
    },
    async close() {
      await worker?.terminate();
    },
  };
}

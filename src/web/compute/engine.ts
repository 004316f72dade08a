/** The pages' side of the workers: the newest question wins, older ones are dropped. */
import type { YearResult } from '../../app/year.ts';
import { type Problem, UserError } from '../../core/units/index.ts';
import type { Ask, Failure, QuickAsk, QuickTold, YearAsk, YearTold } from './messages.ts';
import type { QuickAnswer, QuickRequest } from './quick.ts';

const startWorker = () => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
const ask = (worker: Worker, what: Ask) => worker.postMessage(what);

function errorOf(failure: Failure): Error {
  return 'problems' in failure ? new UserError(failure.problems) : new Error(failure.fault);
}

/** Problems to show for whatever was thrown; an unexpected fault becomes one sentence. */
export function problemsOf(error: unknown): readonly Problem[] {
  if (error instanceof UserError) return error.problems;
  const text = error instanceof Error ? error.message.split('\n')[0] : String(error);
  return [{ code: 'unexpected', message: `unexpected: ${text}` }];
}

interface Waiting {
  readonly ask: QuickAsk;
  readonly resolve: (answer: QuickAnswer | null) => void;
  readonly reject: (error: Error) => void;
}

export interface QuickLane {
  /** A first look; null when a newer question came before this one was begun. */
  look(request: QuickRequest, years: QuickAsk['years']): Promise<QuickAnswer | null>;
}

/**
 * One worker for first looks. With `newestWins` a question that still waits gives way to the next one, as under a slider;
 * without, all are answered in turn, as for a list.
 */
export function quickLane(newestWins: boolean): QuickLane {
  let worker: Worker | undefined;
  let running: Waiting | undefined;
  let queue: Waiting[] = [];
  let count = 0;
  const next = () => {
    running = queue.shift();
    if (running && worker) ask(worker, { look: running.ask });
  };
  const begin = () => {
    worker = startWorker();
    worker.addEventListener('message', ({ data }: MessageEvent<QuickTold>) => {
      const { resolve, reject } = running!;
      next();
      if ('answer' in data) resolve(data.answer);
      else reject(errorOf(data));
    });
    worker.addEventListener('error', (event) => {
      const failed = running;
      worker?.terminate();
      worker = undefined;
      running = undefined;
      failed?.reject(new Error(event.message || 'the worker could not be started'));
    });
  };
  return {
    look: (request, years) =>
      new Promise((resolve, reject) => {
        if (newestWins) {
          for (const old of queue) old.resolve(null);
          queue = [];
        }
        queue.push({ ask: { id: ++count, request, years }, resolve, reject });
        if (worker === undefined) begin();
        if (running === undefined) next();
      }),
  };
}

export interface YearRun {
  readonly result: Promise<YearResult>;
  stop(): void;
}

/** Runs the whole forecast in a worker of its own. `stop` ends it; its promise then never settles. */
export function runYear(request: YearAsk, onProgress: (done: number, total: number, what: string) => void): YearRun {
  const worker = startWorker();
  const result = new Promise<YearResult>((resolve, reject) => {
    worker.addEventListener('message', ({ data }: MessageEvent<YearTold>) => {
      if ('progress' in data) onProgress(data.progress.done, data.progress.total, data.progress.what);
      else {
        worker.terminate();
        if ('result' in data) resolve(data.result);
        else reject(errorOf(data));
      }
    });
    worker.addEventListener('error', (event) => {
      worker.terminate();
      reject(new Error(event.message || 'the worker could not be started'));
    });
    ask(worker, { year: request });
  });
  return { result, stop: () => worker.terminate() };
}

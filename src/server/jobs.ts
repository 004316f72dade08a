/** Long computations: some at a time, the others wait; each can be watched and stopped; the same work is done once. */
import { randomUUID } from 'node:crypto';
import type { JobInput } from '../app/job-kinds.ts';
import { type Problem, UserError } from '../core/units/index.ts';
import type { JobStatus } from './api.ts';
import { oneLine, Refusal } from './problems.ts';
import { type ResultNote, type Results, resultText } from './results.ts';

/** Computes one job; stops when the signal says so and then rejects. */
export type RunJob = (
  input: JobInput,
  onProgress: (done: number, total: number, what: string) => void,
  signal: AbortSignal,
) => Promise<unknown>;

export interface JobOrder {
  readonly input: JobInput;
  readonly key: string;
  readonly note: ResultNote;
}

export interface Jobs {
  submit(order: JobOrder): Promise<JobStatus>;
  status(id: string): JobStatus | undefined;
  stop(id: string): JobStatus | undefined;
  /** Calls `look` at each change until the answer is called; undefined when there is no such job. */
  watch(id: string, look: (status: JobStatus) => void): (() => void) | undefined;
  /** Stops all; nothing is taken any more. */
  close(): void;
}

/** First looks that are asked for at once: one thread answers them in turn. */
const LOOKS = 4;
/** Jobs that wait at most, and ended ones that are remembered. */
const WAITING = 50;
const REMEMBERED = 500;

interface Job {
  status: JobStatus;
  readonly work: Work | undefined;
  readonly note: ResultNote;
  readonly watchers: Set<(status: JobStatus) => void>;
}
interface Work {
  readonly order: JobOrder;
  readonly jobs: Set<Job>;
  readonly abort: AbortController;
  running: boolean;
}

export const isOver = ({ state }: JobStatus): boolean => state === 'done' || state === 'failed' || state === 'stopped';

export function createJobs(run: RunJob, results: Results, atOnce: number, log: (line: string) => void): Jobs {
  const jobs = new Map<string, Job>();
  /** In the order in which they came: work that runs or waits, by key. */
  const works = new Map<string, Work>();
  let closed = false;

  const tell = (job: Job, change: Partial<JobStatus>) => {
    if (isOver(job.status)) return;
    job.status = { ...job.status, ...change };
    for (const look of [...job.watchers]) look(job.status);
  };
  const forget = () => {
    for (const [id, job] of jobs) {
      if (jobs.size <= REMEMBERED) return;
      if (isOver(job.status)) jobs.delete(id);
    }
  };
  const next = () => {
    // First looks do not wait behind long computations.
    for (const [passing, most] of [
      [false, atOnce],
      [true, LOOKS],
    ] as const) {
      const kind = [...works.values()].filter((work) => isPassing(work.order.input) === passing);
      const running = kind.filter((work) => work.running).length;
      const waiting = kind.filter((work) => !work.running);
      for (const work of waiting.slice(0, Math.max(0, most - running))) void begin(work);
    }
  };
  const begin = async (work: Work) => {
    work.running = true;
    const all = (change: Partial<JobStatus>) => {
      for (const job of work.jobs) tell(job, change);
    };
    all({ state: 'running', what: 'begins' });
    const { key, input } = work.order;
    try {
      const result = await run(input, (done, total, what) => all({ done, total, what }), work.abort.signal);
      await results.put(key, resultText(result), { ...work.order.note, ...saidOf(result) }, !isPassing(input));
      for (const job of work.jobs) if (!isOver(job.status)) results.note({ ...job.note, ...saidOf(result) });
      all({ state: 'done', done: 1, total: 1, what: 'done' });
    } catch (error) {
      if (work.abort.signal.aborted) all({ state: 'stopped', what: 'stopped' });
      else all({ state: 'failed', what: 'failed', problems: problemsOf(error, input, log) });
    } finally {
      if (works.get(key) === work) works.delete(key);
      if (!closed) next();
    }
  };

  return {
    async submit({ input, key, note }) {
      const kept = await results.get(key);
      if (closed) throw new Refusal(503, 'stopping', 'the server is being stopped');
      const status = { id: randomUUID(), command: input.command, key };
      if (kept !== undefined) {
        const job: Job = {
          status: { ...status, state: 'done', done: 1, total: 1, what: 'was computed before' },
          work: undefined,
          note,
          watchers: new Set(),
        };
        results.note({ ...note, ...saidOf(JSON.parse(kept)) });
        jobs.set(status.id, job);
        forget();
        return job.status;
      }
      const same = works.get(key);
      const work = same ?? {
        order: { input, key, note },
        jobs: new Set(),
        abort: new AbortController(),
        running: false,
      };
      if (same === undefined && [...works.values()].filter((w) => !w.running).length >= WAITING)
        throw new Refusal(503, 'busy', `${WAITING} computations wait already: try again when some are done`, 10);
      const job: Job = {
        status: { ...status, state: work.running ? 'running' : 'waiting', done: 0, total: 1, what: 'waits' },
        work,
        note,
        watchers: new Set(),
      };
      work.jobs.add(job);
      jobs.set(status.id, job);
      forget();
      if (same === undefined) {
        works.set(key, work);
        next();
      }
      return job.status;
    },
    status: (id) => jobs.get(id)?.status,
    stop(id) {
      const job = jobs.get(id);
      if (job === undefined || isOver(job.status)) return job?.status;
      tell(job, { state: 'stopped', what: 'stopped' });
      const { work } = job;
      work?.jobs.delete(job);
      // Others may wait for the same result: the work ends with the last of them.
      if (work !== undefined && work.jobs.size === 0) {
        work.abort.abort(new Error('stopped'));
        if (works.get(work.order.key) === work) works.delete(work.order.key);
      }
      return job.status;
    },
    watch(id, look) {
      const job = jobs.get(id);
      if (job === undefined) return undefined;
      job.watchers.add(look);
      return () => job.watchers.delete(look);
    },
    close() {
      closed = true;
      for (const work of works.values()) work.abort.abort(new Error('stopped'));
      for (const job of jobs.values()) tell(job, { state: 'stopped', what: 'stopped' });
      works.clear();
    },
  };
}

/** A first look while something is dragged: short, and of no worth a moment later. */
export const isPassing = (input: JobInput): boolean => input.radio?.detail === 'coarse';

/** What a year said, for lists. */
function saidOf(result: unknown): Pick<ResultNote, 'state' | 'verdict' | 'strip'> {
  const outcome = (result as { outcome?: { command?: string } } | null)?.outcome;
  if (outcome?.command !== 'year') return {};
  const { state, verdict, strip } = outcome as Required<Pick<ResultNote, 'state' | 'verdict' | 'strip'>>;
  return { state, verdict, strip };
}

function problemsOf(error: unknown, input: JobInput, log: (line: string) => void): readonly Problem[] {
  if (error instanceof UserError) return error.problems;
  log(oneLine(`job ${input.command}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`));
  const memory = (error as { code?: unknown } | null)?.code === 'ERR_WORKER_OUT_OF_MEMORY';
  return [
    memory
      ? { code: 'out-of-memory', message: 'the computation needs more memory than it is given: ask for fewer years' }
      : {
          code: 'unexpected',
          message:
            'the computation broke off by a fault of the program, not of your input; the server’s log tells more',
        },
  ];
}

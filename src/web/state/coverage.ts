/** The coverage of what is in hand: coarse while the hand moves, in full when it rests, and the one kept where nobody answers. */
import { batch, computed, effect, signal, untracked } from '@preact/signals';
import type { Problem } from '../../core/units/index.ts';
import type { JobRequest, JobStatus, ReachAnswer } from '../../server/api.ts';
import { type RunningJob, runJob, Stopped, Unreachable } from '../api/client.ts';
import * as design from './design.ts';
import { keepReach, keptReach } from './kept-reach.ts';
import { newestLane } from './newest-lane.ts';
import { perchId } from './reach.ts';
import { reachKey, reachRequest } from './reach-request.ts';
import { callProblems } from './workshop.ts';

/** How long the hands must rest before the full coverage is begun. */
export const REST_ms = 450;
const KEPT = 6;

export interface Coverage {
  readonly key: string;
  readonly detail: 'coarse' | 'full' | 'kept';
  readonly answer: ReachAnswer;
  /** When a kept one was computed, ISO 8601. */
  readonly at?: string;
}

export const coverage = signal<Coverage | null>(null);
export const coverageStatus = signal<JobStatus | null>(null);
export const coverageProblems = signal<readonly Problem[]>([]);
/** Stopped by hand: it waits for a change or for the button. */
export const coverageStopped = signal(false);
/** The full coverage of what is in hand is shown. */
export const isFull = computed(() => coverage.value?.detail === 'full' && coverage.value.key === reachKey.value);

const known = new Map<string, Coverage>();

function remember(found: Coverage): void {
  known.delete(found.key);
  known.set(found.key, found);
  for (const old of known.keys()) {
    if (known.size <= KEPT) break;
    known.delete(old);
  }
}

let full: RunningJob<ReachAnswer> | undefined;
let timer: ReturnType<typeof setTimeout> | undefined;

interface Asked {
  readonly key: string;
  readonly request: JobRequest;
  readonly at: number;
}

const lane = newestLane<Asked, ReachAnswer>(
  ({ request }) => runJob<ReachAnswer>(request, () => undefined, { passing: true }),
  (answer, { key, at }) => {
    // An answer of a moment ago still follows the hand; a full one of what is in hand is never put aside.
    if (isFull.peek()) return;
    performance.measure('coarse coverage', { start: at, end: performance.now() });
    batch(() => {
      coverage.value = { key, detail: 'coarse', answer };
      coverageProblems.value = [];
    });
  },
  (error, { key }) => failed(error, key),
);

function failed(error: unknown, key: string): void {
  if (error instanceof Stopped || reachKey.peek() !== key) return;
  coverageProblems.value = callProblems(error);
  if (error instanceof Unreachable) void showKept();
}

/** Shows what was computed for this perch last. */
async function showKept(): Promise<void> {
  const perch = design.perchRecord.peek()?.id;
  const found = perch === undefined ? undefined : await keptReach(perch);
  if (found === undefined || design.perchRecord.peek()?.id !== perch || coverage.peek() !== null) return;
  coverage.value = { key: found.key, detail: 'kept', answer: found.answer, at: found.at };
}

function stopFull(): void {
  clearTimeout(timer);
  full?.stop();
  full = undefined;
  coverageStatus.value = null;
}

export function stopCoverage(): void {
  lane.stop();
  stopFull();
  coverageStopped.value = true;
}

/** Computes the full coverage of what is in hand. */
export function fullCoverage(): void {
  stopFull();
  coverageStopped.value = false;
  const key = reachKey.peek();
  const perch = design.perchRecord.peek()?.id;
  const saved = design.changes.peek().length === 0;
  const job = runJob<ReachAnswer>(reachRequest('full'), (status) => {
    if (full === job) coverageStatus.value = status;
  });
  full = job;
  job.result
    .then((answer) => {
      const found: Coverage = { key, detail: 'full', answer };
      remember(found);
      if (perch !== undefined && saved) void keepReach(perch, { key, at: new Date().toISOString(), answer });
      if (reachKey.peek() !== key) return;
      batch(() => {
        coverage.value = found;
        coverageProblems.value = [];
      });
    })
    .catch((error: unknown) => failed(error, key))
    .finally(() => {
      if (full !== job) return;
      full = undefined;
      coverageStatus.value = null;
    });
}

/** Computes whenever what is in hand changes; returns what ends it. */
export function followCoverage(): () => void {
  let lastPerch: string | undefined;
  const end = effect(() => {
    const key = reachKey.value;
    const perch = perchId.value;
    untracked(() => {
      stopFull();
      coverageStopped.value = false;
      if (perch !== lastPerch) {
        lane.stop();
        coverage.value = null;
        coverageProblems.value = [];
        lastPerch = perch;
      }
      if (key === '' || perch === undefined) return;
      const found = known.get(key);
      if (found !== undefined) {
        lane.stop();
        coverage.value = found;
        coverageProblems.value = [];
        return;
      }
      lane.ask({ key, request: reachRequest('coarse'), at: performance.now() });
      timer = setTimeout(fullCoverage, REST_ms);
    });
  });
  return () => {
    end();
    lane.stop();
    stopFull();
  };
}

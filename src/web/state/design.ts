/** The design in hand: a kit at a perch with the changes tried on it, and what has been computed for it. */
import { batch, computed, effect, signal, untracked } from '@preact/signals';
import { DEFAULT_TARGET } from '../../app/target.ts';
import type { YearResult } from '../../app/year.ts';
import type { Problem } from '../../core/units/index.ts';
import type { StoredRecord } from '../../server/api.ts';
import { problemsOf, quickLane, runYear, type YearRun } from '../compute/engine.ts';
import { MANY_YEARS, type QuickAnswer } from '../compute/quick.ts';
import { assumptionsOf, readKitText, readPerchText } from './reading.ts';

export const EXACT_YEARS = 200;
export const SEED = 1;
/** How long the hands must rest before the exact run begins. */
const REST_ms = 350;
/** And before the first look is taken over more years. */
const PAUSE_ms = 150;

export const kitRecord = signal<StoredRecord | null>(null);
export const perchRecord = signal<StoredRecord | null>(null);
/** Changes as on the command line, `kit.cells.count=4`; one a field. */
export const changes = signal<readonly string[]>([]);
export const target = signal<string>(DEFAULT_TARGET);

const past = signal<readonly (readonly string[])[]>([]);
const future = signal<readonly (readonly string[])[]>([]);
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);

/** The gesture under way: moves of one slider are one step to undo. */
let gesture: string | undefined;

const fieldOf = (setting: string) => setting.slice(0, setting.indexOf('='));

function step(next: readonly string[]): void {
  batch(() => {
    past.value = [...past.value.slice(-99), changes.value];
    future.value = [];
    changes.value = next;
  });
}

/** Sets fields, each `field=value`. Calls with the same gesture name are one step until `endGesture`. */
export function adjust(settings: readonly string[], name?: string): void {
  const fields = new Set(settings.map(fieldOf));
  const next = [...changes.value.filter((c) => !fields.has(fieldOf(c))), ...settings];
  if (name !== undefined && name === gesture) changes.value = next;
  else step(next);
  gesture = name;
}
export function endGesture(): void {
  gesture = undefined;
}
export function dropChanges(): void {
  gesture = undefined;
  if (changes.value.length > 0) step([]);
}
export function putChanges(next: readonly string[]): void {
  gesture = undefined;
  step(next);
}
export function undo(): void {
  const before = past.value.at(-1);
  if (before === undefined) return;
  gesture = undefined;
  batch(() => {
    future.value = [changes.value, ...future.value];
    past.value = past.value.slice(0, -1);
    changes.value = before;
  });
}
export function redo(): void {
  const [after, ...rest] = future.value;
  if (after === undefined) return;
  gesture = undefined;
  batch(() => {
    past.value = [...past.value, changes.value];
    future.value = rest;
    changes.value = after;
  });
}

/** Changes to be made once another pair has been taken in hand. */
let later: { readonly kit: string; readonly perch: string; readonly changes: readonly string[] } | undefined;

export function takeLater(kit: string, perch: string, wanted: readonly string[]): void {
  later = { kit, perch, changes: wanted };
}

interface Tried {
  readonly changes: readonly string[];
  readonly past: readonly (readonly string[])[];
  readonly future: readonly (readonly string[])[];
}
/** What was tried on other pairs, with the way back: it waits there for this visit. */
const tried = new Map<string, Tried>();
const handKey = () => `${kitRecord.value?.id} ${perchRecord.value?.id}`;

/** Takes a kit and a perch in hand; what was tried on the pair before waits until it is taken in hand again. */
export function takeInHand(kit: StoredRecord, perch: StoredRecord): void {
  const same = kitRecord.value?.id === kit.id && perchRecord.value?.id === perch.id;
  if (!same) tried.set(handKey(), { changes: changes.value, past: past.value, future: future.value });
  batch(() => {
    kitRecord.value = kit;
    perchRecord.value = perch;
    if (same) return;
    const before = tried.get(handKey());
    past.value = before?.past ?? [];
    future.value = before?.future ?? [];
    changes.value = before?.changes ?? [];
    if (later?.kit === kit.id && later.perch === perch.id) step(later.changes);
    later = undefined;
    exact.value = null;
    quick.value = null;
  });
}

export const kitSaved = computed(() => (kitRecord.value ? readKitText(kitRecord.value.text) : null));
export const perchSaved = computed(() => (perchRecord.value ? readPerchText(perchRecord.value.text) : null));
export const kitNow = computed(() => (kitRecord.value ? readKitText(kitRecord.value.text, changes.value) : null));
export const perchNow = computed(() =>
  perchRecord.value ? readPerchText(perchRecord.value.text, changes.value) : null,
);

/** What is wrong with the design as it stands, each told once. */
export const designProblems = computed<readonly Problem[]>(() => {
  const all = [kitNow.value, perchNow.value].flatMap((r) => (r && !r.ok ? r.problems : []));
  const seen = new Set<string>();
  return all.filter((p) => !seen.has(p.message) && seen.add(p.message));
});

export const quick = signal<QuickAnswer | null>(null);
export const exact = signal<YearResult | null>(null);
/** What the exact result was computed for; it is stale when this is not the design in hand. */
const exactKey = signal('');
export const progress = signal<{ readonly done: number; readonly total: number; readonly what: string } | null>(null);
export const computeProblems = signal<readonly Problem[]>([]);

const designKey = computed(() =>
  JSON.stringify([
    kitRecord.value?.id,
    kitRecord.value?.revision,
    perchRecord.value?.id,
    perchRecord.value?.revision,
    changes.value,
    target.value,
  ]),
);
export const isExact = computed(() => exact.value !== null && exactKey.value === designKey.value);

/** Which of the two answers came last: it stays while the design cannot be computed. */
const latest = signal<'quick' | 'exact'>('quick');

/** The answer to show: the exact one when it is of this design, else the first look. */
export const shown = computed(() => {
  const result = exact.value;
  const last = designProblems.value.length > 0 && latest.value === 'exact';
  if (result !== null && (isExact.value || last || quick.value === null)) {
    const { outcome, pictures } = result;
    return { ...outcome, fan: pictures.fan, startDay: pictures.startDay, marks: pictures.marks };
  }
  return quick.value;
});

const lane = quickLane(true);
/** Results of the last few designs, so that going back shows them at once. */
const results = new Map<string, YearResult>();
const KEPT_RESULTS = 8;

function keepResult(key: string, result: YearResult): void {
  results.set(key, result);
  for (const old of results.keys()) {
    if (results.size <= KEPT_RESULTS) break;
    results.delete(old);
  }
}

function show(key: string, result: YearResult): void {
  batch(() => {
    exact.value = result;
    latest.value = 'exact';
    exactKey.value = key;
    progress.value = null;
    computeProblems.value = [];
  });
}

let run: YearRun | undefined;
let timer: ReturnType<typeof setTimeout> | undefined;
let longer: ReturnType<typeof setTimeout> | undefined;

function stopRun(): void {
  clearTimeout(timer);
  clearTimeout(longer);
  run?.stop();
  run = undefined;
  progress.value = null;
}

/** Computes whenever the design changes: a first look at once, the exact run when the hands rest. */
export function followDesign(): () => void {
  return effect(() => {
    const kit = kitNow.value;
    const perch = perchNow.value;
    const key = designKey.value;
    const wanted = target.value;
    untracked(() => {
      stopRun();
      if (!kit?.ok || !perch?.ok) return;
      const known = results.get(key);
      if (known !== undefined) {
        show(key, known);
        return;
      }
      const request = { kit: kit.value, perch: perch.value, seed: SEED, target: wanted };
      const current = () => designKey.peek() === key;
      const asked = performance.now();
      const fail = (error: unknown) => {
        if (current()) computeProblems.value = problemsOf(error);
      };
      const take = (answer: QuickAnswer | null) => {
        if (answer === null || !current()) return false;
        if (!isExact.peek()) {
          latest.value = 'quick';
          quick.value = answer;
        }
        computeProblems.value = [];
        return answer.years < MANY_YEARS;
      };
      lane
        .look(request, 'best')
        .then((answer) => {
          // For the benchmark of the pages: from the change to its answer.
          if (answer !== null) performance.measure('first look', { start: asked, end: performance.now() });
          // The longer look waits for a pause, or it would stand in the way of the next move.
          if (take(answer)) longer = setTimeout(() => lane.look(request, 'many').then(take, fail), PAUSE_ms);
        })
        .catch(fail);
      const assumptions = assumptionsOf(kit, perch);
      timer = setTimeout(() => {
        progress.value = { done: 0, total: 10, what: 'weather' };
        run = runYear(
          { kit: kit.value, perch: perch.value, assumptions, years: EXACT_YEARS, seed: SEED, target: wanted },
          (done, total, what) => {
            progress.value = { done, total, what };
          },
        );
        run.result
          .then((result) => {
            keepResult(key, result);
            if (current()) show(key, result);
          })
          .catch((error: unknown) => {
            progress.value = null;
            fail(error);
          });
      }, REST_ms);
    });
  });
}

/** Puts records that were just saved in hand; the changes are in them now. */
export function takeSaved(saved: readonly StoredRecord[]): void {
  gesture = undefined;
  batch(() => {
    for (const record of saved) {
      if (record.id === kitRecord.value?.id) kitRecord.value = record;
      if (record.id === perchRecord.value?.id) perchRecord.value = record;
    }
    changes.value = [];
    past.value = [];
    future.value = [];
  });
}

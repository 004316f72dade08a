/** The panorama in hand: a place with its ground, what is tried there (mast, panel, day), and what has been computed for it. */
import { batch, computed, effect, signal, untracked } from '@preact/signals';
import { roughly_km } from '../../app/roughly.ts';
import type { Problem } from '../../core/units/index.ts';
import { facingEquator_deg, type Kit, type Perch, winterTilt_deg } from '../../records/index.ts';
import type { PlaceInput } from '../../server/api.ts';
import { panoramaLane } from '../compute/panorama-lane.ts';
import type { LightAnswer, PanoramaView, PanoramaWay } from '../compute/panorama-messages.ts';
import { fetchPlace, fetchWay, type OtherPerch, placeKey } from '../compute/panorama-terrain.ts';
import { callProblems } from './workshop.ts';

/** Lowest and highest mast, m. */
export const MAST_m = { low: 0.5, high: 60 } as const;
const USUAL_HEIGHT_m = 4;
/** Others farther away than this are not looked at, and at most so many of the nearest. */
const FAR_km = 60;
const MOST_OTHERS = 40;
/** Ways that are asked for side by side. */
const AT_ONCE = 4;
/** How long a perch under the hand must rest before its ground is asked for. */
const REST_ms = 200;

export interface Day {
  readonly month: number;
  readonly date: number;
}

/** What the panorama is of. */
export interface Subject {
  readonly at: PlaceInput;
  readonly kit: Kit | null;
  readonly perch: Perch | null;
  readonly others: readonly OtherPerch[];
}

/** What is tried beside what is saved; a field that is absent is as saved. */
export interface Tries {
  readonly height_m?: number;
  readonly tilt_deg?: number;
  readonly azimuth_deg?: number;
  readonly day?: Day;
}

export const subject = signal<Subject | null>(null);
export const tries = signal<Tries>({});
const past = signal<readonly Tries[]>([]);
const future = signal<readonly Tries[]>([]);
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);
let gesture: string | undefined;

/** Height, tilt and azimuth as the perch has them, with the usual ones where it tells none. */
export const saved = computed(() => {
  const now = subject.value;
  const latitude_deg = now?.at.latitude_deg ?? 0;
  return {
    height_m: now?.perch?.height_m ?? now?.at.height_m ?? USUAL_HEIGHT_m,
    tilt_deg: now?.perch?.tilt_deg ?? winterTilt_deg(latitude_deg),
    azimuth_deg: now?.perch?.azimuth_deg ?? facingEquator_deg(latitude_deg),
  };
});
export const tried = computed(() => ({ ...saved.value, ...tries.value }));

/** Puts something else on trial; calls with the same gesture name are one step until `endGesture`. */
export function attempt(part: Tries, name?: string): void {
  const next = { ...tries.value, ...part };
  if (name === undefined || name !== gesture) {
    past.value = [...past.value.slice(-99), tries.value];
    future.value = [];
  }
  gesture = name;
  tries.value = next;
}
export function endGesture(): void {
  gesture = undefined;
}
/** Back to what is saved; a step that can be undone. */
export function drop(): void {
  gesture = undefined;
  past.value = [...past.value.slice(-99), tries.value];
  future.value = [];
  tries.value = {};
}
export function undo(): void {
  const before = past.value.at(-1);
  if (before === undefined) return;
  gesture = undefined;
  batch(() => {
    future.value = [tries.value, ...future.value];
    past.value = past.value.slice(0, -1);
    tries.value = before;
  });
}
export function redo(): void {
  const [after, ...rest] = future.value;
  if (after === undefined) return;
  gesture = undefined;
  batch(() => {
    past.value = [...past.value, tries.value];
    future.value = rest;
    tries.value = after;
  });
}

/** Settings of the perch that the tries make, `perch.height_m=6`. */
export const settings = computed<readonly string[]>(() =>
  (['height_m', 'tilt_deg', 'azimuth_deg'] as const).flatMap((field) => {
    const value = tries.value[field];
    return value === undefined || value === saved.value[field] ? [] : [`perch.${field}=${value}`];
  }),
);

/** The tries are part of the perch now; the day stays. */
export function settle(): void {
  gesture = undefined;
  const { day } = tries.value;
  batch(() => {
    past.value = [];
    future.value = [];
    tries.value = day === undefined ? {} : { day };
  });
}

/** Takes another subject in hand; what was tried at another perch is dropped. */
export function take(next: Subject): void {
  const before = subject.peek();
  batch(() => {
    subject.value = next;
    if (before !== null && before.at.name === next.at.name && before.perch?.name === next.perch?.name) return;
    tries.value = {};
    past.value = [];
    future.value = [];
    gesture = undefined;
  });
}

export const view = signal<PanoramaView | null>(null);
export const light = signal<LightAnswer | null>(null);
/** What is being fetched, if anything: the ground around, or so many of the ways. */
export const fetching = signal<{ readonly done: number; readonly total: number; readonly what: string } | null>(null);
export const problems = signal<readonly Problem[]>([]);
/** Sentences about others that are not drawn. */
export const leftOut = signal<readonly string[]>([]);
const ready = signal<string | null>(null);
const waysKnown = signal(0);

let asked = 0;
const lane = panoramaLane({
  view(answer) {
    if (answer.key !== ready.peek()) return;
    // For tests and the benchmark of the pages: from the move to its answer.
    performance.measure('panorama', { start: asked, end: performance.now() });
    view.value = answer;
  },
  light(answer) {
    if (answer.key === ready.peek()) light.value = answer;
  },
  failed(what, error) {
    if (what === 'view') problems.value = callProblems(error);
    else light.value = null;
  },
});

const ways = new Map<string, PanoramaWay>();
const wayKey = (here: string, other: PlaceInput) => `${here} > ${placeKey(other)}`;
let turn = 0;

/** Fetches the ground of the subject and computes whenever it, or what is tried, changes; returns what ends it. */
export function follow(): () => void {
  const ends = [
    effect(() => {
      const now = subject.value;
      if (now === null) return;
      const key = placeKey(now.at);
      const far = now.others.map((o) => ({ key: wayKey(key, o), ...o }));
      const wanted = JSON.stringify([key, now.at.name, far]);
      untracked(() => load(key, wanted, now));
    }),
    effect(() => {
      const now = subject.value;
      const key = ready.value;
      waysKnown.value;
      const { height_m, day } = tried.value;
      if (now === null || key === null) return;
      asked = performance.now();
      lane.view({ key, kit: now.kit, perch: now.perch, height_m, day });
    }),
    effect(() => {
      const now = subject.value;
      const key = ready.value;
      const { height_m, tilt_deg, azimuth_deg } = tried.value;
      if (now?.kit == null || key === null) return;
      const mine = { height_m, tilt_deg, azimuth_deg };
      lane.light({ key, kit: now.kit, perch: now.perch, tries: [mine, saved.value] });
    }),
  ];
  return () => {
    turn++;
    clearTimeout(timer);
    if (fetching.peek() !== null || ready.peek() === null) loaded = '';
    fetching.value = null;
    for (const end of ends) end();
  };
}

let loaded = '';
let timer: ReturnType<typeof setTimeout> | undefined;

function load(key: string, wanted: string, now: Subject): void {
  if (wanted === loaded) return;
  loaded = wanted;
  const mine = ++turn;
  clearTimeout(timer);
  timer = setTimeout(
    () => {
      fetchAll(key, now, () => mine === turn).catch((error: unknown) => {
        if (mine !== turn) return;
        loaded = '';
        batch(() => {
          fetching.value = null;
          problems.value = callProblems(error);
        });
      });
    },
    ready.peek() === null ? 0 : REST_ms,
  );
}

async function fetchAll(key: string, { at, others }: Subject, current: () => boolean): Promise<void> {
  fetching.value = { done: 0, total: 1, what: 'the ground around' };
  const place = await fetchPlace(at);
  if (!current()) return;
  const near = others
    .map((other) => ({ other, distance_km: roughly_km(at, other) }))
    .filter(({ distance_km }) => distance_km <= FAR_km && distance_km > 0.001)
    .sort((a, b) => a.distance_km - b.distance_km)
    .slice(0, MOST_OTHERS)
    .map(({ other }) => other);
  const left = others.length - near.length;
  lane.place(place);
  batch(() => {
    problems.value = [];
    light.value = null;
    ready.value = key;
    leftOut.value =
      left === 0
        ? []
        : [
            `${left} other ${left === 1 ? 'perch is' : 'perches are'} not drawn: the nearest ${MOST_OTHERS} within ${FAR_km} km are.`,
          ];
  });
  const skipped: string[] = [];
  const known = () => near.flatMap((o) => ways.get(wayKey(key, o)) ?? []);
  const send = () => {
    const mine = known().map((w) => {
      const now = near.find((o) => o.name === w.name);
      return { ...w, height_m: now?.height_m, environment: now?.environment };
    });
    lane.ways(key, mine);
    waysKnown.value++;
  };
  const missing = near.filter((o) => !ways.has(wayKey(key, o)));
  if (missing.length < near.length) send();
  let done = 0;
  const queue = [...missing];
  const worker = async () => {
    for (let other = queue.shift(); other !== undefined && current(); other = queue.shift()) {
      try {
        ways.set(wayKey(key, other), await fetchWay(at, other));
      } catch (error) {
        skipped.push(`${other.name}: ${callProblems(error)[0]?.message ?? 'the way could not be read'}`);
      }
      done++;
      if (current() && queue.length > 0) fetching.value = { done, total: missing.length, what: 'the ways to others' };
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  if (!current()) return;
  for (const old of ways.keys()) {
    if (ways.size <= 400) break;
    ways.delete(old);
  }
  if (missing.length > 0) send();
  batch(() => {
    fetching.value = null;
    if (skipped.length > 0) leftOut.value = [...leftOut.value, ...skipped];
  });
}

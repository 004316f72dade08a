/** First looks at kits at perches, for the strips in lists: computed in turn while they are in sight, kept for the visit. */
import { signal } from '@preact/signals';
import { DEFAULT_TARGET, type State } from '../../app/target.ts';
import type { YearStrip } from '../../core/energy/index.ts';
import type { RecordSummary } from '../../server/api.ts';
import { type QuickLane, quickLane } from '../compute/engine.ts';
import { SEED } from './design.ts';
import { readKitText, readPerchText } from './reading.ts';
import { loadRecord } from './workshop.ts';

export interface Seen {
  readonly kit: string;
  readonly perch: string;
  readonly state: State;
  readonly verdict: string;
  readonly strip: YearStrip;
}

/** `null` while it is computed; `undefined` where it cannot be. */
export type Look = Seen | null | undefined;

export type Pair = readonly [kit: RecordSummary, perch: RecordSummary];

/** A pair of revisions; another revision is another look. */
export const pairKey = ([kit, perch]: Pair) => `${kit.id}@${kit.revision} ${perch.id}@${perch.revision}`;

// Kept for the visit only: another edition of the pages may compute otherwise.
const KEY = 'sunperch.looks';
const MOST_KEPT = 400;

function keptBefore(): [string, Look][] {
  try {
    return JSON.parse(sessionStorage.getItem(KEY) ?? '[]') as [string, Seen][];
  } catch {
    return [];
  }
}

export const looks = signal<ReadonlyMap<string, Look>>(new Map(keptBefore()));

let keeping: ReturnType<typeof setTimeout> | undefined;

function keepSoon(): void {
  clearTimeout(keeping);
  keeping = setTimeout(() => {
    const known = [...looks.value].filter(([, look]) => look).slice(-MOST_KEPT);
    try {
      sessionStorage.setItem(KEY, JSON.stringify(known));
    } catch {
      // Full or switched off: they are computed again.
    }
  }, 500);
}

const waiting = new Map<string, Pair>();
let busy = false;
let lane: QuickLane | undefined;

/** Asks for the look at a pair, once. */
export function askLook(pair: Pair): void {
  const key = pairKey(pair);
  if (looks.value.has(key) || waiting.has(key)) return;
  waiting.set(key, pair);
  if (!busy) void work();
}

/** A row that has left the sight before its turn came. */
export function dropLook(pair: Pair): void {
  waiting.delete(pairKey(pair));
}

async function work(): Promise<void> {
  busy = true;
  for (;;) {
    const [first] = waiting;
    if (first === undefined) break;
    const [key, pair] = first;
    waiting.delete(key);
    const put = (look: Look) => {
      looks.value = new Map(looks.value).set(key, look);
    };
    put(null);
    put(await lookAt(pair).catch(() => undefined));
    keepSoon();
  }
  busy = false;
}

async function lookAt([kit, perch]: Pair): Promise<Look> {
  const [k, p] = await Promise.all([loadRecord(kit.id), loadRecord(perch.id)]);
  const [kitRead, perchRead] = [readKitText(k.text), readPerchText(p.text)];
  if (!kitRead.ok || !perchRead.ok) return undefined;
  lane ??= quickLane(false);
  const request = { kit: kitRead.value, perch: perchRead.value, seed: SEED, target: DEFAULT_TARGET };
  const answer = await lane.look(request, 'many');
  if (answer === null) return undefined;
  const { state, verdict, strip } = answer;
  return { kit: kit.id, perch: perch.id, state, verdict, strip };
}

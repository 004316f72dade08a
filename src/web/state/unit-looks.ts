/** Year strips of units in lists: what the workshop has computed, else a first look of this browser; only for those in sight. */
import { signal } from '@preact/signals';
import { DEFAULT_TARGET, type State } from '../../app/target.ts';
import type { YearStrip } from '../../core/energy/index.ts';
import type { BenchForecast } from '../../server/api.ts';
import { getForecast } from '../api/bench.ts';
import { type QuickLane, quickLane } from '../compute/engine.ts';
import { benchTurn } from './bench.ts';
import { SEED } from './design.ts';
import { readKitText, readPerchText } from './reading.ts';

export interface UnitLook {
  readonly state: State;
  readonly verdict: string;
  readonly strip: YearStrip;
  /** Of all winters, by the workshop; else a first look. */
  readonly whole: boolean;
}

/** `null`: there can be none, `why` says it; absent: not asked yet or on its way. */
interface Known {
  readonly turn: number;
  readonly look: UnitLook | null;
  readonly why: string;
  /** Somebody has said where it goes or stands. */
  readonly placed: boolean;
}

export const unitLooks = signal<ReadonlyMap<string, Known>>(new Map());

/** First looks by what they were made of: the same unit is not computed again because another one was ticked. */
const made = new Map<string, UnitLook>();
const MOST_MADE = 500;
const waiting = new Set<string>();
let busy = false;
let lane: QuickLane | undefined;

/** Asks for the strip of a unit, unless it is known as the bench stands now. */
export function askUnitLook(serial: string): void {
  if (unitLooks.value.get(serial)?.turn === benchTurn.value || waiting.has(serial)) return;
  waiting.add(serial);
  if (!busy) void work();
}

/** A row that has left the sight before its turn came. */
export function dropUnitLook(serial: string): void {
  waiting.delete(serial);
}

async function work(): Promise<void> {
  busy = true;
  for (;;) {
    const [serial] = waiting;
    if (serial === undefined) break;
    waiting.delete(serial);
    const turn = benchTurn.value;
    try {
      const forecast = await getForecast(serial);
      const look = await lookOf(forecast);
      const why = forecast.why ?? (look === null ? 'its kit or its perch cannot be read' : '');
      unitLooks.value = new Map(unitLooks.value).set(serial, { turn, look, why, placed: forecast.placed });
    } catch {
      // The workshop does not answer: asked again when the row is seen again.
    }
  }
  busy = false;
}

/** What is known, else a first look. */
export async function lookOf({ asked, kept }: BenchForecast): Promise<UnitLook | null> {
  if (kept !== null) return { ...kept, whole: true };
  if (asked === null) return null;
  const of = JSON.stringify(asked);
  const before = made.get(of);
  if (before !== undefined) return before;
  const [kit, perch] = [readKitText(JSON.stringify(asked.kit)), readPerchText(JSON.stringify(asked.perch))];
  if (!kit.ok || !perch.ok) return null;
  lane ??= quickLane(false);
  const request = { kit: kit.value, perch: perch.value, seed: SEED, target: DEFAULT_TARGET };
  const answer = await lane.look(request, 'many');
  if (answer === null) return null;
  const { state, verdict, strip } = answer;
  if (made.size >= MOST_MADE) made.clear();
  made.set(of, { state, verdict, strip, whole: false });
  return made.get(of)!;
}

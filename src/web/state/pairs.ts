/** First looks at kits at perches, for the strips in lists: computed in turn, kept while nothing changes. */
import { signal } from '@preact/signals';
import { DEFAULT_TARGET } from '../../app/target.ts';
import { type QuickLane, quickLane } from '../compute/engine.ts';
import type { QuickAnswer } from '../compute/quick.ts';
import { SEED } from './design.ts';
import { readKitText, readPerchText } from './reading.ts';
import { loadRecord } from './workshop.ts';

/** `null` while it is computed; `undefined` where it cannot be. */
export type Look = QuickAnswer | null | undefined;

export const looks = signal<ReadonlyMap<string, Look>>(new Map());
let lane: QuickLane | undefined;

/** A pair of revisions; another revision is another look. */
export const pairKey = (kit: string, kitRevision: number, perch: string, perchRevision: number) =>
  `${kit}@${kitRevision} ${perch}@${perchRevision}`;

/** Asks for the look at a pair, once. */
export async function askLook(key: string, kit: string, perch: string): Promise<void> {
  if (looks.value.has(key)) return;
  const put = (look: Look) => {
    looks.value = new Map(looks.value).set(key, look);
  };
  put(null);
  try {
    const [k, p] = await Promise.all([loadRecord(kit), loadRecord(perch)]);
    const [kitRead, perchRead] = [readKitText(k.text), readPerchText(p.text)];
    if (!kitRead.ok || !perchRead.ok) return put(undefined);
    lane ??= quickLane(false);
    const request = { kit: kitRead.value, perch: perchRead.value, seed: SEED, target: DEFAULT_TARGET };
    put((await lane.look(request, 'many')) ?? undefined);
  } catch {
    put(undefined);
  }
}

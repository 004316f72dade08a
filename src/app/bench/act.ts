/** Doing something at the bench: a decision on the state as it is, kept only if nobody came first. */
import { userError } from '../../core/units/index.ts';
import type { Content, Entry, NewEntry } from '../../records/bench/index.ts';
import { contentSchema } from '../../records/bench/index.ts';
import type { BenchStore } from '../bench-port.ts';
import { readContentProblems } from './content-problems.ts';
import { type BenchState, emptyBench, fold } from './state.ts';

/** A bench in hand: its store, and the state as far as it is known. Kept by the server between requests. */
export interface Bench {
  readonly store: BenchStore;
  readonly state: BenchState;
}

/** Who acts, and when. */
export interface Signed {
  readonly by: string;
  /** UTC, ISO 8601. */
  readonly at: string;
  /** The same token a second time does nothing: what a phone sends again is kept once. */
  readonly token?: string | undefined;
  /** When the hand did it by the clock of its own device, UTC, where that was told: what waited without a connection comes late. */
  readonly notedAt?: string | undefined;
}

/** One thing to be written. */
export interface Deed {
  readonly stream: string;
  readonly content: Content;
  /** Number in the stream of the entry that this one takes the place of. */
  readonly corrects?: number | undefined;
}

export async function openBench(store: BenchStore): Promise<Bench> {
  const bench = { store, state: emptyBench() };
  await refresh(bench);
  return bench;
}

/** Brings the state up to what the store holds. */
export async function refresh({ store, state }: Bench): Promise<void> {
  // Two that refresh at once read the same entries: each takes in only what still follows.
  const entries = await store.after(state.head);
  fold(
    state,
    entries.filter((e) => e.seq > state.head),
  );
}

/** Most by which a device's clock may be ahead, ms. */
const AHEAD_ms = 86_400_000;

/** How often a decision is taken again because others came first. */
const MOST_TRIES = 50;

/**
 * Decides on the newest state and writes what was decided; when others came first, decides again on what they left. So every
 * rule that `decide` checks holds at the moment its entries stand.
 *
 * @param decide gives the deeds, or throws UserError; must not change the state
 * @returns the entries as they stand; none when the token was seen before
 */
export async function act(
  bench: Bench,
  signed: Signed,
  decide: (state: BenchState) => readonly Deed[],
): Promise<readonly Entry[]> {
  const { store, state } = bench;
  const { notedAt } = signed;
  if (notedAt !== undefined && Date.parse(notedAt) - Date.parse(signed.at) > AHEAD_ms)
    throw userError(
      'noted-ahead',
      `this was noted at ${notedAt.slice(0, 16).replace('T', ' ')} UTC, more than a day from now: put the clock of the device right, and do it again`,
      { field: 'notedAt' },
    );
  for (let i = 0; i < MOST_TRIES; i++) {
    await refresh(bench);
    if (signed.token !== undefined && state.tokens.has(signed.token)) return [];
    const deeds = decide(state);
    const entries = deeds.map(({ stream, content, corrects }, k): NewEntry => {
      const read = contentSchema.safeParse(notedAt === undefined ? content : { ...content, notedAt });
      if (!read.success) throw readContentProblems(content, read.error);
      const token = k === 0 ? (signed.token ?? null) : null;
      return { stream, at: signed.at, by: signed.by, token, corrects: corrects ?? null, content: read.data };
    });
    const outcome = await store.append(entries, state.head);
    if (!outcome.added) continue;
    fold(
      state,
      outcome.entries.filter((e) => e.seq > state.head),
    );
    return outcome.entries;
  }
  throw userError('bench-busy', 'others write faster than this can be kept: try again');
}

/** Places of orders, checked by jobs: what was computed once for a kit at a place is known for every order that asks the same. */
import { type Bench, refresh } from '../app/bench/act.ts';
import { orderIn } from '../app/bench/find.ts';
import { kitOfPlan, type PlanKit } from '../app/bench/kit-of-plan.ts';
import { CHECK_YEARS, type PlaceOutcome, placeAsked } from '../app/bench/place-check.ts';
import type { PlaceLook } from '../app/bench/ship-check.ts';
import type { JobInput } from '../app/job-kinds.ts';
import { UserError } from '../core/units/index.ts';
import type { JobStatus } from './api.ts';
import type { ServerParts } from './parts.ts';
import { keyOf } from './results.ts';

export interface Places {
  /** Begins the check of an order; done at once where the answer is known. */
  begin(order: string): Promise<JobStatus>;
  /** What is known of the place of an order. */
  look(order: string): Promise<PlaceLook>;
  /** The answer itself, where there is one. */
  outcome(order: string): Promise<PlaceOutcome | null>;
  /** The same for all orders that are not cancelled. */
  all(): Promise<readonly PlaceLook[]>;
}

/** Answers of which the sentence is held in memory. */
const MOST_SAID = 2000;

type Said = Pick<PlaceOutcome, 'state' | 'verdict' | 'notes'>;

export function createPlaces({ store, jobs, results, version }: ServerParts, bench: Bench): Places {
  const said = new Map<string, Said>();

  /** Kits and perches are read once for all orders of a question. */
  const lookups = () => {
    const kits = new Map<string, Promise<PlanKit | undefined>>();
    const perches = new Map<string, ReturnType<typeof store.newest>>();
    const newest: typeof store.newest = (ref) => {
      const found = perches.get(ref.key) ?? store.newest(ref);
      perches.set(ref.key, found);
      return found;
    };
    const kitFor: typeof kitOfPlan = (from, plan, region) => {
      const key = `${plan.kit} ${plan.kitRevision} ${region}`;
      const found = kits.get(key) ?? kitOfPlan(from, plan, region);
      kits.set(key, found);
      return found;
    };
    return { kitFor, from: { history: (ref: Parameters<typeof store.history>[0]) => store.history(ref), newest } };
  };
  const inputOf = async (order: string, { kitFor, from } = lookups()): Promise<{ input: JobInput; key: string }> => {
    const asked = await placeAsked(from, bench.state, order, kitFor);
    const input: JobInput = { command: 'place', ...asked, years: CHECK_YEARS, seed: 1 };
    return { input, key: keyOf(input, version) };
  };
  const known = async (key: string): Promise<Said | undefined> => {
    const held = said.get(key);
    if (held !== undefined) return held;
    const text = await results.get(key);
    if (text === undefined) return undefined;
    const { state, verdict, notes } = JSON.parse(text) as PlaceOutcome;
    if (said.size >= MOST_SAID) said.clear();
    said.set(key, { state, verdict, notes });
    return said.get(key);
  };
  const lookAt = async (key: string, of = lookups()): Promise<PlaceLook> => {
    const order = orderIn(bench.state, key);
    const bare = { order: key, place: order.place?.name ?? null };
    const nothing = { ...bare, state: 'not checked yet', verdict: '', why: null, notes: [] } as const;
    try {
      const answer = await known((await inputOf(key, of)).key);
      return answer === undefined ? nothing : { ...bare, ...answer, why: null };
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      return { ...nothing, why: error.problems.map((p) => p.message).join('; ') };
    }
  };

  return {
    async begin(order) {
      await refresh(bench);
      const { input, key } = await inputOf(order);
      return jobs.submit({ input, key, note: { key, command: 'place' } });
    },
    async look(order) {
      await refresh(bench);
      return lookAt(order);
    },
    async outcome(order) {
      await refresh(bench);
      orderIn(bench.state, order);
      try {
        const text = await results.get((await inputOf(order)).key);
        return text === undefined ? null : (JSON.parse(text) as PlaceOutcome);
      } catch (error) {
        if (error instanceof UserError) return null;
        throw error;
      }
    },
    async all() {
      await refresh(bench);
      const of = lookups();
      const open = [...bench.state.orders.values()].filter((order) => !order.cancelled);
      return Promise.all(open.map((order) => lookAt(order.key, of)));
    },
  };
}

/** Assumptions about cost as this browser keeps them, and what is asked with them. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { CostOverview } from '../../app/bench/cost-overview.ts';
import { type Problem, UserError } from '../../core/units/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type CostFile, readCost } from '../../records/bench/cost.ts';
import { type CostChange, type CostRequest, costChange } from '../../records/bench/cost-request.ts';
import { askForCost } from '../api/bench.ts';
import { benchTurn } from './bench.ts';
import { newestLane } from './newest-lane.ts';
import { callProblems } from './workshop.ts';

const PLACE = 'sunperch.bench.cost';

/** What is in hand: the text; what of price and margin was chosen (null: as the text says); what is tried out; the seed. */
export interface CostHand {
  readonly text: string;
  readonly sale: { readonly by: 'margin_pct' | 'price_minor'; readonly value: number } | null;
  readonly change: CostChange;
  /** Null: made of what is asked. */
  readonly seed: number | null;
}

export const NOTHING_IN_HAND: CostHand = { text: '', sale: null, change: {}, seed: null };

export function rememberedHand(): CostHand | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(PLACE) ?? 'null') as Partial<CostHand> | null;
    if (typeof kept?.text !== 'string') return undefined;
    const { sale } = kept;
    const known =
      (sale?.by === 'margin_pct' || sale?.by === 'price_minor') && Number.isFinite(sale.value) ? sale : null;
    const change = costChange.safeParse(kept.change ?? {});
    return {
      text: kept.text,
      sale: known,
      change: change.success ? change.data : {},
      seed: Number.isInteger(kept.seed) ? kept.seed! : null,
    };
  } catch {
    return undefined;
  }
}

export function rememberHand(hand: CostHand): void {
  try {
    localStorage.setItem(PLACE, JSON.stringify(hand));
  } catch {
    // Without storage it holds for this visit.
  }
}

export type CostReading =
  | { readonly ok: true; readonly file: CostFile | null }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** Reads the assumptions here, so that each slip is told while one types. */
export function readAssumptions(text: string): CostReading {
  if (text.trim() === '') return { ok: true, file: null };
  try {
    return { ok: true, file: readCost(parseYamlRecord(text, 'assumptions')) };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return { ok: false, problems: error.problems };
  }
}

/** Draws while the hand moves, so that an answer comes at once; and the rest after which all are drawn, ms. */
const COARSE = 400;
const REST_ms = 250;

export type CostQuestion = Omit<CostRequest, 'ask' | 'draws'>;

export interface Asking {
  readonly value: CostOverview | null;
  readonly problems: readonly Problem[];
  /** What it was about; the value may answer an earlier question. */
  readonly key: string | null;
}

const NOTHING: Asking = { value: null, problems: [], key: null };

/**
 * The answer to all questions about cost at once: coarse at once while something moves, in full at rest; the last one stays
 * while a newer is on its way. Null asks nothing.
 */
export function useCost(question: CostQuestion | null): Asking {
  const key = question === null ? null : JSON.stringify(question);
  const [held, setHeld] = useState<Asking>(NOTHING);
  const turn = benchTurn.value;
  const lane = useMemo(
    () =>
      newestLane<{ readonly key: string; readonly ask: CostQuestion; readonly draws?: number }, CostOverview>(
        ({ ask, draws }) => ({
          result: askForCost({ ...ask, ask: 'overview', ...(draws === undefined ? {} : { draws }) }),
          stop: () => undefined,
        }),
        (value, asked) => setHeld({ value, problems: [], key: asked.key }),
        // What was well stays in sight beside what is wrong now.
        (error, asked) => setHeld(({ value }) => ({ value, problems: callProblems(error), key: asked.key })),
      ),
    [],
  );
  useEffect(() => () => lane.stop(), [lane]);
  const seen = useRef(false);
  useEffect(() => {
    if (question === null || key === null) return;
    const first = !seen.current;
    seen.current = true;
    lane.ask(first ? { key, ask: question } : { key, ask: question, draws: COARSE });
    if (first) return;
    const timer = setTimeout(() => lane.ask({ key, ask: question }), REST_ms);
    return () => clearTimeout(timer);
  }, [key, turn]);
  return key === null ? NOTHING : held;
}

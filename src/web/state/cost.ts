/** Assumptions about cost as this browser keeps them, and what is asked with them. */
import { useEffect, useState } from 'preact/hooks';
import { type Problem, UserError } from '../../core/units/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type CostFile, readCost } from '../../records/bench/cost.ts';
import { askForCost, type CostAnswer, type CostQuestion } from '../api/bench.ts';
import { benchTurn } from './bench.ts';
import { callProblems } from './workshop.ts';

const PLACE = 'sunperch.bench.cost';

/** What is in hand: the text, and what of price and margin was chosen; null: as the text says. */
export interface CostHand {
  readonly text: string;
  readonly sale: { readonly by: 'margin_pct' | 'price_minor'; readonly value: number } | null;
}

export function rememberedHand(): CostHand | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(PLACE) ?? 'null') as Partial<CostHand> | null;
    if (typeof kept?.text !== 'string') return undefined;
    const { sale } = kept;
    const known =
      (sale?.by === 'margin_pct' || sale?.by === 'price_minor') && Number.isFinite(sale.value) ? sale : null;
    return { text: kept.text, sale: known };
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

/** Rest after a change before the workshop is asked, ms: a slider moves on. */
const REST_ms = 120;

export interface Asking<T> {
  readonly value: T | null;
  readonly problems: readonly Problem[];
  /** The value answers an earlier question. */
  readonly stale: boolean;
}

/** The answer to a question about cost; the last one stays while a newer is on its way. Null asks nothing. */
export function useCost<A extends CostQuestion['ask']>(
  question: (CostQuestion & { readonly ask: A }) | null,
): Asking<CostAnswer<A>> {
  const key = question === null ? null : JSON.stringify(question);
  const [held, setHeld] = useState<{
    readonly key: string;
    readonly value: CostAnswer<A> | null;
    readonly problems: readonly Problem[];
  } | null>(null);
  const turn = benchTurn.value;
  useEffect(() => {
    if (question === null || key === null) return;
    let here = true;
    const timer = setTimeout(() => {
      askForCost(question).then(
        (value) => here && setHeld({ key, value, problems: [] }),
        (error: unknown) => here && setHeld({ key, value: null, problems: callProblems(error) }),
      );
    }, REST_ms);
    return () => {
      here = false;
      clearTimeout(timer);
    };
  }, [key, turn]);
  return { value: held?.value ?? null, problems: held?.problems ?? [], stale: held !== null && held.key !== key };
}

/** A unit as its page shows it: where it stands, what each gate asks for, and all that happened. */
import { type Entry, type Gate, MEASURES } from '../../records/bench/index.ts';
import { planOfUnit, unitIn } from './find.ts';
import { gateLimits } from './gates.ts';
import { type HistoryRow, historyOf } from './history.ts';
import type { BenchState } from './state.ts';
import { type UnitOutcome, unitLook } from './unit-look.ts';

/** What a gate asks for, so that a page draws the right field and judges while somebody types. */
export interface GateAsked {
  readonly gate: string;
  readonly value: 'number' | 'yes or no' | 'text';
  readonly measures: string;
  /** Limits drawn in by the uncertainty: inside them a value passes. */
  readonly low?: number;
  readonly high?: number;
  /** Limits of the plan, where they differ: between the two it is undecided. */
  readonly outerLow?: number;
  readonly outerHigh?: number;
  readonly equals?: string;
}
export interface UnitPage {
  readonly unit: UnitOutcome;
  readonly asked: readonly GateAsked[];
  readonly history: readonly HistoryRow[];
}

const outerLimits = ({ low, high }: Gate) => ({
  ...(low === undefined ? {} : { outerLow: low }),
  ...(high === undefined ? {} : { outerHigh: high }),
});

export function unitPage(state: BenchState, serial: string, entries: readonly Entry[]): UnitPage {
  const plan = planOfUnit(state, unitIn(state, serial));
  return {
    unit: unitLook(state, serial),
    asked: plan.gates.map((gate) => ({
      gate: gate.key,
      value: MEASURES[gate.measures].value,
      measures: gate.measures,
      ...gateLimits(gate),
      ...(gate.uncertainty && gate.guard !== 'none' ? outerLimits(gate) : {}),
      ...(gate.equals === undefined ? {} : { equals: gate.equals }),
    })),
    history: historyOf(entries, plan),
  };
}

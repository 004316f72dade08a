/** What a unit costs, line by line, and where each figure comes from. */
import type { Uncertain } from '../../core/money/index.ts';
import type { Span } from './cost-guess.ts';

/** Where a figure comes from, the surest first. */
export type Basis = 'measured' | 'lot in the stores' | 'offer' | 'plan' | 'guess' | 'not known';

export interface CostLine {
  readonly what: string;
  readonly kind: 'part' | 'labour' | 'lost units' | 'returns';
  /** For one good unit started, whole units of the currency; the lines sum to the cost. */
  readonly cost_minor: number;
  readonly basis: Basis;
  /** Units that it was measured on; null when it was not. */
  readonly fromUnits: number | null;
  /** Pieces or minutes in one unit. */
  readonly quantity: number | null;
}

export interface UnitCost {
  readonly name: string;
  readonly currency: string;
  readonly batchSize: number;
  readonly lines: readonly CostLine[];
  readonly material_minor: number;
  readonly labour_minor: number;
  readonly loss_minor: number;
  readonly returns_minor: number;
  /** Before the fees of selling, which follow the price. */
  readonly cost_minor: number;
  /** Share of material and labour that was measured. */
  readonly measuredShare: number;
  readonly spread_minor: Span;
  /** Of the units begun, on average. */
  readonly lostShare: number;
  /** Cost of material and labour of a unit started, share good, cost of returns: for simulations. */
  readonly figures: { readonly started: Uncertain; readonly yieldShare: Uncertain; readonly returns: number };
  readonly learning: {
    readonly model: 'unit' | 'average';
    readonly rate: number;
    readonly fittedRate: number | null;
  } | null;
  readonly seed: number;
  readonly notes: readonly string[];
}

/** What pages and workers say to each other. */
import type { YearResult } from '../../app/year.ts';
import type { Assumption } from '../../core/energy/index.ts';
import type { Problem } from '../../core/units/index.ts';
import type { Kit, Perch } from '../../records/index.ts';
import type { QuickAnswer, QuickRequest } from './quick.ts';

export interface QuickAsk {
  readonly id: number;
  readonly request: QuickRequest;
  readonly years: 'few' | 'many' | 'best';
}

export interface YearAsk {
  readonly kit: Kit;
  readonly perch: Perch;
  readonly assumptions: readonly Assumption[];
  readonly years: number;
  readonly seed: number;
  readonly target: string;
}

/** What a worker is asked. */
export type Ask = { readonly look: QuickAsk } | { readonly year: YearAsk };

export type Failure = { readonly problems: readonly Problem[] } | { readonly fault: string };

export type QuickTold = { readonly id: number } & ({ readonly answer: QuickAnswer } | Failure);

export type YearTold =
  | { readonly progress: { readonly done: number; readonly total: number; readonly what: string } }
  | { readonly result: YearResult }
  | Failure;

/** One question about cost from a text of assumptions: the same outcomes as `sunperch cost …`. */
import { userError } from '../../core/units/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type CostFile, readCost } from '../../records/bench/cost.ts';
import type { CostRequest } from '../../records/bench/cost-request.ts';
import { type UnitCostOutcome, unitCost, unitCostOutcome } from './cost.ts';
import { type CrossoverOutcome, crossoverOutcome, demandByMonth, type NextOutcome, nextOutcome } from './cost-ahead.ts';
import {
  type BreakEvenOutcome,
  breakEvenOutcome,
  type PriceOutcome,
  priceOutcome,
  type WaysOutcome,
  waysOutcome,
} from './cost-price.ts';
import type { BenchState } from './state.ts';

export type CostOutcome =
  | UnitCostOutcome
  | PriceOutcome
  | BreakEvenOutcome
  | CrossoverOutcome
  | NextOutcome
  | WaysOutcome;

/** Pieces ahead beyond which the spread takes seconds: whoever waits for it is at the command line. */
const MOST_AHEAD = 5000;

/** Name under which problems tell their line and column. */
export const ASSUMPTIONS = 'assumptions';

/** @throws UserError with every problem of the assumptions, or for what they leave open */
export function askCost(state: BenchState, request: CostRequest, now: string): CostOutcome {
  const { what, assumptions, price_minor, seed } = request;
  const text = assumptions?.trim() === '' ? undefined : assumptions;
  const file = text === undefined ? null : readCost(parseYamlRecord(text, ASSUMPTIONS));
  if (request.ask === 'crossover') return crossoverOutcome(needed(file), seed);
  if (request.ask === 'ways') return waysOutcome(needed(file), request.demand_month);
  const cost = unitCost(state, what, file, seed);
  switch (request.ask) {
    case 'unit':
      return unitCostOutcome(cost);
    case 'price': {
      const margin = request.margin_pct === undefined ? undefined : request.margin_pct / 100;
      return priceOutcome(cost, file, { margin, price_minor });
    }
    case 'break-even':
      return breakEvenOutcome(cost, file, priceOutcome(cost, file, { price_minor }).price_minor);
    case 'next': {
      const plan = what === undefined ? null : (state.batches.get(what)?.plan ?? what);
      checkDemand(state, plan, file, now);
      return nextOutcome({ cost, file, state, plan, now, price_minor, seed });
    }
  }
}

function needed(file: CostFile | null): CostFile {
  if (file === null)
    throw userError('cost-no-file', 'this question reads the assumptions, and none are given', {
      field: 'assumptions',
    });
  return file;
}

function checkDemand(state: BenchState, plan: string | null, file: CostFile | null, now: string): void {
  const seen = plan === null ? [] : demandByMonth(state, plan, now);
  const months = seen.length > 0 ? seen : (file?.demand?.months ?? []);
  const { ahead_months = 6, lead_months = 1.5 } = file?.demand ?? {};
  const sold = months.reduce((sum, n) => sum + n, 0);
  const ahead = (sold / Math.max(1, months.length)) * Math.max(ahead_months, lead_months);
  if (ahead > MOST_AHEAD)
    throw userError(
      'too-many',
      `about ${Math.round(ahead)} pieces ahead are more than the ${MOST_AHEAD} that are computed here: look less far ahead, or let sunperch cost next answer`,
      { field: 'demand' },
    );
}

/** One question about cost: what the command line, a page and a program ask is answered here. */
import type { Uncertain } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type CostFile, readCost } from '../../records/bench/cost.ts';
import type { CostRequest } from '../../records/bench/cost-request.ts';
import { type UnitCostOutcome, unitCost, unitCostOutcome } from './cost.ts';
import { type BreakEvenOutcome, breakEvenOutcome } from './cost-even.ts';
import { countable, RUNS, seedOf, uncertainOf } from './cost-guess.ts';
import { demandByMonth, type NextOutcome, nextOutcome } from './cost-next.ts';
import { type OrderSizeOutcome, orderOutcome } from './cost-order.ts';
import { type CostOverview, costOverview } from './cost-overview.ts';
import { type PriceOutcome, priceOutcome } from './cost-price.ts';
import { type SparesOutcome, sparesOutcome } from './cost-spares.ts';
import { type StartsOutcome, startsOutcome } from './cost-starts.ts';
import { type CrossoverOutcome, crossoverOutcome } from './cost-tool.ts';
import type { UnitCost } from './cost-types.ts';
import { type WaysOutcome, waysOutcome } from './cost-ways.ts';
import type { BenchState } from './state.ts';

export type CostOutcome =
  | CostOverview
  | UnitCostOutcome
  | PriceOutcome
  | BreakEvenOutcome
  | CrossoverOutcome
  | NextOutcome
  | WaysOutcome
  | OrderSizeOutcome
  | StartsOutcome
  | SparesOutcome;

/** Pieces ahead beyond which the spread takes seconds: whoever waits for it is at the command line. */
const MOST_AHEAD = 5000;

/** Name under which problems tell their line and column. */
export const ASSUMPTIONS = 'assumptions';

/** @throws UserError with every problem of the assumptions, or for what they leave open */
export function askCost(state: BenchState, request: CostRequest, now: string): CostOutcome {
  const { assumptions } = request;
  const text = assumptions?.trim() === '' ? undefined : assumptions;
  const file = text === undefined ? null : readCost(parseYamlRecord(text, ASSUMPTIONS));
  return costAnswer(state, request, file, now, { mostAhead: MOST_AHEAD });
}

export interface AnswerOptions {
  /** Pieces ahead beyond which a question is refused; any number without. */
  readonly mostAhead?: number;
  /** Sums of the question, once its currency is known. */
  readonly sums?: (currency: string) => Pick<CostRequest, 'price_minor' | 'keep_minor' | 'target_minor'>;
}

/** @param state the bench; null when none is open: then nothing of it may be named */
export function costAnswer(
  state: BenchState | null,
  request: Omit<CostRequest, 'assumptions'>,
  file: CostFile | null,
  now: string,
  options: AnswerOptions = {},
): CostOutcome {
  const outcome = answerOf(state, request, file, now, options);
  checkSums(outcome);
  return outcome;
}

/** Every sum of an answer can be counted. */
function checkSums(part: unknown, name = ''): void {
  if (typeof part === 'number') {
    if (/_minor$/.test(name)) countable(part);
  } else if (typeof part === 'object' && part !== null)
    for (const [key, value] of Object.entries(part)) checkSums(value, Array.isArray(part) ? name : key);
}

function answerOf(
  state: BenchState | null,
  request: Omit<CostRequest, 'assumptions'>,
  file: CostFile | null,
  now: string,
  options: AnswerOptions,
): CostOutcome {
  const { ask, what, change = {}, draws = RUNS } = request;
  const seed = request.seed ?? seedOf(what, file);
  if (ask === 'crossover') return crossoverOutcome(needed(file), seed, draws);
  if (ask === 'ways') return waysOutcome(needed(file), request.demand_month);
  if (ask === 'order') return orderOutcome(state, request.part, needed(file), now);
  if (ask === 'starts' && (request.yields !== undefined || (what === undefined && file?.unit === undefined)))
    return startsOutcome(uncertainOf(yieldOf(request, file)), { ...request, good: goodOf(request) });
  if (ask === 'spares') {
    const { units, rate_pct, years, sure } = request;
    const known = what === undefined && file?.unit === undefined;
    const cost = known ? null : unitCost(state, what, file, seed, change);
    return sparesOutcome({ state, what, now, units, rate_pct, years, sure, cost });
  }
  const cost = unitCost(state, what, file, seed, change);
  const sums = { ...request, ...options.sums?.(cost.currency) };
  const { price_minor, keep_minor, target_minor } = sums;
  const margin = request.margin_pct === undefined ? undefined : request.margin_pct / 100;
  const sale = { margin, price_minor, keep_minor };
  const plan = what === undefined ? null : (state?.batches.get(what)?.plan ?? what);
  const limit = () => checkDemand(state, plan, file, change.demand_month, now, options.mostAhead);
  switch (ask) {
    case 'unit':
      return unitCostOutcome(cost);
    case 'price':
      return priceOutcome(cost, file, sale);
    case 'break-even':
      return breakEvenOutcome(cost, file, {
        price_minor: priceOutcome(cost, file, sale).price_minor,
        target_minor,
        planned: request.planned,
      });
    case 'next':
      limit();
      return nextOutcome({
        cost,
        file,
        state,
        plan,
        now,
        price_minor: soldAt(cost, file, sale),
        change,
        seed,
        runs: draws,
      });
    case 'starts':
      return startsOutcome(cost.figures.yieldShare, { ...request, good: goodOf(request) });
    case 'overview':
      return costOverview({
        ...{ cost, file, state, plan, now, sale, change, draws, target_minor },
        planned: request.planned,
        checkDemand: limit,
      });
  }
}

const soldAt = (cost: UnitCost, file: CostFile | null, sale: Parameters<typeof priceOutcome>[2]) =>
  priceOutcome(cost, file, sale).price_minor;

function needed(file: CostFile | null): CostFile {
  if (file === null)
    throw userError(
      'cost-no-file',
      'this question reads the assumptions, and none are given: name a file with --assume, or send their text',
      { field: 'assumptions' },
    );
  return file;
}

function goodOf({ good }: Pick<CostRequest, 'good'>): number {
  if (good === undefined)
    throw userError('starts-no-number', 'how many are to come out good is not told: give --good', { field: 'good' });
  return good;
}

function yieldOf({ yields }: Pick<CostRequest, 'yields'>, file: CostFile | null) {
  if (yields === undefined && file?.yieldShare === undefined)
    throw userError(
      'starts-no-yield',
      'what share comes out good is not known: give --yield, name a batch, or give `yieldShare` in the file of assumptions',
      { field: 'yields' },
    );
  return file?.yieldShare ?? 1;
}

/** What a guess hardly goes beyond. */
function largest(figure: Uncertain): number {
  if (typeof figure === 'number') return figure;
  switch (figure.kind) {
    case 'triangle':
      return figure.high;
    case 'values':
      return Math.max(...figure.values);
    case 'normal':
      return figure.mean + 4 * figure.sd;
    case 'poisson':
      return figure.mean;
  }
}

function checkDemand(
  state: BenchState | null,
  plan: string | null,
  file: CostFile | null,
  tried: number | undefined,
  now: string,
  most = Number.POSITIVE_INFINITY,
): void {
  const seen = state === null || plan === null ? [] : demandByMonth(state, plan, now);
  const months = seen.length > 0 ? seen : (file?.demand?.months ?? []);
  const { ahead_months = 6, lead_months = 1.5, pieces } = file?.demand ?? {};
  const sold = months.reduce((sum, n) => sum + n, 0);
  const guessed = tried === undefined && months.length === 0 && pieces !== undefined;
  const perMonth = guessed ? largest(uncertainOf(pieces)) / ahead_months : (tried ?? sold / Math.max(1, months.length));
  const ahead = perMonth * Math.max(ahead_months, lead_months);
  if (ahead > most)
    throw userError(
      'too-many',
      `about ${Math.round(ahead)} pieces ahead are more than the ${most} that are computed here: look less far ahead, or let sunperch cost next answer`,
      { field: 'demand' },
    );
}

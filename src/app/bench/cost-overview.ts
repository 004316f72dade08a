/** All that follows from a cost, at once: what a page shows, each part answered or with what it lacks. */
import { type Problem, UserError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostChange } from '../../records/bench/cost-request.ts';
import { type UnitCostOutcome, unitCostOutcome } from './cost.ts';
import { type BreakEvenOutcome, breakEvenOutcome } from './cost-even.ts';
import { type NextOutcome, nextOutcome } from './cost-next.ts';
import { moneyText, type PriceOutcome, type PriceRequest, priceOutcome } from './cost-price.ts';
import { type CrossoverOutcome, crossoverOutcome } from './cost-tool.ts';
import type { UnitCost } from './cost-types.ts';
import { type WaysOutcome, waysOutcome } from './cost-ways.ts';
import type { BenchState } from './state.ts';

export interface CostOverview {
  readonly command: 'cost overview';
  readonly verdict: string;
  readonly name: string;
  readonly currency: string;
  readonly unit: UnitCostOutcome;
  /** Null where something is lacking. */
  readonly price: PriceOutcome | null;
  readonly breakEven: BreakEvenOutcome | null;
  readonly next: NextOutcome | null;
  readonly crossover: CrossoverOutcome | null;
  readonly ways: WaysOutcome | null;
  /** Why a part has no answer; parts that nobody asked for (no housings, no ways, nothing paid once) are left out. */
  readonly lacking: Readonly<
    Partial<Record<'price' | 'breakEven' | 'next' | 'crossover' | 'ways', readonly Problem[]>>
  >;
  /** What was tried out. */
  readonly change: CostChange;
  readonly draws: number;
  readonly seed: number;
  readonly notes: readonly string[];
}

export interface OverviewRequest {
  readonly cost: UnitCost;
  readonly file: CostFile | null;
  readonly state: BenchState | null;
  readonly plan: string | null;
  readonly now: string;
  readonly sale: PriceRequest;
  readonly change: CostChange;
  readonly target_minor?: number | undefined;
  readonly planned?: number | undefined;
  readonly draws: number;
  /** Refuses a demand that would take too long. */
  readonly checkDemand?: () => void;
}

export function costOverview(request: OverviewRequest): CostOverview {
  const { cost, file, state, plan, now, sale, change, draws, target_minor, planned } = request;
  const { name, currency, seed } = cost;
  const lacking: Partial<Record<'price' | 'breakEven' | 'next' | 'crossover' | 'ways', readonly Problem[]>> = {};
  const tried = <T>(part: keyof typeof lacking, when: boolean, of: () => T): T | null => {
    if (!when) return null;
    try {
      return of();
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      lacking[part] = error.problems;
      return null;
    }
  };
  const unit = unitCostOutcome(cost);
  const price = tried('price', true, () => priceOutcome(cost, file, sale));
  const price_minor = price?.price_minor ?? 0;
  const breakEven = tried('breakEven', price !== null && (file?.fixed_minor ?? 0) > 0, () =>
    breakEvenOutcome(cost, file, { price_minor, target_minor, planned }),
  );
  const next = tried('next', price !== null, () => {
    request.checkDemand?.();
    return nextOutcome({ cost, file, state, plan, now, price_minor, change, seed, runs: draws });
  });
  return {
    command: 'cost overview',
    verdict: verdictOf(unit, price, breakEven, next),
    name,
    currency,
    unit,
    price,
    breakEven,
    next,
    crossover: tried('crossover', file?.housing !== undefined, () => crossoverOutcome(file!, seed, draws)),
    ways: tried('ways', (file?.ways.length ?? 0) > 0, () => waysOutcome(file!)),
    lacking,
    change,
    draws,
    seed,
    notes: cost.notes,
  };
}

/** The answer in a sentence or two: what it costs, what stays, when it has paid, how many next. */
function verdictOf(
  unit: UnitCostOutcome,
  price: PriceOutcome | null,
  even: BreakEvenOutcome | null,
  next: NextOutcome | null,
): string {
  if (price === null) return unit.verdict;
  const text = (minor: number) => moneyText(minor, unit.currency);
  const kept =
    price.profit_minor < 0
      ? `each sold at ${text(price.price_minor)} loses ${text(-price.profit_minor)}`
      : `sold at ${text(price.price_minor)} it leaves ${text(price.profit_minor)}`;
  const paid =
    even === null
      ? ''
      : even.units === null
        ? 'What is paid once is never earned'
        : `It has paid after ${even.units} ${even.units === 1 ? 'unit' : 'units'}`;
  const more = next === null ? '' : next.begin === 0 ? 'begin none now' : `begin ${next.begin} next`;
  const rest = [paid, more].filter(Boolean).join('; ');
  const end = rest === '' ? '' : ` ${rest[0]!.toUpperCase()}${rest.slice(1)}.`;
  return `A good unit of ${unit.name} costs ${text(unit.cost_minor)}; ${kept}.${end}`;
}

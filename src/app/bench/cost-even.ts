/** Units after which what is paid once is earned. */
import { breakEvenUnits, feesOn, marginOfSafety } from '../../core/money/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import { feesOf, moneyText } from './cost-price.ts';
import type { UnitCost } from './cost-types.ts';

export interface BreakEvenOutcome {
  readonly command: 'cost break-even';
  readonly verdict: string;
  readonly name: string;
  readonly currency: string;
  readonly fixed_minor: number;
  readonly price_minor: number;
  readonly fees_minor: number;
  readonly cost_minor: number;
  readonly contribution_minor: number;
  /** Profit that is wanted on top of what is paid once. */
  readonly target_minor: number;
  /** Cost of a unit at 5 % and 95 % of its spread. */
  readonly costLow_minor: number;
  readonly costHigh_minor: number;
  /** Whole units; null when a unit earns nothing. */
  readonly units: number | null;
  readonly unitsLow: number | null;
  readonly unitsHigh: number | null;
  /** What so many units sell for, before fees; null when never. */
  readonly sales_minor: number | null;
  /** Units that are to be sold: those planned, else the size of the batch. */
  readonly planned: number;
  /** Of the units planned: share by which sales may fall short; null when they do not reach it. */
  readonly marginOfSafety: number | null;
  readonly batchSize: number;
  readonly notes: readonly string[];
}

export interface BreakEvenRequest {
  readonly price_minor: number;
  readonly target_minor?: number | undefined;
  readonly planned?: number | undefined;
}

export function breakEvenOutcome(cost: UnitCost, file: CostFile | null, request: BreakEvenRequest): BreakEvenOutcome {
  const { currency, cost_minor, name, batchSize } = cost;
  const { price_minor, planned = batchSize } = request;
  const fixed_minor = file?.fixed_minor ?? 0;
  const target_minor = request.target_minor ?? file?.target_minor ?? 0;
  const fees_minor = feesOn(price_minor, feesOf(file));
  const { low: costLow_minor, high: costHigh_minor } = cost.spread_minor;
  const at = (unit: number) => {
    const units = breakEvenUnits(fixed_minor, price_minor - fees_minor, unit, target_minor);
    return Number.isFinite(units) ? Math.ceil(units - 1e-9) : null;
  };
  const units = at(cost_minor);
  const unitsLow = at(costLow_minor);
  const unitsHigh = at(costHigh_minor);
  const contribution_minor = price_minor - fees_minor - cost_minor;
  const safety = units === null || units > planned ? null : marginOfSafety(planned, units);
  const text = (minor: number) => moneyText(minor, currency);
  const aim = target_minor > 0 ? `${text(fixed_minor)} and ${text(target_minor)} of profit` : text(fixed_minor);
  const span =
    unitsLow !== unitsHigh ? ` (${unitsLow ?? 'never'} to ${unitsHigh ?? 'never'} over the spread of the cost)` : '';
  const many = request.planned === undefined ? `a batch of ${planned}` : `the ${planned} planned`;
  const verdict =
    units === null
      ? `${name} never earns ${aim}: at ${text(price_minor)} each unit ${contribution_minor < 0 ? `loses ${text(-contribution_minor)}` : 'brings nothing'}.`
      : `${name} has earned ${aim} after ${units} ${units === 1 ? 'unit' : 'units'}${span}; ${safety === null ? `${many} ${request.planned === undefined ? 'is' : 'are'} too few` : `of ${many}, ${Math.round(100 * safety)} % may stay unsold`}.`;
  const notes = fixed_minor === 0 ? ['nothing is paid once (`fixed_minor` is 0): there is nothing to earn back'] : [];
  return {
    command: 'cost break-even',
    verdict,
    name,
    currency,
    fixed_minor,
    target_minor,
    price_minor,
    fees_minor,
    cost_minor,
    costLow_minor,
    costHigh_minor,
    contribution_minor,
    units,
    unitsLow,
    unitsHigh,
    sales_minor: units === null ? null : units * price_minor,
    planned,
    marginOfSafety: safety,
    batchSize,
    notes: [...notes, ...cost.notes],
  };
}

/** Price from margin and back, break-even, and ways to sell the same kit. */
import {
  amount,
  amountText,
  breakEvenUnits,
  grossPrice,
  marginAfterFees,
  marginOfSafety,
  markupOf,
  priceForMargin,
} from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { UnitCost } from './cost.ts';
import { meanOf, uncertainOf } from './cost-guess.ts';

export const moneyText = (minor: number, currency: string): string =>
  `${amountText(amount(Math.round(minor), currency))} ${currency}`;

const feesOf = (file: CostFile | null) => ({ share: file?.fees.share ?? 0, fixed: file?.fees.fixed_minor ?? 0 });
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

export interface PriceOutcome {
  readonly command: 'cost price';
  readonly verdict: string;
  readonly name: string;
  readonly currency: string;
  readonly cost_minor: number;
  readonly price_minor: number;
  readonly gross_minor: number;
  readonly tax_pct: number;
  readonly fees_minor: number;
  readonly profit_minor: number;
  readonly margin: number;
  readonly markup: number;
  /** Margin where the unit costs what it does at 95 % and at 5 % of its spread. */
  readonly marginLow: number;
  readonly marginHigh: number;
  readonly notes: readonly string[];
}

/** A price for a margin, or the margin of a price. A price that is asked for is rounded up to the smallest unit. */
export function priceOutcome(
  cost: UnitCost,
  file: CostFile | null,
  request: { readonly margin?: number | undefined; readonly price_minor?: number | undefined },
): PriceOutcome {
  const { currency, cost_minor, name } = cost;
  const fees = feesOf(file);
  const asked = request.price_minor ?? (request.margin === undefined ? file?.price_minor : undefined);
  const wanted = request.margin ?? file?.margin;
  if (request.price_minor === undefined && request.margin === undefined && asked === undefined && wanted === undefined)
    throw userError('price-or-margin', 'give --margin for the price, or --price for the margin', { field: 'margin' });
  const fromMargin =
    request.price_minor === undefined && (request.margin !== undefined || file?.price_minor === undefined);
  if (fromMargin && !(wanted! + fees.share < 1))
    throw userError(
      'margin-too-large',
      `a margin of ${percent(wanted!)} and fees of ${percent(fees.share)} leave nothing of the price: the two sum to less than 100 %`,
      { field: 'margin' },
    );
  const price_minor = fromMargin ? Math.ceil(priceForMargin(cost_minor, wanted!, fees) - 1e-6) : asked!;
  if (price_minor <= 0)
    throw userError('price-nothing', 'the price is nothing: no margin can be told', { field: 'price' });
  const margin = marginAfterFees(cost_minor, price_minor, fees);
  const fees_minor = Math.round(price_minor * fees.share + fees.fixed);
  const profit_minor = price_minor - fees_minor - cost_minor;
  const tax_pct = file?.tax_pct ?? 0;
  const gross_minor = Math.round(grossPrice(price_minor, tax_pct));
  const { low, high } = cost.spread_minor;
  const marginLow = marginAfterFees(high, price_minor, fees);
  const marginHigh = marginAfterFees(low, price_minor, fees);
  const text = (minor: number) => moneyText(minor, currency);
  const tail = tax_pct > 0 ? ` (${text(gross_minor)} with ${tax_pct} % tax)` : '';
  const spread =
    high > low ? `; between ${percent(marginLow)} and ${percent(marginHigh)} over the spread of the cost` : '';
  const verdict = `${name}: at ${text(price_minor)}${tail} ${profit_minor < 0 ? `each unit loses ${text(-profit_minor)}` : `${text(profit_minor)} stay of each unit`}, a margin of ${percent(margin)}${spread}.`;
  return {
    command: 'cost price',
    verdict,
    name,
    currency,
    cost_minor,
    price_minor,
    gross_minor,
    tax_pct,
    fees_minor,
    profit_minor,
    margin,
    markup: cost_minor > 0 ? markupOf(cost_minor, price_minor) : 0,
    marginLow,
    marginHigh,
    notes: cost.notes,
  };
}

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
  /** Whole units; null when a unit earns nothing. */
  readonly units: number | null;
  readonly unitsLow: number | null;
  readonly unitsHigh: number | null;
  /** Of the size of the batch: share by which sales may fall short; null when they do not reach it. */
  readonly marginOfSafety: number | null;
  readonly batchSize: number;
  readonly notes: readonly string[];
}

export function breakEvenOutcome(cost: UnitCost, file: CostFile | null, price_minor: number): BreakEvenOutcome {
  const { currency, cost_minor, name, batchSize } = cost;
  const fixed_minor = file?.fixed_minor ?? 0;
  const fees = feesOf(file);
  const fees_minor = Math.round(price_minor * fees.share + fees.fixed);
  const at = (unit: number) => {
    const units = breakEvenUnits(fixed_minor, price_minor - fees_minor, unit);
    return Number.isFinite(units) ? Math.ceil(units - 1e-9) : null;
  };
  const units = at(cost_minor);
  const unitsLow = at(cost.spread_minor.low);
  const unitsHigh = at(cost.spread_minor.high);
  const contribution_minor = price_minor - fees_minor - cost_minor;
  const safety = units === null || units > batchSize ? null : marginOfSafety(batchSize, units);
  const text = (minor: number) => moneyText(minor, currency);
  const span = unitsLow !== unitsHigh ? ` (${unitsLow} to ${unitsHigh ?? 'never'} over the spread of the cost)` : '';
  const verdict =
    units === null
      ? `${name} never earns ${text(fixed_minor)}: at ${text(price_minor)} each unit brings ${text(contribution_minor)}.`
      : `${name} has earned ${text(fixed_minor)} after ${units} units${span}; ${safety === null ? `a batch of ${batchSize} is too few` : `of a batch of ${batchSize}, ${Math.round(100 * safety)} % may stay unsold`}.`;
  const notes = fixed_minor === 0 ? ['nothing is paid once (`fixed_minor` is 0): there is nothing to earn back'] : [];
  return {
    command: 'cost break-even',
    verdict,
    name,
    currency,
    fixed_minor,
    price_minor,
    fees_minor,
    cost_minor,
    contribution_minor,
    units,
    unitsLow,
    unitsHigh,
    marginOfSafety: safety,
    batchSize,
    notes: [...notes, ...cost.notes],
  };
}

export interface WayRow {
  readonly way: string;
  readonly name: string;
  readonly parts_minor: number;
  readonly labour_minor: number;
  readonly support_minor: number;
  readonly returns_minor: number;
  readonly packing_minor: number;
  readonly loss_minor: number;
  readonly cost_minor: number;
  readonly price_minor: number;
  readonly fees_minor: number;
  readonly profit_minor: number;
  readonly margin: number;
  readonly demand_month: number;
  readonly hours_month: number;
  readonly profit_month_minor: number;
  /** What an hour of the maker brings, his own wage included; null without hours. */
  readonly earned_h_minor: number | null;
}

export interface WaysOutcome {
  readonly command: 'cost ways';
  readonly verdict: string;
  readonly currency: string;
  readonly ways: readonly WayRow[];
  readonly notes: readonly string[];
}

/** Ways to sell the same kit, side by side; all figures for one sold. */
export function waysOutcome(file: CostFile, demand_month?: number): WaysOutcome {
  if (file.ways.length === 0)
    throw userError('cost-no-ways', 'the file of assumptions names no way to sell: give `ways`', { field: 'ways' });
  const fees = feesOf(file);
  const rate_min = (file.labour?.rate_minor_h ?? 0) / 60;
  const months = file.demand?.months;
  const usual = months === undefined ? 0 : months.reduce((s, n) => s + n, 0) / months.length;
  const ways = file.ways.map((way): WayRow => {
    const good = meanOf(uncertainOf(way.yieldShare));
    const parts = meanOf(uncertainOf(way.parts_minor));
    const labour = way.labour_min * rate_min;
    const loss = (parts + labour) / good - parts - labour;
    const support = way.support_min * rate_min;
    const returns = way.returnShare * meanOf(uncertainOf(way.returnCost_minor));
    const packing = meanOf(uncertainOf(way.packing_minor));
    const cost = parts + labour + loss + support + returns + packing;
    if (way.price_minor === undefined && file.margin === undefined)
      throw userError('price-or-margin', `${way.name} has no price, and no margin is given to find one from`, {
        field: 'ways',
      });
    const price_minor = way.price_minor ?? Math.ceil(priceForMargin(cost, file.margin!, fees) - 1e-6);
    const taken = price_minor * fees.share + fees.fixed;
    const profit = price_minor - taken - cost;
    const demand = demand_month ?? way.demand_month ?? usual;
    const hours_month = (demand * (way.labour_min / good + way.support_min)) / 60;
    return {
      way: way.key,
      name: way.name,
      parts_minor: Math.round(parts),
      labour_minor: Math.round(labour),
      support_minor: Math.round(support),
      returns_minor: Math.round(returns),
      packing_minor: Math.round(packing),
      loss_minor: Math.round(loss),
      cost_minor: Math.round(cost),
      price_minor,
      fees_minor: Math.round(taken),
      profit_minor: Math.round(profit),
      margin: price_minor > 0 ? profit / price_minor : 0,
      demand_month: demand,
      hours_month,
      profit_month_minor: Math.round(demand * profit),
      earned_h_minor: hours_month > 0 ? Math.round((demand * profit) / hours_month + 60 * rate_min) : null,
    };
  });
  const best = (of: (w: WayRow) => number) => ways.reduce((a, b) => (of(b) > of(a) ? b : a));
  const month = best((w) => w.profit_month_minor);
  const hour = best((w) => w.earned_h_minor ?? Number.NEGATIVE_INFINITY);
  const verdict = `${month.name} brings most in a month, ${moneyText(month.profit_month_minor, file.currency)} for ${month.hours_month.toFixed(1)} hours; ${hour === month ? 'it also brings most' : `${hour.name} brings most`} for an hour of work${hour.earned_h_minor === null ? '' : `, ${moneyText(hour.earned_h_minor, file.currency)}`}.`;
  return {
    command: 'cost ways',
    verdict,
    currency: file.currency,
    ways,
    notes: [
      'the demand of each way is your guess: one way may take customers from another',
      'work of the maker is paid at the price of an hour before anything counts as profit',
      ...(rate_min === 0 ? ['no price of an hour is given: work counts for nothing'] : []),
    ],
  };
}

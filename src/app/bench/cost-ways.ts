/** Ways to sell the same kit, side by side. */
import { amount, feesOn, spreadAmount } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import { countable, meanOf, meanOfShare, uncertainOf } from './cost-guess.ts';
import { feesOf, marginPrice, moneyText } from './cost-price.ts';

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
    const raw = [
      parts,
      labour,
      way.support_min * rate_min,
      way.returnShare * meanOf(uncertainOf(way.returnCost_minor)),
      meanOf(uncertainOf(way.packing_minor)),
      // As for a unit: the mean of what the spread of the yield makes of it.
      (parts + labour) * (meanOfShare(uncertainOf(way.yieldShare), (y) => 1 / Math.min(1, Math.max(0.01, y))) - 1),
    ];
    const cost_minor = countable(raw.reduce((sum, v) => sum + v, 0));
    const [parts_minor, labour_minor, support_minor, returns_minor, packing_minor, loss_minor] = spreadAmount(
      amount(cost_minor, file.currency),
      raw.map((v) => Math.max(0, Number(v.toPrecision(15)))),
    ).map((sum) => sum.minor) as [number, number, number, number, number, number];
    const price_minor = priceOf(way, cost_minor, file);
    const fees_minor = feesOn(price_minor, fees);
    const profit_minor = price_minor - fees_minor - cost_minor;
    const demand = demand_month ?? way.demand_month ?? usual;
    const hours_month = (demand * (way.labour_min / good + way.support_min)) / 60;
    return {
      way: way.key,
      name: way.name,
      parts_minor,
      labour_minor,
      support_minor,
      returns_minor,
      packing_minor,
      loss_minor,
      cost_minor,
      price_minor,
      fees_minor,
      profit_minor,
      margin: price_minor > 0 ? profit_minor / price_minor : 0,
      demand_month: demand,
      hours_month,
      profit_month_minor: Math.round(demand * profit_minor),
      earned_h_minor: hours_month > 0 ? Math.round((demand * profit_minor) / hours_month + 60 * rate_min) : null,
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

function priceOf(way: CostFile['ways'][number], cost_minor: number, file: CostFile): number {
  if (way.price_minor !== undefined) return way.price_minor;
  if (file.margin === undefined)
    throw userError('price-or-margin', `${way.name} has no price, and no margin is given to find one from`, {
      field: 'ways',
    });
  return marginPrice(cost_minor, file.margin, feesOf(file));
}

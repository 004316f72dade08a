/** A price for a margin, and the margin of a price. */
import {
  amount,
  amountText,
  feesOn,
  leastPrice,
  marginAfterFees,
  markupOf,
  priceForMargin,
  withTax,
} from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import { countable } from './cost-guess.ts';
import type { UnitCost } from './cost-types.ts';

export const moneyText = (minor: number, currency: string): string =>
  `${amountText(amount(countable(minor), currency))} ${currency}`;

export const feesOf = (file: CostFile | null) => ({ share: file?.fees.share ?? 0, fixed: file?.fees.fixed_minor ?? 0 });
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

export interface PriceRequest {
  readonly margin?: number | undefined;
  readonly price_minor?: number | undefined;
  /** What is to stay after fees, the cost among it. */
  readonly keep_minor?: number | undefined;
}

/** A price for a margin or for what is to stay, or the margin of a price; asked for in none of the ways, as the file has it. */
export function priceOutcome(cost: UnitCost, file: CostFile | null, request: PriceRequest): PriceOutcome {
  const { currency, cost_minor, name } = cost;
  const fees = feesOf(file);
  const price_minor = priceOf(cost_minor, file, request);
  const margin = marginAfterFees(cost_minor, price_minor, fees);
  const fees_minor = feesOn(price_minor, fees);
  const profit_minor = price_minor - fees_minor - cost_minor;
  const tax_pct = file?.tax_pct ?? 0;
  const gross_minor = withTax(price_minor, tax_pct);
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

/** The price that is asked for, in whole units of the currency. */
function priceOf(cost_minor: number, file: CostFile | null, request: PriceRequest): number {
  const fees = feesOf(file);
  if (request.keep_minor !== undefined) {
    return marginPrice(request.keep_minor, 0, fees);
  }
  const told = request.price_minor ?? (request.margin === undefined ? file?.price_minor : undefined);
  if (told !== undefined) {
    if (told <= 0)
      throw userError('price-nothing', 'the price is nothing: give one above nought, such as 95.00', {
        field: 'price',
      });
    return told;
  }
  const margin = request.margin ?? file?.margin;
  if (margin === undefined)
    throw userError('price-or-margin', 'give --margin for the price, or --price for the margin', { field: 'margin' });
  if (cost_minor + fees.fixed <= 0)
    throw userError('cost-nothing', 'the unit costs nothing: no price follows from a margin; give the price', {
      field: 'price',
    });
  return marginPrice(cost_minor, margin, fees);
}

/** The least price for a margin, when it can be counted. */
export function marginPrice(cost_minor: number, margin: number, fees: ReturnType<typeof feesOf>): number {
  checkMargin(margin, fees.share);
  countable(priceForMargin(cost_minor, margin, fees));
  return leastPrice(cost_minor, margin, fees);
}

function checkMargin(margin: number, share: number): void {
  // Nearer to 100 % a price is no price: it is more than can be counted.
  if (margin + share > 0.999)
    throw userError(
      'margin-too-large',
      `a margin of ${percent(margin)} and fees of ${percent(share)} leave nothing of the price: the two sum to less than 100 %; ask for less`,
      { field: 'margin' },
    );
}

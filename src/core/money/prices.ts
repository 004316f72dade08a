import type { Amount } from './amount.ts';
import { amount, spreadAmount } from './amount.ts';
import { divideRounded } from './decimal.ts';

/** Price by the piece from a quantity on: `minor` for `per` pieces, so that parts of a cent stay exact. */
export interface PriceBreak {
  readonly from: number;
  readonly minor: number;
  readonly per: number;
}

export interface OrderRules {
  /** Least quantity that the supplier sells. */
  readonly minimum?: number | undefined;
  /** Sold in packs of so many. */
  readonly multiple?: number | undefined;
}

/** The break that holds for a quantity; undefined below the first. Breaks may come in any order. */
export function breakAt(breaks: readonly PriceBreak[], quantity: number): PriceBreak | undefined {
  let best: PriceBreak | undefined;
  for (const b of breaks) if (b.from <= quantity && (best === undefined || b.from > best.from)) best = b;
  return best;
}

/** What `quantity` pieces cost at the break that holds for them all (all-units discount), rounded once. */
export function lineCost(breaks: readonly PriceBreak[], quantity: number, currency: string): Amount | undefined {
  const b = breakAt(breaks, quantity);
  if (b === undefined) return undefined;
  return amount(Number(divideRounded(BigInt(b.minor) * BigInt(quantity), BigInt(b.per), 'half-up')), currency);
}

export interface Purchase {
  readonly quantity: number;
  readonly total: Amount;
}

/** The least quantity that may be ordered to have `need`, by minimum and pack. */
export function orderable(need: number, { minimum = 1, multiple = 1 }: OrderRules = {}): number {
  return Math.ceil(Math.max(need, minimum) / multiple) * multiple;
}

/**
 * The cheapest way to have at least `need` pieces: the least that may be ordered, or a larger quantity at which the
 * price falls so far that the whole costs less. Undefined when no break holds. Of equal totals the larger quantity is
 * taken: the pieces are free.
 */
export function cheapestPurchase(
  breaks: readonly PriceBreak[],
  need: number,
  currency: string,
  rules: OrderRules = {},
): Purchase | undefined {
  const quantities = [need, ...breaks.filter((b) => b.from > need).map((b) => b.from)].map((q) => orderable(q, rules));
  let best: Purchase | undefined;
  for (const quantity of quantities.sort((a, b) => a - b)) {
    const total = lineCost(breaks, quantity, currency);
    if (total !== undefined && (best === undefined || total.minor <= best.total.minor)) best = { quantity, total };
  }
  return best;
}

export interface LandedLine {
  readonly quantity: number;
  /** Of all pieces, as invoiced. */
  readonly goods: Amount;
  /** Mass of all pieces; freight is spread by it when all lines have one. */
  readonly mass_g?: number | undefined;
  readonly duty_pct?: number | undefined;
}

export interface LandedCost {
  readonly freight: Amount;
  readonly duty: Amount;
  readonly fees: Amount;
  readonly total: Amount;
  /** Minor units a piece, not rounded: for comparing, not for booking. */
  readonly each_minor: number;
}

/**
 * What each line of a delivery costs on the bench: goods, a share of freight and fees, and duty on goods with freight
 * (CIF value, World Customs Organization; common practice in Europe; `dutyOnFreight` false for customs that take the
 * goods alone). Taxes that are refunded are no cost and stand nowhere. Shares sum exactly: freight by mass, else by
 * value; fees by value.
 */
export function landedCosts(
  lines: readonly LandedLine[],
  freight: Amount,
  fees: Amount,
  dutyOnFreight = true,
): LandedCost[] {
  const values = lines.map((l) => l.goods.minor);
  const masses = lines.map((l) => l.mass_g ?? 0);
  const freights = spreadAmount(freight, masses.every((m) => m > 0) ? masses : values);
  const feeShares = spreadAmount(fees, values);
  return lines.map((line, i) => {
    const { currency } = line.goods;
    const dutiable = line.goods.minor + (dutyOnFreight ? freights[i]!.minor : 0);
    // Hundredths of a percent are as fine as tariffs go.
    const rate = BigInt(Math.round(100 * (line.duty_pct ?? 0)));
    const duty = amount(Number(divideRounded(BigInt(dutiable) * rate, 10_000n, 'half-up')), currency);
    const total = amount(line.goods.minor + freights[i]!.minor + duty.minor + feeShares[i]!.minor, currency);
    return { freight: freights[i]!, duty, fees: feeShares[i]!, total, each_minor: total.minor / line.quantity };
  });
}

/**
 * Cost of the next `pieces` out of a lot of `quantity` pieces for `total`, of which `taken` are gone: the difference of
 * two rounded sums, so that all withdrawals of a lot sum to its total.
 */
export function lotCost(total: Amount, quantity: number, taken: number, pieces: number): Amount {
  if (!(taken >= 0 && pieces >= 0 && taken + pieces <= quantity && quantity > 0))
    throw new RangeError(`lotCost: ${pieces} after ${taken} of ${quantity}`);
  const upTo = (n: number) => divideRounded(BigInt(total.minor) * BigInt(n), BigInt(quantity), 'half-up');
  return amount(Number(upTo(taken + pieces) - upTo(taken)), total.currency);
}

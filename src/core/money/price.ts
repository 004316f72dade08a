import { amount, percentOf, scaleAmount } from './amount.ts';

/** Share of the price that stays: (price - cost)/price. */
export function marginOf(cost: number, price: number): number {
  return (price - cost) / price;
}

/** Share on top of the cost: (price - cost)/cost. Not the margin: a margin of 40 % is a mark-up of 66.7 %. */
export function markupOf(cost: number, price: number): number {
  return (price - cost) / cost;
}

/** What a platform and a payment take of the price that the customer pays. */
export interface SellingFees {
  /** Share of the price. */
  readonly share?: number | undefined;
  /** A fixed sum a sale. */
  readonly fixed?: number | undefined;
}

/** Net price for a margin (below 1) after fees: p with p - cost - share p - fixed = margin p. */
export function priceForMargin(cost: number, margin: number, { share = 0, fixed = 0 }: SellingFees = {}): number {
  if (!(margin + share < 1))
    throw new RangeError(`priceForMargin: margin ${margin} and fees ${share} leave nothing of the price`);
  return (cost + fixed) / (1 - margin - share);
}

/** Margin that a price leaves after fees. */
export function marginAfterFees(cost: number, price: number, { share = 0, fixed = 0 }: SellingFees = {}): number {
  return (price * (1 - share) - fixed - cost) / price;
}

/** Price of which `keep` is left after fees. */
export function priceToKeep(keep: number, { share = 0, fixed = 0 }: SellingFees): number {
  return (keep + fixed) / (1 - share);
}

/** What is taken of a price, in whole minor units: the share rounded half up, and the fixed sum. */
export function feesOn(price_minor: number, { share = 0, fixed = 0 }: SellingFees): number {
  return scaleAmount(amount(price_minor, ANY), share).minor + fixed;
}

/** Price with tax on top, in whole minor units: the tax is rounded half up. */
export function withTax(net_minor: number, tax_pct: number): number {
  return net_minor + percentOf(amount(net_minor, ANY), tax_pct).minor;
}

/** The rule of rounding is the same in all currencies. */
const ANY = 'EUR';

/**
 * Least price in whole minor units that leaves at least `margin` of itself once fees are rounded and paid.
 *
 * @throws RangeError as `priceForMargin`
 */
export function leastPrice(cost_minor: number, margin: number, fees: SellingFees = {}): number {
  const enough = (price: number) => price - feesOn(price, fees) - cost_minor >= margin * price * (1 - 1e-14);
  // Rounded fees move the answer by a few units at most.
  let price = Math.max(1, Math.floor(priceForMargin(cost_minor, margin, fees)) - 2);
  while (price > 1 && enough(price)) price--;
  while (!enough(price)) price++;
  return price;
}

/**
 * Units at which fixed cost and `target` profit are earned: (F + target)/(price - variable); infinite when a unit earns
 * nothing.
 */
export function breakEvenUnits(fixed: number, price: number, variable: number, target = 0): number {
  return price > variable ? (fixed + target) / (price - variable) : Number.POSITIVE_INFINITY;
}

/** Share by which sales may fall short of `planned` before there is a loss. */
export function marginOfSafety(planned: number, breakEven: number): number {
  return (planned - breakEven) / planned;
}

/** A way to have a part: paid once, and by the piece; of the pieces the share `yieldShare` is good (1 when absent). */
export interface SupplyOption {
  readonly fixed: number;
  readonly unit: number;
  readonly yieldShare?: number | undefined;
}

/** Cost of `quantity` good pieces. */
export function optionCost({ fixed, unit, yieldShare = 1 }: SupplyOption, quantity: number): number {
  return fixed + (unit / yieldShare) * quantity;
}

/**
 * Good pieces from which on `tool` costs less than `bought`: (F2 - F1)/(v1 - v2), each v over its yield (crossover
 * analysis, Heizer & Render, supplement 7). 0 when the tool is never dearer, infinite when it never pays.
 */
export function crossoverQuantity(bought: SupplyOption, tool: SupplyOption): number {
  const fixed = tool.fixed - bought.fixed;
  const saved = bought.unit / (bought.yieldShare ?? 1) - tool.unit / (tool.yieldShare ?? 1);
  if (fixed <= 0) return saved >= 0 ? 0 : Number.POSITIVE_INFINITY;
  return saved > 0 ? fixed / saved : Number.POSITIVE_INFINITY;
}

/** Present value of yearly cash, the first now: sum c_t/(1 + r)^t. */
export function presentValue(cash: readonly number[], rate: number): number {
  return cash.reduce((sum, c, t) => sum + c / (1 + rate) ** t, 0);
}

/** Years until the cash sums to nought, by straight lines within a year, undiscounted; infinite if never. */
export function paybackYears(cash: readonly number[]): number {
  let sum = 0;
  for (let t = 0; t < cash.length; t++) {
    const before = sum;
    sum += cash[t]!;
    if (sum >= 0) return t === 0 ? 0 : t - 1 + -before / cash[t]!;
  }
  return Number.POSITIVE_INFINITY;
}

/** What an offer asks for a number of pieces, all told. */
import { amount, cheapestPurchase, type LandedCost, landedCosts, type Purchase } from '../../core/money/index.ts';
import type { Offer } from '../../records/bench/index.ts';

export interface OfferPurchase extends Purchase {
  /** Goods, freight, duty and fees, were it ordered alone. */
  readonly landed: LandedCost;
}

/**
 * The cheapest way to have at least `need` pieces from an offer, by minimum, pack and price breaks. Freight and fees are the
 * same whatever the size and duty grows with the goods: what is cheapest in goods is cheapest in all.
 */
export function purchaseOf(offer: Offer, need: number): OfferPurchase {
  const { currency, minimum, pack: multiple, duty_pct } = offer;
  const breaks = offer.breaks.map(({ from, price_minor: minor, per }) => ({ from, minor, per }));
  // An offer has at least one break, and what is larger than `need` is tried too.
  const bought = cheapestPurchase(breaks, need, currency, { minimum, multiple })!;
  const line = { quantity: bought.quantity, goods: bought.total, duty_pct };
  const [landed] = landedCosts([line], amount(offer.freight_minor, currency), amount(offer.fees_minor, currency));
  return { ...bought, landed: landed! };
}

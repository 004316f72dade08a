import { normalQuantile } from '../math/index.ts';
import { demandQuantile, poissonDemand } from './demand.ts';

export interface LeadDemand {
  /** Mean and standard deviation a day (or any period). */
  readonly demand: number;
  readonly sdDemand?: number | undefined;
  /** Mean and standard deviation of the lead time, in the same periods. */
  readonly lead: number;
  readonly sdLead?: number | undefined;
}

export interface ReorderPoint {
  /** Order when stock and what is on the way fall to this. */
  readonly point: number;
  readonly safety: number;
  /** Standard deviation of the demand over the lead time. */
  readonly sigma: number;
}

/**
 * Reorder point for a chance `service` of lasting through one lead time: d L + z sqrt(L sd² + d² sL²) (Heizer & Render,
 * ch. 12; Silver, Pyke & Thomas). Normal demand, days independent of one another and of the lead time.
 */
export function reorderPoint({ demand, sdDemand = 0, lead, sdLead = 0 }: LeadDemand, service: number): ReorderPoint {
  const sigma = Math.sqrt(lead * sdDemand ** 2 + demand ** 2 * sdLead ** 2);
  const safety = sigma > 0 ? normalQuantile(service) * sigma : 0;
  return { point: demand * lead + safety, safety, sigma };
}

export interface EconomicOrder {
  readonly quantity: number;
  readonly ordersPerYear: number;
  /** Ordering and holding, a year. */
  readonly cost: number;
}

/** Order quantity at which ordering costs as much as holding: sqrt(2 D S/H), cost sqrt(2 D S H) (Harris 1913). */
export function economicOrder(demand_year: number, order: number, holding_year: number): EconomicOrder {
  const quantity = Math.sqrt((2 * demand_year * order) / holding_year);
  return { quantity, ordersPerYear: demand_year / quantity, cost: Math.sqrt(2 * demand_year * order * holding_year) };
}

/**
 * The same with a price that falls with the quantity (all-units discount; Heizer & Render, ch. 12): for each break the
 * economic quantity moved up to the break where it lies below; a break whose quantity lies beyond the next one is left
 * to that one. Totals a year with the goods.
 *
 * @param breaks ascending by `from`
 * @param holding share of a piece's price that holding it costs a year, or a function of the price that gives the sum
 */
export function economicOrderWithBreaks(
  demand_year: number,
  order: number,
  holding: number | ((price: number) => number),
  breaks: readonly { readonly from: number; readonly price: number }[],
): { candidates: { quantity: number; total: number }[]; best: { quantity: number; total: number } } {
  const kept = typeof holding === 'number' ? (price: number) => holding * price : holding;
  if (breaks.length === 0 || !breaks.every(({ price }) => kept(price) > 0))
    throw new RangeError('economicOrderWithBreaks: keeping a piece costs something at each price');
  const candidates = breaks.flatMap(({ from, price }, i) => {
    const { quantity: free } = economicOrder(demand_year, order, kept(price));
    const next = breaks[i + 1]?.from ?? Number.POSITIVE_INFINITY;
    if (free >= next) return [];
    const quantity = Math.max(free, from);
    const total = price * demand_year + (demand_year / quantity) * order + (quantity / 2) * kept(price);
    return [{ quantity, total }];
  });
  const best = candidates.reduce((a, b) => (b.total < a.total ? b : a));
  return { candidates, best };
}

/** Spares for `units` in the field with a yearly failure rate, to last `years` with chance `service` (Poisson). */
export function sparesFor(units: number, failures_year: number, years: number, service: number): number {
  return demandQuantile(poissonDemand(units * failures_year * years), service);
}

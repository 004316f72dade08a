import { normalDensity, normalQuantile, normalShareBelow } from '../math/index.ts';
import type { DemandLaw } from './demand.ts';
import { demandQuantile } from './demand.ts';

/** What a piece costs, sells for, and still brings when it is left over. */
export interface StockTerms {
  readonly cost: number;
  readonly price: number;
  readonly salvage: number;
}

export interface StockOutcome {
  readonly quantity: number;
  /** Chance that the demand is met: Cu/(Cu + Co) is the best one. */
  readonly ratio: number;
  /** Expected pieces sold, asked for in vain, left over. */
  readonly sold: number;
  readonly lost: number;
  readonly left: number;
  readonly profit: number;
}

/**
 * Critical ratio: what a missing piece costs (price - cost) over that and what a piece too many costs (cost - salvage).
 */
export function criticalRatio({ cost, price, salvage }: StockTerms): number {
  if (!(price > cost && cost > salvage))
    throw new RangeError(`newsvendor: price ${price} above cost ${cost} above salvage ${salvage}`);
  return (price - cost) / (price - salvage);
}

/**
 * How many to make once for a normal demand (Arrow, Harris & Marschak 1951; Silver, Pyke & Thomas, ch. 9): Q = m + s
 * z(ratio); lost = s (phi(k) - k (1 - Phi(k))). `quantity` is not rounded. A quantity given is judged instead of
 * chosen.
 */
export function newsvendorNormal(mean: number, sd: number, terms: StockTerms, quantity?: number): StockOutcome {
  if (!(sd > 0)) throw new RangeError(`newsvendorNormal: sd ${sd}`);
  const ratio = criticalRatio(terms);
  const chosen = quantity ?? mean + sd * normalQuantile(ratio);
  const k = (chosen - mean) / sd;
  const lost = sd * (normalDensity(k) - k * normalShareBelow(-k));
  return outcome(chosen, ratio, mean - lost, lost, terms);
}

/** The same for whole pieces and any law of demand: the least Q with F(Q) >= ratio. */
export function newsvendor(law: DemandLaw, terms: StockTerms, quantity?: number): StockOutcome {
  const ratio = criticalRatio(terms);
  const chosen = quantity ?? demandQuantile(law, ratio);
  let sold = 0;
  let lost = 0;
  law.forEach((chance, k) => {
    sold += chance * Math.min(k, chosen);
    lost += chance * Math.max(0, k - chosen);
  });
  return outcome(chosen, ratio, sold, lost, terms);
}

function outcome(quantity: number, ratio: number, sold: number, lost: number, terms: StockTerms): StockOutcome {
  const left = quantity - sold;
  return {
    quantity,
    ratio,
    sold,
    lost,
    left,
    profit: terms.price * sold + terms.salvage * left - terms.cost * quantity,
  };
}

import { incompleteBeta, inverseIncompleteBeta } from '../math/index.ts';

/**
 * Chance of at most `accept` bad units among `sample` when each is bad with chance `share` (a steady process: type B):
 * the binomial law, as I_{1-p}(n - c, c + 1) (DLMF 8.17.5). Absolute error below 1e-12.
 */
export function acceptChance(sample: number, accept: number, share: number): number {
  checkPlan(sample, accept);
  if (accept >= sample) return 1;
  return incompleteBeta(1 - share, sample - accept, accept + 1);
}

/**
 * Chance of at most `accept` bad units in a sample drawn without putting back from a lot of `lot` units of which `bad`
 * are bad (a lot on its own: type A): the hypergeometric law, its terms by their ratios from the largest one outward.
 * Exact to rounding.
 */
export function acceptChanceOfLot(lot: number, bad: number, sample: number, accept: number): number {
  checkPlan(sample, accept);
  if (!(Number.isInteger(lot) && Number.isInteger(bad) && bad >= 0 && bad <= lot && sample <= lot))
    throw new RangeError(`acceptChanceOfLot: ${sample} of ${lot} with ${bad} bad`);
  const least = Math.max(0, sample + bad - lot);
  const most = Math.min(sample, bad);
  const mode = Math.min(most, Math.max(least, Math.floor(((sample + 1) * (bad + 1)) / (lot + 2))));
  const ratio = (x: number) => ((bad - x) * (sample - x)) / ((x + 1) * (lot - bad - sample + x + 1));
  let total = 1;
  let upTo = mode <= accept ? 1 : 0;
  for (let x = mode, weight = 1; x < most; x++) {
    weight *= ratio(x);
    total += weight;
    if (x + 1 <= accept) upTo += weight;
  }
  for (let x = mode, weight = 1; x > least; x--) {
    weight /= ratio(x - 1);
    total += weight;
    if (x - 1 <= accept) upTo += weight;
  }
  return upTo / total;
}

/**
 * Share of bad units that a plan accepts with chance `chance`: 0.95 gives the quality that the maker must reach
 * (producer's point), 0.10 the one that the buyer is protected against (consumer's point). Binomial: 1 - I^-1(chance; n
 * - c, c + 1).
 */
export function qualityAccepted(sample: number, accept: number, chance: number): number {
  checkPlan(sample, accept);
  if (!(chance > 0 && chance < 1)) throw new RangeError(`qualityAccepted: chance ${chance}`);
  if (accept >= sample) return 1;
  return 1 - inverseIncompleteBeta(chance, sample - accept, accept + 1);
}

/**
 * For a lot on its own: the most bad units still accepted with chance 0.95, and the fewest accepted with at most 0.10.
 */
export function lotPoints(lot: number, sample: number, accept: number): { producer: number; consumer: number } {
  // The chance falls with the number of bad units, so both are found by halving.
  const firstBelow = (limit: (chance: number) => boolean) => {
    let low = 0;
    let high = lot + 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (middle > lot || limit(acceptChanceOfLot(lot, middle, sample, accept))) high = middle;
      else low = middle + 1;
    }
    return low;
  };
  return {
    producer: firstBelow((c) => c < 0.95) - 1,
    consumer: Math.min(
      lot,
      firstBelow((c) => c <= 0.1),
    ),
  };
}

/** Operating characteristic over shares 0..`most`: chance of acceptance at `points` evenly spaced shares. */
export function operatingCurve(
  sample: number,
  accept: number,
  most: number,
  points: number,
): { share: Float64Array; chance: Float64Array } {
  const share = Float64Array.from({ length: points }, (_, i) => (most * i) / (points - 1));
  return { share, chance: share.map((p) => acceptChance(sample, accept, p)) };
}

function checkPlan(sample: number, accept: number): void {
  if (!(Number.isInteger(sample) && Number.isInteger(accept) && sample >= 1 && accept >= 0))
    throw new RangeError(`plan of ${sample} with accept number ${accept}`);
}

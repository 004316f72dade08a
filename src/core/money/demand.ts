import { logGamma, normalShareBelow } from '../math/index.ts';
import type { Uncertain } from './simulate.ts';

/** Chances of a demand of 0, 1, 2, … pieces; what lies beyond the last is less than 1e-12 and counted with it. */
export type DemandLaw = Float64Array;

const TAIL = 1e-12;

function lawOf(logChance: (k: number) => number, mean: number): DemandLaw {
  const chances: number[] = [];
  let left = 1;
  for (let k = 0; k <= mean || left > TAIL; k++) {
    const chance = Math.exp(logChance(k));
    chances.push(chance);
    left -= chance;
    // Rounding may keep `left` above the tail for ever: stop where terms no longer count.
    if (k > mean && chance < TAIL * 1e-4) break;
  }
  chances[chances.length - 1]! += Math.max(0, left);
  return Float64Array.from(chances);
}

/** Poisson demand with a known mean. */
export function poissonDemand(mean: number): DemandLaw {
  if (!(mean >= 0 && mean <= 1e5)) throw new RangeError(`poissonDemand: mean ${mean}`);
  if (mean === 0) return Float64Array.of(1);
  return lawOf((k) => k * Math.log(mean) - mean - logGamma(k + 1), mean);
}

/**
 * Demand over the next `ahead` periods after `sold` pieces in `periods`: the rate is not known, only seen.
 * Gamma-Poisson with Jeffreys' prior (Gelman et al., Bayesian Data Analysis, 3rd ed., 2.6): negative binomial with
 * shape sold + 1/2. Wider than Poisson, the more so the less has been seen. It takes the rate as steady: season and
 * fashion are not in it.
 */
export function demandAhead(sold: number, periods: number, ahead: number): DemandLaw {
  if (!(sold >= 0 && periods > 0 && ahead > 0))
    throw new RangeError(`demandAhead: ${sold} in ${periods}, ${ahead} ahead`);
  const shape = sold + 0.5;
  const share = ahead / (periods + ahead);
  return lawOf(
    (k) => logGamma(k + shape) - logGamma(shape) - logGamma(k + 1) + shape * Math.log1p(-share) + k * Math.log(share),
    (shape * ahead) / periods,
  );
}

/** Demand by weights of pieces, e.g. past batches: `[pieces, weight]`. */
export function empiricalDemand(weights: Iterable<readonly [number, number]>): DemandLaw {
  const list = [...weights];
  const most = list.reduce((m, [k]) => Math.max(m, k), 0);
  const law = new Float64Array(most + 1);
  let total = 0;
  for (const [k, w] of list) {
    if (!(Number.isInteger(k) && k >= 0 && w >= 0)) throw new RangeError(`empiricalDemand: ${k} with weight ${w}`);
    law[k]! += w;
    total += w;
  }
  if (!(total > 0)) throw new RangeError('empiricalDemand: no weight');
  return law.map((w) => w / total);
}

/** Demand of whole pieces from a guess of it: each number of pieces has the chance of the guess within half a piece. */
export function guessedDemand(guess: Uncertain): DemandLaw {
  if (typeof guess === 'number') return empiricalDemand([[Math.max(0, Math.round(guess)), 1]]);
  switch (guess.kind) {
    case 'poisson':
      return poissonDemand(guess.mean);
    case 'values':
      return empiricalDemand(guess.values.map((v) => [Math.max(0, Math.round(v)), 1] as const));
    case 'normal': {
      const { mean, sd } = guess;
      if (!(sd > 0)) return guessedDemand(mean);
      return lawBelow((v) => normalShareBelow((v - mean) / sd), mean + 8 * sd);
    }
    case 'triangle': {
      const { low, mode, high } = guess;
      if (!(high > low)) return guessedDemand(mode);
      return lawBelow((v) => triangleBelow(v, low, mode, high), high);
    }
  }
}

function lawBelow(below: (value: number) => number, most: number): DemandLaw {
  const last = Math.max(0, Math.ceil(most));
  if (last > 1e6) throw new RangeError(`guessedDemand: up to ${most}`);
  return Float64Array.from({ length: last + 1 }, (_, k) => {
    const to = k === last ? 1 : below(k + 0.5);
    return k === 0 ? to : to - below(k - 0.5);
  });
}

/** Share of a triangular law below a value. */
function triangleBelow(v: number, low: number, mode: number, high: number): number {
  if (v <= low) return 0;
  if (v >= high) return 1;
  return v < mode
    ? (v - low) ** 2 / ((high - low) * (mode - low))
    : 1 - (high - v) ** 2 / ((high - low) * (high - mode));
}

/** Least demand that is not exceeded with chance `p`. */
export function demandQuantile(law: DemandLaw, p: number): number {
  let sum = 0;
  for (let k = 0; k < law.length; k++) {
    sum += law[k]!;
    // A chance such as 0.6 must be met by 0.1 + 0.2 + 0.3.
    if (sum >= p - 1e-12) return k;
  }
  return law.length - 1;
}

export function demandMean(law: DemandLaw): number {
  return law.reduce((sum, chance, k) => sum + k * chance, 0);
}

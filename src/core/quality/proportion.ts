import type { Interval } from '../math/index.ts';
import { clopperPearson, incompleteBeta, normalQuantile } from '../math/index.ts';

/**
 * Score interval on a proportion (Wilson 1927): centre (p + z²/2n)/(1 + z²/n), half width z sqrt(p(1-p)/n + z²/4n²)/(1
 * + z²/n). Covers `confidence` on average, a little more or less at a given share; the exact interval
 * (`clopperPearson`) never covers less.
 */
export function wilson(events: number, trials: number, confidence = 0.95): Interval {
  if (!(Number.isInteger(events) && Number.isInteger(trials) && events >= 0 && events <= trials && trials > 0))
    throw new RangeError(`wilson: ${events} events in ${trials} trials`);
  const z = normalQuantile(0.5 + confidence / 2);
  const p = events / trials;
  const scale = 1 + (z * z) / trials;
  const centre = (p + (z * z) / (2 * trials)) / scale;
  const half = (z / scale) * Math.sqrt((p * (1 - p)) / trials + (z * z) / (4 * trials * trials));
  return {
    mean: p,
    low: events === 0 ? 0 : centre - half,
    high: events === trials ? 1 : centre + half,
  };
}

/** One-sided exact upper limit on a share of bad units: with none in 60 and 95 % it is 1 - 0.05^(1/60). */
export function upperLimit(events: number, trials: number, confidence = 0.95): number {
  if (!(confidence > 0.5 && confidence < 1)) throw new RangeError(`upperLimit: confidence ${confidence}`);
  // A two-sided interval with twice the tail has this upper end.
  return clopperPearson(events, trials, 2 * confidence - 1).high;
}

/**
 * Units to test without one failure so as to show `reliability` with `confidence`: ln(1 - C)/ln R, rounded up (success
 * run).
 */
export function unitsWithoutFailure(reliability: number, confidence: number): number {
  if (!(reliability > 0 && reliability < 1 && confidence > 0 && confidence < 1))
    throw new RangeError(`unitsWithoutFailure: reliability ${reliability}, confidence ${confidence}`);
  return Math.ceil(Math.log1p(-confidence) / Math.log(reliability) - 1e-12);
}

/** Chance of at least `need` good units out of `starts` that are each good with chance `yieldShare` (binomial). */
export function chanceOfEnough(starts: number, yieldShare: number, need: number): number {
  if (need <= 0) return 1;
  if (need > starts) return 0;
  return incompleteBeta(yieldShare, need, starts - need + 1);
}

/** Fewest units to start so that at least `need` come out good with chance `confidence`. */
export function startsFor(need: number, yieldShare: number, confidence: number): number {
  if (!(Number.isInteger(need) && need >= 0 && yieldShare > 0 && yieldShare <= 1 && confidence > 0 && confidence < 1))
    throw new RangeError(`startsFor: ${need} at ${yieldShare}`);
  let low = need;
  let high = Math.max(1, need);
  while (chanceOfEnough(high, yieldShare, need) < confidence) high *= 2;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (chanceOfEnough(middle, yieldShare, need) >= confidence) high = middle;
    else low = middle + 1;
  }
  return low;
}

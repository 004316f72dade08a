import type { Random } from '../math/index.ts';

/**
 * Positions of a random sample in a lot, counted from 1, ascending: every set of `sample` positions is equally likely
 * (Floyd's method: Bentley & Floyd 1987, Communications of the ACM 30(9) 754). The same seed gives the same draw.
 */
export function drawSample(random: Random, lot: number, sample: number): number[] {
  if (!(Number.isInteger(lot) && Number.isInteger(sample) && sample >= 0 && sample <= lot))
    throw new RangeError(`drawSample: ${sample} of ${lot}`);
  const taken = new Set<number>();
  for (let last = lot - sample + 1; last <= lot; last++) {
    const at = 1 + random.below(last);
    taken.add(taken.has(at) ? last : at);
  }
  return [...taken].sort((a, b) => a - b);
}

/** Values that each simulated month draws for itself, stratified so that few years already give the right long-term mean. */
import type { Random } from '../math/index.ts';
import { normalQuantile } from './normal.ts';

/** Years in a block: each block is drawn whole from its own seed, so that the first n years do not depend on how many are asked for. */
export const BLOCK_YEARS = 20;

/**
 * Latin hypercube (McKay, Beckman & Conover 1979): for each month one standard normal from each of BLOCK_YEARS equally
 * likely strata, in random order. Writes month-major: out[month * BLOCK_YEARS + year].
 */
export function stratifiedNormals(random: Random, out: Float64Array): void {
  for (let m = 0; m < 12; m++) {
    const base = m * BLOCK_YEARS;
    for (let y = 0; y < BLOCK_YEARS; y++)
      out[base + y] = normalQuantile((y + Math.max(1e-6, random.next())) / BLOCK_YEARS);
    for (let y = BLOCK_YEARS - 1; y > 0; y--) {
      const k = random.below(y + 1);
      const kept = out[base + y]!;
      out[base + y] = out[base + k]!;
      out[base + k] = kept;
    }
  }
}

export interface BoundedNormal {
  readonly centre: number;
  readonly sd: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Normal law clipped to [low, high], its centre moved so that the clipped law still has the mean asked for (by bisection
 * on a 400-point quadrature; exact to 1e-9). `mean` must lie strictly inside the bounds.
 */
export function boundedNormal(mean: number, sd: number, low: number, high: number): BoundedNormal {
  if (!(low < mean && mean < high)) throw new RangeError(`boundedNormal: mean ${mean} is outside (${low}, ${high})`);
  const points = Float64Array.from({ length: 400 }, (_, i) => normalQuantile((i + 0.5) / 400));
  const clippedMean = (centre: number) =>
    points.reduce((sum, z) => sum + Math.min(high, Math.max(low, centre + sd * z)), 0) / points.length;
  let a = mean - 6 * sd;
  let b = mean + 6 * sd;
  for (let n = 0; n < 60; n++) {
    const middle = (a + b) / 2;
    if (clippedMean(middle) < mean) a = middle;
    else b = middle;
  }
  return { centre: (a + b) / 2, sd, low, high };
}

/** The law's value for a standard normal draw. */
export function boundedValue(law: BoundedNormal, z: number): number {
  return Math.min(law.high, Math.max(law.low, law.centre + law.sd * z));
}

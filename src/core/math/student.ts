import { incompleteBeta, inverseIncompleteBeta } from './beta.ts';

/**
 * Value below which a share `p` of Student's t law with `freedom` degrees lies (Abramowitz & Stegun 1964, 26.7.1 with
 * 26.5.27: t² = v (1 - x)/x where I_x(v/2, 1/2) = 2p, p in the lower tail). Relative error below 1e-9.
 */
export function studentQuantile(p: number, freedom: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`studentQuantile: p=${p} must lie between 0 and 1`);
  if (!(freedom > 0)) throw new RangeError(`studentQuantile: freedom=${freedom} must be positive`);
  if (p === 0.5) return 0;
  const x = inverseIncompleteBeta(2 * Math.min(p, 1 - p), freedom / 2, 0.5);
  const t = Math.sqrt((freedom * (1 - x)) / x);
  return p < 0.5 ? -t : t;
}

/** Chance that an F ratio with `above` and `below` degrees of freedom exceeds `ratio` (Abramowitz & Stegun 1964, 26.6.2). */
export function fShareAbove(ratio: number, above: number, below: number): number {
  if (!(ratio > 0)) return 1;
  return incompleteBeta(below / (below + above * ratio), below / 2, above / 2);
}

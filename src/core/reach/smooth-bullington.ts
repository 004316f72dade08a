import { knifeEdgeLoss_dB } from '../path/index.ts';

/**
 * Bullington loss over the smooth Earth, dB, for antennas `from_m` and `to_m` (> 0) above it, with obstacles only at the
 * points i·step (i = 1..last-1) of a path that ends at last·step.
 *
 * The same figure as `bullingtonLoss_dB` with no ground on such a profile (ITU-R P.1812-8, sec. 4.3.1, eq. 13-21), found without
 * going through the points: each maximum is known in closed form or as the one root of a cubic, and the points on both
 * sides of it are tried. Checked against the walk in test/core/reach/radial.test.ts.
 */
export function smoothBullington_dB(
  from_m: number,
  to_m: number,
  last: number,
  step_km: number,
  bulge_m_km2: number,
  wavelength_m: number,
): number {
  if (last < 2) return 0;
  const d = last * step_km;
  const c = bulge_m_km2;
  const steepest = horizonSlope(from_m, last, step_km, c);
  const direct = (to_m - from_m) / d; // eq. 14
  const scale = Math.sqrt((0.002 * d) / wavelength_m);
  let nu: number;
  if (steepest < direct) {
    // nu <= scale (c d/2 - 2 sqrt(from to)/d), by the means of its two falling terms: most paths end here.
    if (scale * (0.5 * c * d - (2 * Math.sqrt(from_m * to_m)) / d) < -0.78) return 0;
    const i = closestPoint(from_m, to_m, last, c * d * d);
    nu = scale * Math.max(nuShape(i, from_m, to_m, last, step_km, c), nuShape(i + 1, from_m, to_m, last, step_km, c)); // eq. 15
  } else {
    const back = horizonSlope(to_m, last, step_km, c); // eq. 17
    const db = (to_m - from_m + back * d) / (steepest + back); // eq. 18
    nu = (steepest - direct) * Math.sqrt(db / (d - db)) * scale; // eq. 19
  }
  const edge_dB = knifeEdgeLoss_dB(nu); // eq. 16, 20
  return edge_dB + (1 - Math.exp(-edge_dB / 6)) * (10 + 0.02 * d); // eq. 21
}

/** Largest c (d - x) - h/x over the points: eq. 13 on a smooth Earth; the curve peaks once, at x = sqrt(h/c). */
function horizonSlope(height_m: number, last: number, step_km: number, c: number): number {
  const peak = Math.floor(Math.sqrt(height_m / c) / step_km);
  const i = Math.max(1, Math.min(last - 1, peak));
  const next = Math.min(last - 1, i + 1);
  const d = last * step_km;
  const x = i * step_km;
  const xNext = next * step_km;
  return Math.max(c * (d - x) - height_m / x, c * (d - xNext) - height_m / xNext);
}

/** nu at point i without the factor that all points share; -Infinity outside the path. */
function nuShape(i: number, from_m: number, to_m: number, last: number, step_km: number, c: number): number {
  if (i < 1 || i >= last) return Number.NEGATIVE_INFINITY;
  const x = i * step_km;
  const rest = (last - i) * step_km;
  const d = last * step_km;
  return (c * x * rest - (from_m * rest + to_m * x) / d) / Math.sqrt(x * rest);
}

/**
 * The last point left of the largest nu. With y = x/(d - x) the derivative of nu has the sign of a cubic that has one positive root
 * (Descartes' rule: three would ask for from > 2 to and to > 2 from at once).
 */
function closestPoint(from_m: number, to_m: number, last: number, cdd: number): number {
  let low = 0;
  let high = last - 1;
  while (low < high) {
    const i = (low + high + 1) >> 1;
    const y = i / (last - i);
    const rising = cdd * y * (1 - y) + (from_m - to_m * y) * (1 + y) * (1 + y);
    if (rising > 0) low = i;
    else high = i - 1;
  }
  return low;
}

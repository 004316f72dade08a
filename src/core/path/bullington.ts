import { knifeEdgeLoss_dB } from './knife-edge.ts';

/** Ends of a path above sea level and the Earth's effective radius. */
export interface Ends {
  readonly from_m: number;
  readonly to_m: number;
  readonly radius_km: number;
  readonly wavelength_m: number;
}

/**
 * Diffraction loss by the Bullington construction, dB: the whole profile is replaced by one edge, where the steepest rays
 * from both ends meet, or, in line of sight, by the point that reaches highest into the Fresnel zone.
 *
 * Source: ITU-R P.1812-8, sec. 4.3.1, eq. 13-21 = ITU-R P.526-15, sec. 4.5.1. Works on points 0..n-1 of caller-owned arrays; `ground_m` null
 * stands for a smooth profile at height zero. Allocates nothing. The ends themselves are no obstacles.
 * Checked against the examples of ITU-R Study Group 3 in test/golden/path-delta-bullington.csv.
 */
export function bullingtonLoss_dB(
  distance_km: Float64Array,
  ground_m: Float64Array | null,
  n: number,
  ends: Ends,
): number {
  const { from_m, to_m, wavelength_m } = ends;
  const d = distance_km[n - 1]!;
  const bulge = 500 / ends.radius_km;
  let steepest = Number.NEGATIVE_INFINITY;
  for (let i = 1; i < n - 1; i++) {
    const di = distance_km[i]!;
    const g = ground_m === null ? 0 : ground_m[i]!;
    const slope = (g + bulge * di * (d - di) - from_m) / di;
    if (slope > steepest) steepest = slope; // eq. 13
  }
  const direct = (to_m - from_m) / d; // eq. 14
  let nu = Number.NEGATIVE_INFINITY;
  if (steepest < direct) {
    for (let i = 1; i < n - 1; i++) {
      const di = distance_km[i]!;
      const g = ground_m === null ? 0 : ground_m[i]!;
      const rest = d - di;
      const above_m = g + bulge * di * rest - (from_m * rest + to_m * di) / d;
      const nuHere = above_m * Math.sqrt((0.002 * d) / (wavelength_m * di * rest));
      if (nuHere > nu) nu = nuHere; // eq. 15
    }
  } else if (steepest > Number.NEGATIVE_INFINITY) {
    let back = Number.NEGATIVE_INFINITY;
    for (let i = 1; i < n - 1; i++) {
      const di = distance_km[i]!;
      const g = ground_m === null ? 0 : ground_m[i]!;
      const slope = (g + bulge * di * (d - di) - to_m) / (d - di);
      if (slope > back) back = slope; // eq. 17
    }
    if (steepest + back > 0) {
      const db = (to_m - from_m + back * d) / (steepest + back); // eq. 18
      const above_m = from_m + steepest * db - (from_m * (d - db) + to_m * db) / d;
      nu = above_m * Math.sqrt((0.002 * d) / (wavelength_m * db * (d - db))); // eq. 19
    } else nu = 0; // Both rays are the direct one: it touches an edge and is not cut.
  }
  const edge_dB = knifeEdgeLoss_dB(nu); // eq. 16, 20
  return edge_dB + (1 - Math.exp(-edge_dB / 6)) * (10 + 0.02 * d); // eq. 21
}

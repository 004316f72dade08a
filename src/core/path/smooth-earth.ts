/** The straight line fitted to a profile, as heights above sea level at its two ends. */
export interface SmoothEarth {
  /** Plain least-squares fit (ITU-R P.1812 eq. 85-86). */
  readonly fitFrom_m: number;
  readonly fitTo_m: number;
  /** The fit lowered for obstacles and held at or below the ground at the ends, for diffraction (eq. 90-91). */
  readonly from_m: number;
  readonly to_m: number;
}

/**
 * Smooth-earth heights of a profile, m above sea level.
 *
 * Source: ITU-R P.1812-8, Attachment 1, sec. 5.6, eq. 85-91 = ITU-R P.526-15, sec. 4.5.2. `height_m` is the bare ground; the
 * antennas stand at `from_m` and `to_m` above sea level. Exact for a straight profile. Checked inside the examples of
 * test/golden/path-delta-bullington.csv (effective heights to 1 mm).
 */
export function smoothEarth(
  distance_km: Float64Array,
  height_m: Float64Array,
  n: number,
  from_m: number,
  to_m: number,
): SmoothEarth {
  const d = distance_km[n - 1]!;
  let v1 = 0;
  let v2 = 0;
  let highest_m = Number.NEGATIVE_INFINITY;
  let seenFrom = Number.NEGATIVE_INFINITY;
  let seenTo = Number.NEGATIVE_INFINITY;
  for (let i = 1; i < n; i++) {
    const di = distance_km[i]!;
    const before = distance_km[i - 1]!;
    const hi = height_m[i]!;
    const hBefore = height_m[i - 1]!;
    v1 += (di - before) * (hi + hBefore); // eq. 85
    v2 += (di - before) * (hi * (2 * di + before) + hBefore * (di + 2 * before)); // eq. 86
    if (i < n - 1) {
      const above_m = hi - (from_m * (d - di) + to_m * di) / d;
      highest_m = Math.max(highest_m, above_m); // eq. 88a
      seenFrom = Math.max(seenFrom, above_m / di); // eq. 88b
      seenTo = Math.max(seenTo, above_m / (d - di)); // eq. 88c
    }
  }
  const fitFrom_m = (2 * v1 * d - v2) / (d * d); // eq. 87a
  const fitTo_m = (v2 - v1 * d) / (d * d); // eq. 87b
  let lowFrom_m = fitFrom_m;
  let lowTo_m = fitTo_m;
  if (highest_m > 0) {
    const share = seenFrom / (seenFrom + seenTo); // eq. 89e
    lowFrom_m -= highest_m * share; // eq. 89c
    lowTo_m -= highest_m * (1 - share); // eq. 89d
  }
  return {
    fitFrom_m,
    fitTo_m,
    from_m: Math.min(lowFrom_m, height_m[0]!), // eq. 90
    to_m: Math.min(lowTo_m, height_m[n - 1]!), // eq. 91
  };
}

import { longestRun_km, type Profile, ZONE } from './profile.ts';

/** Radius of the Earth in ITU-R P.1812, km. */
export const EARTH_RADIUS_km = 6371;

/** Radius that stands for the strong refraction of a share β0 of the time: three Earth radii (P.1812 eq. 7b). */
export const DUCTING_RADIUS_km = 3 * EARTH_RADIUS_km;

/** Median effective radius of the Earth, km, from the lapse rate ΔN of the refractive index (P.1812 eq. 6, 7a). */
export function medianRadius_km(deltaN: number): number {
  return (EARTH_RADIUS_km * 157) / (157 - deltaN);
}

/** Elevation angles and distances of the two radio horizons. */
export interface Horizons {
  readonly lineOfSight: boolean;
  readonly from_mrad: number;
  readonly to_mrad: number;
  readonly from_km: number;
  readonly to_km: number;
  /** Index of the point that is the horizon as seen from either end. */
  readonly fromPoint: number;
  readonly toPoint: number;
  /** Angular distance of the path. */
  readonly path_mrad: number;
}

/**
 * Horizons over the bare ground, as ITU-R P.1812-8, Attachment 1, sec. 5.1-5.5, eq. 76-84. On a path in line of sight both
 * horizons are the point that reaches highest into the Fresnel zone. Checked inside the P.1812 examples.
 */
export function findHorizons(
  profile: Profile,
  from_m: number,
  to_m: number,
  radius_km: number,
  wavelength_m: number,
): Horizons {
  const { distance_km, height_m } = profile;
  const n = distance_km.length;
  const d = distance_km[n - 1]!;
  // Tangents of the elevation angles: the largest has the largest angle, so that one arc tangent serves for a whole profile.
  const look = (rise_m: number, away_km: number) => rise_m / (1000 * away_km) - away_km / (2 * radius_km);
  const direct_mrad = 1000 * Math.atan(look(to_m - from_m, d)); // eq. 78
  let highest = Number.NEGATIVE_INFINITY;
  let fromPoint = 1;
  for (let i = 1; i < n - 1; i++) {
    const slope = look(height_m[i]! - from_m, distance_km[i]!);
    if (slope > highest) {
      highest = slope;
      fromPoint = i; // the first of equals
    }
  }
  const from_mrad = 1000 * Math.atan(highest); // eq. 76, 77
  if (from_mrad > direct_mrad) {
    let back = Number.NEGATIVE_INFINITY;
    let toPoint = n - 2;
    for (let i = 1; i < n - 1; i++) {
      const slope = look(height_m[i]! - to_m, d - distance_km[i]!);
      if (slope >= back) {
        back = slope;
        toPoint = i; // the last of equals
      }
    }
    const to_mrad = 1000 * Math.atan(back); // eq. 82
    return {
      lineOfSight: false,
      from_mrad,
      to_mrad,
      from_km: distance_km[fromPoint]!,
      to_km: d - distance_km[toPoint]!,
      fromPoint,
      toPoint,
      path_mrad: (1000 * d) / radius_km + from_mrad + to_mrad, // eq. 84
    };
  }
  const back_mrad = 1000 * Math.atan(look(from_m - to_m, d));
  let nu = Number.NEGATIVE_INFINITY;
  let point = 1;
  for (let i = 1; i < n - 1; i++) {
    const di = distance_km[i]!;
    const above_m = height_m[i]! + (500 / radius_km) * di * (d - di) - (from_m * (d - di) + to_m * di) / d;
    const nuHere = above_m * Math.sqrt((0.002 * d) / (wavelength_m * di * (d - di)));
    if (nuHere >= nu) {
      nu = nuHere;
      point = i; // the last of equals
    }
  }
  return {
    lineOfSight: true,
    from_mrad: direct_mrad, // eq. 79
    to_mrad: back_mrad,
    from_km: distance_km[point]!, // eq. 80
    to_km: d - distance_km[point]!,
    fromPoint: point,
    toPoint: point,
    path_mrad: (1000 * d) / radius_km + direct_mrad + back_mrad,
  };
}

/**
 * Share of time, in percent, in which the lowest 100 m of air bend the waves strongly, β0 (P.1812-8, sec. 4.1, eq. 2-5).
 * `latitude_deg` is that of the path's centre; τ is returned because ducting needs it again.
 */
export function ductingTime(profile: Profile, latitude_deg: number): { beta0_pct: number; tau: number } {
  const land_km = longestRun_km(profile, (zone) => zone !== ZONE.sea);
  const inland_km = longestRun_km(profile, (zone) => zone === ZONE.inland);
  const tau = 1 - Math.exp(-4.12e-4 * inland_km ** 2.41); // eq. 3
  const mu1 = Math.min((10 ** (-land_km / (16 - 6.6 * tau)) + 10 ** (-5 * (0.496 + 0.354 * tau))) ** 0.2, 1); // eq. 2
  const latitude = Math.abs(latitude_deg);
  if (latitude > 70) return { beta0_pct: 4.17 * mu1 * mu1 ** 0.3, tau }; // eq. 4b, 5b
  const mu4 = mu1 ** (-0.935 + 0.0176 * latitude); // eq. 4a
  return { beta0_pct: 10 ** (-0.015 * latitude + 1.67) * mu1 * mu4, tau }; // eq. 5a
}

/** Antenna heights above the smooth surface and the roughness between the horizons, m, for ducting. */
export interface DuctingHeights {
  readonly effectiveFrom_m: number;
  readonly effectiveTo_m: number;
  readonly roughness_m: number;
}

/** P.1812-8, Attachment 1, sec. 5.6.2-5.6.3, eq. 92-95; `fitFrom_m`, `fitTo_m` are the plain fit of `smoothEarth`. */
export function ductingHeights(
  profile: Profile,
  fit: { fitFrom_m: number; fitTo_m: number },
  fromHeight_m: number,
  toHeight_m: number,
  horizons: Horizons,
): DuctingHeights {
  const { distance_km, height_m } = profile;
  const last = distance_km.length - 1;
  const low_m = Math.min(fit.fitFrom_m, height_m[0]!); // eq. 92a
  const far_m = Math.min(fit.fitTo_m, height_m[last]!); // eq. 92b
  const slope = (far_m - low_m) / distance_km[last]!; // eq. 93
  let roughness_m = Number.NEGATIVE_INFINITY;
  for (let i = horizons.fromPoint; i <= horizons.toPoint; i++)
    roughness_m = Math.max(roughness_m, height_m[i]! - (low_m + slope * distance_km[i]!)); // eq. 95
  return {
    effectiveFrom_m: fromHeight_m + height_m[0]! - low_m, // eq. 94a
    effectiveTo_m: toHeight_m + height_m[last]! - far_m, // eq. 94b
    roughness_m,
  };
}

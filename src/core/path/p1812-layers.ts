import type { DuctingHeights, Horizons } from './p1812-geometry.ts';

export interface DuctingInput {
  readonly distance_km: number;
  readonly frequency_GHz: number;
  readonly radius_km: number;
  readonly time_pct: number;
  readonly beta0_pct: number;
  readonly tau: number;
  readonly horizons: Horizons;
  readonly heights: DuctingHeights;
  /** Antennas above sea level. */
  readonly from_m: number;
  readonly to_m: number;
  /** Distance from either antenna to the coast along the path. */
  readonly fromCoast_km: number;
  readonly toCoast_km: number;
  readonly seaShare: number;
}

/**
 * Basic transmission loss by ducting and reflection at layers of air, dB (P.1812-8, sec. 4.5, eq. 46-56).
 * Checked inside the P.1812 examples; the coupling over sea only through the equations.
 */
export function ductingLoss_dB(input: DuctingInput): number {
  const { distance_km: d, frequency_GHz: f, horizons } = input;
  const { from_km, to_km, from_mrad, to_mrad } = horizons;
  const lowBand_dB = f < 0.5 ? 45.375 - 137 * f + 92.5 * f * f : 0; // eq. 47a
  const shield_dB = shielding_dB(from_mrad, from_km, f) + shielding_dB(to_mrad, to_km, f);
  const sea_dB =
    seaCoupling_dB(input.fromCoast_km, from_km, input.from_m, input.seaShare) +
    seaCoupling_dB(input.toCoast_km, to_km, input.to_m, input.seaShare);
  const coupling_dB = 102.45 + 20 * Math.log10(f) + 20 * Math.log10(from_km + to_km) + lowBand_dB + shield_dB + sea_dB; // eq. 47

  const perMrad_dB = 5e-5 * input.radius_km * Math.cbrt(f); // eq. 51
  const angle_mrad = (1000 * d) / input.radius_km + Math.min(from_mrad, 0.1 * from_km) + Math.min(to_mrad, 0.1 * to_km); // eq. 52

  const between_km = Math.min(d - from_km - to_km, 40); // eq. 56a
  const hm = input.heights.roughness_m;
  const mu3 = hm > 10 ? Math.exp(-4.6e-5 * (hm - 10) * (43 + 6 * between_km)) : 1; // eq. 56
  const alpha = Math.max(-0.6 - 3.5e-9 * d ** 3.1 * input.tau, -3.4); // eq. 55a
  const roots = Math.sqrt(input.heights.effectiveFrom_m) + Math.sqrt(input.heights.effectiveTo_m);
  const mu2 = Math.min(((500 * d * d) / (input.radius_km * roots * roots)) ** alpha, 1); // eq. 55
  const beta_pct = input.beta0_pct * mu2 * mu3; // eq. 54
  const logBeta = Math.log10(beta_pct);
  const gamma =
    (1.076 / (2.0058 - logBeta) ** 1.012) *
    Math.exp(-(9.51 - 4.8 * logBeta + 0.198 * logBeta * logBeta) * 1e-6 * d ** 1.13); // eq. 53a
  const ratio = input.time_pct / beta_pct;
  const time_dB = -12 + (1.2 + 3.7e-3 * d) * Math.log10(ratio) + 12 * ratio ** gamma; // eq. 53

  return coupling_dB + perMrad_dB * angle_mrad + time_dB; // eq. 46, 50
}

/** Loss by an obstacle that hides an antenna from the layer (eq. 48). */
function shielding_dB(horizon_mrad: number, horizon_km: number, f: number): number {
  const over_mrad = horizon_mrad - 0.1 * horizon_km; // eq. 48a
  return over_mrad > 0
    ? 20 * Math.log10(1 + 0.361 * over_mrad * Math.sqrt(f * horizon_km)) + 0.264 * over_mrad * Math.cbrt(f) // eq. 48
    : 0;
}

/** Help by a near coast with the sea behind it (eq. 49): negative or zero. */
function seaCoupling_dB(coast_km: number, horizon_km: number, antenna_m: number, seaShare: number): number {
  if (!(seaShare >= 0.75 && coast_km <= horizon_km && coast_km <= 5)) return 0;
  return -3 * Math.exp(-0.25 * coast_km * coast_km) * (1 + Math.tanh(0.07 * (50 - antenna_m))); // eq. 49
}

/**
 * Basic transmission loss by scatter in the troposphere, dB (P.1812-8, sec. 4.4, eq. 44-45). `n0` is the refractivity at
 * sea level at the path's centre, `path_mrad` the angular distance. For 50 % of time or less.
 */
export function scatterLoss_dB(
  distance_km: number,
  frequency_GHz: number,
  path_mrad: number,
  n0: number,
  time_pct: number,
): number {
  const band_dB = 25 * Math.log10(frequency_GHz) - 2.5 * Math.log10(0.5 * frequency_GHz) ** 2; // eq. 45
  return (
    190.1 +
    band_dB +
    20 * Math.log10(distance_km) +
    0.573 * path_mrad -
    0.15 * n0 -
    10.125 * Math.log10(50 / time_pct) ** 0.7 // eq. 44
  );
}

/*
 * Sky brightness coefficients: Perez, Ineichen, Seals, Michalsky & Stewart 1990, Solar Energy 44, 271-289, table 6,
 * all-sites composite. Equation and table numbers from memory.
 */

/** Lower bounds of the clearness bins 2 to 8 (table 1). */
export const PEREZ_BINS: readonly number[] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];

/** f11 f12 f13 f21 f22 f23 of each bin, bin after bin (table 6). */
// biome-ignore format: a table
export const PEREZ_COEFFICIENTS: readonly number[] = [
  -0.008, 0.588, -0.062, -0.06, 0.072, -0.022,
  0.13, 0.683, -0.151, -0.019, 0.066, -0.029,
  0.33, 0.487, -0.221, 0.055, -0.064, -0.026,
  0.568, 0.187, -0.295, 0.109, -0.152, -0.014,
  0.873, -0.392, -0.362, 0.226, -0.462, 0.001,
  1.132, -1.237, -0.412, 0.288, -0.823, 0.056,
  1.06, -1.6, -0.359, 0.264, -1.127, 0.131,
  0.678, -0.327, -0.25, 0.156, -1.377, 0.251,
];

/** Weight of the cubed zenith angle (radians) in the clearness (eq. 1). */
export const PEREZ_KAPPA = 1.041;
/** Least cosine of the zenith angle in the circumsolar ratio: cos 85° (eq. 9). */
export const PEREZ_COS_FLOOR = Math.cos((85 * Math.PI) / 180);

export interface PerezBrightness {
  readonly clearness: number;
  readonly brightness: number;
  /** Circumsolar brightening, not negative. */
  readonly f1: number;
  /** Horizon brightening, may be negative. */
  readonly f2: number;
}

/**
 * Brightening coefficients of the sky. Irradiances in W/m², apparent zenith in radians, relative air mass.
 * `dhi_W_m2` must be above zero. Source as above, eq. 1, 2, 6 and 7.
 */
export function perezBrightness(
  dni_W_m2: number,
  dhi_W_m2: number,
  zenith_rad: number,
  airMass: number,
  extraterrestrialNormal_W_m2: number,
): PerezBrightness {
  const kz3 = PEREZ_KAPPA * zenith_rad ** 3;
  const clearness = ((dhi_W_m2 + dni_W_m2) / dhi_W_m2 + kz3) / (1 + kz3); // eq. 1
  const brightness = (dhi_W_m2 * airMass) / extraterrestrialNormal_W_m2; // eq. 2
  let bin = 0;
  while (bin < 7 && clearness >= PEREZ_BINS[bin]!) bin++;
  const at = bin * 6;
  const f = PEREZ_COEFFICIENTS;
  return {
    clearness,
    brightness,
    f1: Math.max(0, f[at]! + f[at + 1]! * brightness + f[at + 2]! * zenith_rad), // eq. 6
    f2: f[at + 3]! + f[at + 4]! * brightness + f[at + 5]! * zenith_rad, // eq. 7
  };
}

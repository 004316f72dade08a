/**
 * Radius of the first Fresnel zone, m, at a point `from_km` and `to_km` away from the two ends.
 *
 * Source: ITU-R P.526-15, sec. 2.1 (the ellipse of half a wavelength's detour, small against the distances).
 */
export function fresnelRadius_m(from_km: number, to_km: number, wavelength_m: number): number {
  return Math.sqrt((1000 * wavelength_m * from_km * to_km) / (from_km + to_km)); // P.526 eq. 2
}

/**
 * The parameter ν of an edge that stands `above_m` over the straight ray (negative: below it), without unit.
 *
 * Source: ITU-R P.526-15, sec. 4.1, eq. 26. ν = √2 · above / (radius of the first Fresnel zone).
 */
export function knifeEdgeNu(above_m: number, from_km: number, to_km: number, wavelength_m: number): number {
  return above_m * Math.sqrt((0.002 * (from_km + to_km)) / (wavelength_m * from_km * to_km)); // P.526 eq. 26
}

/**
 * Loss over one knife edge, dB, from ν.
 *
 * Source: ITU-R P.526-15, sec. 4.1, eq. 31, for ν > -0.78; zero below. The approximation lies within 0.15 dB of the exact
 * Fresnel integral from -0.7 to 10. Checked against worked values in test/golden/path-knife-edge.csv.
 */
export function knifeEdgeLoss_dB(nu: number): number {
  if (!(nu > -0.78)) return 0;
  const shifted = nu - 0.1;
  return 6.9 + 20 * Math.log10(Math.sqrt(shifted * shifted + 1) + shifted); // P.526 eq. 31
}

/** ν of the edge at which the loss over it is `loss_dB` (> 0): the inverse of `knifeEdgeLoss_dB`. */
export function nuOfKnifeEdgeLoss(loss_dB: number): number {
  // With x = ν - 0.1, sqrt(x² + 1) + x = e^(asinh x).
  return 0.1 + Math.sinh(((loss_dB - 6.9) / 20) * Math.LN10);
}

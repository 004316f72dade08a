/** Speed of light as ITU-R P.1812 rounds it, in the unit that turns GHz into metres of wavelength. */
export const WAVELENGTH_m_GHz = 0.2998;

/** Wavelength, m, with the rounded speed of light of ITU-R P.1812 (2.998e8 m/s; 0.003 % above the exact value). */
export function wavelength_m(frequency_MHz: number): number {
  return (WAVELENGTH_m_GHz * 1000) / frequency_MHz;
}

/**
 * Free-space basic transmission loss between isotropic antennas, dB.
 *
 * Source: ITU-R P.525-4, sec. 2.3, with the rounded constant 32.4 (the exact one, 32.4478, gives 0.05 dB more; the
 * rounded one is what the other Recommendations build on). Valid for distance > 0 in the far field.
 * Checked against worked values in test/golden/path-free-space.csv.
 */
export function freeSpaceLoss_dB(distance_km: number, frequency_MHz: number): number {
  return 32.4 + 20 * Math.log10(frequency_MHz) + 20 * Math.log10(distance_km); // P.525 eq. 4
}

/**
 * Free-space loss over the slanting ray between two heights, dB (ITU-R P.1812 eq. 8).
 *
 * `rise_m` is the difference of the antennas' heights above sea level; its sign does not matter.
 */
export function slantFreeSpaceLoss_dB(distance_km: number, rise_m: number, frequency_MHz: number): number {
  const rise_km = rise_m / 1000;
  return (
    92.4 + 20 * Math.log10(frequency_MHz / 1000) + 10 * Math.log10(distance_km * distance_km + rise_km * rise_km) // eq. 8
  );
}

/**
 * Gain of an upright stick antenna towards an elevation, dBi: the main lobe of a peak `gain_dBi` at the horizon, and a floor.
 *
 * Source: ITU-R F.1336, average side-lobe pattern of an omnidirectional antenna (from memory, not confirmed): the lobe's width at
 * half of its power is 107.6·10^(-0.1·gain) degrees, the loss 12 (elevation/width)² dB, down to 15 dB below the peak (our floor for
 * average side lobes). Real sticks differ; a tilt of the mast moves the lobe as much. Valid for 0-12 dBi. Not validated against measurement.
 */
export function stickGain_dBi(gain_dBi: number, elevation_deg: number): number {
  const width_deg = stickBeamwidth_deg(gain_dBi);
  return gain_dBi - Math.min(12 * (elevation_deg / width_deg) ** 2, 15);
}

/** Width of the main lobe at half of its power, degrees (ITU-R F.1336, from memory). */
export function stickBeamwidth_deg(gain_dBi: number): number {
  return 107.6 * 10 ** (-0.1 * gain_dBi);
}

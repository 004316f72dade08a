import { RAD_PER_DEG } from '../units/index.ts';

/**
 * Relative optical air mass at an apparent zenith angle: 1 overhead, 38 on the horizon.
 * Source: Kasten & Young 1989, Applied Optics 28, 4735-4738, eq. 3. Valid 0..90°, beyond that NaN. Accuracy 0.5 %.
 */
export function kastenYoungAirMass(apparentZenith_deg: number): number {
  if (!(apparentZenith_deg <= 90)) return Number.NaN;
  return 1 / (Math.cos(apparentZenith_deg * RAD_PER_DEG) + 0.50572 * (96.07995 - apparentZenith_deg) ** -1.6364); // eq. 3
}

/** Relative air mass by Kasten 1966 (Arch. Met. Geoph. Biokl. B14, 206-223), the form that Bird's model is built on. */
export function kastenAirMass(zenith_deg: number): number {
  if (!(zenith_deg <= 90)) return Number.NaN;
  return 1 / (Math.cos(zenith_deg * RAD_PER_DEG) + 0.15 * (93.885 - zenith_deg) ** -1.25);
}

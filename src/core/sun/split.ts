import { RAD_PER_DEG } from '../units/index.ts';

/*
 * Diffuse share of global radiation from the clearness index: Erbs, Klein & Duffie 1982, Solar Energy 28, 293-302, as
 * printed in Duffie & Beckman 2013 (eq. 2.10.1, 2.11.1, 2.12.1). Fitted on stations of the United States at 31-42° N;
 * the hourly scatter around the curve is about 0.1 in the share.
 */

/** Hourly diffuse share from the hourly clearness index (eq. 2.10.1). Valid for 0..1 and beyond: the ends are flat or linear. */
export function erbsHourly(clearness: number): number {
  const k = clearness;
  if (k <= 0.22) return 1 - 0.09 * k;
  if (k <= 0.8) return 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)));
  return 0.165;
}

/** Daily diffuse share from the daily clearness index and the sunset hour angle, whose 81.4° parts winter from the rest (eq. 2.11.1). */
export function erbsDaily(clearness: number, sunsetHourAngle_deg: number): number {
  const k = clearness;
  if (sunsetHourAngle_deg <= 81.4) {
    return k < 0.715 ? 1 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879))) : 0.143;
  }
  return k < 0.722 ? 1 + k * (0.2832 + k * (-2.5557 + k * 0.8448)) : 0.175;
}

/**
 * Monthly mean diffuse share from the monthly mean clearness index (eq. 2.12.1). Fitted for 0.3..0.8; outside that the
 * share at the nearer end is given, never more than 1.
 */
export function erbsMonthly(clearness: number, sunsetHourAngle_deg: number): number {
  const k = Math.min(0.8, Math.max(0.3, clearness));
  return sunsetHourAngle_deg <= 81.4
    ? 1.391 + k * (-3.56 + k * (4.189 + k * -2.137))
    : 1.311 + k * (-3.022 + k * (3.427 + k * -1.821));
}

/**
 * Beam normal and diffuse horizontal from global horizontal irradiance, W/m², by the hourly share. The clearness is
 * taken against `extraterrestrialNormal_W_m2` at that zenith angle with its cosine held above that of 87°, so that a low
 * sun does not make a bright beam out of a little light; with the sun at or below the horizon all is diffuse.
 */
export function splitGlobal(
  ghi_W_m2: number,
  zenith_deg: number,
  extraterrestrialNormal_W_m2: number,
): { dni_W_m2: number; dhi_W_m2: number } {
  const cosZenith = Math.cos(zenith_deg * RAD_PER_DEG);
  if (!(ghi_W_m2 > 0)) return { dni_W_m2: 0, dhi_W_m2: 0 };
  if (cosZenith <= 0) return { dni_W_m2: 0, dhi_W_m2: ghi_W_m2 };
  const floor = Math.max(cosZenith, COS_87_deg);
  const share = erbsHourly(ghi_W_m2 / (extraterrestrialNormal_W_m2 * floor));
  return {
    dni_W_m2: (ghi_W_m2 * (1 - share)) / floor,
    dhi_W_m2: ghi_W_m2 - (ghi_W_m2 * (1 - share) * cosZenith) / floor,
  };
}

const COS_87_deg = Math.cos(87 * RAD_PER_DEG);

import { RAD_PER_DEG } from '../units/index.ts';
import { type GeocentricSun, geocentricSun } from './ephemeris.ts';

export interface SunTimes {
  /** Julian days (UT). Rise and set are null where the sun stays up or down all day. */
  readonly rise_JD: number | null;
  readonly transit_JD: number;
  readonly set_JD: number | null;
  /** Told when rise and set are null. */
  readonly allDay: 'up' | 'down' | null;
}

/** Sun's centre 50' below the horizontal: 34' of refraction and 16' of half width (Reda & Andreas 2004, A.2). */
export const STANDARD_RISE_deg = -0.8333;

const turnHalf = (angle_rad: number) => angle_rad - 2 * Math.PI * Math.round(angle_rad / (2 * Math.PI));
const RAD_PER_DAY = 2 * Math.PI;

/**
 * Sunrise, transit and sunset around the first transit at or after `from_JD` (UT): give 0 h UT for the UTC day, or local
 * midnight for the local day. The rise lies before that transit and the set after it.
 *
 * Source: conditions of Reda & Andreas 2004 appendix A.2, solved by iterating on the time. Level horizon, no dip.
 * Accuracy 2 s against the full algorithm on 12 dates; grazing sun near polar day and night is sharp to minutes only.
 */
export function sunTimes(
  from_JD: number,
  latitude_deg: number,
  longitude_deg: number,
  horizon_deg = STANDARD_RISE_deg,
): SunTimes {
  if (!(Math.abs(latitude_deg) <= 90)) throw new RangeError(`latitude_deg ${latitude_deg} is not in -90..90`);
  const lambda = longitude_deg * RAD_PER_DEG;
  const hourAngleAt = (sun: GeocentricSun) => sun.siderealTime_rad + lambda - sun.rightAscension_rad;

  const start = turnHalf(hourAngleAt(geocentricSun(from_JD)));
  let transit = from_JD + (start <= 0 ? -start : 2 * Math.PI - start) / RAD_PER_DAY;
  for (let k = 0; k < 4; k++) transit -= turnHalf(hourAngleAt(geocentricSun(transit))) / RAD_PER_DAY;

  const sinPhi = Math.sin(latitude_deg * RAD_PER_DEG);
  const cosPhi = Math.cos(latitude_deg * RAD_PER_DEG);
  const sinH0 = Math.sin(horizon_deg * RAD_PER_DEG);
  const cosHourAngle = (sun: GeocentricSun) =>
    (sinH0 - sinPhi * Math.sin(sun.declination_rad)) / (cosPhi * Math.cos(sun.declination_rad)); // eq. A4
  const atTransit = cosHourAngle(geocentricSun(transit));

  const crossing = (side: -1 | 1): number | null => {
    let time = transit + (side * Math.acos(Math.min(1, Math.max(-1, atTransit)))) / RAD_PER_DAY;
    let left = Number.POSITIVE_INFINITY;
    for (let k = 0; k < 20 && Math.abs(left) > 1e-7; k++) {
      const sun = geocentricSun(time);
      const cosine = cosHourAngle(sun);
      if (!(Math.abs(cosine) <= 1)) return null;
      left = turnHalf(side * Math.acos(cosine) - hourAngleAt(sun)) / RAD_PER_DAY;
      time += left;
    }
    return Math.abs(left) < 1e-4 && Math.abs(time - transit) < 0.51 ? time : null;
  };
  const rise_JD = crossing(-1);
  const set_JD = crossing(1);
  // The sign tells a sun that never comes up from one that never goes down, grazing days included.
  const allDay = rise_JD !== null || set_JD !== null ? null : atTransit > 0 ? 'down' : 'up';
  return { rise_JD, transit_JD: transit, set_JD, allDay };
}

import { RAD_PER_DEG, SOLAR_CONSTANT_W_m2 } from '../units/index.ts';

/*
 * The geometry and daily sums of Duffie & Beckman, Solar Engineering of Thermal Processes, 4th ed. 2013 (equation numbers
 * of that edition), in its own conventions: day of year from 1, hour angle negative in the morning, and here as
 * everywhere azimuth clockwise from north. Good to a degree: the position kernels are for anything finer.
 * All are checked against the worked examples of the book (tests of textbook).
 */

const sinD = (angle_deg: number) => Math.sin(angle_deg * RAD_PER_DEG);
const cosD = (angle_deg: number) => Math.cos(angle_deg * RAD_PER_DEG);
const clampUnit = (x: number) => Math.max(-1, Math.min(1, x));

/** Declination by the day of year 1..365, degrees (Cooper 1969, eq. 1.6.1a). Within 1° of the true one, worst in October. */
export function cooperDeclination_deg(dayOfYear: number): number {
  return 23.45 * sinD((360 * (284 + dayOfYear)) / 365); // eq. 1.6.1a
}

/** Apparent less mean solar time by the day of year, minutes (Spencer 1971, eq. 1.5.3). Within 0.9 min. */
export function spencerEquationOfTime_min(dayOfYear: number): number {
  const b = ((dayOfYear - 1) * 360) / 365; // eq. 1.4.2
  return (
    229.2 * (0.000075 + 0.001868 * cosD(b) - 0.032077 * sinD(b) - 0.014615 * cosD(2 * b) - 0.04089 * sinD(2 * b)) // 1.5.3
  );
}

/** Apparent solar time from clock time, hours: the longitude is east positive, the zone's meridian is 15° an hour (eq. 1.5.2). */
export function solarTime_h(
  standardTime_h: number,
  dayOfYear: number,
  longitude_deg: number,
  utcOffset_h: number,
): number {
  return standardTime_h + (4 * (longitude_deg - 15 * utcOffset_h) + spencerEquationOfTime_min(dayOfYear)) / 60; // 1.5.2
}

/** Square of the mean over the day's distance to the sun, 0.967..1.035 (Spencer 1971, eq. 1.4.1b), within 0.1 %. */
export function distanceFactor(dayOfYear: number): number {
  const b = ((dayOfYear - 1) * 360) / 365;
  return 1.00011 + 0.034221 * cosD(b) + 0.00128 * sinD(b) + 0.000719 * cosD(2 * b) + 0.000077 * sinD(2 * b); // 1.4.1b
}

/** The same by the short form (eq. 1.4.1a), which the book's daily sums use; within 0.3 %. */
export function shortDistanceFactor(dayOfYear: number): number {
  return 1 + 0.033 * cosD((360 * dayOfYear) / 365); // eq. 1.4.1a
}

/** Hour angle of sunset, degrees: 0 in polar night, 180 in polar day (eq. 1.6.10). */
export function sunsetHourAngle_deg(latitude_deg: number, declination_deg: number): number {
  const cosine = -Math.tan(latitude_deg * RAD_PER_DEG) * Math.tan(declination_deg * RAD_PER_DEG); // eq. 1.6.10
  return Math.acos(clampUnit(cosine)) / RAD_PER_DEG;
}

/** Cosine of the zenith angle (eq. 1.6.5). */
export function cosZenith(latitude_deg: number, declination_deg: number, hourAngle_deg: number): number {
  return (
    cosD(latitude_deg) * cosD(declination_deg) * cosD(hourAngle_deg) + sinD(latitude_deg) * sinD(declination_deg) // 1.6.5
  );
}

/** Azimuth of the sun clockwise from north, 0..360 (eq. 1.6.6 from its components, so that every quadrant is right). */
export function solarAzimuth_deg(latitude_deg: number, declination_deg: number, hourAngle_deg: number): number {
  const west = cosD(declination_deg) * sinD(hourAngle_deg);
  const north =
    sinD(declination_deg) * cosD(latitude_deg) - cosD(declination_deg) * sinD(latitude_deg) * cosD(hourAngle_deg);
  const azimuth = Math.atan2(-west, north) / RAD_PER_DEG;
  return azimuth < 0 ? azimuth + 360 : azimuth;
}

/** Cosine of the angle between the sun and a plane's normal, from zenith and azimuths (eq. 1.6.3); negative behind the plane. */
export function cosIncidence(
  zenith_deg: number,
  solarAzimuth_deg_: number,
  tilt_deg: number,
  surfaceAzimuth_deg: number,
): number {
  return (
    cosD(zenith_deg) * cosD(tilt_deg) + sinD(zenith_deg) * sinD(tilt_deg) * cosD(solarAzimuth_deg_ - surfaceAzimuth_deg) // eq. 1.6.3
  );
}

/** Ratio of beam on the plane to beam on the horizontal, never negative (eq. 1.8.1). Infinite when the sun is level. */
export function beamRatio(cosIncidenceAngle: number, cosZenithAngle: number): number {
  return Math.max(0, cosIncidenceAngle) / cosZenithAngle; // eq. 1.8.1
}

/** Profile angle of the sun on a vertical surface, degrees (eq. 1.6.12); only for a sun in front of the surface. */
export function profileAngle_deg(elevation_deg: number, solarAzimuth_deg_: number, surfaceAzimuth_deg: number): number {
  return Math.atan(Math.tan(elevation_deg * RAD_PER_DEG) / cosD(solarAzimuth_deg_ - surfaceAzimuth_deg)) / RAD_PER_DEG; // 1.6.12
}

/** Radiation on a horizontal plane outside the air over a day, Wh/m² (eq. 1.10.3). Day of year from 1. */
export function extraterrestrialDay_Wh_m2(latitude_deg: number, dayOfYear: number): number {
  const declination = cooperDeclination_deg(dayOfYear);
  const ws = sunsetHourAngle_deg(latitude_deg, declination);
  return (
    ((24 * SOLAR_CONSTANT_W_m2) / Math.PI) *
    shortDistanceFactor(dayOfYear) *
    (cosD(latitude_deg) * cosD(declination) * sinD(ws) + ws * RAD_PER_DEG * sinD(latitude_deg) * sinD(declination)) // 1.10.3
  );
}

/** Mean of the daily sums over days `first` to `last` of the year (from 1, both counted), Wh/m² a day: a month's H0. */
export function extraterrestrialMean_Wh_m2(latitude_deg: number, first: number, last: number): number {
  let sum = 0;
  for (let n = first; n <= last; n++) sum += extraterrestrialDay_Wh_m2(latitude_deg, n);
  return sum / (last - first + 1);
}

/**
 * Radiation on a horizontal plane outside the air between two hour angles, Wh/m² (eq. 1.10.4). The caller keeps both
 * between sunrise and sunset.
 */
export function extraterrestrialBetween_Wh_m2(
  latitude_deg: number,
  dayOfYear: number,
  from_deg: number,
  to_deg: number,
): number {
  const declination = cooperDeclination_deg(dayOfYear);
  return (
    ((12 * SOLAR_CONSTANT_W_m2) / Math.PI) *
    shortDistanceFactor(dayOfYear) *
    (cosD(latitude_deg) * cosD(declination) * (sinD(to_deg) - sinD(from_deg)) +
      (to_deg - from_deg) * RAD_PER_DEG * sinD(latitude_deg) * sinD(declination)) // eq. 1.10.4
  );
}

/**
 * Share of a day's global radiation in the hour around an hour angle (Collares-Pereira & Rabl 1979, eq. 2.13.2); zero by
 * night. Both angles in degrees; the sunset angle is not 0 or 180.
 */
export function hourlyGlobalShare(sunsetHourAngle_deg_: number, hourAngle_deg: number): number {
  const a = 0.409 + 0.5016 * sinD(sunsetHourAngle_deg_ - 60); // eq. 2.13.2b
  const b = 0.6609 - 0.4767 * sinD(sunsetHourAngle_deg_ - 60); // eq. 2.13.2c
  return (a + b * cosD(hourAngle_deg)) * hourlyDiffuseShare(sunsetHourAngle_deg_, hourAngle_deg); // eq. 2.13.2a
}

/** Share of a day's diffuse radiation in the hour around an hour angle (Liu & Jordan 1960, eq. 2.13.4); zero by night. */
export function hourlyDiffuseShare(sunsetHourAngle_deg_: number, hourAngle_deg: number): number {
  const cosSet = cosD(sunsetHourAngle_deg_);
  const above = cosD(hourAngle_deg) - cosSet;
  if (above <= 0) return 0;
  const area = sinD(sunsetHourAngle_deg_) - sunsetHourAngle_deg_ * RAD_PER_DEG * cosSet;
  return ((Math.PI / 24) * above) / area; // eq. 2.13.4
}

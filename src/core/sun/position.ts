import { DEG_PER_RAD, RAD_PER_DEG } from '../units/index.ts';
import { geocentricSun, MINUTES_PER_RAD, SIN_PARALLAX_1AU } from './ephemeris.ts';

export interface SunPosition {
  /** Height of the sun's centre above the horizontal, seen from the ground without refraction. */
  readonly elevation_deg: number;
  /** Clockwise from true north, 0..360. */
  readonly azimuth_deg: number;
  /** Geocentric apparent declination. */
  readonly declination_deg: number;
  /** Geocentric apparent right ascension, 0..360. */
  readonly rightAscension_deg: number;
  /** Apparent less mean solar time. */
  readonly equationOfTime_min: number;
  readonly distance_au: number;
}

/** Julian day (universal time) of milliseconds since 1970-01-01T00:00Z. */
export function julianDayOfUnix_ms(unix_ms: number): number {
  return unix_ms / 86_400_000 + 2440587.5;
}

/** Milliseconds since 1970-01-01T00:00Z of a Julian day (universal time). */
export function unix_msOfJulianDay(julianDay_UT: number): number {
  return (julianDay_UT - 2440587.5) * 86_400_000;
}

/**
 * Place of the sun in the sky of a point on the Earth, with parallax, without refraction.
 *
 * Source: Reda & Andreas 2004 (NREL/TP-560-34302), with shortened series.
 * Valid 1950 to 2100, any latitude and longitude (east positive, north positive); UTC may be given for UT: they differ
 * by less than 0.9 s, 0.004°. At the pole azimuth counts from the meridian of the longitude given.
 * Accuracy: against the report's example 0.0001°; against 24 points computed with the full series 0.0003° in elevation.
 * Throws RangeError on a latitude beyond ±90 or a number that is not finite.
 */
export function sunPosition(
  julianDay_UT: number,
  latitude_deg: number,
  longitude_deg: number,
  elevation_m = 0,
): SunPosition {
  if (!(Math.abs(latitude_deg) <= 90)) throw new RangeError(`latitude_deg ${latitude_deg} is not in -90..90`);
  if (!Number.isFinite(julianDay_UT + longitude_deg + elevation_m)) {
    throw new RangeError('julianDay_UT, longitude_deg and elevation_m must be finite');
  }
  const sun = geocentricSun(julianDay_UT);
  const phi = latitude_deg * RAD_PER_DEG;
  const hourAngle = sun.siderealTime_rad + longitude_deg * RAD_PER_DEG - sun.rightAscension_rad; // eq. 32
  // Observer on the ellipsoid of flattening 1 - 0.99664719, in Earth radii (eq. 34-36).
  const u = Math.atan(0.99664719 * Math.tan(phi));
  const h = elevation_m / 6378140;
  const x = Math.cos(u) + h * Math.cos(phi);
  const y = 0.99664719 * Math.sin(u) + h * Math.sin(phi);
  const sinPi = SIN_PARALLAX_1AU / sun.distance_au; // eq. 33
  const cosDec = Math.cos(sun.declination_rad);
  const sinDec = Math.sin(sun.declination_rad);
  // The vector from the observer to the sun, in units of the sun's distance: towards the meridian, west and the pole.
  const meridian = cosDec * Math.cos(hourAngle) - x * sinPi; // eq. 37 as a vector
  const west = cosDec * Math.sin(hourAngle);
  const pole = sinDec - y * sinPi; // eq. 39 as a vector
  const sinPhi = Math.sin(phi);
  const cosPhi = Math.cos(phi);
  const north = pole * cosPhi - meridian * sinPhi;
  const up = pole * sinPhi + meridian * cosPhi; // eq. 41
  const azimuth_deg = Math.atan2(-west, north) * DEG_PER_RAD; // eq. 45, turned to north
  return {
    elevation_deg: Math.atan2(up, Math.hypot(north, west)) * DEG_PER_RAD,
    azimuth_deg: azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg,
    declination_deg: sun.declination_rad * DEG_PER_RAD,
    rightAscension_deg: sun.rightAscension_rad * DEG_PER_RAD,
    equationOfTime_min: sun.equationOfTime_rad * MINUTES_PER_RAD,
    distance_au: sun.distance_au,
  };
}

/**
 * How much the air lifts the sun, degrees, at a true elevation; zero below -1°, where the formula is not meant to be used.
 *
 * Source: Saemundsson 1986, Sky & Telescope 72, 70, with the scaling by pressure and temperature of Meeus 1998, as
 * eq. 42 of Reda & Andreas 2004. Valid -1..90°, accuracy 0.01° above 5°; near the horizon the real air varies by 0.1°.
 */
export function refraction_deg(trueElevation_deg: number, pressure_hPa = 1010, temperature_degC = 10): number {
  if (trueElevation_deg < -1) return 0;
  const angle = (trueElevation_deg + 10.3 / (trueElevation_deg + 5.11)) * RAD_PER_DEG;
  return ((pressure_hPa / 1010) * (283 / (273 + temperature_degC)) * 1.02) / (60 * Math.tan(angle)); // eq. 42
}

/** Pressure of the standard atmosphere at an elevation, hPa (ISO 2533:1975 troposphere). */
export function standardPressure_hPa(elevation_m: number): number {
  return 1013.25 * (1 - 2.25577e-5 * elevation_m) ** 5.25588;
}

import { DEG_PER_RAD, RAD_PER_DEG } from '../units/index.ts';
import { DISTANCE_TERMS, LATITUDE_TERMS, LONGITUDE_TERMS, NUTATION_TERMS } from './ephemeris-terms.ts';

/** Julian day of the epoch J2000.0. */
const J2000 = 2451545;
const ARCSEC = RAD_PER_DEG / 3600;

/** Where the sun stands seen from the centre of the Earth, and how far the Earth has turned. All angles in radians. */
export interface GeocentricSun {
  /** Apparent right ascension, 0..2π. */
  rightAscension_rad: number;
  declination_rad: number;
  /** Apparent sidereal time at Greenwich, 0..2π. */
  siderealTime_rad: number;
  /** Mean longitude of the sun less right ascension and corrections, -π..π: apparent minus mean solar time. */
  equationOfTime_rad: number;
  distance_au: number;
  /** Heliocentric longitude and latitude of the Earth, nutation and obliquity: the steps of the worked example. */
  heliocentricLongitude_rad: number;
  heliocentricLatitude_rad: number;
  nutationLongitude_rad: number;
  nutationObliquity_rad: number;
  obliquity_rad: number;
  apparentLongitude_rad: number;
}

const turn = (angle_rad: number) => angle_rad - 2 * Math.PI * Math.floor(angle_rad / (2 * Math.PI));

function sumOfSeries(series: readonly (readonly number[])[], millennia: number): number {
  let total = 0;
  let power = 1;
  for (const terms of series) {
    let sum = 0;
    for (let k = 0; k < terms.length; k += 3) {
      sum += terms[k]! * Math.cos(terms[k + 1]! + terms[k + 2]! * millennia);
    }
    total += sum * power;
    power *= millennia;
  }
  return total * 1e-8;
}

/**
 * Difference between the uniform time of the ephemeris and the Earth's rotation, s, by decade from 1950 to 2100: observed
 * up to 2020 (Astronomical Almanac, from memory), held to the slow rise of the last decades after that. The sun moves
 * 0.000011° in a second: an error of 60 s here moves it by less than 0.001°.
 */
const DELTA_T_s: readonly number[] = [29, 33, 40, 51, 57, 64, 66, 69, 70, 73, 77, 83, 89, 95, 102, 109];

/** Terrestrial time less universal time, s; the ends are held outside 1950..2100. */
export function deltaT_s(julianDay_UT: number): number {
  const decades = Math.min(14.999999, Math.max(0, (julianDay_UT - 2433282.5) / 3652.5));
  const k = Math.floor(decades);
  return DELTA_T_s[k]! + (decades - k) * (DELTA_T_s[k + 1]! - DELTA_T_s[k]!);
}

/**
 * Apparent place of the sun from the Earth's centre at a Julian day of universal time.
 *
 * Source: steps 3.2 to 3.9 and appendix A.1 of Reda & Andreas 2004 (NREL/TP-560-34302, rev. 2008) with shortened
 * series (ephemeris-terms.ts). Valid 1950 to 2100. Accuracy 0.0003° (tests of position).
 */
export function geocentricSun(julianDay_UT: number): GeocentricSun {
  const days_UT = julianDay_UT - J2000;
  const centuries_UT = days_UT / 36525;
  const centuries = (days_UT + deltaT_s(julianDay_UT) / 86400) / 36525;
  const millennia = centuries / 10;

  const longitude = sumOfSeries(LONGITUDE_TERMS, millennia); // eq. 9-12
  const latitude = sumOfSeries(LATITUDE_TERMS, millennia);
  const distance_au = sumOfSeries(DISTANCE_TERMS, millennia);

  // Mean elongation of the moon, anomalies of sun and moon, moon's argument of latitude and node, degrees (eq. 15-19).
  const t = centuries;
  const D = 297.85036 + t * (445267.11148 + t * (-0.0019142 + t / 189474));
  const M = 357.52772 + t * (35999.05034 + t * (-0.0001603 - t / 300000));
  const Mm = 134.96298 + t * (477198.867398 + t * (0.0086972 + t / 56250));
  const F = 93.27191 + t * (483202.017538 + t * (-0.0036825 + t / 327270));
  const node = 125.04452 + t * (-1934.136261 + t * (0.0020708 + t / 450000));
  let dpsi = 0;
  let deps = 0;
  for (const row of NUTATION_TERMS) {
    const argument = (row[0]! * D + row[1]! * M + row[2]! * Mm + row[3]! * F + row[4]! * node) * RAD_PER_DEG;
    dpsi += (row[5]! + row[6]! * t) * Math.sin(argument); // eq. 20
    deps += (row[7]! + row[8]! * t) * Math.cos(argument); // eq. 21
  }
  dpsi *= 1e-4 * ARCSEC;
  deps *= 1e-4 * ARCSEC;

  // Mean obliquity: the first terms of Laskar's polynomial (eq. 24), enough for a century from J2000.
  const obliquity = (84381.448 + t * (-46.8093 + t * (-0.000155 + t * 0.00199925))) * ARCSEC + deps; // eq. 25
  const aberration = (-20.4898 / distance_au) * ARCSEC; // eq. 26
  const lambda = longitude + Math.PI + dpsi + aberration; // eq. 13, 27
  const beta = -latitude; // eq. 14

  const meanSidereal_deg =
    280.46061837 + 360.98564736629 * days_UT + centuries_UT * centuries_UT * (0.000387933 - centuries_UT / 38710000); // eq. 28
  const siderealTime_rad = turn(meanSidereal_deg * RAD_PER_DEG + dpsi * Math.cos(obliquity)); // eq. 29

  const sinEps = Math.sin(obliquity);
  const cosEps = Math.cos(obliquity);
  const sinLambda = Math.sin(lambda);
  const rightAscension_rad = turn(Math.atan2(sinLambda * cosEps - Math.tan(beta) * sinEps, Math.cos(lambda))); // eq. 30
  const declination_rad = Math.asin(Math.sin(beta) * cosEps + Math.cos(beta) * sinEps * sinLambda); // eq. 31

  const meanLongitude_deg = 280.4664567 + millennia * (360007.6982779 + millennia * (0.03032028 + millennia / 49931)); // eq. A2
  const equation = turn((meanLongitude_deg - 0.0057183) * RAD_PER_DEG - rightAscension_rad + dpsi * cosEps + Math.PI); // eq. A1
  return {
    rightAscension_rad,
    declination_rad,
    siderealTime_rad,
    equationOfTime_rad: equation - Math.PI,
    distance_au,
    heliocentricLongitude_rad: turn(longitude),
    heliocentricLatitude_rad: latitude,
    nutationLongitude_rad: dpsi,
    nutationObliquity_rad: deps,
    obliquity_rad: obliquity,
    apparentLongitude_rad: turn(lambda),
  };
}

/** Minutes of time to a radian of hour angle. */
export const MINUTES_PER_RAD = DEG_PER_RAD * 4;
/** Sine of the sun's equatorial horizontal parallax at 1 au (8.794", Reda & Andreas 2004 eq. 33). */
export const SIN_PARALLAX_1AU = Math.sin(8.794 * ARCSEC);

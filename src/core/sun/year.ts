import { DAYS_PER_YEAR, DEG_PER_RAD, HOURS_PER_YEAR, RAD_PER_DEG, SOLAR_CONSTANT_W_m2 } from '../units/index.ts';
import { ARC_d, ARC_SIZE, createSunArcs } from './arcs.ts';
import { SIN_PARALLAX_1AU } from './ephemeris.ts';
import { refraction_deg, standardPressure_hPa } from './position.ts';
import { distanceFactor } from './textbook.ts';

export interface SunYearPlace {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  /** Local standard time less universal time. */
  readonly utcOffset_h: number;
}

/**
 * The sun over the 8760 hours of the reference year 2001 at one place. Hour i begins at i % 24 o'clock local standard
 * time; directions are those of its middle.
 */
export interface SunYear {
  readonly place: SunYearPlace;
  /** Unit vector to the refracted sun; `up` is the sine of the apparent elevation. Refraction only above -1° true. */
  readonly east: Float64Array;
  readonly north: Float64Array;
  readonly up: Float64Array;
  /** True (airless) elevation and azimuth at mid-hour. */
  readonly elevation_deg: Float32Array;
  readonly azimuth_deg: Float32Array;
  /** By day of the year. */
  readonly extraterrestrialNormal_W_m2: Float64Array;
  /** Over the hour, on the horizontal outside the air. */
  readonly extraterrestrialHorizontal_Wh_m2: Float32Array;
  /** Sum of the above over each day of local standard time. */
  readonly h0_Wh_m2: Float64Array;
  /** Share of the hour with the sun's centre above the true horizontal. */
  readonly sunlitFraction: Float32Array;
}

/** 2001-01-01T00:00 UT. */
const YEAR_START_JD = 2451910.5;
const HALF_HOUR_rad = Math.PI / 24;

/**
 * Sun tables of a place for a year, the ground on which weather and the tilted plane stand.
 *
 * Directions as `sunSeries` (0.0003° of the full algorithm in 2001; the same day and hour of another year differs by up
 * to 0.4° in declination). Refraction for the standard pressure at that elevation and 10 °C. Normal irradiance outside the
 * air: 1367 W/m² by the distance series of Spencer 1971 (Duffie & Beckman eq. 1.4.1b). The hour's horizontal sum is the
 * closed integral of sin(elevation) between the hour's ends, cut at sunrise and sunset (eq. 1.10.4), with the
 * declination of its middle: no refraction, no parallax. Agrees with sums over 15 s to 0.2 Wh/m² an hour. Throws RangeError on a latitude beyond ±90 or an offset beyond ±14.
 */
export function sunYear(place: SunYearPlace): SunYear {
  const { latitude_deg, longitude_deg, elevation_m, utcOffset_h } = place;
  if (!(Math.abs(latitude_deg) <= 90)) throw new RangeError(`latitude_deg ${latitude_deg} is not in -90..90`);
  if (!(Math.abs(utcOffset_h) <= 14)) throw new RangeError(`utcOffset_h ${utcOffset_h} is not in -14..14`);
  if (!Number.isFinite(longitude_deg + elevation_m))
    throw new RangeError('longitude_deg and elevation_m must be finite');
  const year = {
    place: { latitude_deg, longitude_deg, elevation_m, utcOffset_h },
    east: new Float64Array(HOURS_PER_YEAR),
    north: new Float64Array(HOURS_PER_YEAR),
    up: new Float64Array(HOURS_PER_YEAR),
    elevation_deg: new Float32Array(HOURS_PER_YEAR),
    azimuth_deg: new Float32Array(HOURS_PER_YEAR),
    extraterrestrialNormal_W_m2: new Float64Array(DAYS_PER_YEAR),
    extraterrestrialHorizontal_Wh_m2: new Float32Array(HOURS_PER_YEAR),
    h0_Wh_m2: new Float64Array(DAYS_PER_YEAR),
    sunlitFraction: new Float32Array(HOURS_PER_YEAR),
  };
  for (let day = 0; day < DAYS_PER_YEAR; day++) {
    year.extraterrestrialNormal_W_m2[day] = SOLAR_CONSTANT_W_m2 * distanceFactor(day + 1);
  }
  const sinPhi = Math.sin(latitude_deg * RAD_PER_DEG);
  const cosPhi = Math.cos(latitude_deg * RAD_PER_DEG);
  const lambda = longitude_deg * RAD_PER_DEG;
  const sinPi = SIN_PARALLAX_1AU * (1 + elevation_m / 6378140);
  const pressure_hPa = standardPressure_hPa(elevation_m);
  const arcs = createSunArcs(YEAR_START_JD - utcOffset_h / 24);
  const c = new Float64Array(ARC_SIZE);
  const hoursOfArc = ARC_d * 24;
  for (let i = 0; i < HOURS_PER_YEAR; i++) {
    if (i % hoursOfArc === 0) arcs.load(i / hoursOfArc, c);
    const t = ((i % hoursOfArc) + 0.5) / hoursOfArc;
    const angle = lambda + ((i % 24) + 0.5) * (Math.PI / 12) + c[0]! + t * (c[1]! + t * (c[2]! + t * c[3]!));
    const sinDec = c[4]! + t * (c[5]! + t * (c[6]! + t * c[7]!));
    const cosDec = c[8]! + t * (c[9]! + t * (c[10]! + t * c[11]!));
    const a = sinPhi * sinDec;
    const b = cosPhi * cosDec;

    const meridian = cosDec * Math.cos(angle);
    const west = cosDec * Math.sin(angle);
    const north = sinDec * cosPhi - meridian * sinPhi;
    const up = sinDec * sinPhi + meridian * cosPhi - sinPi;
    const flat = Math.hypot(west, north);
    const elevation_deg = Math.atan2(up, flat) * DEG_PER_RAD;
    const azimuth_deg = Math.atan2(-west, north) * DEG_PER_RAD;
    const apparent = (elevation_deg + refraction_deg(elevation_deg, pressure_hPa)) * RAD_PER_DEG;
    const level = flat > 0 ? Math.cos(apparent) / flat : 0;
    year.east[i] = -west * level;
    year.north[i] = north * level;
    year.up[i] = Math.sin(apparent);
    year.elevation_deg[i] = elevation_deg;
    year.azimuth_deg[i] = azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg;

    const day = Math.floor(i / 24);
    const lit = litPart(angle, a, b);
    const energy_Wh_m2 = year.extraterrestrialNormal_W_m2[day]! * lit.integral_h;
    year.extraterrestrialHorizontal_Wh_m2[i] = energy_Wh_m2;
    year.sunlitFraction[i] = lit.lit_h;
    year.h0_Wh_m2[day]! += energy_Wh_m2;
  }
  return year;
}

/**
 * Hours of sun and the integral of a + b cos H over them, within half an hour either side of an hour angle: the sun is up
 * for |H| below the sunset angle, and an hour may reach across midnight in a polar summer.
 */
function litPart(angle_rad: number, a: number, b: number): { lit_h: number; integral_h: number } {
  const middle = angle_rad - 2 * Math.PI * Math.round(angle_rad / (2 * Math.PI));
  const sunset = b > 1e-12 ? Math.acos(Math.max(-1, Math.min(1, -a / b))) : a > 0 ? Math.PI : 0;
  let lit_rad = 0;
  let integral = 0;
  for (let turn = -1; turn <= 1; turn++) {
    const from = Math.max(middle - HALF_HOUR_rad, turn * 2 * Math.PI - sunset);
    const to = Math.min(middle + HALF_HOUR_rad, turn * 2 * Math.PI + sunset);
    if (to <= from) continue;
    lit_rad += to - from;
    integral += a * (to - from) + b * (Math.sin(to) - Math.sin(from));
  }
  return { lit_h: Math.min(1, (lit_rad * 12) / Math.PI), integral_h: Math.max(0, (integral * 12) / Math.PI) };
}

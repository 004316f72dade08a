import type { Assumption } from '../core/energy/index.ts';
import {
  distanceFactor,
  julianDayOfUnix_ms,
  refraction_deg,
  standardPressure_hPa,
  sunPosition,
  sunTimes,
  unix_msOfJulianDay,
} from '../core/sun/index.ts';
import { SOLAR_CONSTANT_W_m2, userError } from '../core/units/index.ts';
import { formatInstant, type Instant, parseInstant } from './instant.ts';
import { checkOptions } from './option-limits.ts';

export interface SunRequest {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m?: number | undefined;
  /** ISO 8601 with offset. */
  readonly at: string;
}

/** Result of `sunperch sun`. Times are ISO 8601 by the clock of the moment asked for. */
export interface SunOutcome {
  readonly command: 'sun';
  readonly at: string;
  readonly place: { readonly latitude_deg: number; readonly longitude_deg: number; readonly elevation_m: number };
  /** Sun's centre above the horizontal, seen from the ground, without refraction. */
  readonly elevation_deg: number;
  /** Clockwise from true north. */
  readonly azimuth_deg: number;
  /** With the refraction of the standard atmosphere at that height and 10 °C; none below -1°. */
  readonly refractedElevation_deg: number;
  readonly declination_deg: number;
  readonly rightAscension_deg: number;
  readonly equationOfTime_min: number;
  readonly distance_au: number;
  /** Of that day, on a plane that faces the sun outside the air. */
  readonly extraterrestrialNormal_W_m2: number;
  /** Around the first transit after the midnight of that clock; null where the sun stays up or down. */
  readonly sunrise: string | null;
  readonly transit: string;
  readonly sunset: string | null;
  readonly allDay: 'up' | 'down' | null;
  readonly dayLength_h: number;
  readonly assumptions: readonly Assumption[];
}

/** Years in which the position is within its stated accuracy (core/sun). */
const YEARS = { first: 1950, last: 2100 } as const;
const DAY_ms = 86_400_000;

/**
 * `sunperch sun`: where the sun stands at one moment, and when it rises and sets that day.
 *
 * Accuracy 0.01° (core/sun: 0.0003° against the full series), rise and set 2 s over a level horizon.
 * Throws UserError for a place or a year outside, or a time that is not understood.
 */
export function sun(request: SunRequest): SunOutcome {
  const { latitude_deg, longitude_deg, elevation_m = 0 } = request;
  checkOptions({ latitude_deg, longitude_deg, elevation_m });
  const at = parseInstant(request.at);
  const year = Number(formatInstant({ ...at, utcOffset_min: 0 }).slice(0, 4));
  if (!(year >= YEARS.first && year <= YEARS.last))
    throw userError(
      'time-year',
      `--at is in ${year}: the sun is computed for the years ${YEARS.first} to ${YEARS.last}`,
      { field: '--at' },
    );
  const position = sunPosition(julianDayOfUnix_ms(at.unix_ms), latitude_deg, longitude_deg, elevation_m);
  const lift_deg = refraction_deg(position.elevation_deg, standardPressure_hPa(elevation_m));
  const local_ms = at.unix_ms + at.utcOffset_min * 60_000;
  const midnight_ms = Math.floor(local_ms / DAY_ms) * DAY_ms - at.utcOffset_min * 60_000;
  const times = sunTimes(julianDayOfUnix_ms(midnight_ms), latitude_deg, longitude_deg);
  const told = (julianDay: number) =>
    formatInstant({ unix_ms: unix_msOfJulianDay(julianDay), utcOffset_min: at.utcOffset_min });
  return {
    command: 'sun',
    at: formatInstant(at),
    place: { latitude_deg, longitude_deg, elevation_m },
    elevation_deg: position.elevation_deg,
    azimuth_deg: position.azimuth_deg,
    refractedElevation_deg: position.elevation_deg + lift_deg,
    declination_deg: position.declination_deg,
    rightAscension_deg: position.rightAscension_deg,
    equationOfTime_min: position.equationOfTime_min,
    distance_au: position.distance_au,
    extraterrestrialNormal_W_m2: SOLAR_CONSTANT_W_m2 * distanceFactor(dayOfYear(at)),
    sunrise: times.rise_JD === null ? null : told(times.rise_JD),
    transit: told(times.transit_JD),
    sunset: times.set_JD === null ? null : told(times.set_JD),
    allDay: times.allDay,
    dayLength_h:
      times.rise_JD !== null && times.set_JD !== null
        ? (times.set_JD - times.rise_JD) * 24
        : times.allDay === 'up'
          ? 24
          : 0,
    assumptions:
      request.elevation_m === undefined
        ? [{ field: '--elevation', value: '0 m', why: 'not given; it matters less than 0.001 degrees' }]
        : [],
  };
}

/** Day of the year by the moment's own clock, 1 to 366. */
function dayOfYear(at: Instant): number {
  const local_ms = at.unix_ms + at.utcOffset_min * 60_000;
  return Math.floor((local_ms - Date.UTC(new Date(local_ms).getUTCFullYear(), 0, 1)) / DAY_ms) + 1;
}

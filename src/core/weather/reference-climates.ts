/** The built-in reference climates, how far they are from a place, and the correction for a difference in height. */
import { RAD_PER_DEG } from '../units/index.ts';
import { CLIMATE_TABLE } from './climate-table.ts';

export interface ReferenceClimate {
  readonly name: string;
  /** ISO 3166 alpha-3. */
  readonly country: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly utcOffset_h: number;
  /** Kind of data set, e.g. `TMY2`, `IWEC`, `DSSAT daily`. */
  readonly dataset: string;
  /** Span of a mean of daily records; absent for one typical year. */
  readonly period?: string;
  /** Twelve monthly means of global horizontal radiation. */
  readonly ghi_kWh_m2_day: readonly number[];
  /** Twelve monthly means of air temperature. */
  readonly temperature_degC: readonly number[];
  /** Twelve monthly means of diffuse horizontal radiation, where the source gives them. */
  readonly dhi_kWh_m2_day?: readonly number[];
  readonly note?: string;
  readonly source: string;
}

function parseRow(line: string): ReferenceClimate {
  const cell = line.split('|');
  const twelve = (text: string | undefined) => (text ?? '').split(' ').map(Number);
  return {
    name: cell[0] ?? '',
    country: cell[1] ?? '',
    latitude_deg: Number(cell[2]),
    longitude_deg: Number(cell[3]),
    elevation_m: Number(cell[4]),
    utcOffset_h: Number(cell[5]),
    dataset: cell[6] ?? '',
    ...(cell[7] ? { period: cell[7] } : {}),
    ghi_kWh_m2_day: twelve(cell[8]),
    temperature_degC: twelve(cell[9]),
    ...(cell[10] ? { dhi_kWh_m2_day: twelve(cell[10]) } : {}),
    ...(cell[11] ? { note: cell[11] } : {}),
    source: cell[12] ?? '',
  };
}

/** All built-in climates, in the order of the table. */
export const REFERENCE_CLIMATES: readonly ReferenceClimate[] = CLIMATE_TABLE.trim().split('\n').map(parseRow);

/** Mean radius of the earth, km (IUGG mean radius R1 = 6371.0088 km). */
const EARTH_RADIUS_km = 6371.0088;

/** Great-circle distance by the haversine formula (spherical earth, within 0.6 % of the ellipsoid). */
export function greatCircle_km(latA_deg: number, lonA_deg: number, latB_deg: number, lonB_deg: number): number {
  const dLat = ((latB_deg - latA_deg) * RAD_PER_DEG) / 2;
  const dLon = ((lonB_deg - lonA_deg) * RAD_PER_DEG) / 2;
  const h =
    Math.sin(dLat) ** 2 + Math.cos(latA_deg * RAD_PER_DEG) * Math.cos(latB_deg * RAD_PER_DEG) * Math.sin(dLon) ** 2;
  return 2 * EARTH_RADIUS_km * Math.asin(Math.min(1, Math.sqrt(h)));
}

/** Mean fall of air temperature with height, K/m (ICAO standard atmosphere, Doc 7488: 6.5 K/km). */
export const LAPSE_RATE_K_m = 0.0065;

/** Monthly temperatures moved from one height to another by the standard lapse rate; valley inversions are not modelled. */
export function temperatureAtElevation(
  temperature_degC: readonly number[],
  from_m: number,
  to_m: number,
): { temperature_degC: number[]; change_K: number } {
  const change_K = -LAPSE_RATE_K_m * (to_m - from_m);
  return { temperature_degC: temperature_degC.map((t) => t + change_K), change_K };
}

export interface NearClimate {
  readonly climate: ReferenceClimate;
  readonly distance_km: number;
  /** Height of the climate's station less the height of the place; absent when the place's height is not known. */
  readonly heightDifference_m?: number;
  /** `nearest: 140 km, 900 m lower` */
  readonly text: string;
  /** Cautions that go with using this climate. */
  readonly cautions: readonly string[];
}

/** The built-in climates by great-circle distance, nearest first. */
export function rankedClimates(latitude_deg: number, longitude_deg: number, elevation_m?: number): NearClimate[] {
  return REFERENCE_CLIMATES.map((climate) => {
    const distance_km = greatCircle_km(latitude_deg, longitude_deg, climate.latitude_deg, climate.longitude_deg);
    const difference = elevation_m === undefined ? undefined : climate.elevation_m - elevation_m;
    return {
      climate,
      distance_km,
      ...(difference === undefined ? {} : { heightDifference_m: difference }),
      text: `nearest: ${describe(distance_km, difference)}`,
      cautions: cautionsOf(climate, distance_km, difference),
    };
  }).sort((a, b) => a.distance_km - b.distance_km);
}

/** The nearest built-in climate by great-circle distance. */
export function nearestClimate(latitude_deg: number, longitude_deg: number, elevation_m?: number): NearClimate {
  return rankedClimates(latitude_deg, longitude_deg, elevation_m)[0]!;
}

function describe(distance_km: number, difference_m: number | undefined): string {
  const distance = `${Math.round(distance_km)} km`;
  if (difference_m === undefined) return distance;
  const metres = Math.round(Math.abs(difference_m));
  return `${distance}, ${metres < 1 ? 'same height' : `${metres} m ${difference_m < 0 ? 'lower' : 'higher'}`}`;
}

function cautionsOf(climate: ReferenceClimate, distance_km: number, difference_m: number | undefined): string[] {
  const cautions: string[] = [];
  if (climate.period === undefined)
    cautions.push(
      `${climate.name} is one typical year (${climate.dataset}): a single month can lie 5-10 % off the long-term mean`,
    );
  if (distance_km > 100)
    cautions.push(
      `the climate of ${climate.name} is ${Math.round(distance_km)} km away: give twelve monthly means of your own place if you have them`,
    );
  if (difference_m !== undefined && Math.abs(difference_m) > 300)
    cautions.push(
      `${climate.name} lies ${Math.round(Math.abs(difference_m))} m ${difference_m < 0 ? 'lower' : 'higher'}: temperature is moved by 6.5 K per km, radiation is not corrected`,
    );
  return cautions;
}

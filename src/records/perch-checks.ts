/** What must fit together in a perch. */
import { extraterrestrialMean_Wh_m2 } from '../core/sun/index.ts';
import { MONTH_NAMES, MONTH_START } from '../core/units/index.ts';
import { REFERENCE_CLIMATES } from '../core/weather/index.ts';
import type { Finding } from './fields.ts';
import { at, has, isMapping, numberAt } from './loose.ts';
import { nearestWord } from './nearest.ts';

export interface PerchContext {
  /** A weather file is given beside the perch: place and climate come from it. */
  readonly weather?: boolean;
}

export { MONTH_NAMES };

export function perchFindings(perch: unknown, context: PerchContext): readonly Finding[] {
  if (!isMapping(perch)) return [];
  return [...placeFindings(perch, context), ...climateFindings(perch), ...skyFindings(perch, context)];
}

/** Whether the place may come from a weather file. */
function fromWeather(perch: unknown, context: PerchContext): boolean {
  return context.weather === true || at(perch, 'climate') === 'weather' || has(perch, 'climate', 'weather');
}

function placeFindings(perch: Record<string, unknown>, context: PerchContext): Finding[] {
  if (fromWeather(perch, context)) return [];
  const what = {
    latitude_deg: 'north positive, e.g. 46.4',
    longitude_deg: 'east positive, e.g. 10.2',
    elevation_m: 'height above the sea in metres',
  };
  const findings: Finding[] = Object.entries(what)
    .filter(([key]) => !has(perch, key))
    .map(([key, how]) => ({
      code: 'missing',
      path: [key],
      message: `${key} is missing: ${how}; only with a weather file it may be left out`,
    }));
  const longitude = numberAt(perch, 'longitude_deg');
  const offset = numberAt(perch, 'utcOffset_h');
  if (longitude !== undefined && offset !== undefined && Math.abs(offset - longitude / 15) > 4)
    findings.push({
      code: 'utc-offset-far',
      path: ['utcOffset_h'],
      message: `utcOffset_h is ${offset}: the sun's own time at longitude ${longitude} is ${Math.round(longitude / 1.5) / 10} h from UTC; are signs exchanged?`,
    });
  return findings;
}

function climateFindings(perch: Record<string, unknown>): Finding[] {
  const climate = perch['climate'];
  if (!isMapping(climate)) return [];
  const given = ['monthly', 'nearest', 'weather'].filter((key) => has(climate, key));
  const findings: Finding[] = [];
  if (given.length !== 1)
    findings.push({
      code: 'climate-choice',
      path: given[1] === undefined ? ['climate'] : ['climate', given[1]],
      message: `climate has ${given.length === 0 ? 'nothing in it' : given.join(' and ')}: give one of monthly, nearest, weather`,
    });
  const name = climate['nearest'];
  if (typeof name === 'string') {
    const names = REFERENCE_CLIMATES.map((place) => place.name);
    if (!names.includes(name)) {
      const near = nearestWord(name, names);
      findings.push({
        code: 'unknown-climate',
        path: ['climate', 'nearest'],
        message: `nearest is the text "${name}": no built-in climate has that name${near === undefined ? '; sunperch where lists them' : `; did you mean ${near}?`}`,
      });
    }
  }
  return [...findings, ...radiationFindings(perch), ...diffuseFindings(perch)];
}

/** The diffuse part of a month cannot be more than the whole. */
function diffuseFindings(perch: Record<string, unknown>): Finding[] {
  const global = at(perch, 'climate', 'monthly', 'ghi_kWh_m2_day');
  const diffuse = at(perch, 'climate', 'monthly', 'dhi_kWh_m2_day');
  if (!Array.isArray(global) || !Array.isArray(diffuse)) return [];
  return MONTH_NAMES.flatMap((month, i) => {
    const whole = numberAt(global, i);
    const part = numberAt(diffuse, i);
    if (whole === undefined || part === undefined || part <= whole) return [];
    return [
      {
        code: 'diffuse-above-global',
        path: ['climate', 'monthly', 'dhi_kWh_m2_day', i],
        message: `dhi_kWh_m2_day of ${month} is ${part}, more than the global ${whole} of which it is a part: are the two rows exchanged?`,
      },
    ];
  });
}

/** Below this share of the extraterrestrial sum no month of any climate lies (the darkest of the built-in ones has 0.22). */
const LEAST_CLEARNESS = 0.05;
/** Around the polar night a mountain may hide what little there is. */
const LEAST_CHECKED_kWh_m2 = 1;

/** Radiation above what reaches the top of the air is an error of unit, month or place (H0: Duffie & Beckman 2013, eq. 1.10.3). */
function radiationFindings(perch: Record<string, unknown>): Finding[] {
  const latitude = numberAt(perch, 'latitude_deg');
  const list = at(perch, 'climate', 'monthly', 'ghi_kWh_m2_day');
  if (latitude === undefined || Math.abs(latitude) > 90 || !Array.isArray(list) || list.length !== 12) return [];
  return MONTH_NAMES.flatMap((month, i) => {
    const value = numberAt(list, i);
    const h0 = extraterrestrialMean_Wh_m2(latitude, (MONTH_START[i] ?? 0) + 1, MONTH_START[i + 1] ?? 365) / 1000;
    const path = ['climate', 'monthly', 'ghi_kWh_m2_day', i];
    if (value === undefined) return [];
    if (value > h0 + 0.005)
      return [
        {
          code: 'above-extraterrestrial',
          path,
          message: `ghi_kWh_m2_day of ${month} is ${value}: above the air itself only ${h0.toFixed(2)} kWh/m2 a day arrive at latitude ${latitude}; are the months in order, the hemisphere and the unit right?`,
        },
      ];
    if (h0 > LEAST_CHECKED_kWh_m2 && value < LEAST_CLEARNESS * h0)
      return [
        {
          code: 'too-dark',
          path,
          message: `ghi_kWh_m2_day of ${month} is ${value}: less than 5 % of the ${h0.toFixed(2)} kWh/m2 a day above the air; is it in kWh/m2 per day?`,
        },
      ];
    return [];
  });
}

function skyFindings(perch: Record<string, unknown>, context: PerchContext): Finding[] {
  const findings: Finding[] = [];
  const horizon = perch['horizon'];
  if (Array.isArray(horizon)) {
    const seen = new Map<number, number>();
    horizon.forEach((point, i) => {
      const azimuth = numberAt(point, 'azimuth_deg');
      if (azimuth === undefined) return;
      const before = seen.get(azimuth % 360);
      const elevation = numberAt(point, 'elevation_deg');
      if (before !== undefined && elevation !== numberAt(horizon, before, 'elevation_deg'))
        findings.push({
          code: 'horizon-twice',
          path: ['horizon', i, 'azimuth_deg'],
          message: `azimuth_deg ${azimuth} stands twice in the horizon with two elevations: keep one`,
        });
      seen.set(azimuth % 360, i);
    });
  }
  if (perch['snow'] === 'from-weather' && !fromWeather(perch, context))
    findings.push({
      code: 'snow-without-weather',
      path: ['snow'],
      message: 'snow is from-weather, but no weather file is named: give {snowfall_cm: 12 values} or none',
    });
  return findings;
}

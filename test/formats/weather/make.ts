/*
 * Invented weather for the tests, written in each format that is read. The sun here is the textbook's (Cooper's declination,
 * hour angle from the longitude, no equation of time: Duffie & Beckman, chapter 1), independent of the project's own, good
 * to 0.3 h; the clouds are a fixed sequence. Values are rounded as a file rounds them, so a reader must give them back.
 */
import { expect } from 'vitest';
import {
  type DailyFile,
  type WeatherFile,
  type WeatherReadOptions,
  weatherReader,
} from '../../../src/formats/weather/index.ts';

export interface Hour {
  year: number;
  month: number;
  day: number;
  /** Begins at, 0..23. */
  hour: number;
  ghi: number;
  dni: number;
  dhi: number;
  temperature: number;
  wind: number;
}

export const PLACE = { latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1800, utcOffset_h: 1 };
type At = { latitude_deg: number; longitude_deg: number; utcOffset_h: number };

const RAD = Math.PI / 180;
export const LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
export const leap = (year: number) => year % 4 === 0;

/** Hours of whole calendar years, `lag_h` later than the sun would have them. */
export function invent(years: readonly number[], at: At = PLACE, lag_h = 0, leapDays = true): Hour[] {
  const out: Hour[] = [];
  let cloud = 1;
  let n = 0;
  for (const year of years) {
    let dayOfYear = 0;
    for (let month = 1; month <= 12; month++) {
      const days = LENGTHS[month - 1]! + (month === 2 && leapDays && leap(year) ? 1 : 0);
      for (let day = 1; day <= days; day++) {
        dayOfYear++;
        cloud = 0.35 + 0.65 * ((++n * 0.618034) % 1);
        const declination = 23.45 * RAD * Math.sin((360 / 365) * (284 + dayOfYear) * RAD);
        for (let hour = 0; hour < 24; hour++) {
          const solar = hour + 0.5 - at.utcOffset_h + at.longitude_deg / 15 - lag_h;
          const phi = at.latitude_deg * RAD;
          const sine =
            Math.sin(phi) * Math.sin(declination) +
            Math.cos(phi) * Math.cos(declination) * Math.cos((solar - 12) * 15 * RAD);
          const up = Math.max(0, sine);
          const ghi = Math.round(1000 * cloud * up ** 1.15);
          const dhi = Math.round(ghi * (1.1 - 0.9 * cloud));
          const dni = up > 0.02 ? Math.round((ghi - dhi) / up) : 0;
          // + 0 turns -0 into 0, as it is written in a file.
          const temperature =
            Math.round(10 * (6 - 10 * Math.cos((2 * Math.PI * (dayOfYear - 20)) / 365) + 4 * sine)) / 10 + 0;
          out.push({ year, month, day, hour, ghi, dni, dhi, temperature, wind: ((n * 7 + hour) % 60) / 10 });
        }
      }
    }
  }
  return out;
}

const pad = (n: number, width = 2) => String(n).padStart(width, '0');

/** Line index of hour i in the files below is `i + HEAD[format]`. */
export const HEAD = { epw: 8, tmy3: 2, powerHourly: 11, powerDaily: 11, plain: 5 };

export function epw(hours: readonly Hour[], at: At & { elevation_m?: number } = PLACE): string[] {
  return [
    `LOCATION,"Ossel, hut",-,XXX,invented,000000,${at.latitude_deg},${at.longitude_deg},${at.utcOffset_h},${at.elevation_m ?? 0}`,
    'DESIGN CONDITIONS,0',
    'TYPICAL/EXTREME PERIODS,0',
    'GROUND TEMPERATURES,0',
    'HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0',
    'COMMENTS 1,invented for tests; "quoted, with commas"',
    'COMMENTS 2,',
    'DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31',
    ...hours.map(
      (h) =>
        `${h.year},${h.month},${h.day},${h.hour + 1},60,?9?9,${h.temperature.toFixed(1)},0.0,60,82000,0,0,300,${h.ghi},${h.dni},${h.dhi},0,0,0,0,180,${h.wind.toFixed(1)},5,5,20.0,77777,9,999999999,10,0.1000,0,88,0.200,0.0,0.0`,
    ),
  ];
}

export function tmy3(hours: readonly Hour[], at: At & { elevation_m?: number } = PLACE): string[] {
  return [
    `000001,"OSSEL HUT",XX,${at.utcOffset_h.toFixed(1)},${at.latitude_deg},${at.longitude_deg},${at.elevation_m ?? 0}`,
    'Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),GHI source,GHI uncert (%),DNI (W/m^2),DNI source,DHI (W/m^2),DHI source,Dry-bulb (C),Dry-bulb source,Wspd (m/s),Wspd source',
    ...hours.map(
      (h) =>
        `${pad(h.month)}/${pad(h.day)}/${h.year},${pad(h.hour + 1)}:00,0,${h.ghi},1,8,${h.dni},1,${h.dhi},1,${h.temperature.toFixed(1)},A,${h.wind.toFixed(1)},A`,
    ),
  ];
}

export function powerHourly(
  hours: readonly Hour[],
  clock: 'LST' | 'UTC' = 'LST',
  unit = 'Wh/m^2',
  scale = 1,
): string[] {
  const first = hours[0]!;
  return [
    '-BEGIN HEADER-',
    'NASA/POWER Source Native Resolution Hourly Data ',
    `Dates (month/day/year): ${pad(first.month)}/${pad(first.day)}/${first.year} through 12/31/${hours.at(-1)!.year} in ${clock}`,
    `Location: Latitude  ${PLACE.latitude_deg}   Longitude ${PLACE.longitude_deg} `,
    'Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 1805.5 meters',
    'The value for missing source data that cannot be computed or is outside of the sources availability range: -999 ',
    'Parameter(s): ',
    `ALLSKY_SFC_SW_DWN     CERES SYN1deg All Sky Surface Shortwave Downward Irradiance (${unit}) `,
    'T2M                   MERRA-2 Temperature at 2 Meters (C) ',
    '-END HEADER-',
    'YEAR,MO,DY,HR,ALLSKY_SFC_SW_DWN,T2M',
    ...hours.map((h) => `${h.year},${h.month},${h.day},${h.hour},${h.ghi * scale},${h.temperature}`),
  ];
}

export interface Day {
  year: number;
  month: number;
  day: number;
  ghi: number;
  temperature: number;
}

/** Days of the hours: kWh/m² and mean temperature, rounded. */
export function daysOf(hours: readonly Hour[]): Day[] {
  const out: Day[] = [];
  for (let i = 0; i < hours.length; i += 24) {
    const day = hours.slice(i, i + 24);
    const sum = (pick: (h: Hour) => number) => day.reduce((total, h) => total + pick(h), 0);
    out.push({
      year: day[0]!.year,
      month: day[0]!.month,
      day: day[0]!.day,
      ghi: Math.round(sum((h) => h.ghi) / 10) / 100,
      temperature: Math.round((sum((h) => h.temperature) / 24) * 100) / 100,
    });
  }
  return out;
}

export function powerDaily(days: readonly Day[], unit = 'kW-hr/m^2/day', scale = 1, byDayOfYear = false): string[] {
  let doy = 0;
  return [
    '-BEGIN HEADER-',
    'NASA/POWER CERES/MERRA2 Native Resolution Daily Data ',
    `Dates (month/day/year): 01/01/${days[0]!.year} through 12/31/${days.at(-1)!.year} in LST`,
    `Location: latitude  ${PLACE.latitude_deg}   longitude ${PLACE.longitude_deg} `,
    'Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 1805.5 meters',
    'Value for missing model data cannot be computed or out of model availability range: -999 ',
    'Parameter(s): ',
    `ALLSKY_SFC_SW_DWN     CERES SYN1deg All Sky Surface Shortwave Downward Irradiance (${unit}) `,
    'T2M                   MERRA-2 Temperature at 2 Meters (C) ',
    '-END HEADER-',
    byDayOfYear ? 'YEAR,DOY,ALLSKY_SFC_SW_DWN,T2M' : 'YEAR,MO,DY,ALLSKY_SFC_SW_DWN,T2M',
    ...days.map((d) => {
      doy = d.month === 1 && d.day === 1 ? 1 : doy + 1;
      return `${d.year},${byDayOfYear ? doy : `${d.month},${d.day}`},${d.ghi * scale},${d.temperature}`;
    }),
  ];
}

export interface PowerJson {
  type: string;
  geometry: { type: string; coordinates: number[] };
  properties: { parameter: Record<string, Record<string, unknown>> };
  header: Record<string, unknown>;
  parameters: Record<string, { units: string }>;
}

export function powerJson(
  rows: readonly (Hour | Day)[],
  clock: 'LST' | 'UTC' = 'LST',
  unit?: string,
  scale = 1,
): PowerJson {
  const ghi: Record<string, unknown> = {};
  const temperature: Record<string, unknown> = {};
  const hourly = 'hour' in rows[0]!;
  for (const row of rows) {
    const key = `${row.year}${pad(row.month)}${pad(row.day)}${'hour' in row ? pad(row.hour) : ''}`;
    ghi[key] = row.ghi * scale;
    temperature[key] = row.temperature;
  }
  return {
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [PLACE.longitude_deg, PLACE.latitude_deg, 1805.5] },
    properties: { parameter: { ALLSKY_SFC_SW_DWN: ghi, T2M: temperature } },
    header: { title: 'NASA/POWER', fill_value: -999.0, time_standard: clock },
    parameters: {
      ALLSKY_SFC_SW_DWN: { units: unit ?? (hourly ? 'Wh/m^2' : 'kW-hr/m^2/day') },
      T2M: { units: 'C' },
    },
  };
}

export const isoTime = (h: Hour, add = 0) => `${h.year}-${pad(h.month)}-${pad(h.day)}T${pad(h.hour + add)}:00`;

export function plain(
  hours: readonly Hour[],
  columns = 'time,ghi_W_m2,dni_W_m2,dhi_W_m2,temperature_degC,wind_m_s',
  row = (h: Hour) => `${isoTime(h)},${h.ghi},${h.dni},${h.dhi},${h.temperature},${h.wind}`,
): string[] {
  return [
    `# latitude_deg: ${PLACE.latitude_deg}`,
    `# longitude_deg: ${PLACE.longitude_deg}`,
    `# elevation_m: ${PLACE.elevation_m}`,
    `# utcOffset_h: ${PLACE.utcOffset_h}`,
    columns,
    ...hours.map(row),
  ];
}

/** Says at which index two series first differ; far faster than a deep comparison of 8760 entries. */
export function expectSame(found: ArrayLike<number>, expected: ArrayLike<number>): void {
  expect(found.length).toBe(expected.length);
  for (let i = 0; i < found.length; i++) {
    if (!Object.is(found[i], expected[i])) expect({ i, value: found[i] }).toEqual({ i, value: expected[i] });
  }
}

/** Reads a text in one piece, or in pieces of `piece` signs. */
export function read(
  text: string | readonly string[],
  options: WeatherReadOptions = {},
  piece = 65_536,
): WeatherFile | DailyFile {
  const whole = typeof text === 'string' ? text : `${text.join('\n')}\n`;
  const reader = weatherReader('invented.txt', options);
  for (let at = 0; at < whole.length; at += piece) reader.push(whole.slice(at, at + piece));
  return reader.end();
}

export function readHours(text: string | readonly string[], options: WeatherReadOptions = {}): WeatherFile {
  const file = read(text, options);
  if (file.kind !== 'hourly') throw new Error('hourly weather was expected');
  return file;
}

export function readDays(text: string | readonly string[]): DailyFile {
  const file = read(text);
  if (file.kind !== 'daily') throw new Error('daily weather was expected');
  return file;
}

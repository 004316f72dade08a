import type { Assumption, Caution } from '../core/energy/index.ts';
import { sunniestMonth } from '../core/energy/seasons.ts';
import { extraterrestrialMean_Wh_m2, type SunYear, sunYear } from '../core/sun/index.ts';
import { HOURS_PER_YEAR, MONTH_START, userError } from '../core/units/index.ts';
import {
  hoursFromDays,
  nearestClimate,
  type ReferenceClimate,
  rankedClimates,
  resampleBlocks,
  syntheticYears,
  temperatureAtElevation,
  type WeatherHours,
} from '../core/weather/index.ts';
import type { DailyFile, WeatherFile } from '../formats/weather/types.ts';
import { facingEquator_deg, type Perch, winterTilt_deg } from '../records/index.ts';

/** Position and clock of a perch, from its file or from its weather file. */
export interface SitePlace {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly utcOffset_h: number;
}

/** Where the weather of a perch comes from, before any year is made. */
export type ClimatePlan =
  | {
      readonly kind: 'monthly';
      readonly ghi_kWh_m2_day: readonly number[];
      readonly temperature_degC: readonly number[];
      /** Where the diffuse part is known; else it follows from the clearness. */
      readonly dhi_kWh_m2_day?: readonly number[] | undefined;
    }
  | { readonly kind: 'file'; readonly file: WeatherFile | DailyFile };

/** A perch resolved: everything about the place that does not depend on kit, years or seed. */
export interface SitePlan {
  readonly name: string;
  readonly place: SitePlace;
  readonly tilt_deg: number;
  readonly azimuth_deg: number;
  readonly climate: ClimatePlan;
  /** The weather's origin in words. */
  readonly weather: string;
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
  readonly notes: readonly string[];
}

/** Hours of weather at a site. */
export interface SiteWeather {
  readonly sun: SunYear;
  readonly hours: WeatherHours;
  /** Whole calendar years in `hours`. */
  readonly years: number;
  readonly monthlyGhi_kWh_m2_day: readonly number[];
  readonly monthlyTemperature_degC: readonly number[];
  /** Month (0..11) with which seasons begin: the sunniest. */
  readonly startMonth: number;
}

/** Resolves a perch: place, clock, attitude and climate, with everything that was assumed. `file` replaces its climate. */
export function planSite(perch: Perch, file?: WeatherFile | DailyFile): SitePlan {
  const assumptions: Assumption[] = [];
  const cautions: Caution[] = [];
  const latitude_deg = perch.latitude_deg ?? file?.place.latitude_deg;
  const longitude_deg = perch.longitude_deg ?? file?.place.longitude_deg;
  if (latitude_deg === undefined || longitude_deg === undefined)
    throw userError(
      'place-missing',
      'the perch has no position: give latitude_deg and longitude_deg, or a weather file with --weather',
    );
  if (file && perch.latitude_deg !== undefined && perch.longitude_deg !== undefined) {
    const off = Math.max(
      Math.abs(perch.latitude_deg - file.place.latitude_deg),
      Math.abs(perch.longitude_deg - file.place.longitude_deg),
    );
    if (off > 1)
      cautions.push({
        code: 'weather-far-from-perch',
        text: `The weather file is of ${file.place.latitude_deg}, ${file.place.longitude_deg}, the perch stands at ${perch.latitude_deg}, ${perch.longitude_deg}: the sun is taken at the weather file's place.`,
      });
  }
  // With a file the radiation belongs to the file's place and clock.
  const placeLatitude_deg = file?.place.latitude_deg ?? latitude_deg;
  const placeLongitude_deg = file?.place.longitude_deg ?? longitude_deg;
  const elevation_m = perch.elevation_m ?? file?.place.elevation_m ?? 0;
  const near = file ? undefined : climateOf(perch, latitude_deg, longitude_deg, elevation_m);
  const offset = file?.place.utcOffset_h ?? perch.utcOffset_h ?? near?.utcOffset_h;
  const utcOffset_h = offset ?? Math.round(longitude_deg / 15);
  if (offset === undefined)
    assumptions.push({
      field: 'perch.utcOffset_h',
      value: String(utcOffset_h),
      why: 'local standard time from the longitude',
    });
  const tilt_deg = perch.tilt_deg ?? winterTilt_deg(placeLatitude_deg);
  if (perch.tilt_deg === undefined)
    assumptions.push({
      field: 'perch.tilt_deg',
      value: `${tilt_deg}`,
      why: 'latitude + 15 degrees, for the low winter sun (common practice, no source)',
    });
  const azimuth_deg = perch.azimuth_deg ?? facingEquator_deg(placeLatitude_deg);
  if (perch.azimuth_deg === undefined)
    assumptions.push({ field: 'perch.azimuth_deg', value: `${azimuth_deg}`, why: 'the panel faces the equator' });
  if (perch.wind_m_s === undefined && !file)
    assumptions.push({
      field: 'perch.wind_m_s',
      value: '1.5',
      why: 'a sheltered place; wind only cools the panel here (judgement)',
    });
  return {
    name: perch.name ?? file?.place.name ?? positionText(placeLatitude_deg, placeLongitude_deg),
    place: { latitude_deg: placeLatitude_deg, longitude_deg: placeLongitude_deg, elevation_m, utcOffset_h },
    tilt_deg,
    azimuth_deg,
    climate: file
      ? { kind: 'file', file }
      : {
          kind: 'monthly',
          ghi_kWh_m2_day: near!.ghi_kWh_m2_day,
          temperature_degC: near!.temperature_degC,
          dhi_kWh_m2_day: near!.dhi_kWh_m2_day,
        },
    weather: file ? `${file.format} file, ${file.years === 1 ? 'one year' : `${file.years} years`}` : near!.text,
    assumptions: [...assumptions, ...(near?.assumptions ?? [])],
    cautions,
    notes: file?.notes ?? [],
  };
}

/** `46.40° N 10.20° E`: the name of a perch that has none. */
function positionText(latitude_deg: number, longitude_deg: number): string {
  const part = (value: number, letters: string) => `${Math.abs(value).toFixed(2)}° ${letters[value < 0 ? 1 : 0]}`;
  return `${part(latitude_deg, 'NS')} ${part(longitude_deg, 'EW')}`;
}

interface MonthlyClimate {
  readonly utcOffset_h?: number;
  readonly ghi_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
  readonly dhi_kWh_m2_day?: readonly number[] | undefined;
  readonly text: string;
  readonly assumptions: readonly Assumption[];
}

function climateOf(perch: Perch, latitude_deg: number, longitude_deg: number, elevation_m: number): MonthlyClimate {
  const climate = perch.climate ?? 'nearest';
  if (climate === 'weather' || (typeof climate === 'object' && climate.weather !== undefined))
    throw userError('weather-missing', 'the perch takes its climate from a weather file: name one with --weather', {
      field: 'perch.climate',
    });
  if (typeof climate === 'object' && climate.monthly !== undefined)
    return {
      ghi_kWh_m2_day: climate.monthly.ghi_kWh_m2_day,
      temperature_degC: climate.monthly.temperature_degC,
      dhi_kWh_m2_day: climate.monthly.dhi_kWh_m2_day,
      text: `synthetic years from the perch's own twelve monthly means${climate.monthly.source ? ` (${climate.monthly.source})` : ''}`,
      assumptions: [],
    };
  const wanted = typeof climate === 'object' ? climate.nearest : undefined;
  const near = wanted
    ? rankedClimates(latitude_deg, longitude_deg, elevation_m).find((n) => n.climate.name === wanted)!
    : nearestClimate(latitude_deg, longitude_deg, elevation_m);
  const moved = temperatureAtElevation(near.climate.temperature_degC, near.climate.elevation_m, elevation_m);
  const ratio = radiationRatio(near.climate.latitude_deg, latitude_deg);
  const carried = (values: readonly number[]) => values.map((value, m) => value * ratio[m]!);
  const farthest = Math.max(...ratio.map((r) => Math.abs(r - 1)));
  const carriedText =
    farthest > 0.005
      ? '; its clearness is carried over month by month, since other latitudes have other radiation above the air'
      : '';
  return {
    utcOffset_h: near.climate.utcOffset_h,
    ghi_kWh_m2_day: carried(near.climate.ghi_kWh_m2_day),
    temperature_degC: moved.temperature_degC,
    dhi_kWh_m2_day: near.climate.dhi_kWh_m2_day && carried(near.climate.dhi_kWh_m2_day),
    text: `synthetic years from the monthly means of ${near.climate.name} (${near.climate.country}, ${near.climate.dataset}); ${near.text}`,
    assumptions: [
      {
        field: 'perch.climate',
        value: near.climate.name,
        why: `${near.text}${carriedText}${near.cautions.length > 0 ? `; ${near.cautions.join('; ')}` : ''}`,
      },
    ],
  };
}

/** Below this radiation above the air, kWh/m² a day, a month's clearness means nothing. */
const DARK_MONTH_kWh_m2_day = 0.3;
/** Clearness taken for a month that is dark at the climate's latitude and not at the perch's (middle of the built-in ones). */
const MIDDLE_CLEARNESS = 0.5;

/**
 * Radiation above the air at one latitude over that at another, month by month (Duffie & Beckman 2013, eq. 1.10.3): what carries a
 * month's clearness from a climate to a perch. At the same latitude 1.
 */
function radiationRatio(from_deg: number, to_deg: number): number[] {
  return Array.from({ length: 12 }, (_, m) => {
    const above = (latitude_deg: number) =>
      extraterrestrialMean_Wh_m2(latitude_deg, MONTH_START[m]! + 1, MONTH_START[m + 1]!) / 1000;
    const there = above(from_deg);
    return there < DARK_MONTH_kWh_m2_day
      ? (MIDDLE_CLEARNESS * above(to_deg)) / Math.max(there, 0.01)
      : above(to_deg) / there;
  });
}

/** A built-in climate as a site of its own, for `where`. */
export function planOfClimate(climate: ReferenceClimate): SitePlan {
  return {
    name: climate.name,
    place: {
      latitude_deg: climate.latitude_deg,
      longitude_deg: climate.longitude_deg,
      elevation_m: climate.elevation_m,
      utcOffset_h: climate.utcOffset_h,
    },
    tilt_deg: winterTilt_deg(climate.latitude_deg),
    azimuth_deg: facingEquator_deg(climate.latitude_deg),
    climate: {
      kind: 'monthly',
      ghi_kWh_m2_day: climate.ghi_kWh_m2_day,
      temperature_degC: climate.temperature_degC,
      dhi_kWh_m2_day: climate.dhi_kWh_m2_day,
    },
    weather: `synthetic years from the monthly means of ${climate.name}`,
    assumptions: [],
    cautions: [],
    notes: [],
  };
}

/**
 * Makes the hours: `years` calendar years from monthly means or drawn in blocks from a file of several years. Without
 * `years` a file is taken as it stands.
 */
export function makeWeather(plan: SitePlan, perch: Perch, seed: number, years?: number): SiteWeather {
  const { place, climate } = plan;
  const sun = sunYear(place);
  const snow = typeof perch.snow === 'object' ? perch.snow.snowfall_cm : undefined;
  let hours: WeatherHours;
  if (climate.kind === 'monthly') {
    if (years === undefined) throw new RangeError('makeWeather: years are needed for a synthetic climate');
    hours = syntheticYears({
      sun,
      latitude_deg: place.latitude_deg,
      elevation_m: place.elevation_m,
      ghi_kWh_m2_day: climate.ghi_kWh_m2_day,
      temperature_degC: climate.temperature_degC,
      ...(climate.dhi_kWh_m2_day ? { dhi_kWh_m2_day: climate.dhi_kWh_m2_day } : {}),
      ...(perch.wind_m_s === undefined ? {} : { wind_m_s: perch.wind_m_s }),
      ...(snow === undefined ? {} : { snowfall_cm: snow }),
      years,
      seed,
    });
  } else {
    const real = climate.file.kind === 'hourly' ? climate.file.hours : hoursOfDays(climate.file, sun, place, seed);
    hours = years === undefined ? real : resampleBlocks(real, years, seed);
  }
  const count = Math.round(hours.length / HOURS_PER_YEAR);
  const monthlyGhi_kWh_m2_day = monthlyMeans(hours, hours.ghi_W_m2).map((w) => (w * 24) / 1000);
  return {
    sun,
    hours,
    years: count,
    monthlyGhi_kWh_m2_day,
    monthlyTemperature_degC: monthlyMeans(hours, hours.temperature_degC),
    startMonth: sunniestMonth(monthlyGhi_kWh_m2_day),
  };
}

function hoursOfDays(file: DailyFile, sun: SunYear, place: SitePlace, seed: number): WeatherHours {
  const { days } = file;
  const low = days.temperatureMin_degC;
  const high = days.temperatureMax_degC;
  return hoursFromDays({
    sun,
    elevation_m: place.elevation_m,
    dayOfYear: days.dayOfYear,
    ghi_kWh_m2: days.ghi_kWh_m2,
    temperature_degC: days.temperature_degC,
    ...(low && high ? { temperatureRange_K: Float32Array.from(low, (t, i) => high[i]! - t) } : {}),
    ...(days.wind_m_s ? { windDaily_m_s: days.wind_m_s } : {}),
    seed,
  });
}

/** Means of an hourly array by calendar month. */
export function monthlyMeans(hours: WeatherHours, values: Float32Array): number[] {
  const month = new Uint8Array(HOURS_PER_YEAR);
  for (let m = 0; m < 12; m++) month.fill(m, MONTH_START[m]! * 24, MONTH_START[m + 1]! * 24);
  const sum = new Float64Array(12);
  const count = new Float64Array(12);
  for (let i = 0; i < hours.length; i++) {
    const m = month[hours.hourOfYear[i]!]!;
    sum[m]! += values[i]!;
    count[m]!++;
  }
  return Array.from(sum, (s, m) => (count[m]! > 0 ? s / count[m]! : Number.NaN));
}

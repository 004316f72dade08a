import type { WeatherHours } from '../../core/weather/hours.ts';

/** The file formats that are read. */
export type WeatherFormat =
  | 'EPW'
  | 'TMY3'
  | 'POWER hourly CSV'
  | 'POWER hourly JSON'
  | 'POWER daily CSV'
  | 'POWER daily JSON'
  | 'plain CSV';

/** Where the weather was measured. */
export interface FilePlace {
  readonly name?: string;
  /** Degrees, north positive. */
  readonly latitude_deg: number;
  /** Degrees, east positive. */
  readonly longitude_deg: number;
  /** Metres above sea level, absent where the file does not say. */
  readonly elevation_m?: number;
  /** Offset of local standard time from UTC, h; longitude / 15 where the file counts local solar time. */
  readonly utcOffset_h: number;
}

/**
 * Hourly weather of whole years. The hours begin on 1 January 00:00 and run without a hole: `hours.hourOfYear[i]`
 * is `i % 8760` and `hours.length` is `years * 8760`.
 */
export interface WeatherFile {
  readonly kind: 'hourly';
  readonly format: WeatherFormat;
  readonly place: FilePlace;
  readonly hours: WeatherHours;
  /** Whole years of 365 days. */
  readonly years: number;
  /** First calendar year; absent for a typical year put together from several. */
  readonly firstYear?: number;
  /** Rows of data in the file, 29 February included. */
  readonly rows: number;
  /** What was assumed, filled, dropped or looks odd, one short sentence each. */
  readonly notes: readonly string[];
}

/** Days in order, one entry each, as flat arrays. */
export interface DailyValues {
  readonly length: number;
  /** Day of a year of 365 days, 0..364. */
  readonly dayOfYear: Uint16Array;
  /** Calendar year. */
  readonly year: Int16Array;
  /** Global horizontal irradiation, kWh/m² a day. */
  readonly ghi_kWh_m2: Float32Array;
  /** Diffuse horizontal irradiation, kWh/m² a day; absent where the file has none. */
  readonly dhi_kWh_m2?: Float32Array;
  /** Mean air temperature, °C. */
  readonly temperature_degC: Float32Array;
  readonly temperatureMin_degC?: Float32Array;
  readonly temperatureMax_degC?: Float32Array;
  /** Mean wind speed, m/s; absent where the file has none. */
  readonly wind_m_s?: Float32Array;
}

/** Daily weather of whole years; days begin on 1 January, `days.dayOfYear[i]` is `i % 365`. */
export interface DailyFile {
  readonly kind: 'daily';
  readonly format: WeatherFormat;
  readonly place: FilePlace;
  readonly days: DailyValues;
  readonly years: number;
  readonly firstYear?: number;
  readonly rows: number;
  readonly notes: readonly string[];
}

/** Values that the user states beside the file; each replaces what the file says. */
export interface WeatherReadOptions {
  readonly place?: Partial<FilePlace>;
}

/** A place as far as a header gives it. NaN marks a field that was there and could not be read. */
export type DraftPlace = { -readonly [K in keyof FilePlace]?: FilePlace[K] | undefined };

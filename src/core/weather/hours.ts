/**
 * Hourly weather as flat arrays, one entry an hour, in order.
 *
 * Convention of the whole project: entry i covers one hour of local STANDARD time that begins at `hour[i]` o'clock
 * (0..23) on `month[i]`/`day[i]`; radiation is the mean over that hour and the sun is taken at its middle. Readers of
 * hour-ending files subtract one hour. Years have 365 days in here: 29 February is either dropped by the reader (and
 * told) or kept as a row whose `hourOfYear` is that of 28 February.
 */
export interface WeatherHours {
  /** Number of hours. */
  readonly length: number;
  /** Index of the hour within a year of 365 days, 0..8759. */
  readonly hourOfYear: Uint16Array;
  /** Global horizontal irradiance, W/m². */
  readonly ghi_W_m2: Float32Array;
  /** Direct (beam) normal irradiance, W/m². */
  readonly dni_W_m2: Float32Array;
  /** Diffuse horizontal irradiance, W/m². */
  readonly dhi_W_m2: Float32Array;
  /** Air temperature, °C. */
  readonly temperature_degC: Float32Array;
  /** Wind speed, m/s. */
  readonly wind_m_s: Float32Array;
  /** Fresh snow of the hour, cm; absent where unknown. */
  readonly snowfall_cm?: Float32Array;
}

/** Allocates weather of `length` hours, all zero. */
export function allocateWeather(length: number, withSnow = false): WeatherHours {
  const hours = {
    length,
    hourOfYear: new Uint16Array(length),
    ghi_W_m2: new Float32Array(length),
    dni_W_m2: new Float32Array(length),
    dhi_W_m2: new Float32Array(length),
    temperature_degC: new Float32Array(length),
    wind_m_s: new Float32Array(length),
  };
  return withSnow ? { ...hours, snowfall_cm: new Float32Array(length) } : hours;
}

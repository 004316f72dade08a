/** Synthetic years of hourly weather for a place known by twelve monthly means. */
import { createRandom } from '../math/index.ts';
import type { SunYear } from '../sun/index.ts';
import { DAYS_PER_YEAR, HOURS_PER_YEAR, userError } from '../units/index.ts';
import { diffuseExponents } from './climate-rules.ts';
import { createDailyClearness, monthlyClearness } from './daily.ts';
import { fitDiffuseExponents } from './diffuse-fit.ts';
import { createHourlyShape } from './hourly.ts';
import { allocateWeather, type WeatherHours } from './hours.ts';
import { BLOCK_YEARS } from './month-draws.ts';
import { MONTH_NAMES, monthOfDays } from './monthly-curve.ts';
import { fillSnow } from './snowfall.ts';
import { createDailyTemperature, diurnalRange_K, fillDayTemperature } from './temperature.ts';

export interface SyntheticInput {
  readonly sun: SunYear;
  readonly latitude_deg: number;
  readonly elevation_m: number;
  /** Twelve long-term means. */
  readonly ghi_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
  /** Twelve means of diffuse horizontal radiation where known; the climate's typical share otherwise. */
  readonly dhi_kWh_m2_day?: readonly number[];
  /** One value or twelve; 1.5 m/s when absent (a sheltered place; judgement). */
  readonly wind_m_s?: number | readonly number[];
  /** Fresh snow of each month on average, cm; absent: no snow is simulated. */
  readonly snowfall_cm?: readonly number[];
  readonly years: number;
  readonly seed: number;
  /** Daily clearness by the Markov library (default) or by a Gaussian chain through the Bendt marginal. */
  readonly method?: 'markov' | 'bendt';
}

/** Wind where none is given, m/s: a sheltered place near the ground (judgement, no source). */
export const DEFAULT_WIND_m_s = 1.5;

/**
 * Hourly weather of `years` synthetic years of 365 days.
 *
 * Reproduces over many years the monthly means of radiation (within 1 % from 200 years) and temperature, with a spread from
 * year to year, a persistence from day to day and an hourly course that follow the climate; see daily.ts, hourly.ts and
 * temperature.ts for the models and sources. Radiation of a single year differs from the means: that is the point.
 *
 * The same seed gives the same first n years whatever `years` is. `into` takes a caller's arrays of the right length.
 *
 * Throws UserError for twelve means that are not twelve, negative radiation, or radiation above the extraterrestrial.
 */
export function syntheticYears(input: SyntheticInput, into?: WeatherHours): WeatherHours {
  checkSynthetic(input);
  const { years, snowfall_cm } = input;
  const hours = into ?? allocateWeather(years * HOURS_PER_YEAR, snowfall_cm !== undefined);
  if (hours.length !== years * HOURS_PER_YEAR)
    throw new RangeError(`syntheticYears: ${hours.length} hours given for ${years} years`);
  const { shape, clearness, temperature } = prepare(input);
  const months = monthOfDays();
  const wind = windOfMonths(input.wind_m_s);
  const days = BLOCK_YEARS * DAYS_PER_YEAR;
  const kt = new Float64Array(days);
  const anomaly = new Float64Array(days);
  const mean_degC = new Float64Array(days);
  const root = createRandom(input.seed);
  for (let first = 0; first < years; first += BLOCK_YEARS) {
    const block = root.fork(first / BLOCK_YEARS);
    clearness.generateBlock(block.fork(1), kt, anomaly);
    temperature.generateBlock(block.fork(2), anomaly, mean_degC);
    for (let y = 0; y < BLOCK_YEARS && first + y < years; y++) {
      const chance = block.fork(100 + y);
      const at = (first + y) * HOURS_PER_YEAR;
      for (let d = 0; d < DAYS_PER_YEAR; d++) {
        const n = y * DAYS_PER_YEAR + d;
        const before = n === 0 ? 0 : n - 1;
        const after = n === days - 1 ? n : n + 1;
        const offset = at + d * 24;
        shape.fillDay(d, kt[n]!, chance, hours, offset);
        fillDayTemperature(
          mean_degC[before]!,
          mean_degC[n]!,
          mean_degC[after]!,
          diurnalRange_K(kt[before]!),
          diurnalRange_K(kt[n]!),
          diurnalRange_K(kt[after]!),
          hours.temperature_degC,
          offset,
        );
        hours.wind_m_s.fill(wind[months[d]!]!, offset, offset + 24);
        for (let h = 0; h < 24; h++) hours.hourOfYear[offset + h] = d * 24 + h;
      }
      if (snowfall_cm !== undefined && hours.snowfall_cm !== undefined)
        fillSnow(
          snowfall_cm,
          anomaly.subarray(y * DAYS_PER_YEAR, (y + 1) * DAYS_PER_YEAR),
          mean_degC.subarray(y * DAYS_PER_YEAR, (y + 1) * DAYS_PER_YEAR),
          block.fork(200 + y),
          hours.snowfall_cm.subarray(at, at + HOURS_PER_YEAR),
        );
    }
  }
  return hours;
}

/** The three generators of a place. */
function prepare(input: SyntheticInput) {
  const { sun, latitude_deg, ghi_kWh_m2_day } = input;
  const { month_kt, h0Mean_Wh_m2 } = monthlyClearness(ghi_kWh_m2_day, sun.h0_Wh_m2);
  const { elevation_m, dhi_kWh_m2_day, method } = input;
  let shape = createHourlyShape(sun, elevation_m, diffuseExponents(month_kt, h0Mean_Wh_m2));
  const clearness = createDailyClearness({
    latitude_deg,
    ghi_kWh_m2_day,
    h0_Wh_m2: sun.h0_Wh_m2,
    clearDay_kt: shape.clearDay_kt,
    ...(method === undefined ? {} : { method }),
  });
  if (dhi_kWh_m2_day !== undefined) {
    const share = dhi_kWh_m2_day.map((d, m) => (ghi_kWh_m2_day[m]! > 0 ? Math.min(1, d / ghi_kWh_m2_day[m]!) : 1));
    const free = createHourlyShape(sun, elevation_m, new Float64Array(12).fill(1), false);
    shape = createHourlyShape(sun, elevation_m, fitDiffuseExponents(share, clearness, free));
  }
  return { shape, clearness, temperature: createDailyTemperature(input.temperature_degC, latitude_deg) };
}

export interface SyntheticDays {
  /** years x 365 values each, in order of time. */
  readonly kt: Float64Array;
  readonly ghi_kWh_m2: Float64Array;
  readonly temperature_degC: Float64Array;
}

/** The days of the same synthetic years without their hours: the same clearness, totals and mean temperatures, a hundredth of the time. */
export function syntheticDays(input: SyntheticInput): SyntheticDays {
  checkSynthetic(input);
  const { years, sun } = input;
  const { dhi_kWh_m2_day: _, ...withoutDiffuse } = input; // the split concerns hours only
  const { clearness, temperature } = prepare(withoutDiffuse);
  const blocks = Math.ceil(years / BLOCK_YEARS);
  const days = BLOCK_YEARS * DAYS_PER_YEAR;
  const kt = new Float64Array(blocks * days);
  const temperature_degC = new Float64Array(blocks * days);
  const anomaly = new Float64Array(days);
  const root = createRandom(input.seed);
  for (let b = 0; b < blocks; b++) {
    const block = root.fork(b);
    clearness.generateBlock(block.fork(1), kt.subarray(b * days, (b + 1) * days), anomaly);
    temperature.generateBlock(block.fork(2), anomaly, temperature_degC.subarray(b * days, (b + 1) * days));
  }
  const length = years * DAYS_PER_YEAR;
  return {
    kt: kt.subarray(0, length),
    ghi_kWh_m2: Float64Array.from({ length }, (_, i) => (kt[i]! * sun.h0_Wh_m2[i % DAYS_PER_YEAR]!) / 1000),
    temperature_degC: temperature_degC.subarray(0, length),
  };
}

/** Wind of each month from one value, twelve, or none. */
export function windOfMonths(wind_m_s: number | readonly number[] | undefined): readonly number[] {
  if (wind_m_s === undefined || typeof wind_m_s === 'number')
    return new Array<number>(12).fill(wind_m_s ?? DEFAULT_WIND_m_s);
  return wind_m_s;
}

function checkSynthetic(input: SyntheticInput): void {
  const { years, sun } = input;
  if (!(Number.isInteger(years) && years >= 1)) throw new RangeError(`syntheticYears: years is ${years}`);
  const twelve: [string, readonly number[] | undefined][] = [
    ['ghi_kWh_m2_day', input.ghi_kWh_m2_day],
    ['temperature_degC', input.temperature_degC],
    ['dhi_kWh_m2_day', input.dhi_kWh_m2_day],
    ['snowfall_cm', input.snowfall_cm],
    ['wind_m_s', typeof input.wind_m_s === 'number' ? undefined : input.wind_m_s],
  ];
  for (const [name, values] of twelve) {
    if (values === undefined) continue;
    if (values.length !== 12 || !values.every(Number.isFinite))
      throw userError(
        'weather.twelve',
        `${name} has ${values.length} value(s): give twelve numbers, January to December`,
        { field: name },
      );
    if (name !== 'temperature_degC' && values.some((v) => v < 0))
      throw userError('weather.negative', `${name} holds a negative value: it cannot be below 0`, { field: name });
  }
  const { h0Mean_Wh_m2 } = monthlyClearness(input.ghi_kWh_m2_day, sun.h0_Wh_m2);
  for (let m = 0; m < 12; m++) {
    const limit = h0Mean_Wh_m2[m]! / 1000;
    const given = input.ghi_kWh_m2_day[m]!;
    // 0.1 kWh/m² leaves room for twilight in months with hardly any sun.
    if (given > limit + 0.1)
      throw userError(
        'weather.above-extraterrestrial',
        `ghi_kWh_m2_day of ${MONTH_NAMES[m]} is ${Number(given.toPrecision(6))}, but no more than ${limit.toFixed(2)} reaches the top of the atmosphere there in that month: check the unit (kWh/m² a day), the order of the months and the latitude`,
        { field: 'ghi_kWh_m2_day' },
      );
    const diffuse = input.dhi_kWh_m2_day?.[m] ?? 0;
    if (diffuse > given * 1.001)
      throw userError(
        'weather.diffuse-above-global',
        `dhi_kWh_m2_day of ${MONTH_NAMES[m]} is ${diffuse}, more than the global ${given}: diffuse light is a part of the global`,
        { field: 'dhi_kWh_m2_day' },
      );
  }
}

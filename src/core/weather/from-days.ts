/** Hourly weather from a record of days: the same hourly shape as the synthetic years, the days' own totals and means. */
import { createRandom } from '../math/index.ts';
import type { SunYear } from '../sun/index.ts';
import { DAYS_PER_YEAR } from '../units/index.ts';
import { diffuseExponents } from './climate-rules.ts';
import { monthlyClearness } from './daily.ts';
import { createHourlyShape } from './hourly.ts';
import { allocateWeather, type WeatherHours } from './hours.ts';
import { monthOfDays } from './monthly-curve.ts';
import { windOfMonths } from './synthetic.ts';
import { diurnalRange_K, fillDayTemperature } from './temperature.ts';

export interface DayRecord {
  readonly sun: SunYear;
  readonly elevation_m: number;
  /** Day of the year 0..364 of each day of the record. */
  readonly dayOfYear: ArrayLike<number>;
  /** Daily totals of global horizontal radiation. */
  readonly ghi_kWh_m2: ArrayLike<number>;
  readonly temperature_degC: ArrayLike<number>;
  /** Daily range of temperature where the record has it; from the clearness otherwise. */
  readonly temperatureRange_K?: ArrayLike<number>;
  /** Daily means, or one value or twelve of the months. */
  readonly windDaily_m_s?: ArrayLike<number>;
  readonly wind_m_s?: number | readonly number[];
  readonly seed: number;
}

/**
 * Hours of each day of the record, in order. Totals are kept exactly wherever the sun rises (a day above the extraterrestrial
 * is held at it); where it does not rise the hours are dark. Lengths must agree (RangeError).
 */
export function hoursFromDays(record: DayRecord, into?: WeatherHours): WeatherHours {
  const { sun, dayOfYear, ghi_kWh_m2, temperature_degC, windDaily_m_s } = record;
  const days = dayOfYear.length;
  if (ghi_kWh_m2.length !== days || temperature_degC.length !== days)
    throw new RangeError('hoursFromDays: the columns differ in length');
  const hours = into ?? allocateWeather(days * 24);
  if (hours.length !== days * 24) throw new RangeError(`hoursFromDays: ${hours.length} hours given for ${days} days`);
  const months = monthOfDays();
  const shape = createHourlyShape(sun, record.elevation_m, exponentsOf(record, months));
  const wind = windOfMonths(record.wind_m_s);
  const chance = createRandom(record.seed);
  const clearness = (n: number) => {
    const h0 = sun.h0_Wh_m2[dayOfYear[n]!]!;
    return h0 > 1 ? Math.min(1, Math.max(0, (ghi_kWh_m2[n]! * 1000) / h0)) : 0;
  };
  const range = (n: number) => record.temperatureRange_K?.[n] ?? diurnalRange_K(clearness(n));
  for (let n = 0; n < days; n++) {
    const day = dayOfYear[n]!;
    if (!(day >= 0 && day < DAYS_PER_YEAR)) throw new RangeError(`hoursFromDays: day of the year ${day}`);
    const before = Math.max(0, n - 1);
    const after = Math.min(days - 1, n + 1);
    shape.fillDay(day, clearness(n), chance, hours, n * 24);
    fillDayTemperature(
      temperature_degC[before]!,
      temperature_degC[n]!,
      temperature_degC[after]!,
      range(before),
      range(n),
      range(after),
      hours.temperature_degC,
      n * 24,
    );
    hours.wind_m_s.fill(windDaily_m_s?.[n] ?? wind[months[day]!]!, n * 24, n * 24 + 24);
    for (let h = 0; h < 24; h++) hours.hourOfYear[n * 24 + h] = day * 24 + h;
  }
  return hours;
}

/** Diffuse exponents from the record's own monthly means; months that it lacks take a clearness of 0.5. */
function exponentsOf(record: DayRecord, months: Uint8Array): Float64Array {
  const { sun, dayOfYear, ghi_kWh_m2 } = record;
  const global = new Float64Array(12);
  const outside = new Float64Array(12);
  for (let n = 0; n < dayOfYear.length; n++) {
    global[months[dayOfYear[n]!]!]! += ghi_kWh_m2[n]! * 1000;
    outside[months[dayOfYear[n]!]!]! += sun.h0_Wh_m2[dayOfYear[n]!]!;
  }
  const { h0Mean_Wh_m2 } = monthlyClearness(new Array<number>(12).fill(0), sun.h0_Wh_m2);
  return diffuseExponents(
    global.map((g, m) => (outside[m]! > 0 ? Math.min(1, g / outside[m]!) : 0.5)),
    h0Mean_Wh_m2,
  );
}

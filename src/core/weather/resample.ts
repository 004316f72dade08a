/** More years out of a real multi-year record: whole calendar months drawn at random. */
import { createRandom } from '../math/index.ts';
import { DAYS_PER_YEAR, HOURS_PER_YEAR, MONTH_START, userError } from '../units/index.ts';
import { allocateWeather, type WeatherHours } from './hours.ts';
import { MONTH_NAMES } from './monthly-curve.ts';

/**
 * `years` years, each calendar month copied whole from a randomly chosen year of the record that holds that month
 * complete: months keep their own spells, spells across a month's border are broken (a block bootstrap, Künsch 1989; block = month,
 * since weather is forgotten within some ten days). A record of one year gives that year back every time.
 *
 * The record is in order of time; a repeated hour of the year (29 February) is skipped. Throws UserError when a calendar month
 * is nowhere complete.
 */
export function resampleBlocks(record: WeatherHours, years: number, seed: number, into?: WeatherHours): WeatherHours {
  const starts = monthStarts(record);
  const out = into ?? allocateWeather(years * HOURS_PER_YEAR, record.snowfall_cm !== undefined);
  if (out.length !== years * HOURS_PER_YEAR)
    throw new RangeError(`resampleBlocks: ${out.length} hours given for ${years} years`);
  const chance = createRandom(seed);
  for (let y = 0; y < years; y++) {
    for (let m = 0; m < 12; m++) {
      const from = starts[m]![chance.below(starts[m]!.length)]!;
      const first = MONTH_START[m]! * 24;
      const length = MONTH_START[m + 1]! * 24 - first;
      const to = y * HOURS_PER_YEAR + first;
      out.ghi_W_m2.set(record.ghi_W_m2.subarray(from, from + length), to);
      out.dni_W_m2.set(record.dni_W_m2.subarray(from, from + length), to);
      out.dhi_W_m2.set(record.dhi_W_m2.subarray(from, from + length), to);
      out.temperature_degC.set(record.temperature_degC.subarray(from, from + length), to);
      out.wind_m_s.set(record.wind_m_s.subarray(from, from + length), to);
      if (record.snowfall_cm && out.snowfall_cm)
        out.snowfall_cm.set(record.snowfall_cm.subarray(from, from + length), to);
      for (let h = 0; h < length; h++) out.hourOfYear[to + h] = first + h;
    }
  }
  return out;
}

/** For each calendar month the indices at which it begins and then runs without a gap to its end. */
function monthStarts(record: WeatherHours): number[][] {
  const { hourOfYear } = record;
  const starts: number[][] = Array.from({ length: 12 }, () => []);
  for (let m = 0; m < 12; m++) {
    const first = MONTH_START[m]! * 24;
    const length = MONTH_START[m + 1]! * 24 - first;
    for (let i = 0; i + length <= record.length; i++) {
      if (hourOfYear[i] !== first) continue;
      let h = 1;
      while (h < length && hourOfYear[i + h] === first + h) h++;
      if (h === length) starts[m]!.push(i);
    }
    if (starts[m]!.length === 0)
      throw userError(
        'weather.month-missing',
        `the weather record has no complete ${MONTH_NAMES[m]}: resampling needs each calendar month without a gap at least once in ${DAYS_PER_YEAR} days`,
      );
  }
  return starts;
}

import { sunYear } from '../../core/sun/index.ts';
import { allocateWeather, type WeatherHours } from '../../core/weather/hours.ts';
import { fillGaps, fillShortRuns, LONGEST_FILLED_h } from './gaps.ts';
import { checkPlace, type PlaceFields } from './place.ts';
import type { ReadContext } from './problems.ts';
import { count } from './problems.ts';
import { checkAgainstSun, checkClosure, completeRadiation, hourOfYear } from './radiation.ts';
import { checkRanges } from './ranges.ts';
import type { SeriesRows } from './rows.ts';
import { checkSequence } from './sequence.ts';
import { snowfallFromDepth } from './snow.ts';
import { januaryFirst, yearsOf } from './start.ts';
import type { DraftPlace, WeatherFile, WeatherFormat, WeatherReadOptions } from './types.ts';

/** Wind where a file has none: the same light air as in synthetic years; judgement, no source. */
const DEFAULT_WIND_m_s = 1.5;

/**
 * Turns the rows of any hourly format into whole years of weather: checks order, ranges and place, fills, splits and
 * turns the series so that it begins on 1 January. Throws all problems of the file at once.
 */
export function finishHours(
  format: WeatherFormat,
  rows: SeriesRows,
  draft: DraftPlace,
  fields: PlaceFields,
  options: WeatherReadOptions,
  context: ReadContext,
): WeatherFile {
  const { problems, notes } = context;
  const place = checkPlace(draft, options.place ?? {}, fields, context);
  checkRanges(rows, context);
  const sequence = checkSequence(rows, context);
  const orderly = problems.count === 0;
  if (rows.length > 0) {
    if (place !== undefined && orderly) {
      const sun = sunYear({ ...place, elevation_m: place.elevation_m ?? 0 });
      checkClosure(rows, sun, notes);
      completeRadiation(rows, sun, context);
      if (problems.count === 0) checkAgainstSun(rows, sun, place, context);
    }
    fillGaps(rows, 'temperature_degC', LONGEST_FILLED_h.temperature, context);
    fillWind(rows, notes);
    if (rows.has('snowDepth_cm')) snowfallFromDepth(rows, sequence.typical, notes);
    else if (rows.has('snowfall_cm')) fillSnowfall(rows, notes);
  }
  problems.throwIfAny();
  if (place === undefined) throw new RangeError('a place that cannot be used must have been told');
  if (place.elevation_m === undefined) notes.push('The elevation is not stated: sea level is taken.');
  const start = januaryFirst(rows, hourOfYear(rows, 0), notes);
  const years = yearsOf(rows, start, sequence.typical, notes);
  return { kind: 'hourly', format, place, hours: toWeather(rows, start), ...years, rows: sequence.rows, notes };
}

/** Wind only cools the panel: what cannot be filled takes the file's mean instead of stopping the work. */
function fillWind(rows: SeriesRows, notes: string[]): void {
  const wind = rows.values['wind_m_s'] ?? new Float32Array(rows.length).fill(Number.NaN);
  rows.values['wind_m_s'] = wind;
  let sum = 0;
  let known = 0;
  for (let i = 0; i < rows.length; i++) {
    if (Number.isNaN(wind[i]!)) continue;
    sum += wind[i]!;
    known++;
  }
  if (known === rows.length) return;
  if (known === 0) {
    wind.fill(DEFAULT_WIND_m_s);
    notes.push(`The file has no wind: ${DEFAULT_WIND_m_s} m/s is taken throughout.`);
    return;
  }
  const mean = sum / known;
  let long = 0;
  const filled = fillShortRuns(wind, rows.length, LONGEST_FILLED_h.wind, (_, run) => {
    long += run;
  });
  for (let i = 0; i < rows.length; i++) if (Number.isNaN(wind[i]!)) wind[i] = mean;
  if (filled > 0) notes.push(`wind_m_s: ${count(filled)} missing values are filled on a straight line.`);
  if (long > 0)
    notes.push(`wind_m_s: ${count(long)} values in long gaps take the mean of the file, ${mean.toFixed(1)} m/s.`);
}

function fillSnowfall(rows: SeriesRows, notes: string[]): void {
  const snow = rows.values['snowfall_cm']!;
  let missing = 0;
  for (let i = 0; i < rows.length; i++) {
    if (!Number.isNaN(snow[i]!)) continue;
    snow[i] = 0;
    missing++;
  }
  if (missing === rows.length) delete rows.values['snowfall_cm'];
  else if (missing > 0) notes.push(`snowfall_cm: ${count(missing)} missing values are taken as no snow.`);
}

function toWeather(rows: SeriesRows, start: number): WeatherHours {
  const snow = rows.values['snowfall_cm'];
  const hours = allocateWeather(rows.length, snow !== undefined);
  const turn = (from: Float32Array, to: Float32Array) => {
    to.set(from.subarray(start, rows.length), 0);
    to.set(from.subarray(0, start), rows.length - start);
  };
  for (let i = 0; i < rows.length; i++) hours.hourOfYear[i] = i % 8760;
  turn(rows.values['ghi_W_m2']!, hours.ghi_W_m2);
  turn(rows.values['dni_W_m2']!, hours.dni_W_m2);
  turn(rows.values['dhi_W_m2']!, hours.dhi_W_m2);
  turn(rows.values['temperature_degC']!, hours.temperature_degC);
  turn(rows.values['wind_m_s']!, hours.wind_m_s);
  if (snow !== undefined && hours.snowfall_cm !== undefined) turn(snow, hours.snowfall_cm);
  return hours;
}

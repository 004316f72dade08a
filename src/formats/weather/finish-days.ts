import { sunYear } from '../../core/sun/index.ts';
import { fillGaps, fillShortRuns, LONGEST_FILLED_d } from './gaps.ts';
import { checkPlace } from './place.ts';
import type { ReadContext } from './problems.ts';
import { counted } from './problems.ts';
import { checkRanges } from './ranges.ts';
import type { SeriesRows } from './rows.ts';
import { checkSequence } from './sequence.ts';
import { dayOfYear, januaryFirst, yearsOf } from './start.ts';
import type { DailyFile, DailyValues, DraftPlace, WeatherFormat, WeatherReadOptions } from './types.ts';

const OPTIONAL = ['dhi_kWh_m2', 'temperatureMin_degC', 'temperatureMax_degC', 'wind_m_s'] as const;

/** Turns the rows of a daily format into whole years of days; throws all problems of the file at once. */
export function finishDays(
  format: WeatherFormat,
  rows: SeriesRows,
  draft: DraftPlace,
  options: WeatherReadOptions,
  context: ReadContext,
): DailyFile {
  const { problems, notes } = context;
  const place = checkPlace(draft, options.place ?? {}, {}, context);
  checkRanges(rows, context);
  const sequence = checkSequence(rows, context);
  if (rows.length > 0) {
    fillGaps(rows, 'ghi_kWh_m2', LONGEST_FILLED_d, context);
    fillGaps(rows, 'temperature_degC', LONGEST_FILLED_d, context);
    for (const name of OPTIONAL) fillOrDrop(rows, name, notes);
  }
  if (place !== undefined && problems.count === 0) {
    checkDaysAgainstSun(rows, sunYear({ ...place, elevation_m: place.elevation_m ?? 0 }).h0_Wh_m2, context);
  }
  problems.throwIfAny();
  if (place === undefined) throw new RangeError('a place that cannot be used must have been told');
  const start = januaryFirst(rows, dayOfYear(rows, 0), notes);
  const years = yearsOf(rows, start, sequence.typical, notes);
  return { kind: 'daily', format, place, days: toDays(rows, start), ...years, rows: sequence.rows, notes };
}

/** A column that nobody must have is left out where it cannot be filled. */
function fillOrDrop(rows: SeriesRows, name: (typeof OPTIONAL)[number], notes: string[]): void {
  const values = rows.values[name];
  if (values === undefined) return;
  let long = 0;
  const filled = fillShortRuns(values, rows.length, LONGEST_FILLED_d, (_, run) => {
    long += run;
  });
  if (filled === -1 || long > 0) {
    delete rows.values[name];
    notes.push(
      `${name} is not used: ${filled === -1 ? 'it is missing in every row' : `${counted(long, 'day')} of it are missing in long gaps`}.`,
    );
  } else if (filled > 0) notes.push(`${name}: ${counted(filled, 'missing value')} filled on a straight line.`);
}

function checkDaysAgainstSun(rows: SeriesRows, h0_Wh_m2: ArrayLike<number>, context: ReadContext): void {
  const ghi = rows.values['ghi_kWh_m2']!;
  let above = 0;
  let first = -1;
  let sum = 0;
  for (let i = 0; i < rows.length; i++) {
    sum += ghi[i]!;
    if (ghi[i]! > (1.1 * h0_Wh_m2[dayOfYear(rows, i)]!) / 1000 + 0.1 && above++ === 0) first = i;
  }
  if (sum <= 0) {
    context.problems.add('weather.dark', 'ghi_kWh_m2 is 0 on every day: the file has no sunlight.', {
      field: 'ghi_kWh_m2',
    });
  }
  if (above === 0) return;
  context.problems.add(
    'weather.aboveAtmosphere',
    `ghi_kWh_m2 is more than what reaches the top of the atmosphere on ${counted(above, 'day')}, first ${ghi[first]!.toFixed(2)} kWh/m² in ${rows.where(first)}: are latitude and unit right?`,
    rows.place(first, 'ghi_kWh_m2'),
  );
}

function toDays(rows: SeriesRows, start: number): DailyValues {
  const { length } = rows;
  const turn = <T extends Float32Array | Int16Array>(from: T): T => {
    const to = from.slice(0, length) as T;
    to.set(from.subarray(start, length), 0);
    to.set(from.subarray(0, start), length - start);
    return to;
  };
  const optional = (name: (typeof OPTIONAL)[number]) =>
    rows.values[name] === undefined ? {} : { [name]: turn(rows.values[name]) };
  return {
    length,
    dayOfYear: Uint16Array.from({ length }, (_, i) => i % 365),
    year: turn(rows.year),
    ghi_kWh_m2: turn(rows.values['ghi_kWh_m2']!),
    temperature_degC: turn(rows.values['temperature_degC']!),
    ...optional('dhi_kWh_m2'),
    ...optional('temperatureMin_degC'),
    ...optional('temperatureMax_degC'),
    ...optional('wind_m_s'),
  };
}

import { quote } from './fields.ts';
import { finishDays } from './finish-days.ts';
import { finishHours } from './finish-hours.ts';
import { MOST_ROWS } from './lines.ts';
import { type PowerClock, powerClock, powerColumns } from './power-columns.ts';
import type { ReadContext } from './problems.ts';
import { count } from './problems.ts';
import { SeriesRows } from './rows.ts';
import { type CivilHour, leapDayOfYear, shiftHour } from './times.ts';
import type { DailyFile, DraftPlace, WeatherFile, WeatherReadOptions } from './types.ts';

/** JSON is parsed whole, so its size is limited; 45 years of six hourly parameters take about 55 MB. */
export const LONGEST_JSON = 120_000_000;
/** A response has a few dozen objects and lists; a text with far more is something else and would eat memory. */
const MOST_BRACKETS = 20_000;

type Json = Readonly<Record<string, unknown>>;

/**
 * NASA POWER point data as JSON, hourly (keys YYYYMMDDHH) or daily (YYYYMMDD): a GeoJSON Feature with the series under
 * properties.parameter, units under parameters, `fill_value` and `time_standard` (LST is local SOLAR time) in the header.
 * An hour's stamp is its BEGINNING.
 *
 * Source: the service's own responses, as quoted in public repositories. Not checked against a live response.
 */
export function readPowerJson(
  text: string,
  options: WeatherReadOptions,
  context: ReadContext,
): WeatherFile | DailyFile {
  const { problems, notes } = context;
  const root = object(parseJson(text, context));
  const series = object(object(root?.['properties'])?.['parameter']);
  if (root === undefined || series === undefined) {
    return problems.fail(
      'weather.json',
      'The JSON has no properties.parameter, under which NASA POWER gives its series: other JSON is not read.',
    );
  }
  const parameters = object(root?.['parameters']) ?? object(object(root?.['header'])?.['parameters']);
  const unitOf = (name: string) => {
    const unit = object(parameters?.[name])?.['units'];
    return typeof unit === 'string' ? unit : undefined;
  };
  const names = Object.keys(series).filter((name) => object(series[name]) !== undefined);
  const keys = Object.keys(object(series['ALLSKY_SFC_SW_DWN']) ?? object(series[names[0] ?? '']) ?? {});
  const sample = keys[0] ?? '';
  if (/^([A-Z]{3}|\d{6})$/.test(sample)) {
    problems.fail(
      'weather.monthly',
      'The file holds monthly means: hourly or daily data are read from files; give twelve monthly means as the climate of the perch instead.',
    );
  }
  const step = /^\d{10}$/.test(sample) ? 'hourly' : 'daily';
  const columns = powerColumns(step, names, unitOf, context);
  problems.throwIfAny();
  if (keys.length > MOST_ROWS) {
    problems.fail('weather.tooManyRows', `${count(keys.length)} rows: at most 200 years are read.`);
  }

  const draft = placeOf(root);
  const longitude = options.place?.longitude_deg ?? draft.longitude_deg ?? Number.NaN;
  const { fill, clock } = headerOf(root);
  const moved = powerClock(clock, longitude, step, notes);
  if (!Number.isNaN(longitude)) draft.utcOffset_h = moved.utcOffset_h;
  const shift_h = Number.isNaN(longitude) ? 0 : moved.shift_h;

  const rows = new SeriesRows(
    step === 'hourly' ? 24 : 1,
    columns.map((column) => column.name),
    Math.max(1, keys.length),
  );
  const length = step === 'hourly' ? 10 : 8;
  const stamp: CivilHour = { year: 0, month: 0, day: 0, hour: 0 };
  const sources = columns.map((column) => object(series[column.parameter])!);
  keys.sort();
  for (const key of keys) {
    stamp.year = Number(key.slice(0, 4));
    stamp.month = Number(key.slice(4, 6));
    stamp.day = Number(key.slice(6, 8));
    stamp.hour = step === 'hourly' ? Number(key.slice(8)) : 0;
    let leapDay = /^\d+$/.test(key) && key.length === length ? leapDayOfYear(stamp.month, stamp.day) : -1;
    if (leapDay < 0 || stamp.hour > 23) {
      problems.add('weather.time', `${quote(key)} is no time: ${'YYYYMMDDHH'.slice(0, length)} is needed.`, {
        field: 'ALLSKY_SFC_SW_DWN',
      });
      continue;
    }
    if (shift_h !== 0) {
      shiftHour(stamp, shift_h);
      leapDay = leapDayOfYear(stamp.month, stamp.day);
    }
    const i = rows.append(stamp.year, leapDay * rows.stepsPerDay + stamp.hour, 0);
    for (let c = 0; c < columns.length; c++) {
      const { parameter, name, scale, offset } = columns[c]!;
      const value = sources[c]![key];
      if (typeof value === 'number') {
        if (value !== fill && value !== -999) rows.values[name]![i] = value * scale + offset;
      } else if (value !== null && value !== undefined) {
        problems.add(
          'weather.field',
          `${quote(String(JSON.stringify(value)))} stands where a number should at ${key}.`,
          {
            field: `${parameter}.${key}`,
          },
        );
      }
    }
  }
  return step === 'hourly'
    ? finishHours('POWER hourly JSON', rows, draft, {}, options, context)
    : finishDays('POWER daily JSON', rows, draft, options, context);
}

function parseJson(text: string, { problems }: ReadContext): unknown {
  let brackets = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if ((code === 0x7b || code === 0x5b) && ++brackets > MOST_BRACKETS) {
      problems.fail('weather.json', `The JSON has more than ${count(MOST_BRACKETS)} objects: this is no weather file.`);
    }
  }
  try {
    return JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    const whole = text.trimEnd().endsWith('}');
    return problems.fail(
      'weather.json',
      `The JSON cannot be read${whole ? '' : ', it is cut off at its end'}: fetch the file again.`,
    );
  }
}

function object(value: unknown): Json | undefined {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Json) : undefined;
}

function placeOf(root: Json): DraftPlace {
  const coordinates = object(root['geometry'])?.['coordinates'];
  const [longitude_deg, latitude_deg, elevation_m] = Array.isArray(coordinates) ? (coordinates as unknown[]) : [];
  const number = (value: unknown) => (value === undefined ? undefined : typeof value === 'number' ? value : Number.NaN);
  return {
    latitude_deg: number(latitude_deg),
    longitude_deg: number(longitude_deg),
    elevation_m: number(elevation_m),
  };
}

/** Fill value and clock; older responses keep the clock under `time.standard`. */
function headerOf(root: Json): { fill: number; clock: PowerClock | undefined } {
  const header = object(root['header']);
  const told = header?.['time_standard'] ?? object(header?.['time'])?.['standard'];
  const fill = header?.['fill_value'];
  return {
    fill: typeof fill === 'number' ? fill : -999,
    clock: told === 'LST' || told === 'UTC' ? told : undefined,
  };
}

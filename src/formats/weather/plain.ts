import { FieldReader, quote, type Row, readNumber, splitLines } from './fields.ts';
import { finishHours } from './finish-hours.ts';
import type { LineParser } from './parser.ts';
import type { PlaceFields } from './place.ts';
import type { ReadContext } from './problems.ts';
import { offsetText } from './problems.ts';
import { SeriesRows } from './rows.ts';
import { type CivilHour, leapDayOfYear, shiftHour } from './times.ts';
import { listed } from './tmy3.ts';
import type { DraftPlace, WeatherReadOptions } from './types.ts';

const VALUES = ['ghi_W_m2', 'dni_W_m2', 'dhi_W_m2', 'temperature_degC', 'wind_m_s', 'snowfall_cm'];
const TIMES = ['time', 'time_end', 'year', 'month', 'day', 'hour', 'hour_end'];
const NEEDED = ['ghi_W_m2', 'temperature_degC'];
const TIME =
  /^\s*(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ](\d{1,2}):(\d{2})(?::\d{2}(?:\.\d+)?)?)?\s*(Z|[+-]\d{2}:?(?:\d{2})?)?\s*$/i;

/** Whether a line could be the row of titles of a plain CSV: it has columns, and one of them is about time or light. */
export function looksLikeTitles(line: string): boolean {
  return (
    /[,;\t]/.test(line) && /\b(time|time_end|date|month|ghi|temp)|ghi_|temperature/i.test(line) && /[a-z]/i.test(line)
  );
}

/**
 * Plain CSV with named columns, the format for a user's own data.
 *
 * ```csv
 * # latitude_deg: 46.4
 * # longitude_deg: 10.2
 * # elevation_m: 1800
 * # utcOffset_h: 1
 * time,ghi_W_m2,temperature_degC,wind_m_s
 * 2019-01-01T00:00,0,-6.2,1.4
 * ```
 *
 * Comment lines give the place: `latitude_deg`, `longitude_deg`, and, where known, `elevation_m`, `utcOffset_h` (of local
 * standard time) and `name`. The time is one of
 * - `time`: ISO date and time at which the hour BEGINS, 00:00 to 23:00; minutes are not used;
 * - `time_end`: the same at which the hour ENDS, 01:00 to 24:00 or 00:00 of the next day;
 * - `month`, `day` and `hour` (begins, 0..23) or `hour_end` (1..24), and `year` if there is one.
 *
 * Times are local standard time, never daylight saving; a suffix (`Z`, `+01:00`) must be the stated offset. `ghi_W_m2` and
 * `temperature_degC` are needed; `dni_W_m2`, `dhi_W_m2`, `wind_m_s`, `snowfall_cm` (fresh snow of the hour) may be there;
 * other columns are left aside and told. Radiation is the mean over the hour. A blank field is a missing value. Fields
 * are parted by comma, semicolon or tab; the decimal sign is a point.
 */
export function plainParser(options: WeatherReadOptions, context: ReadContext): LineParser {
  const { problems, notes } = context;
  const draft: DraftPlace = {};
  const fields: PlaceFields = {};
  const row: Row = { fields: [], text: '', line: 0 };
  const stamp: CivilHour = { year: 0, month: 0, day: 0, hour: 0 };
  const at: Record<string, number> = {};
  let names: string[] = [];
  let rows = new SeriesRows(24, []);
  let reader = new FieldReader(problems, ',', () => false);
  let delimiter = ',';
  let titled = false;
  let suffixTold = false;
  let least = 0;

  const comment = (text: string, line: number) => {
    const pair = /^#\s*([A-Za-z_]+)\s*[:=]\s*(.*?)\s*$/.exec(text);
    if (pair === null) return;
    const key = pair[1]!;
    if (key === 'name') draft.name = pair[2]!;
    else if (key === 'latitude_deg' || key === 'longitude_deg' || key === 'elevation_m' || key === 'utcOffset_h') {
      draft[key] = readNumber(pair[2]!);
      fields[key] = { line };
    }
  };

  const titles = (text: string, line: number) => {
    titled = true;
    delimiter = [',', ';', '\t'].reduce((best, sign) =>
      text.split(sign).length > text.split(best).length ? sign : best,
    );
    const found = splitLines([text], delimiter)[0]!.map((title) => title.trim());
    for (const name of [...VALUES, ...TIMES]) {
      const index = found.indexOf(name);
      if (index === -1) continue;
      at[name] = index;
      if (found.indexOf(name, index + 1) !== -1) {
        problems.add('weather.column', `The column ${name} stands twice.`, { line });
      }
    }
    const told = `found: ${listed(found)}`;
    for (const name of NEEDED) {
      if (at[name] === undefined) problems.add('weather.column', `The column ${name} is missing; ${told}.`, { line });
    }
    const hour = at['hour'] ?? at['hour_end'];
    if ((at['time'] ?? at['time_end']) === undefined && (at['month'] ?? at['day'] ?? hour) === undefined) {
      problems.add('weather.column', `The column time (or time_end, or month, day and hour) is missing; ${told}.`, {
        line,
      });
    } else if ((at['time'] ?? at['time_end']) === undefined) {
      for (const [name, index] of [
        ['month', at['month']],
        ['day', at['day']],
        ['hour', hour],
      ] as const) {
        if (index === undefined) problems.add('weather.column', `The column ${name} is missing; ${told}.`, { line });
      }
    }
    problems.throwIfAny();
    const unused = found.filter((title) => ![...VALUES, ...TIMES].includes(title));
    if (unused.length > 0) notes.push(`Columns not used: ${listed(unused)}.`);
    names = VALUES.filter((name) => at[name] !== undefined);
    rows = new SeriesRows(24, names);
    reader = new FieldReader(problems, delimiter, () => false);
    least = Math.max(...Object.values(at)) + 1;
  };

  /** Fills `stamp` with the hour's beginning; false where the field is no time (told). */
  const readTime = (): boolean => {
    const index = at['time'] ?? at['time_end'];
    if (index === undefined) return readParts();
    const match = TIME.exec(row.fields[index]!);
    if (match === null) {
      problems.add(
        'weather.time',
        `${quote(row.fields[index]!)} is no time: YYYY-MM-DDTHH:MM is needed, for instance 2019-01-31T07:00.`,
        { line: row.line },
      );
      return false;
    }
    stamp.year = Number(match[1]);
    stamp.month = Number(match[2]);
    stamp.day = Number(match[3]);
    stamp.hour = Number(match[4] ?? 0);
    if (match[6] !== undefined) checkSuffix(match[6]);
    if (leapDayOfYear(stamp.month, stamp.day) < 0) return badTime();
    if (at['time'] !== undefined) return stamp.hour <= 23 || badTime();
    if (stamp.hour > 24 || Number(match[5] ?? 0) !== 0) return badTime();
    shiftHour(stamp, -1);
    return true;
  };

  const readParts = (): boolean => {
    const before = problems.count;
    stamp.year = at['year'] === undefined ? 0 : reader.whole(row, at['year'], 'year');
    stamp.month = reader.whole(row, at['month']!, 'month');
    stamp.day = reader.whole(row, at['day']!, 'day');
    const ends = at['hour'] === undefined;
    stamp.hour = reader.whole(row, ends ? at['hour_end']! : at['hour']!, 'hour') - (ends ? 1 : 0);
    if (problems.count > before) return false;
    return (
      (leapDayOfYear(stamp.month, stamp.day) >= 0 && stamp.hour >= 0 && stamp.hour <= 23 && stamp.year <= 9999) ||
      badTime()
    );
  };

  const badTime = (): false => {
    const ends = at['time_end'] !== undefined || at['hour_end'] !== undefined;
    problems.add(
      'weather.time',
      `${quote(row.text.slice(0, 40))} gives no hour: days are those of the calendar, and full hours run from ${ends ? '1 to 24' : '0 to 23'}.`,
      { line: row.line },
    );
    return false;
  };

  const checkSuffix = (suffix: string) => {
    if (suffixTold) return;
    const digits = /([+-])(\d{2}):?(\d{2})?/.exec(suffix);
    const offset_h =
      digits === null ? 0 : (digits[1] === '-' ? -1 : 1) * (Number(digits[2]) + Number(digits[3] ?? 0) / 60);
    const stated = options.place?.utcOffset_h ?? draft.utcOffset_h;
    if (stated === offset_h) return;
    suffixTold = true;
    problems.add(
      'weather.timeSuffix',
      `The times carry ${quote(suffix)} and the UTC offset of the place is ${stated === undefined ? 'not stated (# utcOffset_h: …)' : offsetText(stated)}: times must be in local standard time all year.`,
      { line: row.line },
    );
  };

  const record = () => {
    if (row.fields.length < least) {
      const comma = row.fields.length === 1 && delimiter !== ';' ? ' Are the fields parted as in the titles?' : '';
      problems.add(
        'weather.shortRow',
        `The row has ${row.fields.length} fields, the columns in use need ${least}.${comma}`,
        {
          line: row.line,
        },
      );
      return;
    }
    if (!readTime()) return;
    const i = rows.append(stamp.year, leapDayOfYear(stamp.month, stamp.day) * 24 + stamp.hour, row.line);
    for (const name of names) rows.values[name]![i] = reader.number(row, at[name]!, name);
  };

  return {
    lines(lines, firstLine) {
      let k = 0;
      for (; k < lines.length && !titled; k++) {
        const text = lines[k]!.trim();
        if (text.startsWith('#')) comment(text, firstLine + k);
        else if (text !== '') titles(text, firstLine + k);
      }
      const body = k === 0 ? lines : lines.slice(k);
      if (body.length === 0) return;
      const split = splitLines(body, delimiter);
      for (let n = 0; n < body.length; n++) {
        row.text = body[n]!;
        const trimmed = row.text.trim();
        if (trimmed === '' || trimmed.startsWith('#')) continue;
        row.fields = split[n]!;
        row.line = firstLine + k + n;
        record();
      }
    },
    end() {
      if (!titled) problems.fail('weather.noTitles', 'The file has no row of column titles.');
      return finishHours('plain CSV', rows, draft, fields, options, context);
    },
  };
}

import { FieldReader, quote, type Row, readNumber, splitLines } from './fields.ts';
import { finishHours } from './finish-hours.ts';
import type { LineParser } from './parser.ts';
import type { PlaceFields } from './place.ts';
import type { ReadContext } from './problems.ts';
import { SeriesRows } from './rows.ts';
import { leapDayOfYear } from './times.ts';
import type { DraftPlace, WeatherReadOptions } from './types.ts';

const VALUES = ['ghi_W_m2', 'dni_W_m2', 'dhi_W_m2', 'temperature_degC', 'wind_m_s'];

/** Titles without their unit, in lower case, by which a column is known; spelling differs a little between releases. */
const TITLES: Readonly<Record<string, readonly string[]>> = {
  date: ['date'],
  time: ['time'],
  ghi_W_m2: ['ghi'],
  dni_W_m2: ['dni'],
  dhi_W_m2: ['dhi'],
  temperature_degC: ['dry-bulb', 'dry bulb', 'drybulb'],
  wind_m_s: ['wspd', 'wind speed'],
};

/** Whether a line is the row of titles of this format. */
export function isTmy3Titles(line: string): boolean {
  return /^"?date \(mm\/dd\/yyyy\)/i.test(line.trim());
}

/**
 * TMY3 CSV: a line with the place, a row of titles, then hours with date MM/DD/YYYY and time 01:00 to 24:00, which END at
 * the stamp, in local standard time. -9900 and -9999 mark missing values. Columns are found by title.
 *
 * Source: Wilcox & Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156, tables 1-1 and 1-2 (from memory),
 * and a real file.
 */
export function tmy3Parser(options: WeatherReadOptions, context: ReadContext): LineParser {
  const { problems } = context;
  const rows = new SeriesRows(24, VALUES);
  const reader = new FieldReader(problems, ',', (v) => v <= -9900);
  const row: Row = { fields: [], text: '', line: 0 };
  const draft: DraftPlace = {};
  const fields: PlaceFields = {};
  const at: Record<string, number> = {};
  let headers = 0;
  let columns = 0;

  const header = (text: string, line: number) => {
    if (text.trim() === '') return;
    const parts = splitLines([text], ',')[0]!.map((part) => part.trim());
    headers++;
    if (headers === 1) {
      const part = (index: number, name: keyof PlaceFields) => {
        fields[name] = { line, field: name };
        return readNumber(parts[index] ?? '');
      };
      draft.name = [parts[1], parts[2]].filter((p) => p !== undefined && p !== '').join(', ');
      draft.utcOffset_h = part(3, 'utcOffset_h');
      draft.latitude_deg = part(4, 'latitude_deg');
      draft.longitude_deg = part(5, 'longitude_deg');
      draft.elevation_m = part(6, 'elevation_m');
      return;
    }
    const titles = parts.map((title) => title.replace(/\s*\(.*\)\s*$/, '').toLowerCase());
    const missing: string[] = [];
    for (const [name, known] of Object.entries(TITLES)) {
      at[name] = titles.findIndex((title) => known.includes(title));
      if (at[name] === -1) missing.push(known[0]!);
    }
    columns = Math.max(...Object.values(at)) + 1;
    if (missing.length > 0) {
      problems.fail(
        'weather.column',
        `The column${missing.length === 1 ? '' : 's'} ${missing.map((m) => m.toUpperCase()).join(', ')} ${missing.length === 1 ? 'is' : 'are'} missing; found: ${listed(parts)}.`,
        { line },
      );
    }
  };

  const record = () => {
    const f = row.fields;
    if (f.length < columns) {
      problems.add('weather.shortRow', `The row has ${f.length} fields: the columns in use need ${columns}.`, {
        line: row.line,
      });
      return;
    }
    const date = /^\s*(\d{1,2})\/(\d{1,2})\/(\d{4})\s*$/.exec(f[at['date']!]!);
    const time = /^\s*(\d{1,2}):(\d{2})/.exec(f[at['time']!]!);
    const leapDay = date === null ? -1 : leapDayOfYear(Number(date[1]), Number(date[2]));
    const hour = time === null ? 0 : Number(time[1]);
    if (date === null || leapDay < 0 || hour < 1 || hour > 24) {
      problems.add(
        'weather.time',
        `${quote(`${f[at['date']!]} ${f[at['time']!]}`)} is no hour: dates are MM/DD/YYYY and times run from 01:00 to 24:00.`,
        { line: row.line },
      );
      return;
    }
    const i = rows.append(Number(date[3]), leapDay * 24 + hour - 1, row.line);
    for (const name of VALUES) rows.values[name]![i] = reader.number(row, at[name]!, name);
  };

  return {
    lines(lines, firstLine) {
      let k = 0;
      while (headers < 2 && k < lines.length) {
        header(lines[k]!, firstLine + k);
        k++;
      }
      const body = k === 0 ? lines : lines.slice(k);
      if (body.length === 0) return;
      const split = splitLines(body, ',');
      for (let n = 0; n < body.length; n++) {
        row.text = body[n]!;
        if (row.text.trim() === '') continue;
        row.fields = split[n]!;
        row.line = firstLine + k + n;
        record();
      }
    },
    end: () => finishHours('TMY3', rows, draft, fields, options, context),
  };
}

/** Titles as told: the first few, cut where there are many. */
export function listed(titles: readonly string[]): string {
  const shown = titles.slice(0, 12).map((title) => quote(title));
  return titles.length > 12 ? `${shown.join(', ')} and ${titles.length - 12} more` : shown.join(', ');
}

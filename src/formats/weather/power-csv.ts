import { FieldReader, type Row, readNumber, splitLines } from './fields.ts';
import { finishDays } from './finish-days.ts';
import { finishHours } from './finish-hours.ts';
import type { LineParser } from './parser.ts';
import type { PlaceFields } from './place.ts';
import { type PowerClock, type PowerColumn, powerClock, powerColumns } from './power-columns.ts';
import type { ReadContext } from './problems.ts';
import { SeriesRows } from './rows.ts';
import { type CivilHour, dayOfYearToDate, leapDayOfYear, shiftHour } from './times.ts';
import { listed } from './tmy3.ts';
import type { DraftPlace, WeatherReadOptions } from './types.ts';

const LONGEST_HEADER = 500;

/**
 * NASA POWER point data as CSV, hourly or daily: a block of text between -BEGIN HEADER- and -END HEADER- with place,
 * clock (LST is local SOLAR time), missing value and the parameters with their units, then titles YEAR,MO,DY,HR or
 * YEAR,DOY or YEAR,MO,DY and the parameters. An hour's stamp is its BEGINNING. Monthly and climatology files are refused
 * with a sentence.
 *
 * Source: the service's own responses, as quoted in public repositories. Not checked against a live response.
 */
export function powerCsvParser(options: WeatherReadOptions, context: ReadContext): LineParser {
  const { problems, notes } = context;
  const units = new Map<string, string>();
  const draft: DraftPlace = {};
  const fields: PlaceFields = {};
  const row: Row = { fields: [], text: '', line: 0 };
  const stamp: CivilHour = { year: 0, month: 0, day: 0, hour: 0 };
  let fill = -999;
  let clock: PowerClock | undefined;
  let stage: 'header' | 'titles' | 'rows' = 'header';
  let headerLines = 0;
  let reader = new FieldReader(problems, ',', () => false);
  let rows = new SeriesRows(24, []);
  let step: 'hourly' | 'daily' = 'hourly';
  let shift_h = 0;
  let columns: (PowerColumn & { at: number })[] = [];
  let at = { year: -1, month: -1, day: -1, hour: -1, dayOfYear: -1 };
  let least = 0;

  const header = (text: string, line: number) => {
    if (++headerLines > LONGEST_HEADER) {
      problems.fail('weather.header', `No -END HEADER- within ${LONGEST_HEADER} lines.`, { line });
    }
    const trimmed = text.trim();
    if (trimmed.startsWith('-END HEADER-')) {
      stage = 'titles';
      return;
    }
    const place = /latitude\s+(\S+)\s+longitude\s+(\S+)/i.exec(trimmed);
    if (place !== null) {
      draft.latitude_deg = readNumber(place[1]!);
      draft.longitude_deg = readNumber(place[2]!);
      fields.latitude_deg = { line };
      fields.longitude_deg = { line };
      return;
    }
    const elevation = /elevation.*=\s*(\S+)/i.exec(trimmed);
    if (elevation !== null) {
      draft.elevation_m = readNumber(elevation[1]!);
      fields.elevation_m = { line };
      return;
    }
    const missing = /(?:missing|availability).*:\s*(-?\d+(?:\.\d*)?)$/i.exec(trimmed);
    if (missing !== null) {
      fill = Number(missing[1]);
      return;
    }
    if (/^dates/i.test(trimmed)) {
      const told = /\b(LST|UTC)\b/.exec(trimmed);
      if (told !== null) clock = told[1] as PowerClock;
      return;
    }
    const parameter = /^([A-Z][A-Z0-9_]*)\s.*\(([^()]*)\)\s*;?$/.exec(trimmed);
    if (parameter !== null) units.set(parameter[1]!, parameter[2]!);
  };

  const titles = (text: string, line: number) => {
    if (text.trim() === '') return;
    stage = 'rows';
    const names = splitLines([text], ',')[0]!.map((title) => title.trim().toUpperCase());
    const index = (...known: string[]) => names.findIndex((name) => known.includes(name));
    at = {
      year: index('YEAR'),
      month: index('MO', 'MM', 'MONTH'),
      day: index('DY', 'DD', 'DAY'),
      hour: index('HR', 'HOUR'),
      dayOfYear: index('DOY'),
    };
    if (names[0] === 'PARAMETER') {
      problems.fail(
        'weather.monthly',
        'The file holds monthly means: hourly or daily data are read from files; give twelve monthly means as the climate of the perch instead.',
        { line },
      );
    }
    if (at.year < 0 || (at.dayOfYear < 0 && (at.month < 0 || at.day < 0))) {
      problems.fail(
        'weather.column',
        `The titles give no date: YEAR,MO,DY,HR or YEAR,DOY or YEAR,MO,DY is needed; found: ${listed(names)}.`,
        { line },
      );
    }
    step = at.hour >= 0 ? 'hourly' : 'daily';
    columns = powerColumns(step, names, (name) => units.get(name), context).map((column) => ({
      ...column,
      at: names.indexOf(column.parameter),
    }));
    problems.throwIfAny();
    rows = new SeriesRows(
      step === 'hourly' ? 24 : 1,
      columns.map((column) => column.name),
    );
    reader = new FieldReader(problems, ',', (value) => value === fill || value === -999);
    const longitude = options.place?.longitude_deg ?? draft.longitude_deg ?? Number.NaN;
    const moved = powerClock(clock, longitude, step, notes);
    draft.utcOffset_h = Number.isNaN(longitude) ? undefined : moved.utcOffset_h;
    shift_h = Number.isNaN(longitude) ? 0 : moved.shift_h;
    least = Math.max(...columns.map((column) => column.at), ...Object.values(at)) + 1;
  };

  const date = (): number => {
    if (at.dayOfYear >= 0) {
      const day = reader.whole(row, at.dayOfYear, 'DOY');
      const found = day < 0 ? undefined : dayOfYearToDate(stamp.year, day);
      if (found === undefined) return -1;
      stamp.month = found.month;
      stamp.day = found.day;
    } else {
      stamp.month = reader.whole(row, at.month, 'MO');
      stamp.day = reader.whole(row, at.day, 'DY');
    }
    return leapDayOfYear(stamp.month, stamp.day);
  };

  const record = () => {
    if (row.fields.length < least) {
      problems.add('weather.shortRow', `The row has ${row.fields.length} fields: the columns in use need ${least}.`, {
        line: row.line,
      });
      return;
    }
    const before = problems.count;
    stamp.year = reader.whole(row, at.year, 'YEAR');
    stamp.hour = step === 'hourly' ? reader.whole(row, at.hour, 'HR') : 0;
    let leapDay = date();
    if (problems.count > before) return;
    if (leapDay < 0 || stamp.hour > 23 || stamp.year > 9999) {
      problems.add(
        'weather.time',
        `${row.fields.slice(0, 4).join(',').slice(0, 60)} is no time: days are those of the calendar and hours run from 0 to 23.`,
        { line: row.line },
      );
      return;
    }
    if (shift_h !== 0) {
      shiftHour(stamp, shift_h);
      leapDay = leapDayOfYear(stamp.month, stamp.day);
    }
    const i = rows.append(stamp.year, leapDay * rows.stepsPerDay + stamp.hour, row.line);
    for (const column of columns) {
      rows.values[column.name]![i] = reader.number(row, column.at, column.parameter) * column.scale + column.offset;
    }
  };

  return {
    lines(lines, firstLine) {
      let k = 0;
      for (; k < lines.length && stage !== 'rows'; k++) {
        if (stage === 'header') header(lines[k]!, firstLine + k);
        else titles(lines[k]!, firstLine + k);
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
    end() {
      if (stage !== 'rows') {
        problems.fail(
          'weather.header',
          stage === 'header' ? 'The header has no end: -END HEADER- is missing.' : 'Nothing follows the header.',
        );
      }
      return step === 'hourly'
        ? finishHours('POWER hourly CSV', rows, draft, fields, options, context)
        : finishDays('POWER daily CSV', rows, draft, options, context);
    },
  };
}

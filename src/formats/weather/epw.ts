import { FieldReader, quote, type Row, readNumber, splitLines } from './fields.ts';
import { finishHours } from './finish-hours.ts';
import type { LineParser } from './parser.ts';
import type { PlaceFields } from './place.ts';
import type { ReadContext } from './problems.ts';
import { SeriesRows } from './rows.ts';
import { leapDayOfYear } from './times.ts';
import type { DraftPlace, WeatherReadOptions } from './types.ts';

const VALUES = ['ghi_W_m2', 'dni_W_m2', 'dhi_W_m2', 'temperature_degC', 'wind_m_s', 'snowDepth_cm'];
/** Fields up to the wind speed, the last that is needed. */
const LEAST_FIELDS = 22;
/** A header has eight lines; some more are borne with. */
const LONGEST_HEADER = 50;

/**
 * EnergyPlus weather: eight header lines from LOCATION to DATA PERIODS, then rows of 35 fields without titles. Hours run
 * 1..24 and END at the stamp, in local standard time whatever the header says of daylight saving; the minute field is 60
 * or 0 for the same thing and is not used. Missing codes: radiation 9999, temperature 99.9, wind 999, snow depth 999.
 *
 * Source: the format's own data dictionary (EnergyPlus Auxiliary Programs), from memory, and real files. Some files mark
 * a missing snow depth by 899.
 */
export function epwParser(options: WeatherReadOptions, context: ReadContext): LineParser {
  const { problems, notes } = context;
  const rows = new SeriesRows(24, VALUES);
  const radiation = new FieldReader(problems, ',', (v) => v >= 9999);
  const temperature = new FieldReader(problems, ',', (v) => v === 99.9 || v === 999 || v === 9999);
  const wind = new FieldReader(problems, ',', (v) => v >= 999);
  const snow = new FieldReader(problems, ',', (v) => v >= 899);
  const row: Row = { fields: [], text: '', line: 0 };
  const draft: DraftPlace = {};
  const fields: PlaceFields = {};
  let inData = false;

  const header = (text: string, line: number) => {
    if (line > LONGEST_HEADER) {
      problems.fail(
        'weather.header',
        `No line DATA PERIODS, which closes the header, within ${LONGEST_HEADER} lines.`,
        {
          line,
        },
      );
    }
    const parts = splitLines([text], ',')[0]!.map((part) => part.trim());
    const key = parts[0]!.toUpperCase();
    if (key === 'LOCATION') {
      const part = (index: number, name: keyof PlaceFields) => {
        fields[name] = { line, field: `LOCATION ${name}` };
        return readNumber(parts[index] ?? '');
      };
      draft.name = [parts[1], parts[3]].filter((p) => p !== undefined && p !== '' && p !== '-').join(', ');
      draft.latitude_deg = part(6, 'latitude_deg');
      draft.longitude_deg = part(7, 'longitude_deg');
      draft.utcOffset_h = part(8, 'utcOffset_h');
      draft.elevation_m = part(9, 'elevation_m');
    } else if (key.startsWith('HOLIDAYS')) {
      if ((parts[2] ?? '0') !== '0' && parts[2] !== '') {
        notes.push('The header names daylight saving; the rows are in local standard time all the same.');
      }
    } else if (key === 'DATA PERIODS') {
      inData = true;
      if (parts[2] !== undefined && parts[2] !== '1') {
        problems.add(
          'weather.rowsPerHour',
          `The file has ${quote(parts[2])} rows an hour: only hourly rows are read.`,
          {
            line,
            field: 'DATA PERIODS',
          },
        );
      }
    } else if (/^\d{1,4}$/.test(key) && parts.length >= LEAST_FIELDS) {
      problems.add('weather.header', 'Rows begin before the line DATA PERIODS, which closes the header.', { line });
      inData = true;
    }
  };

  const record = () => {
    const f = row.fields;
    if (f.length < LEAST_FIELDS) {
      problems.add('weather.shortRow', `The row has ${f.length} fields: a row has 35, of which 22 are needed.`, {
        line: row.line,
      });
      return;
    }
    const year = radiation.whole(row, 0, 'year');
    const month = radiation.whole(row, 1, 'month');
    const day = radiation.whole(row, 2, 'day');
    const hour = radiation.whole(row, 3, 'hour');
    if (year < 0 || month < 0 || day < 0 || hour < 0) return;
    const leapDay = leapDayOfYear(month, day);
    if (leapDay < 0 || hour < 1 || hour > 24 || year > 9999) {
      problems.add(
        'weather.time',
        `Year ${year}, month ${month}, day ${day}, hour ${hour} is no hour: hours run from 1 to 24.`,
        { line: row.line },
      );
      return;
    }
    const i = rows.append(year, leapDay * 24 + hour - 1, row.line);
    const { values } = rows;
    values['temperature_degC']![i] = temperature.number(row, 6, 'dry bulb temperature');
    values['ghi_W_m2']![i] = radiation.number(row, 13, 'global horizontal radiation');
    values['dni_W_m2']![i] = radiation.number(row, 14, 'direct normal radiation');
    values['dhi_W_m2']![i] = radiation.number(row, 15, 'diffuse horizontal radiation');
    values['wind_m_s']![i] = wind.number(row, 21, 'wind speed');
    values['snowDepth_cm']![i] = snow.number(row, 30, 'snow depth');
  };

  return {
    lines(lines, firstLine) {
      let at = 0;
      while (!inData && at < lines.length) {
        header(lines[at]!, firstLine + at);
        at++;
      }
      const body = at === 0 ? lines : lines.slice(at);
      if (body.length === 0) return;
      const split = splitLines(body, ',');
      for (let k = 0; k < body.length; k++) {
        row.text = body[k]!;
        if (row.text.trim() === '' || row.text === '\u001a') continue;
        row.fields = split[k]!;
        row.line = firstLine + at + k;
        record();
      }
    },
    end() {
      if (!inData) problems.add('weather.header', 'The line DATA PERIODS, which closes the header, is missing.');
      return finishHours('EPW', rows, draft, fields, options, context);
    },
  };
}

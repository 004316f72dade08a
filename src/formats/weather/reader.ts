import { userError } from '../../core/units/index.ts';
import { epwParser } from './epw.ts';
import { quote } from './fields.ts';
import { lineSplitter } from './lines.ts';
import type { LineParser } from './parser.ts';
import { looksLikeTitles, plainParser } from './plain.ts';
import { powerCsvParser } from './power-csv.ts';
import { LONGEST_JSON, readPowerJson } from './power-json.ts';
import { ProblemList, type ReadContext } from './problems.ts';
import { isTmy3Titles, tmy3Parser } from './tmy3.ts';
import type { DailyFile, WeatherFile, WeatherReadOptions } from './types.ts';

/** Blank text before the first sign is held back only so far. */
const MOST_LEADING_BLANKS = 10_000;
const READABLE =
  'EPW, TMY3 CSV, NASA POWER hourly or daily CSV or JSON, or a plain CSV whose titles are time, ghi_W_m2, temperature_degC and so on';

export interface WeatherReader {
  /** Takes the next piece of the file's text, of any length. Throws as soon as the file cannot be weather of at most 200 years. */
  push(text: string): void;
  /** Closes the file: the weather, or a UserError with all that is wrong (twenty problems are spelt out). */
  end(): WeatherFile | DailyFile;
}

/**
 * A reader of weather files, fed with text piece by piece, so that a file of any size needs no more memory than the
 * numbers in it. The format is recognised from the first lines, not from the name.
 *
 * Read are EPW, TMY3, NASA POWER (hourly and daily, CSV and JSON) and plain CSV; see `epwParser`, `tmy3Parser`,
 * `powerCsvParser`, `readPowerJson` and `plainParser` for what each means by a time and by a missing value. The result
 * follows this project's convention (local standard time, hours by their beginning, 365 days) and tells every step that
 * it took to get there. JSON is held whole, up to 120 million characters.
 *
 * Checks: order and completeness of the rows, range of each value, radiation against the sun of the stated place (time
 * zone, sign of latitude and longitude, unit), closure of beam and diffuse.
 */
export function weatherReader(fileName: string, options: WeatherReadOptions = {}): WeatherReader {
  const context: ReadContext = { problems: new ProblemList(fileName), notes: [] };
  const json: string[] = [];
  let jsonLength = 0;
  let mode: 'start' | 'lines' | 'json' = 'start';
  let leading = '';
  let parser: LineParser | undefined;
  let head: string[] = [];

  const splitter = lineSplitter(context, (lines, firstLine) => {
    if (parser !== undefined) {
      parser.lines(lines, firstLine);
      return;
    }
    head = firstLine === 1 ? lines : [...head, ...lines];
    parser = recognise(head, options, context, false);
    if (parser !== undefined) parser.lines(head, 1);
    if (parser !== undefined) head = [];
  });

  const push = (text: string) => {
    if (mode === 'json') {
      jsonLength += text.length;
      if (jsonLength > LONGEST_JSON) {
        json.length = 0;
        throw userError(
          'weather.tooLong',
          `The JSON is longer than ${LONGEST_JSON / 1e6} million characters: ask for fewer years at a time, or for CSV, which may be longer.`,
          { file: fileName },
        );
      }
      json.push(text);
      return;
    }
    if (mode === 'lines') {
      splitter.push(text);
      return;
    }
    leading = (leading + text).replace(/^\ufeff/, '');
    const first = leading.search(/\S/);
    if (first === -1) {
      if (leading.length < MOST_LEADING_BLANKS) return;
      throw userError('weather.format', 'The file begins with 10,000 blanks: this is no weather file.', {
        file: fileName,
      });
    }
    mode = leading[first] === '{' || leading[first] === '[' ? 'json' : 'lines';
    const held = leading;
    leading = '';
    push(held);
  };

  return {
    push,
    end() {
      if (mode === 'start') throw userError('weather.empty', 'The file is empty.', { file: fileName });
      if (mode === 'json') {
        const text = json.join('');
        json.length = 0;
        return readPowerJson(text, options, context);
      }
      splitter.end();
      if (parser === undefined) {
        parser = recognise(head, options, context, true);
        parser?.lines(head, 1);
      }
      if (parser === undefined) throw userError('weather.empty', 'The file is empty.', { file: fileName });
      return parser.end();
    },
  };
}

/** The parser for a file that begins with these lines; undefined while they do not suffice. */
function recognise(
  head: readonly string[],
  options: WeatherReadOptions,
  context: ReadContext,
  complete: boolean,
): LineParser | undefined {
  const filled = head.filter((line) => line.trim() !== '');
  const first = filled[0]?.trim();
  if (first === undefined) return undefined;
  if (/^"?LOCATION"?,/i.test(first)) return epwParser(options, context);
  if (first.startsWith('-BEGIN HEADER-')) return powerCsvParser(options, context);
  if (first.startsWith('#')) return plainParser(options, context);
  if (isTmy3Titles(first)) {
    return context.problems.fail(
      'weather.header',
      'The line with the place (site, name, state, UTC offset, latitude, longitude, elevation) before the titles is missing.',
      { line: 1 },
    );
  }
  if (/^YEAR,(MO|DOY)\b/i.test(first)) {
    return context.problems.fail(
      'weather.header',
      'The block from -BEGIN HEADER- to -END HEADER- is missing, which gives place and units: fetch the file with its header.',
      { line: 1 },
    );
  }
  // A place line may mention anything, so the second line decides before the first is taken for titles.
  if (filled.length < 2 && !complete) return undefined;
  if (filled[1] !== undefined && isTmy3Titles(filled[1])) return tmy3Parser(options, context);
  if (looksLikeTitles(first)) return plainParser(options, context);
  return context.problems.fail(
    'weather.format',
    first.startsWith('PK\u0003\u0004')
      ? 'The file is a zip archive: unpack it first.'
      : `The file begins with ${quote(first)}, which is none of the formats read: ${READABLE}.`,
    { line: 1 },
  );
}

import Papa from 'papaparse';
import { MOST_POINTS, type Profile, ZONE } from '../core/path/index.ts';
import { UserError } from '../core/units/index.ts';
import { FileProblems, parseNumber, shorten } from './file-problems.ts';

export interface ProfileFile {
  readonly profile: Profile;
  /** What the reader took for granted, in words. */
  readonly notes: readonly string[];
}

const COLUMNS = ['distance_km', 'height_m', 'clutter_m', 'zone'] as const;
type Column = (typeof COLUMNS)[number];
const FORM = 'The first line reads distance_km,height_m[,clutter_m[,zone]].';
const MOST_CHARACTERS = 20_000_000;
/** Ranges of sense: ground on Earth, trees and houses. */
const RANGE: Readonly<Record<'distance_km' | 'height_m' | 'clutter_m', readonly [number, number]>> = {
  distance_km: [0, 20_100],
  height_m: [-500, 9000],
  clutter_m: [0, 500],
};

/**
 * Reads the ground between two antennas from CSV: `distance_km,height_m[,clutter_m[,zone]]`, zone `sea`, `coast` or `inland`.
 *
 * Columns are found by name in any order, others are passed over with a note; comma, semicolon or tab between them; `#` begins a
 * comment line. A first distance above zero is taken off all distances, with a note. An empty clutter counts as 0, an empty zone
 * as inland.
 *
 * @throws UserError with line and field of every fault (the first twenty).
 */
export function readProfileCsv(text: string, file?: string): ProfileFile {
  const problems = new FileProblems('profile', file);
  const fail = (): never => {
    throw new UserError(problems.list);
  };
  if (text.length > MOST_CHARACTERS || text.includes('\u0000')) {
    problems.add('text', 'The file is no profile in CSV: it is too large or no text.');
    fail();
  }
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const isData = (line: string) => line.trim() !== '' && !line.trimStart().startsWith('#');
  const header = lines.findIndex(isData);
  if (header < 0) {
    problems.add('empty', `The file holds no profile. ${FORM}`);
    fail();
  }
  const delimiter = [',', ';', '\t'].find((sign) => lines[header]!.includes(sign)) ?? ',';
  const notes: string[] = [];
  const place = findColumns(split(lines[header]!, delimiter), header + 1, problems, notes);
  if (problems.list.length > 0) fail();

  const values: Record<Column, number[]> = { distance_km: [], height_m: [], clutter_m: [], zone: [] };
  let before = Number.NEGATIVE_INFINITY;
  for (let at = header + 1; at < lines.length && !problems.full; at++) {
    if (!isData(lines[at]!)) continue;
    const cells = split(lines[at]!, delimiter);
    for (const column of COLUMNS) {
      const index = place[column];
      if (index === undefined) continue;
      const value = readCell(column, cells[index]?.trim() ?? '', at + 1, problems);
      values[column].push(value);
      if (column === 'distance_km' && !Number.isNaN(value)) {
        if (!(value > before) && before >= 0)
          problems.add(
            'order',
            `The distance is ${value} km after ${before} km: distances must rise from row to row. Sort the rows, and drop doubles.`,
            at + 1,
            column,
          );
        before = value;
      }
    }
    if (values.distance_km.length > MOST_POINTS) {
      problems.add(
        'size',
        `The profile has more than ${MOST_POINTS} points: thin it out, 30 m apart is plenty.`,
        at + 1,
      );
      break;
    }
  }
  const n = values.distance_km.length;
  if (problems.list.length === 0 && n < 3)
    problems.add(
      'points',
      `The profile has ${n} point${n === 1 ? '' : 's'}: at least 3 are needed, the two ends and the ground between them.`,
    );
  if (problems.list.length > 0) fail();

  const start_km = values.distance_km[0]!;
  if (start_km !== 0)
    notes.push(
      `The profile starts at ${start_km} km: an antenna stands at its first point, so that much is taken off all distances.`,
    );
  return {
    profile: {
      distance_km: Float64Array.from(values.distance_km, (d) => d - start_km),
      height_m: Float64Array.from(values.height_m),
      clutter_m: place.clutter_m === undefined ? undefined : Float64Array.from(values.clutter_m),
      zone: place.zone === undefined ? undefined : Uint8Array.from(values.zone),
    },
    notes,
  };
}

function split(line: string, delimiter: string): string[] {
  if (!line.includes('"')) return line.split(delimiter);
  return Papa.parse<string[]>(line, { delimiter, newline: '\n' }).data[0] ?? [''];
}

function findColumns(
  titles: readonly string[],
  line: number,
  problems: FileProblems,
  notes: string[],
): Partial<Record<Column, number>> {
  const place: Partial<Record<Column, number>> = {};
  titles.forEach((raw, index) => {
    const title = raw.trim();
    const column = COLUMNS.find((c) => c.toLowerCase() === title.toLowerCase());
    if (column === undefined) {
      if (title !== '') notes.push(`The column "${shorten(title)}" is passed over.`);
    } else if (place[column] !== undefined) problems.add('header', `The column ${column} stands twice. ${FORM}`, line);
    else place[column] = index;
  });
  for (const column of ['distance_km', 'height_m'] as const) {
    if (place[column] !== undefined) continue;
    const near = titles.map((t) => t.trim()).find((t) => t.toLowerCase().startsWith(column.split('_')[0]!.slice(0, 4)));
    const hint =
      near === undefined ? '' : ` There is "${shorten(near)}": give it in the unit and under the name above.`;
    problems.add('header', `The column ${column} is missing. ${FORM}${hint}`, line);
  }
  return place;
}

const ZONES: Readonly<Record<string, number>> = {
  sea: ZONE.sea,
  coast: ZONE.coast,
  inland: ZONE.inland,
  '': ZONE.inland,
};

function readCell(column: Column, text: string, line: number, problems: FileProblems): number {
  if (column === 'zone') {
    const word = text.toLowerCase();
    if (Object.hasOwn(ZONES, word)) return ZONES[word]!;
    problems.add('zone', `"${shorten(text)}" is no zone: it is sea, coast or inland.`, line, column);
    return ZONE.inland;
  }
  if (column === 'clutter_m' && text === '') return 0;
  const value = parseNumber(text);
  const [low, high] = RANGE[column];
  if (Number.isNaN(value))
    problems.add(
      'number',
      text === '' ? `The ${column} is missing.` : `"${shorten(text)}" stands where a number should.`,
      line,
      column,
    );
  else if (value < low || value > high)
    problems.add('range', `${column} is ${value}: it lies between ${low} and ${high}.`, line, column);
  return value;
}

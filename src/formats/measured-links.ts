import Papa from 'papaparse';
import { UserError } from '../core/units/index.ts';
import { FileProblems, parseNumber, shorten } from './file-problems.ts';

/** One measurement of a link in one direction. */
export interface MeasuredLink {
  readonly from: string;
  readonly to: string;
  readonly snr_dB: number;
  /** ISO date; empty where the file has none. */
  readonly date: string;
  /** What was computed for it elsewhere; undefined: to be computed. */
  readonly expectedSnr_dB: number | undefined;
  readonly line: number;
}

export interface MeasuredLinksFile {
  readonly rows: readonly MeasuredLink[];
  readonly notes: readonly string[];
}

const FORM = 'The first line reads link,snr_dB,date; a link is written FROM > TO, the sender first.';
const TITLES: Readonly<Record<string, string>> = {
  link: 'link',
  snr: 'snr_dB',
  snr_db: 'snr_dB',
  date: 'date',
  expectedsnr_db: 'expectedSnr_dB',
};
/** More than any receiver tells, either way. */
const RANGE_dB = { low: -40, high: 60 };
const MOST_ROWS = 100_000;

/**
 * Reads measured links from CSV: `link,snr_dB,date[,expectedSnr_dB]`, a link as `FROM > TO`, the date as YYYY-MM-DD.
 *
 * Columns are found by name in any order; comma, semicolon or tab between them; `#` begins a comment line.
 *
 * @throws UserError with line and field of every fault (the first twenty)
 */
export function readMeasuredLinks(text: string, file?: string): MeasuredLinksFile {
  const problems = new FileProblems('measured', file);
  const notes: string[] = [];
  if (text.length > 20_000_000 || text.includes('\u0000')) {
    problems.add('text', 'The file is no list of links in CSV: it is too large or no text.');
    throw new UserError(problems.list);
  }
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const isData = (line: string) => line.trim() !== '' && !line.trimStart().startsWith('#');
  const head = lines.findIndex(isData);
  if (head < 0) {
    problems.add('empty', `The file holds no links. ${FORM}`);
    throw new UserError(problems.list);
  }
  const delimiter = [',', ';', '\t'].find((sign) => lines[head]!.includes(sign)) ?? ',';
  const place: Record<string, number> = {};
  split(lines[head]!, delimiter).forEach((raw, index) => {
    const key = raw.trim().toLowerCase();
    const name = Object.hasOwn(TITLES, key) ? TITLES[key]! : undefined;
    if (name === undefined) {
      if (key !== '') notes.push(`The column "${shorten(raw.trim())}" is passed over.`);
    } else if (place[name] !== undefined) problems.add('header', `The column ${name} stands twice. ${FORM}`, head + 1);
    else place[name] = index;
  });
  for (const name of ['link', 'snr_dB'])
    if (place[name] === undefined) problems.add('header', `The column ${name} is missing. ${FORM}`, head + 1);
  const rows: MeasuredLink[] = [];
  if (problems.list.length === 0)
    for (let at = head + 1; at < lines.length && !problems.full; at++) {
      if (!isData(lines[at]!)) continue;
      if (rows.length >= MOST_ROWS) {
        problems.add('size', `There are more than ${MOST_ROWS} rows.`, at + 1);
        break;
      }
      const cells = split(lines[at]!, delimiter);
      const cell = (name: string) => (place[name] === undefined ? '' : (cells[place[name]]?.trim() ?? ''));
      const row = readRow(cell, at + 1, problems);
      if (row !== undefined) rows.push(row);
    }
  if (problems.list.length === 0 && rows.length === 0) problems.add('empty', `The file holds no links. ${FORM}`);
  if (problems.list.length > 0) throw new UserError(problems.list);
  return { rows, notes };
}

function split(line: string, delimiter: string): string[] {
  if (!line.includes('"')) return line.split(delimiter);
  return Papa.parse<string[]>(line, { delimiter, newline: '\n' }).data[0] ?? [''];
}

function readRow(cell: (name: string) => string, line: number, problems: FileProblems): MeasuredLink | undefined {
  const before = problems.list.length;
  const ends = cell('link')
    .split(/>|→/)
    .map((part) => part.trim());
  if (ends.length !== 2 || ends.includes(''))
    problems.add('link', `"${shorten(cell('link'))}" is no link: write FROM > TO, the sender first.`, line, 'link');
  const level = (name: string): number => {
    const value = parseNumber(cell(name));
    if (Number.isNaN(value))
      problems.add('number', `"${shorten(cell(name))}" stands where a ratio in dB should.`, line, name);
    else if (value < RANGE_dB.low || value > RANGE_dB.high)
      problems.add(
        'range',
        `${name} is ${value}: it lies between ${RANGE_dB.low} and ${RANGE_dB.high} dB; is it a level in dBm?`,
        line,
        name,
      );
    return value;
  };
  const snr_dB = level('snr_dB');
  const expectedSnr_dB = cell('expectedSnr_dB') === '' ? undefined : level('expectedSnr_dB');
  const date = cell('date');
  if (date !== '' && !(/^\d{4}-\d\d-\d\d/.test(date) && Number.isFinite(Date.parse(date.slice(0, 10)))))
    problems.add('date', `"${shorten(date)}" is no date: write it like 2026-03-21.`, line, 'date');
  if (problems.list.length > before) return undefined;
  return { from: ends[0]!, to: ends[1]!, snr_dB, date, expectedSnr_dB, line };
}

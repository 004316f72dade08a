/** Tables as CSV, in and out: encodings and separators of the office, and no formula that a spreadsheet would run. */
import Papa from 'papaparse';
import { userError } from '../core/units/index.ts';
import { type NumberStyle, numberStyle } from './csv-numbers.ts';

export interface CsvTable {
  /** Each once: a second column of the same title is called `title (2)`, one without a title `column 3`. */
  readonly titles: readonly string[];
  /** Rows of cells, formulas' apostrophes taken off again; empty rows are left out. */
  readonly rows: readonly (readonly string[])[];
  /** Number of each row in the file, the line of titles being 1. */
  readonly numbers: readonly number[];
  readonly separator: string;
  /** How the file writes numbers, as far as its cells tell. */
  readonly style: NumberStyle;
}

/** What a file begins with that is no text, and what to do with it. */
const BINARY: readonly (readonly [readonly number[], string])[] = [
  [[0x50, 0x4b, 3, 4], 'is a workbook of a spreadsheet program (xlsx, ods) or another packed file, not CSV'],
  [[0xd0, 0xcf, 0x11, 0xe0], 'is a workbook of an old spreadsheet program (xls), not CSV'],
  [[0x25, 0x50, 0x44, 0x46], 'is a PDF, not CSV'],
  [[0x1f, 0x8b], 'is packed (gzip), not CSV'],
];

/**
 * Bytes as text: by their mark where they have one; else UTF-16 where every other byte is nought, UTF-8 where the bytes are
 * that, and Windows-1252 for the rest. Which one it was is told.
 *
 * @throws UserError for a file that is no text, with what to do
 */
export function decodeText(bytes: Uint8Array): { readonly text: string; readonly encoding: string } {
  const [a, b] = bytes;
  if (a === 0xff && b === 0xfe) return { text: new TextDecoder('utf-16le').decode(bytes), encoding: 'UTF-16LE' };
  if (a === 0xfe && b === 0xff) return { text: new TextDecoder('utf-16be').decode(bytes), encoding: 'UTF-16BE' };
  const binary = BINARY.find(([start]) => start.every((byte, i) => bytes[i] === byte));
  if (binary !== undefined)
    throw userError(
      'csv-binary',
      `the file ${binary[1]}: open it where it was made, save the one sheet as “CSV UTF-8”, and read that file`,
    );
  const wide = unmarkedUtf16(bytes);
  if (wide !== undefined) return { text: new TextDecoder(wide).decode(bytes), encoding: wide.toUpperCase() };
  if (bytes.subarray(0, 100_000).includes(0))
    throw userError(
      'csv-binary',
      'the file is no text (it holds zero bytes): save the table as “CSV UTF-8” and read that file',
    );
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), encoding: 'UTF-8' };
  } catch {
    return { text: windows1252(bytes), encoding: 'Windows-1252' };
  }
}

/** Signs of the bytes 0x80 to 0x9F in Windows-1252 (WHATWG, Encoding); the five that are none stay as they are. */
const HIGH = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

/** By hand: some runtimes decode these bytes as Latin-1 under that name. */
function windows1252(bytes: Uint8Array): string {
  return new TextDecoder('latin1')
    .decode(bytes)
    .replace(/[\u0080-\u009f]/g, (sign) => HIGH[sign.charCodeAt(0) - 0x80]!);
}

/** UTF-16 without its mark: nearly every second byte of a table in Latin letters is nought, and nearly none of the others. */
function unmarkedUtf16(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | undefined {
  const seen = Math.min(bytes.length & ~1, 4000);
  let first = 0;
  let second = 0;
  for (let i = 0; i < seen; i += 2) {
    if (bytes[i] === 0) first++;
    if (bytes[i + 1] === 0) second++;
  }
  if (seen >= 4 && second > 0.35 * seen && first < 0.05 * seen) return 'utf-16le';
  if (seen >= 4 && first > 0.35 * seen && second < 0.05 * seen) return 'utf-16be';
  return undefined;
}

// What a spreadsheet takes for the beginning of a formula (OWASP, CSV injection; the wide forms as East Asian spreadsheets
// take them), and the apostrophe itself, so that taking it off again is exact.
const RISKY = /^[=+\-@\t\r\n'＝＋－＠]/;
const PLAIN_NUMBER = /^[+-]?\d+(?:\.\d+)?$/;

/** A text that no spreadsheet runs. A plain number is none. */
export const neutralised = (text: string): string => (RISKY.test(text) && !PLAIN_NUMBER.test(text) ? `'${text}` : text);
/** The text as it was. */
export const restored = (cell: string): string =>
  cell.startsWith("'") && RISKY.test(cell.slice(1)) ? cell.slice(1) : cell;

/** Numbers go out as they are, with a point; texts neutralised. */
export function writeTable(titles: readonly string[], rows: readonly (readonly (string | number | null)[])[]): string {
  const cells = rows.map((row) => row.map((c) => (c === null ? '' : typeof c === 'number' ? c : neutralised(c))));
  return `\ufeff${Papa.unparse([[...titles], ...cells], { newline: '\r\n' })}\r\n`;
}

/**
 * @throws UserError for a table that is empty, is a list of lists with open quotation marks, or has no separator that is known
 */
export function readTable(text: string): CsvTable {
  const whole = text.replace(/^\ufeff/, '');
  // Some offices write the separator into a line of its own.
  const line = /^sep=([,;\t])\r?\n/.exec(whole);
  const separator = line?.[1] ?? separatorOf(whole);
  const before = line === null ? 0 : 1;
  const parsed = Papa.parse<string[]>(whole.slice(line?.[0].length ?? 0), { delimiter: separator });
  const broken = parsed.errors.find((e) => e.type === 'Quotes');
  if (broken !== undefined)
    throw userError('csv-quotes', `row ${(broken.row ?? 0) + 1 + before}: a quotation mark is opened and not closed`);
  const all = parsed.data.map((cells, i) => ({ cells: cells.map(restored), number: i + 1 + before }));
  const [head, ...filled] = all.filter(({ cells }) => cells.some((cell) => cell.trim() !== ''));
  if (head === undefined) throw userError('csv-empty', 'the table is empty: its first line names the columns');
  const rows = filled.map(({ cells }) => cells);
  return {
    titles: titlesOf(head.cells),
    rows,
    numbers: filled.map((row) => row.number),
    separator,
    style: numberStyle(rows, separator),
  };
}

/** The sign that stands most often between the titles, those in quotation marks left out. */
function separatorOf(text: string): string {
  const [titles = ''] =
    /^(?:"(?:[^"]|"")*"|[^"\r\n])+/.exec(text.trimStart().length === 0 ? '' : text.replace(/^[\r\n]+/, '')) ?? [];
  const bare = titles.replace(/"(?:[^"]|"")*"/g, '');
  const count = (sign: string) => bare.split(sign).length - 1;
  return [',', ';', '\t'].reduce((best, sign) => (count(sign) > count(best) ? sign : best));
}

function titlesOf(cells: readonly string[]): string[] {
  const titles: string[] = [];
  cells.forEach((cell, i) => {
    const title = cell.trim() || `column ${i + 1}`;
    let own = title;
    for (let n = 2; titles.includes(own); n++) own = `${title} (${n})`;
    titles.push(own);
  });
  return titles;
}

/**
 * What is wrong with the cells of a row as such: too many, too few, or the titles once more; undefined when nothing is. Empty
 * cells at the end are no fault.
 */
export function rowProblem(cells: readonly string[], titles: readonly string[]): string | undefined {
  const used = cells.findLastIndex((cell) => cell.trim() !== '') + 1;
  if (used > titles.length)
    return `the row has ${used} cells, the line of titles ${titles.length}: a separator inside a text needs quotation marks around the text`;
  if (cells.length < titles.length)
    return `the row has ${cells.length} ${cells.length === 1 ? 'cell' : 'cells'}, the line of titles ${titles.length}: it is cut off, or a line break inside a text stands without quotation marks; cells that are empty need their separator`;
  if (cells.length > 1 && titles.every((title, i) => cells[i]!.trim() === title))
    return 'the line of titles stands here once more';
  return undefined;
}

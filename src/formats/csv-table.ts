/** Tables as CSV, in and out: encodings and separators of the office, and no formula that a spreadsheet would run. */
import Papa from 'papaparse';
import { userError } from '../core/units/index.ts';

export interface CsvTable {
  readonly titles: readonly string[];
  /** Rows of cells, formulas' apostrophes taken off again. */
  readonly rows: readonly (readonly string[])[];
  readonly separator: string;
}

/** Bytes as text: UTF-16 by its mark, UTF-8 where the bytes are that, else Latin-1 as Windows has it. Which one is told. */
export function decodeText(bytes: Uint8Array): { readonly text: string; readonly encoding: string } {
  const [a, b] = bytes;
  if (a === 0xff && b === 0xfe) return { text: new TextDecoder('utf-16le').decode(bytes), encoding: 'UTF-16' };
  if (a === 0xfe && b === 0xff) return { text: new TextDecoder('utf-16be').decode(bytes), encoding: 'UTF-16' };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), encoding: 'UTF-8' };
  } catch {
    return { text: new TextDecoder('windows-1252').decode(bytes), encoding: 'Latin-1' };
  }
}

// What a spreadsheet takes for the beginning of a formula (OWASP, CSV injection), and the apostrophe itself, so that
// taking it off again is exact.
const RISKY = /^[=+\-@\t\r\n']/;

/** A text that no spreadsheet runs. */
export const neutralised = (text: string): string => (RISKY.test(text) ? `'${text}` : text);
/** The text as it was. */
export const restored = (cell: string): string =>
  cell.startsWith("'") && RISKY.test(cell.slice(1)) ? cell.slice(1) : cell;

/** Numbers go out as they are, with a point; texts neutralised. */
export function writeTable(titles: readonly string[], rows: readonly (readonly (string | number | null)[])[]): string {
  const cells = rows.map((row) => row.map((c) => (c === null ? '' : typeof c === 'number' ? c : neutralised(c))));
  return `\ufeff${Papa.unparse([[...titles], ...cells], { newline: '\r\n' })}\r\n`;
}

export function readTable(text: string): CsvTable {
  const first = text.replace(/^\ufeff/, '');
  const parsed = Papa.parse<string[]>(first, { delimitersToGuess: [',', ';', '\t'], skipEmptyLines: true });
  const [titles, ...rows] = parsed.data;
  if (titles === undefined) throw userError('csv-empty', 'the table is empty: its first line names the columns');
  const broken = parsed.errors.find((e) => e.type === 'Quotes');
  if (broken !== undefined)
    throw userError('csv-quotes', `row ${(broken.row ?? 0) + 1}: a quotation mark is opened and not closed`);
  return {
    titles: titles.map((t) => restored(t).trim()),
    rows: rows.map((row) => row.map(restored)),
    separator: parsed.meta.delimiter,
  };
}

/** A number with a point or a decimal comma; undefined when it is none. Thousands are not parted. */
export function numberOf(cell: string): number | undefined {
  const text = cell.trim().replace(/^(-?\d+),(\d+)$/, '$1.$2');
  return /^[+-]?\d+(?:\.\d+)?$/.test(text) ? Number(text) : undefined;
}

/** What every log in CSV needs: rows of cells, numbers as meters write them, long texts cut. */
import Papa from 'papaparse';

/** The title row stands within so many lines; meters write a preamble above it. */
export const HEADER_WITHIN = 50;

/**
 * Splits the text into rows of cells, one a line. The sign between cells is read off the first line in which all of
 * `titles` occur.
 */
export function rowsOf(text: string, titles: readonly RegExp[]): string[][] {
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
  const lines = plain.split('\n', HEADER_WITHIN);
  const title = lines.find((line) => titles.every((wanted) => wanted.test(line))) ?? '';
  const delimiter = title.includes('\t') ? '\t' : title.includes(';') ? ';' : ',';
  // Every line is a row, quotes or not, so that row and line numbers agree: a quote never spans lines in a log.
  const parsed = Papa.parse<string[]>(plain, { delimiter, newline: '\n', quoteChar: '\0', skipEmptyLines: false });
  return parsed.data.map((row) => row.map((cell) => cell.replace(/^\s*"(.*)"\s*$/, '$1')));
}

/** A number in full, with point or (where the comma does not part fields) comma; anything else is not one. */
export function toNumber(cell: string): number {
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i.test(cell) ? Number(cell.replace(',', '.')) : Number.NaN;
}

/** The name of a column without what differs between meters: case, blanks, the two micro signs. */
export const plainTitle = (cell: string): string => cell.trim().toLowerCase().replace(/[µμ]/g, 'u');

export const shorten = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);

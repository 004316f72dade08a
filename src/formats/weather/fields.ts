import Papa from 'papaparse';
import type { ProblemList } from './problems.ts';

/**
 * Splits complete lines into fields, one array a line. Lines without quotes are split together; where a quote occurs each
 * line is split by itself, so that a quote that is never closed swallows its own line and no more.
 */
export function splitLines(lines: readonly string[], delimiter: string): string[][] {
  const text = lines.join('\n');
  if (text === '') return lines.map(() => ['']);
  if (!text.includes('"')) return parse(text, delimiter);
  return lines.map((line) => (line === '' ? [''] : (parse(line, delimiter)[0] ?? [''])));
}

function parse(text: string, delimiter: string): string[][] {
  return Papa.parse<string[]>(text, { delimiter, newline: '\n' }).data;
}

const NUMBER = /^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*$/;

/**
 * A number from a field: NaN for a blank one (a missing value), Infinity for anything that is no plain decimal number
 * (`NaN`, `0x1F`, `1,5`, words).
 */
export function readNumber(text: string): number {
  const value = +text;
  // The fast way out: finite, not zero (blank gives zero too) and no letter in the second place (0x, 0b, 0o).
  if (value !== 0 && value - value === 0 && !(text.charCodeAt(1) > 57)) return value;
  if (text.trim() === '') return Number.NaN;
  return NUMBER.test(text) && Number.isFinite(value) ? value : Number.POSITIVE_INFINITY;
}

/** Column, from 1, in which field `index` of a line begins. */
export function fieldColumn(line: string, index: number, delimiter: string): number {
  let quoted = false;
  let field = 0;
  for (let at = 0; at < line.length && field <= index; at++) {
    if (field === index) return at + 1;
    const sign = line[at];
    if (sign === '"') quoted = !quoted;
    else if (sign === delimiter && !quoted) field++;
  }
  return line.length + 1;
}

/** `"abc"`, cut where it is long, with unprintable characters made visible. */
export function quote(text: string): string {
  const clean = text.replace(/[\u0000-\u001f\u007f-\u009f\ufffd]/g, '·');
  return `"${clean.length > 40 ? `${clean.slice(0, 40)}…` : clean}"`;
}

/** One line of a table while its fields are read. */
export interface Row {
  fields: string[];
  text: string;
  line: number;
}

/** Reads the numbers of a table's rows and tells of those that are none. */
export class FieldReader {
  private readonly problems: ProblemList;
  private readonly delimiter: string;
  private readonly isMissing: (value: number) => boolean;

  constructor(problems: ProblemList, delimiter: string, isMissing: (value: number) => boolean) {
    this.problems = problems;
    this.delimiter = delimiter;
    this.isMissing = isMissing;
  }

  /** Field `index`, NaN where it is blank, a missing code or (told) no number. */
  number(row: Row, index: number, title: string): number {
    const text = row.fields[index];
    if (text === undefined) return Number.NaN;
    const value = readNumber(text);
    if (value === Number.POSITIVE_INFINITY) {
      this.tell(row, index, title, 'a number');
      return Number.NaN;
    }
    return this.isMissing(value) ? Number.NaN : value;
  }

  /** Field `index` as a whole number; -1 and told where it is none. */
  whole(row: Row, index: number, title: string): number {
    const value = readNumber(row.fields[index] ?? '');
    if (Number.isInteger(value) && value >= 0) return value;
    this.tell(row, index, title, 'a whole number');
    return -1;
  }

  tell(row: Row, index: number, title: string, wanted: string): void {
    this.problems.add('weather.field', `${quote(row.fields[index] ?? '')} stands where ${wanted} should.`, {
      line: row.line,
      column: fieldColumn(row.text, index, this.delimiter),
      field: title,
    });
  }
}

import { counted } from './problems.ts';
import type { SeriesRows } from './rows.ts';
import { LEAP_DAY } from './times.ts';

/**
 * Index of the row with which the series is made to begin, a 1 January; the rows before it go to the end. A series that
 * begins only days after 1 January (as one moved from UTC does by hours) begins with its last rows instead, so that no
 * year is torn. Told. `first` is the hour or day of the year (of 365 days) of row 0.
 */
export function januaryFirst(rows: SeriesRows, first: number, notes: string[]): number {
  if (first === 0) return 0;
  const year = 365 * rows.stepsPerDay;
  const noun = rows.stepsPerDay === 24 ? 'hour' : 'day';
  const begins = `The series begins on ${rows.time(0, false)}`;
  if (fromItsEnd(rows, first)) {
    notes.push(`${begins}: its last ${counted(first, noun)}, from 1 January on, stand at its beginning.`);
    return rows.length - first;
  }
  notes.push(`${begins}: its first ${counted(year - first, noun)}, before 1 January, stand at its end.`);
  return year - first;
}

function fromItsEnd(rows: SeriesRows, first: number): boolean {
  return first < 15 * rows.stepsPerDay;
}

/** Day of the year of 365 days (0..364) of a row that is not on 29 February. */
export function dayOfYear(rows: SeriesRows, i: number): number {
  const day = rows.leapDay(i);
  return day < LEAP_DAY ? day : day - 1;
}

/**
 * Number of years and, where the rows follow the calendar, the first, for a series that is made to begin at row `start`;
 * tells from which years a typical year is made.
 */
export function yearsOf(
  rows: SeriesRows,
  start: number,
  typical: boolean,
  notes: string[],
): { years: number; firstYear?: number } {
  const years = rows.length / (365 * rows.stepsPerDay);
  if (!typical) {
    const firstYear = rows.year[fromItsEnd(rows, rows.length - start) ? 0 : start]!;
    return firstYear > 0 ? { years, firstYear } : { years };
  }
  const sources = new Set<number>();
  for (let i = 0; i < rows.length && sources.size < 50; i++) {
    if (i === 0 || rows.year[i] !== rows.year[i - 1]) sources.add(rows.year[i]!);
  }
  const distinct = [...sources].sort((a, b) => a - b);
  const from =
    distinct.length > 1 ? `${distinct[0]} to ${distinct.at(-1)} (${distinct.length} years)` : `${distinct[0]}`;
  notes.push(`A typical year: its months come from ${from}; it may lie 5 to 10 % off the long-term mean in a month.`);
  return { years };
}

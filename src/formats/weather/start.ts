import { counted } from './problems.ts';
import type { SeriesRows } from './rows.ts';
import type { Sequence } from './sequence.ts';
import { LEAP_DAY, monthOfLeapDay } from './times.ts';

/**
 * Index of the row with which the series is made to begin, a 1 January; the rows before it go to the end. A series that
 * begins a little after 1 January (as one moved from UTC does) begins with its last rows instead. Told.
 */
export function januaryFirst(
  rows: SeriesRows,
  stepOfYear: (rows: SeriesRows, i: number) => number,
  notes: string[],
): number {
  const year = 365 * rows.stepsPerDay;
  const first = stepOfYear(rows, 0);
  if (first === 0) return 0;
  const start = first <= year / 2 ? rows.length - first : year - first;
  const noun = rows.stepsPerDay === 24 ? 'hour' : 'day';
  notes.push(
    start > year / 2
      ? `The series begins on ${rows.time(0, false)}: its last ${counted(rows.length - start, noun)}, from 1 January on, stand at its beginning.`
      : `The series begins on ${rows.time(0, false)}: its first ${counted(start, noun)}, before 1 January, stand at its end.`,
  );
  return start;
}

/** Day of the year of 365 days (0..364) of a row that is not on 29 February. */
export function dayOfYear(rows: SeriesRows, i: number): number {
  const day = rows.leapDay(i);
  return day < LEAP_DAY ? day : day - 1;
}

/** Number of years and, where the rows follow the calendar, the first; tells from which years a typical year is made. */
export function yearsOf(rows: SeriesRows, sequence: Sequence, notes: string[]): { years: number; firstYear?: number } {
  const years = rows.length / (365 * rows.stepsPerDay);
  if (!sequence.typical) {
    const first = rows.year[0]!;
    // Most of a series that begins late in a year lies in the next.
    const late = monthOfLeapDay(rows.leapDay(0)) > 6;
    return first > 0 ? { years, firstYear: late ? first + 1 : first } : { years };
  }
  const sources: number[] = [];
  for (let i = 0; i < rows.length && sources.length < 12; i++) {
    if (i === 0 || rows.year[i] !== rows.year[i - 1]) sources.push(rows.year[i]!);
  }
  const distinct = [...new Set(sources)].sort((a, b) => a - b);
  notes.push(
    `A typical year: its months come from ${distinct.length > 1 ? `${distinct[0]} to ${distinct.at(-1)} (${distinct.length} years)` : distinct[0]}; it may lie 5 to 10 % off the long-term mean in a month.`,
  );
  return { years };
}

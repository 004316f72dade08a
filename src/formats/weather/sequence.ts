import type { ReadContext } from './problems.ts';
import { count, counted } from './problems.ts';
import type { SeriesRows } from './rows.ts';
import { LEAP_DAY, LEAP_YEAR_DAYS, monthOfLeapDay } from './times.ts';

export interface Sequence {
  /** Whether the years of the rows jump, as in a typical year put together from several. */
  readonly typical: boolean;
  /** Rows before 29 February was dropped. */
  readonly rows: number;
}

/**
 * Checks that the rows follow one another without hole, repeat or step back and fill whole years, and drops 29 February.
 * What is wrong goes to the problems, what was dropped or is odd to the notes. The year column is never trusted for
 * order alone: in a typical year it jumps from month to month.
 */
export function checkSequence(rows: SeriesRows, context: ReadContext): Sequence {
  const { problems, notes } = context;
  const total = rows.length;
  if (total === 0) {
    problems.add('weather.noRows', 'The file has a header but no rows of data.');
    return { typical: false, rows: 0 };
  }
  const order = checkOrder(rows, context);
  const span = `the rows run from ${rows.where(0)} to ${rows.where(total - 1)}`;

  const leapFrom = LEAP_DAY * rows.stepsPerDay;
  const leapTo = leapFrom + rows.stepsPerDay;
  rows.filter((i) => rows.slot[i]! < leapFrom || rows.slot[i]! >= leapTo);
  const dropped = total - rows.length;
  if (dropped > 0) {
    const days = Math.ceil(dropped / rows.stepsPerDay);
    notes.push(`29 February is dropped ${days === 1 ? 'once' : `${count(days)} times`}: years have 365 days here.`);
  }
  const year = 365 * rows.stepsPerDay;
  if (rows.length % year !== 0) {
    problems.add(
      'weather.rows',
      `${count(total)} rows: a year has ${count(year)} (${count(year + rows.stepsPerDay)} with 29 February), and whole years are needed; ${order.firstGap ?? span}.`,
    );
  }
  return { typical: order.typical, rows: total };
}

function checkOrder(rows: SeriesRows, { problems, notes }: ReadContext): { typical: boolean; firstGap?: string } {
  const perDay = rows.stepsPerDay;
  const noun = perDay === 24 ? 'hour' : 'day';
  const leapFrom = LEAP_DAY * perDay;
  const leapTo = leapFrom + perDay;
  const slots = LEAP_YEAR_DAYS * perDay;
  const year = slots - perDay;
  const onFlatYear = (slot: number) => (slot < leapFrom ? slot : slot < leapTo ? leapFrom : slot - perDay);

  let firstGap: string | undefined;
  let singleGaps = 0;
  let repeats = 0;
  let yearJumps = 0;
  let jumpWithinMonth = false;
  for (let i = 1; i < rows.length; i++) {
    const before = rows.slot[i - 1]!;
    const now = rows.slot[i]!;
    const yearStep = rows.year[i]! - rows.year[i - 1]!;
    const due = before + 1 === slots ? 0 : before + 1;
    if (now === due || (due === leapFrom && now === leapTo)) {
      if (yearStep === (now === 0 ? 1 : 0)) continue;
      if (now === 0 && yearStep > 1) {
        notes.push(`Year ${rows.year[i - 1]} is followed by ${rows.year[i]} at ${rows.where(i)}.`);
        continue;
      }
      yearJumps++;
      if (!jumpWithinMonth && month(now, perDay) === month(before, perDay)) {
        jumpWithinMonth = true;
        notes.push(`The year changes within a month at ${rows.where(i)}; the years of the rows are not used.`);
      }
      continue;
    }
    const flat = onFlatYear(now) - onFlatYear(before);
    // Across a change of year only the place within the year counts: less than half a year ahead is a gap.
    const ahead = yearStep === 0 ? flat : (flat + year) % year;
    if (now === before && yearStep === 0) {
      repeats++;
      problems.add(
        'weather.repeat',
        `The time of ${rows.where(i - 1)} comes again in ${rows.where(i)}: one row ${perDay === 24 ? 'an hour' : 'a day'} is needed.`,
        rows.place(i),
      );
    } else if (ahead < 0 || (yearStep !== 0 && ahead > year / 2) || (ahead === 0 && yearStep < 0)) {
      problems.add(
        'weather.backwards',
        `The time steps back from ${rows.where(i - 1)} to ${rows.where(i)}: rows must stand in order.`,
        rows.place(i),
      );
    } else {
      const missing = ahead === 0 ? Math.max(1, yearStep * year - 1) : Math.max(1, ahead - 1);
      if (missing === 1) singleGaps++;
      firstGap ??= `first gap after ${rows.where(i - 1)}, ${counted(missing, noun)} long`;
      problems.add(
        'weather.gap',
        `${counted(missing, noun)} ${missing === 1 ? 'is' : 'are'} missing between ${rows.where(i - 1)} and ${rows.where(i)}.`,
        rows.place(i - 1),
      );
    }
  }
  if (perDay === 24 && repeats > 0 && repeats === singleGaps && repeats <= rows.length / year + 1) {
    problems.add(
      'weather.daylightSaving',
      'One hour a year is missing and one doubled: the times follow daylight saving. Local standard time is needed all year.',
    );
  }
  return firstGap === undefined ? { typical: yearJumps > 0 } : { typical: yearJumps > 0, firstGap };
}

function month(slot: number, perDay: number): number {
  return monthOfLeapDay(Math.floor(slot / perDay));
}

import type { ReadContext } from './problems.ts';
import { count, counted } from './problems.ts';
import type { SeriesRows, ValueName } from './rows.ts';

/** Longest run of missing values that is filled, by quantity; judgement, no source. */
export const LONGEST_FILLED_h = { radiation: 3, temperature: 24, wind: 24 } as const;
export const LONGEST_FILLED_d = 3;

/**
 * Fills runs of NaN of at most `longest` steps on a straight line between their neighbours; the series closes on itself
 * from its end to its beginning. `onLong` gets the first row and the length of each longer run, which stays NaN.
 *
 * Returns the number of values filled, or -1 where the column holds no value at all.
 */
export function fillShortRuns(
  values: Float32Array,
  length: number,
  longest: number,
  onLong: (first: number, run: number) => void,
): number {
  let first = 0;
  while (first < length && Number.isNaN(values[first]!)) first++;
  if (first === length) return -1;
  let filled = 0;
  let run = 0;
  for (let step = 1; step <= length; step++) {
    const i = (first + step) % length;
    if (Number.isNaN(values[i]!)) {
      run++;
      continue;
    }
    if (run > longest) onLong((i - run + length) % length, run);
    else if (run > 0) {
      const from = values[(i - run - 1 + length) % length]!;
      const slope = (values[i]! - from) / (run + 1);
      for (let k = 1; k <= run; k++) values[(i - run - 1 + k + length) % length] = from + slope * k;
      filled += run;
    }
    run = 0;
  }
  return filled;
}

/** Fills short gaps of one column and tells; a longer gap is a problem. */
export function fillGaps(rows: SeriesRows, name: ValueName, longest: number, context: ReadContext): void {
  const noun = rows.stepsPerDay === 24 ? 'hour' : 'day';
  const filled = fillShortRuns(rows.values[name]!, rows.length, longest, (first, run) =>
    context.problems.add(
      'weather.missing',
      `${name} is missing for ${counted(run, noun)} from ${rows.where(first)}: at most ${counted(longest, noun)} in a row can be filled.`,
      rows.place(first, name),
    ),
  );
  if (filled === -1) context.problems.add('weather.missing', `${name} is missing in every row.`, { field: name });
  if (filled > 0) {
    context.notes.push(
      `${name}: ${count(filled)} missing ${filled === 1 ? 'value is' : 'values are'} filled on a straight line.`,
    );
  }
}

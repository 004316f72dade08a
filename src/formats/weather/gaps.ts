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

/** A run of missing values: its first row and its length. */
export interface Run {
  readonly first: number;
  readonly length: number;
}

/** All runs of NaN, in order. */
export function missingRuns(values: Float32Array, length: number): Run[] {
  const runs: Run[] = [];
  let first = -1;
  for (let i = 0; i <= length; i++) {
    const missing = i < length && Number.isNaN(values[i]!);
    if (missing && first < 0) first = i;
    else if (!missing && first >= 0) {
      runs.push({ first, length: i - first });
      first = -1;
    }
  }
  return runs;
}

/** The run, among runs in order, that holds row i. */
function runAround(runs: readonly Run[], i: number): Run | undefined {
  let low = 0;
  let high = runs.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (runs[middle]!.first <= i) low = middle + 1;
    else high = middle;
  }
  const run = runs[low - 1];
  return run !== undefined && i < run.first + run.length ? run : undefined;
}

/**
 * Fills short gaps of one column and tells; a longer gap is a problem. Where a part of the gaps has been closed before
 * (nights without radiation), `whole` are the runs as they stood in the file, and each is told once.
 */
export function fillGaps(
  rows: SeriesRows,
  name: ValueName,
  longest: number,
  context: ReadContext,
  whole?: readonly Run[],
): void {
  const noun = rows.stepsPerDay === 24 ? 'hour' : 'day';
  const told = new Set<number>();
  const filled = fillShortRuns(rows.values[name]!, rows.length, longest, (start, run) => {
    const { first, length } = runAround(whole ?? [], start) ?? { first: start, length: run };
    if (told.has(first)) return;
    told.add(first);
    context.problems.add(
      'weather.missing',
      `${name} is missing for ${counted(length, noun)} from ${rows.where(first)}: at most ${counted(longest, noun)} in a row can be filled.`,
      rows.place(first, name),
    );
  });
  if (filled === -1) context.problems.add('weather.missing', `${name} is missing in every row.`, { field: name });
  if (filled > 0) {
    context.notes.push(
      `${name}: ${count(filled)} missing ${filled === 1 ? 'value is' : 'values are'} filled on a straight line.`,
    );
  }
}

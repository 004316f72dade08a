import { HOURS_PER_YEAR, MONTH_START } from '../units/index.ts';
import {
  type BalanceHours,
  type BalanceModel,
  type BalanceState,
  type BalanceTrace,
  freshState,
  runBalance,
} from './balance.ts';
import { newTally, TALLY } from './tally.ts';

/**
 * Many years run as seasons: a season begins with the sunniest month and ends before the next one, so that a winter is
 * never cut in two; the state is carried from season to season.
 */
export interface SeasonRun {
  readonly seasons: number;
  /** Month (0..11) with which a season begins. */
  readonly startMonth: number;
  /** Tallies of `TALLY.size` fields by season. */
  readonly season: Float64Array;
  /** Tallies by calendar month, all seasons together (12 rows). */
  readonly month: Float64Array;
  /** Dark hours by season and calendar month (season · 12 + month). */
  readonly darkByMonth: Uint16Array;
  /** Everything together. */
  readonly total: Float64Array;
}

/** Reads one field of row `row` of a table of tallies. */
export function tallyAt(table: Float64Array, row: number, field: number): number {
  return table[row * TALLY.size + field]!;
}

/** Index of the largest of twelve monthly values: the month with which seasons begin. */
export function sunniestMonth(monthly: ArrayLike<number>): number {
  let best = 0;
  for (let m = 1; m < 12; m++) if (monthly[m]! > monthly[best]!) best = m;
  return best;
}

/** Where in the hours season `season` and its `step`-th month (0..11 from the start month) begin. */
export function seasonHour(startMonth: number, season: number, step: number): number {
  const month = startMonth + step;
  const year = season + Math.floor(month / 12);
  return year * HOURS_PER_YEAR + MONTH_START[month % 12]! * 24;
}

function foldRow(table: Float64Array, row: number, tally: Float64Array): void {
  const base = row * TALLY.size;
  for (let f = 0; f < TALLY.size; f++) {
    if (f === TALLY.longestDark_h) table[base + f] = Math.max(table[base + f]!, tally[f]!);
    else if (f === TALLY.minStateOfCharge) table[base + f] = Math.min(table[base + f]!, tally[f]!);
    else table[base + f]! += tally[f]!;
  }
}

function emptyTable(rows: number): Float64Array {
  const table = new Float64Array(rows * TALLY.size);
  for (let r = 0; r < rows; r++) table[r * TALLY.size + TALLY.minStateOfCharge] = 1;
  return table;
}

/**
 * Runs the listed seasons (all of them by default) of hours that hold whole calendar years of 8,760 hours from January;
 * `seasons` needs one calendar year more than seasons unless the start month is January. The node starts full; with a
 * list that skips seasons each run of consecutive ones starts full again. A locked-up board is woken at each season's
 * begin: someone has been there by then.
 */
export function runSeasons(
  model: BalanceModel,
  hours: BalanceHours,
  startMonth: number,
  seasons: number,
  options: { readonly only?: readonly number[]; readonly trace?: BalanceTrace } = {},
): SeasonRun {
  const last = seasonHour(startMonth, seasons - 1, 12);
  if (last > hours.length)
    throw new RangeError(`runSeasons: ${seasons} seasons need ${last} hours, not ${hours.length}`);
  const list = options.only ?? Array.from({ length: seasons }, (_, s) => s);
  const run: SeasonRun = {
    seasons: list.length,
    startMonth,
    season: emptyTable(list.length),
    month: emptyTable(12),
    darkByMonth: new Uint16Array(list.length * 12),
    total: newTally(),
  };
  let state: BalanceState = freshState(model);
  let previous = -2;
  list.forEach((season, row) => {
    if (season !== previous + 1) state = freshState(model);
    previous = season;
    state.locked = false;
    for (let step = 0; step < 12; step++) {
      const tally = newTally();
      // A spell that is open from before counts with its whole length where it ends, so the month starts from zero.
      runBalance(
        model,
        hours,
        seasonHour(startMonth, season, step),
        seasonHour(startMonth, season, step + 1),
        state,
        tally,
        options.trace,
      );
      const month = (startMonth + step) % 12;
      foldRow(run.season, row, tally);
      foldRow(run.month, month, tally);
      foldRow(run.total, 0, tally);
      run.darkByMonth[row * 12 + month] = tally[TALLY.dark_h]!;
    }
  });
  return run;
}

/** Dark hours of each season. */
export function darkHoursBySeason(run: SeasonRun): Float64Array {
  return Float64Array.from({ length: run.seasons }, (_, s) => tallyAt(run.season, s, TALLY.dark_h));
}

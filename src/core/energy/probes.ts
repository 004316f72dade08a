import { type BalanceHours, type BalanceModel, freshState, runBalance, TEMPERATURE_STEPS } from './balance.ts';
import { seasonHour } from './seasons.ts';
import { newTally, TALLY } from './tally.ts';

/** No node is followed longer than this without sun, h. */
const LONGEST_h = 400 * 24;

/**
 * Days of autonomy: how long the load runs from the ceiling with no sun at all at one cell temperature, up to 400 days.
 * The measure of IEC 62124's autonomy test (idea of the standard, from memory), at the cold month's temperature.
 */
export function autonomy_d(model: BalanceModel, cell_degC: number): number {
  const length = LONGEST_h;
  const hours: BalanceHours = {
    length,
    available_W: new Float32Array(length),
    nodes: 1,
    scale: 1,
    node_V: Float64Array.of(1),
    cell_degC: new Float32Array(length).fill(cell_degC),
  };
  const state = freshState(model);
  const tally = newTally();
  let h = 0;
  while (h < length && state.on) {
    runBalance(model, hours, h, h + 1, state, tally);
    h++;
  }
  return h / 24;
}

/**
 * Hours from a cut-off until the load is on again, in the weather of one calendar month: for each of up to `tries`
 * years the node is put dark at its cut-off at the begin of that month and run until it is back (at most 120 days).
 * Returns the times in days, ascending; a try that does not come back counts 120. Recovery test of IEC 62124, from memory.
 */
export function recoveries_d(
  model: BalanceModel,
  hours: BalanceHours,
  month: number,
  years: number,
  tries = 40,
): Float64Array {
  const longest_h = 120 * 24;
  const tally = newTally();
  const found: number[] = [];
  const coldest = model.cutoff_Wh[Math.floor(TEMPERATURE_STEPS / 2)]!;
  for (let t = 0; t < Math.min(tries, years); t++) {
    const begin = seasonHour(0, Math.floor((t * years) / Math.min(tries, years)), month);
    const end = Math.min(begin + longest_h, hours.length);
    if (end - begin < longest_h / 2) continue;
    const state = { energy_Wh: coldest, on: false, darkRun_h: 0, locked: false };
    tally[TALLY.longestDark_h] = 0;
    let h = begin;
    while (h < end && !state.on) {
      const next = Math.min(h + 24, end);
      for (; h < next && !state.on; h++) runBalance(model, hours, h, h + 1, state, tally);
    }
    found.push(state.on ? (h - begin) / 24 : 120);
  }
  return Float64Array.from(found).sort();
}

/** The Markov library of Aguiar et al. 1988 as probability laws: stationary law, persistence, and the same law with another persistence. */
import { AGUIAR_CLASSES } from './aguiar-tables.ts';

/** Number of states of a day. */
export const STATES = 10;

export interface ClearnessLaw {
  readonly min_kt: number;
  /** Width of a state. */
  readonly step_kt: number;
  /** Row-normalised transition probabilities, row-major 10 x 10. */
  readonly transition: Float64Array;
  readonly stationary: Float64Array;
  /** Mean and standard deviation of a day under the stationary law, values uniform within their state. */
  readonly mean_kt: number;
  readonly sd_kt: number;
  /** Correlation of the clearness of consecutive days. */
  readonly lag1: number;
}

/** Index 0..9 of the class that a month of this mean clearness belongs to (classes 0.05 wide from 0.30 to 0.70). */
export function classOf(meanKt: number): number {
  return Math.min(9, Math.max(0, Math.ceil((meanKt - 0.3) / 0.05 - 1e-9)));
}

/** The law of one class. */
export function clearnessLaw(index: number): ClearnessLaw {
  const source = AGUIAR_CLASSES[index];
  if (source === undefined) throw new RangeError(`clearnessLaw: class ${index} is outside 0..9`);
  const transition = new Float64Array(STATES * STATES);
  source.matrix.forEach((row, i) => {
    const sum = row.reduce((a, b) => a + b, 0);
    row.forEach((p, j) => {
      transition[i * STATES + j] = p / sum;
    });
  });
  const stationary = stationaryLaw(transition);
  const step_kt = (source.max_kt - source.min_kt) / STATES;
  const centre = (i: number) => source.min_kt + (i + 0.5) * step_kt;
  let mean = 0;
  for (let i = 0; i < STATES; i++) mean += stationary[i]! * centre(i);
  let between = 0;
  let across = 0;
  for (let i = 0; i < STATES; i++) {
    between += stationary[i]! * (centre(i) - mean) ** 2;
    for (let j = 0; j < STATES; j++)
      across += stationary[i]! * (centre(i) - mean) * transition[i * STATES + j]! * (centre(j) - mean);
  }
  const variance = between + step_kt ** 2 / 12; // a uniform value within the state adds width²/12
  return {
    min_kt: source.min_kt,
    step_kt,
    transition,
    stationary,
    mean_kt: mean,
    sd_kt: Math.sqrt(variance),
    lag1: across / variance,
  };
}

/** Stationary law of a transition matrix, by repeated application (the tables mix within a few steps; 100 is ample). */
function stationaryLaw(transition: Float64Array): Float64Array {
  let law = new Float64Array(STATES).fill(1 / STATES);
  let next = new Float64Array(STATES);
  for (let n = 0; n < 100; n++) {
    next.fill(0);
    for (let i = 0; i < STATES; i++) for (let j = 0; j < STATES; j++) next[j]! += law[i]! * transition[i * STATES + j]!;
    [law, next] = [next, law];
  }
  return law;
}

/**
 * Cumulative transition rows of the law with its day-to-day correlation moved to `target`, the stationary law unchanged.
 * More: P' = (1-a) P + a I ("stay" with probability a). Less: P' = (1-b) P + b 1 pi ("forget" with probability b). Both
 * keep pi, since pi P = pi I = pi. The correlation is linear in a and in b, so both are solved exactly.
 */
export function cumulativeWithLag1(law: ClearnessLaw, target: number): Float64Array {
  const { transition, stationary, step_kt, sd_kt } = law;
  // Correlation of "stay": the state repeats, the value within the state is drawn afresh.
  const stay = 1 - step_kt ** 2 / 12 / sd_kt ** 2;
  const more = target > law.lag1;
  const mix = more
    ? Math.min(0.95, (target - law.lag1) / (stay - law.lag1))
    : Math.min(1, (law.lag1 - target) / Math.max(1e-9, law.lag1));
  const rows = new Float64Array(STATES * STATES);
  for (let i = 0; i < STATES; i++) {
    let sum = 0;
    for (let j = 0; j < STATES; j++) {
      const other = more ? (i === j ? 1 : 0) : stationary[j]!;
      sum += (1 - mix) * transition[i * STATES + j]! + mix * other;
      rows[i * STATES + j] = sum;
    }
    rows[i * STATES + STATES - 1] = 1; // closes the row against rounding
  }
  return rows;
}

/** State of today from the cumulative rows, yesterday's state and a uniform draw. */
export function nextState(cumulative: Float64Array, state: number, uniform: number): number {
  let j = 0;
  while (cumulative[state * STATES + j]! < uniform) j++;
  return j;
}

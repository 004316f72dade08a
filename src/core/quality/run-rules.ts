import type { Chart } from './charts.ts';

/** Signs of a cause in a row of values, named by what they say. */
export type RunRule =
  | 'one-beyond-3-sigma'
  | 'nine-on-one-side'
  | 'six-rising-or-falling'
  | 'fourteen-alternating'
  | 'two-of-three-beyond-2-sigma'
  | 'four-of-five-beyond-1-sigma'
  | 'fifteen-within-1-sigma'
  | 'eight-outside-1-sigma';

export const RUN_RULES: readonly RunRule[] = [
  'one-beyond-3-sigma',
  'nine-on-one-side',
  'six-rising-or-falling',
  'fourteen-alternating',
  'two-of-three-beyond-2-sigma',
  'four-of-five-beyond-1-sigma',
  'fifteen-within-1-sigma',
  'eight-outside-1-sigma',
];

/** A run that a rule points out: the indices of its first and last value. */
export interface RunSignal {
  readonly rule: RunRule;
  readonly from: number;
  readonly to: number;
}

/**
 * Run tests on a chart. The eight tests are those of Nelson 1984 (Journal of Quality Technology 16(4) 237-239; from
 * memory); tests 1, 5, 6 and, with eight in place of nine, 2 are the older ones of the Western Electric handbook 1956,
 * as in the NIST/SEMATECH e-Handbook 6.3.2. A signal is given for each value that completes a run. Every rule more
 * costs false alarms: with the first alone a steady process signals once in 370 values. Not for ranges: their law is
 * skewed.
 */
export function runSignals(
  chart: Pick<Chart, 'values' | 'centre' | 'sigma'>,
  rules: readonly RunRule[] = RUN_RULES,
): RunSignal[] {
  const { values, centre, sigma } = chart;
  if (!(sigma > 0)) return [];
  const z = Float64Array.from(values, (v) => (v - centre) / sigma);
  const found: RunSignal[] = [];
  for (const rule of rules) {
    const length = LENGTHS[rule];
    const test = TESTS[rule];
    for (let to = length - 1; to < z.length; to++)
      if (test(z, to - length + 1, to)) found.push({ rule, from: to - length + 1, to });
  }
  return found;
}

const LENGTHS: Record<RunRule, number> = {
  'one-beyond-3-sigma': 1,
  'nine-on-one-side': 9,
  'six-rising-or-falling': 6,
  'fourteen-alternating': 14,
  'two-of-three-beyond-2-sigma': 3,
  'four-of-five-beyond-1-sigma': 5,
  'fifteen-within-1-sigma': 15,
  'eight-outside-1-sigma': 8,
};

type Test = (z: Float64Array, from: number, to: number) => boolean;

/** `enough` of the values beyond `limit` on one side, the last among them: it completes the run. */
const beyond =
  (limit: number, enough: number): Test =>
  (z, from, to) => {
    const side = Math.sign(z[to]!);
    if (!(side * z[to]! > limit)) return false;
    let count = 0;
    for (let i = from; i <= to; i++) if (side * z[i]! > limit) count++;
    return count >= enough;
  };

const TESTS: Record<RunRule, Test> = {
  'one-beyond-3-sigma': (z, from) => Math.abs(z[from]!) > 3,
  'nine-on-one-side': beyond(0, 9),
  'six-rising-or-falling': (z, from, to) => {
    const way = Math.sign(z[to]! - z[to - 1]!);
    if (way === 0) return false;
    for (let i = from + 1; i < to; i++) if (!(way * (z[i]! - z[i - 1]!) > 0)) return false;
    return true;
  },
  'fourteen-alternating': (z, from, to) => {
    for (let i = to; i >= from + 2; i--) if (!((z[i]! - z[i - 1]!) * (z[i - 1]! - z[i - 2]!) < 0)) return false;
    return true;
  },
  'two-of-three-beyond-2-sigma': beyond(2, 2),
  'four-of-five-beyond-1-sigma': beyond(1, 4),
  'fifteen-within-1-sigma': (z, from, to) => {
    for (let i = to; i >= from; i--) if (!(Math.abs(z[i]!) < 1)) return false;
    return true;
  },
  'eight-outside-1-sigma': (z, from, to) => {
    let [above, below] = [false, false];
    for (let i = to; i >= from; i--) {
      if (!(Math.abs(z[i]!) > 1)) return false;
      if (z[i]! > 0) above = true;
      else below = true;
    }
    return above && below;
  },
};

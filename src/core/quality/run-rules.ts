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
  const z = Array.from(values, (v) => (v - centre) / sigma);
  const found: RunSignal[] = [];
  for (const rule of rules) {
    const length = LENGTHS[rule];
    for (let to = length - 1; to < z.length; to++) {
      const run = z.slice(to - length + 1, to + 1);
      if (TESTS[rule](run)) found.push({ rule, from: to - length + 1, to });
    }
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

/** `enough` of the values beyond `limit` on one side, the last among them: it completes the run. */
function beyond(run: readonly number[], limit: number, enough: number): boolean {
  const last = run.at(-1)!;
  const side = Math.sign(last);
  return side * last > limit && run.filter((z) => side * z > limit).length >= enough;
}

const TESTS: Record<RunRule, (run: readonly number[]) => boolean> = {
  'one-beyond-3-sigma': (run) => Math.abs(run[0]!) > 3,
  'nine-on-one-side': (run) => beyond(run, 0, 9),
  'six-rising-or-falling': (run) => {
    const way = Math.sign(run[1]! - run[0]!);
    return way !== 0 && run.every((z, i) => i === 0 || way * (z - run[i - 1]!) > 0);
  },
  'fourteen-alternating': (run) => run.every((z, i) => i < 2 || (z - run[i - 1]!) * (run[i - 1]! - run[i - 2]!) < 0),
  'two-of-three-beyond-2-sigma': (run) => beyond(run, 2, 2),
  'four-of-five-beyond-1-sigma': (run) => beyond(run, 1, 4),
  'fifteen-within-1-sigma': (run) => run.every((z) => Math.abs(z) < 1),
  'eight-outside-1-sigma': (run) =>
    run.every((z) => Math.abs(z) > 1) && run.some((z) => z > 0) && run.some((z) => z < 0),
};

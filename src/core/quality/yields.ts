import type { Interval } from '../math/index.ts';
import { clopperPearson } from '../math/index.ts';

/** Counts of one step: units that came in, passed at the first try, and passed in the end (rework included). */
export interface StepCounts {
  readonly entered: number;
  readonly passedFirst: number;
  readonly passedFinally: number;
}

export interface Yields {
  /** First-pass yield of each step with its exact interval; NaN where nothing came in. */
  readonly firstPass: readonly Interval[];
  /** Product of the first-pass yields: the share of units that pass all without rework. */
  readonly rolled: number;
  /** The rolled yield as one step's: its k-th root. */
  readonly normalised: number;
  /** Defects per unit that the rolled yield amounts to if they fall at random: -ln(rolled). */
  readonly defectsPerUnit: number;
  /** Product of the final yields: what is left of the units that were started. */
  readonly final: number;
}

/**
 * Yields of a chain of steps (Breyfogle, Implementing Six Sigma; Harry & Schroeder). A chain hides in the final yield
 * what rework costs: the rolled yield shows it. Steps that nothing has entered yet are left out of the products.
 */
export function chainYields(steps: readonly StepCounts[], confidence = 0.95): Yields {
  const entered = steps.filter((s) => s.entered > 0);
  for (const { entered: n, passedFirst, passedFinally } of entered)
    if (!(passedFirst >= 0 && passedFirst <= passedFinally && passedFinally <= n))
      throw new RangeError(`chainYields: ${passedFirst} of ${passedFinally} of ${n}`);
  const rolled = rolledYield(entered.map((s) => s.passedFirst / s.entered));
  return {
    firstPass: steps.map((s) =>
      s.entered > 0
        ? clopperPearson(s.passedFirst, s.entered, confidence)
        : { mean: Number.NaN, low: Number.NaN, high: Number.NaN },
    ),
    rolled,
    normalised: rolled ** (1 / Math.max(1, entered.length)),
    defectsPerUnit: rolled === 1 ? 0 : -Math.log(rolled),
    final: entered.reduce((product, s) => (product * s.passedFinally) / s.entered, 1),
  };
}

/** Rolled throughput yield: the product of the steps' first-pass yields. */
export function rolledYield(firstPass: readonly number[]): number {
  return firstPass.reduce((product, y) => product * y, 1);
}

export interface ParetoRow<Cause> {
  readonly cause: Cause;
  readonly count: number;
  readonly share: number;
  /** Share of this and all larger ones. */
  readonly cumulative: number;
}

/**
 * Causes by falling count, equal counts in the order given, with their cumulative share (Juran's Pareto principle).
 * Zeros are left out.
 */
export function pareto<Cause>(counts: Iterable<readonly [Cause, number]>): ParetoRow<Cause>[] {
  const rows = [...counts].filter(([, count]) => count > 0).sort((a, b) => b[1] - a[1]);
  const total = rows.reduce((sum, [, count]) => sum + count, 0);
  let upTo = 0;
  return rows.map(([cause, count]) => {
    upTo += count;
    return { cause, count, share: count / total, cumulative: upTo / total };
  });
}

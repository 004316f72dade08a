import { medianLine } from './times.ts';

/**
 * The two learning models differ: with the same rate they give other totals. `unit` (Crawford): the time of the n-th
 * unit is T1·n^b. `average` (Wright): the mean time of the first n units is T1·n^b. Say which one a rate belongs to.
 */
export type LearningModel = 'unit' | 'average';

export interface LearningCurve {
  readonly model: LearningModel;
  /** Time (or cost) of the first unit. */
  readonly first: number;
  /** What doubling the quantity leaves of it: 0.8 is an 80 % curve; 1 does not learn. */
  readonly rate: number;
}

/**
 * Sum of the times of units 1..n. Sources: Crawford's unit model, Heizer & Render, Operations Management, module E (T_n
 * = T1 n^b, b = log2 rate); Wright 1936, J. Aeronautical Sciences 3(4) 122-128 (average T1 n^b, total T1 n^(b+1)).
 * Checked on both books' figures.
 */
export function learningTotal(curve: LearningCurve, n: number): number {
  check(curve, n);
  const b = Math.log2(curve.rate);
  if (curve.model === 'average') return n === 0 ? 0 : curve.first * n ** (1 + b);
  let sum = 0;
  for (let i = 1; i <= n; i++) sum += i ** b;
  return curve.first * sum;
}

/** Time of the n-th unit alone. */
export function learningUnit(curve: LearningCurve, n: number): number {
  check(curve, n);
  if (curve.model === 'unit') return curve.first * n ** Math.log2(curve.rate);
  return learningTotal(curve, n) - learningTotal(curve, n - 1);
}

/** Mean time of units `from`..`to`: a batch made after others. */
export function learningMean(curve: LearningCurve, from: number, to: number): number {
  if (!(from >= 1 && to >= from)) throw new RangeError(`learningMean: ${from}..${to}`);
  return (learningTotal(curve, to) - learningTotal(curve, from - 1)) / (to - from + 1);
}

/** Points through which a curve is laid: more are thinned evenly, or the pairs would take seconds. */
const MOST_POINTS = 200;

/**
 * Unit model through measured times of units 1..n in the order in which they were made: the median slope of the
 * logarithms (Theil 1950; Sen 1968), so that up to three times in ten may be anything (a break, a forgotten clock).
 * Undefined with fewer than three times. A rate above 1 means that times grow.
 */
export function fitLearning(times: readonly number[]): LearningCurve | undefined {
  if (times.length < 3 || times.some((t) => !(t > 0))) return undefined;
  const every = Math.max(1, times.length / MOST_POINTS);
  const at = Array.from({ length: Math.min(times.length, MOST_POINTS) }, (_, i) => Math.floor(i * every));
  const { slope, start } = medianLine(
    at.map((i) => Math.log(i + 1)),
    at.map((i) => Math.log(times[i]!)),
  );
  return { model: 'unit', first: Math.exp(start), rate: 2 ** slope };
}

function check({ first, rate }: LearningCurve, n: number): void {
  if (!(first >= 0 && rate > 0.5 && rate < 2 && Number.isInteger(n) && n >= 0))
    throw new RangeError(`learning curve: first ${first}, rate ${rate}, n ${n}`);
}

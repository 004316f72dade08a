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

/**
 * Unit model through measured times of units 1..n, by least squares on the logarithms (common practice). Undefined with
 * fewer than three times. A rate above 1 means that times grow.
 */
export function fitLearning(times: readonly number[]): LearningCurve | undefined {
  if (times.length < 3 || times.some((t) => !(t > 0))) return undefined;
  const x = times.map((_, i) => Math.log(i + 1));
  const y = times.map(Math.log);
  const mean = (v: readonly number[]) => v.reduce((s, a) => s + a, 0) / v.length;
  const mx = mean(x);
  const my = mean(y);
  const slope = x.reduce((s, a, i) => s + (a - mx) * (y[i]! - my), 0) / x.reduce((s, a) => s + (a - mx) ** 2, 0);
  return { model: 'unit', first: Math.exp(my - slope * mx), rate: 2 ** slope };
}

function check({ first, rate }: LearningCurve, n: number): void {
  if (!(first >= 0 && rate > 0.5 && rate < 2 && Number.isInteger(n) && n >= 0))
    throw new RangeError(`learning curve: first ${first}, rate ${rate}, n ${n}`);
}

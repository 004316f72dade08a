export { incompleteBeta, inverseIncompleteBeta, logGamma } from './beta.ts';
export type { Interval } from './intervals.ts';
export { bootstrapMean, clopperPearson, quantile, quantileOfSorted } from './intervals.ts';
export type { Random } from './random.ts';
export { createRandom } from './random.ts';
export { findMaximum, findRoot } from './solve.ts';

export { incompleteBeta, inverseIncompleteBeta, logGamma } from './beta.ts';
export { chiSquareQuantile, incompleteGamma } from './gamma.ts';
export type { Interval } from './intervals.ts';
export { bootstrapMean, clopperPearson, quantile, quantileOfSorted } from './intervals.ts';
export { normalDensity, normalQuantile, normalShareBelow } from './normal.ts';
export type { Random } from './random.ts';
export { createRandom } from './random.ts';
export { findMaximum, findRoot } from './solve.ts';
export { fShareAbove, studentQuantile } from './student.ts';

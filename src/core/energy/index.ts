export type { BalanceHours, BalanceModel, BalanceState, BalanceTrace } from './balance.ts';
export {
  COLDEST_degC,
  energyAt,
  freshState,
  HOTTEST_degC,
  runBalance,
  socAt,
  TEMPERATURE_STEPS,
} from './balance.ts';
export type { BucketModel } from './bucket.ts';
export { BUCKET, runBucket } from './bucket.ts';
export type { CeilingSpec, CutoffSpec, NodeSpec } from './node.ts';
export { buildNode, thresholdEnergy_Wh } from './node.ts';
export type {
  AgeingCurve,
  AgeSummary,
  Assumption,
  CauseSummary,
  Caution,
  ChangeSummary,
  EnergyBudget,
  Fan,
  FrontierMap,
  FrontierPoint,
  MonthSummary,
  YearOutcome,
  YearPictures,
  YearStrip,
} from './outcome.ts';
export { autonomy_d, recoveries_d } from './probes.ts';
export type { SeasonRun } from './seasons.ts';
export { darkHoursBySeason, runSeasons, seasonHour, sunniestMonth, tallyAt } from './seasons.ts';
export { addTally, balanceError_Wh, newTally, TALLY } from './tally.ts';

export type { Capability, SpecLimits } from './capability.ts';
export { capability, cpInterval, cpkInterval, cpkLower, guardedLimits } from './capability.ts';
export type { ChartFactors } from './chart-factors.ts';
export { CHART_SAMPLE, chartFactors } from './chart-factors.ts';
export type { Chart } from './charts.ts';
export { cusum, ewma, individualsChart, meanRangeChart, shareChart } from './charts.ts';
export type { CheckScheme, Slip } from './check-character.ts';
export {
  CHECK_SCHEMES,
  checkCharacter,
  checkLength,
  hasValidCheck,
  likelySlips,
  normaliseSerial,
  readCrockford,
  schemeAlphabet,
} from './check-character.ts';
export type { Description, Line } from './descriptive.ts';
export { compensatedSum, describe, fitLine } from './descriptive.ts';
export { drawSample } from './draw.ts';
export type { AnovaResult, GaugeResult, GaugeStudy, GaugeSums, OnePersonResult, RangeResult } from './gauge.ts';
export { gaugeByAnova, gaugeByOne, gaugeByRanges } from './gauge.ts';
export { acceptChance, acceptChanceOfLot, lotPoints, operatingCurve, qualityAccepted } from './operating.ts';
export { chanceOfEnough, startsFor, unitsWithoutFailure, upperLimit, wilson } from './proportion.ts';
export type { RunRule, RunSignal } from './run-rules.ts';
export { RUN_RULES, runSignals } from './run-rules.ts';
export type { LotVerdict, NextSeverity, PlanRequest, SamplingPlan } from './sampling-plan.ts';
export { judgeSample, nextSeverity, planOfLetter, samplingPlan } from './sampling-plan.ts';
export type { InspectionLevel, Severity } from './sampling-tables.ts';
export { AQL_pct, CODE_LETTERS, codeLetter, INSPECTION_LEVELS } from './sampling-tables.ts';
export type { ParetoRow, StepCounts, Yields } from './yields.ts';
export { chainYields, pareto, rolledYield } from './yields.ts';

export type { Band, BandResult, Marker } from './band.ts';
export { bestMatch, markerAt, overBand, usableBand, usableBands } from './band.ts';
export type { BatchComparison, SpreadPoint, SweepSummary } from './batch.ts';
export { compareSweeps, OUTLIER_SCORE, robustScores } from './batch.ts';
export {
  gammaOfVswr,
  LINEAR_CIRCULAR_dB,
  mismatchLoss_dB,
  mismatchUncertainty_dB,
  polarizationLoss_dB,
  returnLoss_dB,
  vswr,
} from './match.ts';
export { stickBeamwidth_deg, stickGain_dBi } from './pattern.ts';
export type { Sweep } from './sweep.ts';
export { checkSweep, gammaAt, gammaAtFrequency, renormalise } from './sweep.ts';

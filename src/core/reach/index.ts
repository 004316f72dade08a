export type { CoverageGround, CoverageOut, CoveragePlan } from './coverage.ts';
export { BUNDLE, coverSector, createCoverageOut, planCoverage, sectorsOf } from './coverage.ts';
export type { CoverageFrame, GridPlace } from './frame.ts';
export { cellSize_km, courseOf, offsetFrom, stepAlong } from './frame.ts';
export type { RadialOut, RadialScratch, RadialSetting } from './radial.ts';
export { createRadialScratch, radialLosses } from './radial.ts';

export type { CoverageOut, CoveragePlan } from './coverage.ts';
export { BUNDLE, coverSector, createCoverageOut, planCoverage, sectorsOf } from './coverage.ts';
export type { Course, CoverageFrame, GridPlace } from './frame.ts';
export { cellSize_km, courseOf, offsetFrom, polarOf, stepAlong } from './frame.ts';
export type { CoverageGround } from './ground.ts';
export { heightAtPlace, profileBetween, sampleCourse } from './ground.ts';
export type { RadialOut, RadialScratch, RadialSetting } from './radial.ts';
export { createRadialScratch, radialLosses } from './radial.ts';

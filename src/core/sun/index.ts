export { kastenAirMass, kastenYoungAirMass } from './air-mass.ts';
export type { BirdInput, ClearSky, IneichenInput } from './clear-sky.ts';
export { birdClearSky, haurwitz_W_m2, ineichenClearSky } from './clear-sky.ts';
export { deltaT_s } from './ephemeris.ts';
export type { HorizonPoint, SkyView } from './horizon.ts';
export { HORIZON_SIZE, horizonAt_deg, horizonFromPairs, skyView } from './horizon.ts';
export type { DiffuseModifiers } from './incidence.ts';
export { ashraeModifier, diffuseModifiers, physicalModifier, physicalModifierOfCos } from './incidence.ts';
export type { IrradianceHours, PlaneGeometry, PlaneModel, PlaneSpec } from './plane.ts';
export { planeGeometry, planeOfArray } from './plane.ts';
export type { SunPosition } from './position.ts';
export {
  julianDayOfUnix_ms,
  refraction_deg,
  standardPressure_hPa,
  sunPosition,
  unix_msOfJulianDay,
} from './position.ts';
export type { SunSeriesOut } from './series.ts';
export { sunSeries } from './series.ts';
export { erbsDaily, erbsHourly, erbsMonthly, splitGlobal } from './split.ts';
export {
  beamRatio,
  cooperDeclination_deg,
  cosIncidence,
  cosZenith,
  distanceFactor,
  extraterrestrialBetween_Wh_m2,
  extraterrestrialDay_Wh_m2,
  extraterrestrialMean_Wh_m2,
  hourlyDiffuseShare,
  hourlyGlobalShare,
  profileAngle_deg,
  shortDistanceFactor,
  solarAzimuth_deg,
  solarTime_h,
  spencerEquationOfTime_min,
  sunsetHourAngle_deg,
} from './textbook.ts';
export type { SunTimes } from './times.ts';
export { STANDARD_RISE_deg, sunTimes } from './times.ts';
export type { SkyModel, Transposed, TransposeInput } from './transpose.ts';
export { incidence_deg, transpose } from './transpose.ts';
export type { SunYear, SunYearPlace } from './year.ts';
export { sunYear } from './year.ts';

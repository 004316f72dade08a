export type { ClearnessLaw } from './aguiar.ts';
export { classOf, clearnessLaw, cumulativeWithLag1 } from './aguiar.ts';
export type { BendtLaw } from './bendt.ts';
export { bendtLaw, bendtProbability, bendtQuantile } from './bendt.ts';
export type { TemperatureRules } from './climate-rules.ts';
export {
  clearnessPersistence,
  clearnessSpread,
  diffuseExponents,
  interannualCv,
  temperatureRules,
} from './climate-rules.ts';
export type { DailyClearness, DailyClearnessInput } from './daily.ts';
export { createDailyClearness, monthlyClearness } from './daily.ts';
export type { DayRecord } from './from-days.ts';
export { hoursFromDays } from './from-days.ts';
export type { HourlyShape, IrradianceArrays, TagDay } from './hourly.ts';
export { createHourlyShape, tagDay, tagMean, tagSpread } from './hourly.ts';
export type { WeatherHours } from './hours.ts';
export { allocateWeather } from './hours.ts';
export { BLOCK_YEARS } from './month-draws.ts';
export { monthlyCurve } from './monthly-curve.ts';
export { normalProbability, normalQuantile } from './normal.ts';
export type { NearClimate, ReferenceClimate } from './reference-climates.ts';
export {
  greatCircle_km,
  LAPSE_RATE_K_m,
  nearestClimate,
  REFERENCE_CLIMATES,
  rankedClimates,
  temperatureAtElevation,
} from './reference-climates.ts';
export { resampleBlocks } from './resample.ts';
export type { DarkSpell, ReturnValue } from './spells.ts';
export { darkSpells, RETURN_PERIODS_y, returnValues } from './spells.ts';
export { elevationFactor, lowSunFactor } from './split-low-sun.ts';
export type { DailyStatistics } from './statistics.ts';
export { dailyStatistics, spellRatios } from './statistics.ts';
export type { SyntheticDays, SyntheticInput } from './synthetic.ts';
export { DEFAULT_WIND_m_s, syntheticDays, syntheticYears } from './synthetic.ts';
export { diurnalRange_K, diurnalShape, TEMPERATURE_PERSISTENCE } from './temperature.ts';

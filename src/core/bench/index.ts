export type { DischargeLog, DischargeOptions, DischargeResult } from './discharge.ts';
export { readDischarge } from './discharge.ts';
export type { Measured } from './log.ts';
export type { SunReading, SunResult, SunShare } from './panel-in-sun.ts';
export { panelInSun, SUN_UNCERTAINTY } from './panel-in-sun.ts';
export type { RampLog, RampOptions, RampResult } from './ramp.ts';
export { readRamp } from './ramp.ts';

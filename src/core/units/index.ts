export type { AmpereHours, Branded, Degrees, Radians, WattHours } from './brands.ts';
export { ampereHours, degrees, radians, toDegrees, toRadians, wattHours } from './brands.ts';
export {
  DAYS_IN_MONTH,
  DAYS_PER_YEAR,
  DEG_PER_RAD,
  HOURS_PER_YEAR,
  KELVIN_AT_0_degC,
  MONTH_NAMES,
  MONTH_START,
  RAD_PER_DEG,
  SOLAR_CONSTANT_W_m2,
} from './constants.ts';
export type { Place, Problem } from './problem.ts';
export { formatProblem, UserError, userError } from './problem.ts';

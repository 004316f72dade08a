/** Degrees to radians. */
export const RAD_PER_DEG = Math.PI / 180;
/** Radians to degrees. */
export const DEG_PER_RAD = 180 / Math.PI;
/** Solar constant used by the textbook relations and by the reference climates' clearness, W/m² (Duffie & Beckman 2013, sec. 1.2). */
export const SOLAR_CONSTANT_W_m2 = 1367;
/** Zero of the Celsius scale, K. */
export const KELVIN_AT_0_degC = 273.15;
export const HOURS_PER_YEAR = 8760;
export const DAYS_PER_YEAR = 365;
/** Days in each month of a year without leap day. */
export const DAYS_IN_MONTH: readonly number[] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/** Zero-based day of the year on which each month begins; a thirteenth entry closes the year. */
export const MONTH_START: readonly number[] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];
/** Names of the months, January first. */
export const MONTH_NAMES: readonly string[] = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

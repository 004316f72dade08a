/** Limits of the plain numbers on the command line: one table for the checks and the sentences. */
import { type Problem, UserError } from '../core/units/index.ts';

interface Limit {
  readonly option: string;
  /** Completes "…: {what} lies between LOW and HIGH". */
  readonly what: string;
  readonly low: number;
  readonly high: number;
  readonly hint?: (value: number) => string | undefined;
}

const asShare = (value: number) => (value > 1 && value <= 100 ? `write ${value} % as ${value / 100}` : undefined);

/** By the name under which the use cases take the value. Both ends are allowed; the same limits as in the record files. */
const LIMITS = {
  latitude_deg: {
    option: '--lat',
    what: 'a latitude',
    low: -90,
    high: 90,
    hint: (value) => (Math.abs(value) <= 180 ? 'is it the longitude?' : undefined),
  },
  longitude_deg: {
    option: '--lon',
    what: 'a longitude',
    low: -180,
    high: 180,
    hint: (value) => (value > 180 && value <= 360 ? `${value} east is ${Number((value - 360).toFixed(6))}` : undefined),
  },
  elevation_m: { option: '--elevation', what: 'an elevation above the sea', low: -450, high: 9000 },
  tilt_deg: {
    option: '--tilt',
    what: 'a tilt',
    low: 0,
    high: 90,
    hint: (value) => (value > 90 && value <= 360 ? 'did you mean --azimuth?' : undefined),
  },
  azimuth_deg: { option: '--azimuth', what: 'an azimuth, clockwise from north,', low: -180, high: 360 },
  // Fewer tell no regression; more take time and add nothing.
  tilt_years: { option: '--years', what: 'the number of synthetic years', low: 8, high: 200 },
  albedo: { option: '--albedo', what: 'an albedo', low: 0, high: 1, hint: asShare },
  ghi_kWh_m2_day: {
    option: '--ghi',
    what: 'a mean daily sum of radiation',
    low: 0,
    high: 15,
    hint: (value) => (value > 15 && value < 500 ? 'is it a monthly sum? Divide by the days of the month' : undefined),
  },
  dhi_kWh_m2_day: { option: '--dhi', what: 'a mean daily sum of diffuse radiation', low: 0, high: 15 },
  monthly_degC: { option: '--temperature', what: 'a monthly mean temperature', low: -70, high: 50 },
  cell_degC: { option: '--temperature', what: 'a temperature of the cells', low: -40, high: 80 },
  ageing_degC: { option: '--at-temperature', what: 'a yearly temperature of the cells', low: -40, high: 80 },
  stateOfCharge: { option: '--soc', what: 'a state of charge', low: 0, high: 1, hint: asShare },
  restedVoltage_V: {
    option: '--voltage',
    what: 'the rested voltage of one cell',
    low: 1,
    high: 5,
    hint: (value) => (value >= 1000 && value <= 5000 ? `write ${value} mV as ${value / 1000}` : undefined),
  },
  current_A: {
    option: '--current',
    what: 'the current of all cells',
    low: -20,
    high: 20,
    hint: (value) => (Math.abs(value) <= 20000 ? `write ${value} mA as ${value / 1000}` : undefined),
  },
  ceiling_soc: {
    option: '--ceiling',
    what: 'a charge ceiling, as state of charge,',
    low: 0.01,
    high: 1,
    hint: asShare,
  },
  age_years: { option: '--age', what: 'the age of the cells in years', low: 0, high: 50 },
  depth: {
    option: '--depth',
    what: 'the depth of the daily cycle, as state of charge,',
    low: 0,
    high: 1,
    hint: asShare,
  },
  capacity_mAh: {
    option: '--capacity',
    what: 'the capacity of one cell in mAh',
    low: 20,
    high: 200000,
    hint: (value) => (value > 0 && value < 20 ? `${value} Ah is ${value * 1000} mAh` : undefined),
  },
  resistance_mOhm: { option: '--resistance', what: 'the resistance of one cell in mOhm', low: 0, high: 5000 },
  count: { option: '--count', what: 'the number of cells in parallel', low: 1, high: 1000 },
} as const satisfies Record<string, Limit>;

const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October'];
MONTHS.push('November', 'December');

/**
 * Holds plain options against their limits; absent ones pass. Values of a list of twelve are named by their month.
 *
 * @throws UserError with every value outside, each naming its option
 */
export function checkOptions(
  values: Readonly<Partial<Record<keyof typeof LIMITS, number | readonly number[] | undefined>>>,
): void {
  const problems: Problem[] = [];
  for (const [name, given] of Object.entries(values)) {
    const limit: Limit = LIMITS[name as keyof typeof LIMITS];
    const list = given === undefined ? [] : typeof given === 'number' ? [given] : given;
    list.forEach((value, i) => {
      if (value >= limit.low && value <= limit.high) return;
      const hint = limit.hint?.(value);
      const month = typeof given === 'number' ? '' : ` for ${MONTHS[i] ?? `value ${i + 1}`}`;
      problems.push({
        code: 'out-of-range',
        message: `${limit.option} is ${value}${month}: ${limit.what} lies between ${limit.low} and ${limit.high}${hint === undefined ? '' : `; ${hint}`}`,
        place: { field: limit.option },
      });
    });
  }
  if (problems.length > 0) throw new UserError(problems);
}

/** An azimuth of -180..360 as 0..360. */
export const azimuthFromNorth_deg = (azimuth_deg: number): number =>
  azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg;

import { userError } from '../units/index.ts';
import type { Measured } from './log.ts';
import { checkColumns, median, repeated } from './log.ts';

/** A log of one cell being emptied. The current is counted positive out of the cell. */
export interface DischargeLog {
  readonly time_s: Float64Array;
  readonly voltage_V: Float64Array;
  readonly current_mA: Float64Array;
}

export interface DischargeOptions {
  /** The cell counts as empty when its voltage first falls under this. */
  readonly empty_V: number;
  /** What the current meter may be off by, % of the reading: hand meters 1, good ones 0.2 (judgement). */
  readonly meter_pct?: number | undefined;
}

export interface DischargeResult {
  /** Charge from the first current to `empty_V`, or to the end of the log: then the cell holds at least this. */
  readonly capacity_mAh: Measured;
  readonly energy_mWh: number;
  readonly reachedEmpty: boolean;
  /** Charge-weighted mean. */
  readonly meanVoltage_V: number;
  readonly meanCurrent_mA: number;
  readonly duration_s: number;
  /** From the steps of the current; undefined when it never steps. */
  readonly resistance_mOhm: Measured | undefined;
  /** Longest time between two rows while current flowed: across it the current is taken as a straight line. */
  readonly longestGap_s: number;
}

const SECONDS_PER_HOUR = 3600;
/** A change between two rows by this share of the largest current is a step (judgement). */
const STEP_SHARE = 0.2;
/** Rows further apart than this do not make a step: relaxation would be read as resistance (judgement). */
const STEP_WITHIN_s = 5;
/** A current below this share of the largest counts as rest (judgement). */
const REST_SHARE = 0.02;

/**
 * Capacity, energy and resistance from a discharge log.
 *
 * Capacity is the trapezoid integral of the current, as in IEC 61960-3 (constant current to an end voltage, from
 * memory), with the end found by a straight line between two rows. The interval on the capacity is the meter's own
 * error, which repeats do not show. The resistance is -dV/dI at each step (the direct-current method of IEC 61960-3):
 * ohmic with what polarisation appears between two rows, so it depends on their distance. Capacity depends on current
 * and temperature: the answer holds for those of the log. Checked on logs made from a known capacity and resistance;
 * not validated on real cells.
 *
 * @throws UserError when the log holds no discharge, starts below `empty_V`, or its columns are bad
 */
export function readDischarge(log: DischargeLog, options: DischargeOptions): DischargeResult {
  const { time_s, voltage_V, current_mA } = log;
  checkColumns(time_s, { voltage_V, current_mA });
  const { empty_V, meter_pct = 1 } = options;
  const largest_mA = current_mA.reduce((most, i) => Math.max(most, i), 0);
  const smallest_mA = current_mA.reduce((least, i) => Math.min(least, i), 0);
  if (!(largest_mA > 0) || -smallest_mA > largest_mA)
    throw userError(
      'discharge-sign',
      `the current lies between ${smallest_mA} and ${largest_mA} mA: a discharge counts as positive; turn the sign or check the column.`,
      { field: 'current_mA' },
    );
  const rest_mA = REST_SHARE * largest_mA;
  const start = current_mA.findIndex((i) => i > rest_mA);
  if (voltage_V[start]! <= empty_V)
    throw userError(
      'discharge-empty',
      `the voltage is ${voltage_V[start]} V when the current begins, not above empty_V ${empty_V} V: charge the cell first, or lower empty_V.`,
      { field: 'empty_V' },
    );
  let charge_mAs = 0;
  let energy_mWs = 0;
  let longestGap_s = 0;
  let end_s = time_s[start]!;
  let reachedEmpty = false;
  // From the first row with current on: where between it and the row before the current rose nobody knows.
  for (let i = start + 1; i < time_s.length && !reachedEmpty; i++) {
    const whole_s = time_s[i]! - time_s[i - 1]!;
    let share = 1;
    if (voltage_V[i]! < empty_V && current_mA[i]! > rest_mA) {
      share = Math.max(0, (voltage_V[i - 1]! - empty_V) / (voltage_V[i - 1]! - voltage_V[i]!));
      reachedEmpty = true;
    }
    const step_s = share * whole_s;
    const current = current_mA[i - 1]! + share * (current_mA[i]! - current_mA[i - 1]!);
    const voltage = voltage_V[i - 1]! + share * (voltage_V[i]! - voltage_V[i - 1]!);
    charge_mAs += 0.5 * step_s * (current_mA[i - 1]! + current);
    energy_mWs += 0.5 * step_s * (current_mA[i - 1]! * voltage_V[i - 1]! + current * voltage);
    if (current > rest_mA) {
      longestGap_s = Math.max(longestGap_s, whole_s);
      end_s = time_s[i - 1]! + step_s;
    }
  }
  const duration_s = end_s - time_s[start]!;
  const value = charge_mAs / SECONDS_PER_HOUR;
  const error = (value * meter_pct) / 100;
  return {
    capacity_mAh: { value, low: value - error, high: value + error, count: 1 },
    energy_mWh: energy_mWs / SECONDS_PER_HOUR,
    reachedEmpty,
    meanVoltage_V: energy_mWs / charge_mAs,
    meanCurrent_mA: charge_mAs / duration_s,
    duration_s,
    resistance_mOhm: resistance(log, largest_mA, meter_pct),
    longestGap_s,
  };
}

/**
 * Median of -dV/dI over the steps, its interval by Student's t; steps far off the median (a voltage caught in between)
 * are left out.
 */
function resistance(log: DischargeLog, largest_mA: number, meter_pct: number): Measured | undefined {
  const { time_s, voltage_V, current_mA } = log;
  const found: number[] = [];
  for (let i = 1; i < time_s.length; i++) {
    const step_mA = current_mA[i]! - current_mA[i - 1]!;
    if (Math.abs(step_mA) < STEP_SHARE * largest_mA || time_s[i]! - time_s[i - 1]! > STEP_WITHIN_s) continue;
    found.push((-1e6 * (voltage_V[i]! - voltage_V[i - 1]!)) / step_mA);
  }
  if (found.length === 0) return undefined;
  const middle = median(found);
  const near = found.filter((r) => Math.abs(r - middle) <= 0.5 * Math.abs(middle));
  return repeated(near, (Math.abs(middle) * meter_pct) / 100);
}

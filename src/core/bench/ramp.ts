import { quantile } from '../math/index.ts';
import { userError } from '../units/index.ts';
import type { Measured } from './log.ts';
import { checkColumns, median, repeated } from './log.ts';

/** A log of a device on a bench supply whose voltage is led down and up again, once or several times. */
export interface RampLog {
  readonly time_s: Float64Array;
  readonly supply_V: Float64Array;
  readonly current_mA: Float64Array;
}

export interface RampOptions {
  /** Above this current the load is on; found from the log when absent. */
  readonly threshold_mA?: number | undefined;
}

export interface RampResult {
  /** Where the load went off as the voltage fell. */
  readonly cutoff_V: Measured;
  /** Where it came on again as the voltage rose; undefined when the log has no such ramp. */
  readonly reconnect_V: Measured | undefined;
  readonly hysteresis_V: Measured | undefined;
  /** Drawn while the load is off: median, and the span of the middle 90 % of the samples. */
  readonly ownConsumption_mA: Measured;
  /** Current that tells on from off. */
  readonly threshold_mA: number;
  /** Most switchings seen on one ramp: more than one is chatter. */
  readonly mostSwitchings: number;
  /**
   * Fastest mean rate of a ramp on which the load switched, V/s. A delay in the switch shows as this rate times the
   * delay.
   */
  readonly rate_V_s: number;
}

/**
 * Share of the voltage's span by which it must turn back before a new ramp begins (judgement: above noise, below a
 * ramp).
 */
const TURN_SHARE = 0.1;
/** Least ratio of the current on to the current off for a switch to be believed (judgement). */
const LEAST_RATIO = 2;

/**
 * Cut-off, reconnect, hysteresis and own consumption of a load switch or charger from a logged supply ramp.
 *
 * On and off are told by the current: off at the lowest tenth of the voltages, on at the highest, and the threshold is
 * the geometric mean of the middle current of the one and a low current (5th percentile) of the other, so that a
 * sleeping load still counts as on. Each ramp gives one reading, halfway between the two samples around the first
 * switching; the resolution is half their distance. Method: judgement, no source. Checked on logs made from known
 * thresholds; not validated on real switches.
 *
 * @throws UserError when no switching is seen or the columns are bad
 */
export function readRamp(log: RampLog, options: RampOptions = {}): RampResult {
  const { time_s, supply_V, current_mA } = log;
  checkColumns(time_s, { supply_V, current_mA });
  const threshold_mA = options.threshold_mA ?? findThreshold(log);
  const on = Array.from(current_mA, (i) => i > threshold_mA);
  const cutoffs: number[] = [];
  const reconnects: number[] = [];
  let cutoffStep_V = 0;
  let reconnectStep_V = 0;
  let mostSwitchings = 0;
  let rate_V_s = 0;
  for (const { from, to, falling } of rampsOf(supply_V)) {
    let switchings = 0;
    let first = -1;
    for (let i = from + 1; i <= to; i++) {
      if (on[i] === on[i - 1]) continue;
      switchings++;
      if (first < 0 && on[i] !== falling) first = i;
    }
    mostSwitchings = Math.max(mostSwitchings, switchings);
    if (first < 0) continue;
    const at_V = 0.5 * (supply_V[first]! + supply_V[first - 1]!);
    const half_V = 0.5 * Math.abs(supply_V[first]! - supply_V[first - 1]!);
    rate_V_s = Math.max(
      rate_V_s,
      Math.abs(supply_V[to]! - supply_V[from]!) / Math.max(1e-9, time_s[to]! - time_s[from]!),
    );
    if (falling) {
      cutoffs.push(at_V);
      cutoffStep_V = Math.max(cutoffStep_V, half_V);
    } else {
      reconnects.push(at_V);
      reconnectStep_V = Math.max(reconnectStep_V, half_V);
    }
  }
  if (cutoffs.length === 0)
    throw userError(
      'ramp-no-cutoff',
      'the load never goes off while the voltage falls: lead the supply lower, or give threshold_mA, the current above which the load is on.',
    );
  const off = current_mA.filter((_, i) => !on[i]);
  const cutoff_V = repeated(cutoffs, cutoffStep_V);
  const reconnect_V = reconnects.length > 0 ? repeated(reconnects, reconnectStep_V) : undefined;
  return {
    cutoff_V,
    reconnect_V,
    hysteresis_V: reconnect_V && difference(reconnect_V, cutoff_V),
    ownConsumption_mA: {
      value: median(off),
      low: quantile(off, 0.05),
      high: quantile(off, 0.95),
      count: off.length,
    },
    threshold_mA,
    mostSwitchings,
    rate_V_s,
  };
}

function difference(a: Measured, b: Measured): Measured {
  const value = a.value - b.value;
  const half = Math.hypot(a.high - a.value, b.high - b.value);
  return { value, low: value - half, high: value + half, count: Math.min(a.count, b.count) };
}

function findThreshold({ supply_V, current_mA }: RampLog): number {
  const low_V = supply_V.reduce((a, v) => Math.min(a, v), Number.POSITIVE_INFINITY);
  const high_V = supply_V.reduce((a, v) => Math.max(a, v), Number.NEGATIVE_INFINITY);
  const span_V = high_V - low_V;
  if (!(span_V > 0)) throw userError('ramp-flat', `the supply stays at ${low_V} V: lead it down and up again.`);
  const off = current_mA.filter((_, i) => supply_V[i]! <= low_V + 0.1 * span_V);
  const on = current_mA.filter((_, i) => supply_V[i]! >= high_V - 0.1 * span_V);
  // A meter may show nought or a little less while the load is off.
  const off_mA = Math.max(median(off), 1e-6);
  const on_mA = quantile(on, 0.05);
  if (!(on_mA > LEAST_RATIO * off_mA))
    throw userError(
      'ramp-no-switch',
      `the current is ${median(off)} mA at the lowest voltages and ${on_mA} mA at the highest: no switching shows; widen the ramp, or give threshold_mA.`,
    );
  return Math.sqrt(off_mA * on_mA);
}

interface Ramp {
  readonly from: number;
  readonly to: number;
  readonly falling: boolean;
}

/** Cuts the voltage at its turning points; a turn counts when it goes back by a tenth of the whole span. */
function rampsOf(supply_V: Float64Array): Ramp[] {
  const span_V = Math.max(...extremes(supply_V)) - Math.min(...extremes(supply_V));
  const turn_V = TURN_SHARE * span_V;
  const ramps: Ramp[] = [];
  let from = 0;
  let way = 0;
  let least = 0;
  let most = 0;
  for (let i = 1; i < supply_V.length; i++) {
    if (supply_V[i]! < supply_V[least]!) least = i;
    if (supply_V[i]! >= supply_V[most]!) most = i;
    if (way >= 0 && supply_V[most]! - supply_V[i]! > turn_V) {
      if (way > 0) ramps.push({ from, to: most, falling: false });
      from = most;
      way = -1;
      least = i;
    } else if (way <= 0 && supply_V[i]! - supply_V[least]! > turn_V) {
      if (way < 0) ramps.push({ from, to: least, falling: true });
      from = least;
      way = 1;
      most = i;
    }
  }
  if (way !== 0) ramps.push({ from, to: supply_V.length - 1, falling: way < 0 });
  return ramps;
}

function extremes(values: Float64Array): [number, number] {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const v of values) {
    if (v < least) least = v;
    if (v > most) most = v;
  }
  return [least, most];
}

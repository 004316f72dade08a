import type { Problem } from '../units/index.ts';
import { UserError, userError } from '../units/index.ts';
import type { ResistorSeries } from './eseries.ts';
import { neighbours, seriesValues } from './eseries.ts';

/** What is bought and what it is worth: the series, the room for the string's total, and tolerances. */
export interface DividerOptions {
  readonly series: ResistorSeries;
  /** Least and largest total of the string, Ω; by default 0.5 to 5 MΩ, where a cell spends 1 to 8 µA. */
  readonly total_Ohm?: { readonly low: number; readonly high: number };
  /** Tolerance of each resistor, %; 1 by default. */
  readonly resistorTolerance_pct?: number;
  /** Temperature coefficient of each resistor, ppm/K, either sign; 100 by default (common for 1 % film). */
  readonly resistorDrift_ppm_K?: number;
  /** Tolerance of the reference, %; 1 by default. */
  readonly referenceTolerance_pct?: number;
  /** Temperature coefficient of the reference, ppm/K, either sign; 50 by default. */
  readonly referenceDrift_ppm_K?: number;
  /** Farthest that the parts get from 25 °C, K; 50 by default (−25 °C). */
  readonly span_K?: number;
}

/**
 * A threshold with its spread: the nominal voltage, its worst case by tolerances at 25 °C, and with drift added over
 * the span.
 */
export interface Threshold {
  readonly nominal_V: number;
  /** Nominal less what was asked for, V. */
  readonly error_V: number;
  readonly low_V: number;
  readonly high_V: number;
  /** Worst shift by temperature alone over the span, V, to either side. */
  readonly drift_V: number;
  /** Worst case of all together, V. */
  readonly worstLow_V: number;
  readonly worstHigh_V: number;
}

export interface Divider {
  /** Between the battery and the tap, Ω. */
  readonly top_Ohm: number;
  /** Between the tap and ground, Ω. */
  readonly bottom_Ohm: number;
  readonly threshold: Threshold;
}

export interface HysteresisDivider {
  /** From the battery down: R1 to the upper tap, R2 between the taps, R3 to ground, Ω. */
  readonly r1_Ohm: number;
  readonly r2_Ohm: number;
  readonly r3_Ohm: number;
  readonly cutOff: Threshold;
  readonly reconnect: Threshold;
  /**
   * Least distance between the thresholds of any one unit, V: the reference moves both alike, the resistors may close
   * the gap.
   */
  readonly leastGap_V: number;
}

interface Spread {
  readonly resistor: number;
  readonly reference: number;
}

const DEFAULT_TOTAL_Ohm = { low: 5e5, high: 5e6 };

/** Relative spreads of tolerance, of drift over the span, and of both together. */
function spreads(options: DividerOptions): { tolerance: Spread; drift: Spread; all: Spread } {
  const span_K = options.span_K ?? 50;
  const tolerance = {
    resistor: (options.resistorTolerance_pct ?? 1) / 100,
    reference: (options.referenceTolerance_pct ?? 1) / 100,
  };
  const drift = {
    resistor: (options.resistorDrift_ppm_K ?? 100) * 1e-6 * span_K,
    reference: (options.referenceDrift_ppm_K ?? 50) * 1e-6 * span_K,
  };
  const both = (a: number, b: number) => (1 + a) * (1 + b) - 1;
  const all = {
    resistor: both(tolerance.resistor, drift.resistor),
    reference: both(tolerance.reference, drift.reference),
  };
  return { tolerance, drift, all };
}

/**
 * Voltage at which the tap over `lower_Ohm` stands at the reference: V = V_ref (1 + R_upper/R_lower), each part off by
 * a share.
 */
function voltageAt(reference_V: number, upper_Ohm: number, lower_Ohm: number, spread: Spread, sign: 1 | -1): number {
  const up = 1 + sign * spread.resistor;
  const down = 1 - sign * spread.resistor;
  return reference_V * (1 + sign * spread.reference) * (1 + (upper_Ohm * up) / (lower_Ohm * down));
}

function thresholdOf(
  reference_V: number,
  upper_Ohm: number,
  lower_Ohm: number,
  target_V: number,
  options: DividerOptions,
): Threshold {
  const { tolerance, drift, all } = spreads(options);
  const at = (spread: Spread, sign: 1 | -1) => voltageAt(reference_V, upper_Ohm, lower_Ohm, spread, sign);
  const nominal_V = reference_V * (1 + upper_Ohm / lower_Ohm);
  return {
    nominal_V,
    error_V: nominal_V - target_V,
    low_V: at(tolerance, -1),
    high_V: at(tolerance, 1),
    drift_V: at(drift, 1) - nominal_V,
    worstLow_V: at(all, -1),
    worstHigh_V: at(all, 1),
  };
}

/** Every reason why options or voltages cannot serve, told at once. */
function check(voltages: readonly (readonly [string, number])[], reference_V: number, options: DividerOptions): void {
  const problems: Problem[] = [];
  const report = (field: string, message: string) =>
    problems.push({ code: `divider-${field}`, message, place: { field } });
  if (!(reference_V > 0)) report('reference_V', `reference_V is ${reference_V}: it must be above 0, e.g. 1.2`);
  for (const [field, value] of voltages) {
    if (!(value > reference_V)) {
      report(field, `${field} is ${value}: a divider only reaches voltages above the reference of ${reference_V} V`);
    }
  }
  const { low, high } = options.total_Ohm ?? DEFAULT_TOTAL_Ohm;
  if (!(low > 0 && high > low))
    report('total_Ohm', `total_Ohm runs from ${low} to ${high}: write a range that rises, above 0`);
  const shares = [
    ['resistorTolerance_pct', options.resistorTolerance_pct, 20],
    ['referenceTolerance_pct', options.referenceTolerance_pct, 20],
    ['resistorDrift_ppm_K', options.resistorDrift_ppm_K, 2000],
    ['referenceDrift_ppm_K', options.referenceDrift_ppm_K, 2000],
    ['span_K', options.span_K, 150],
  ] as const;
  for (const [field, value, limit] of shares) {
    if (value !== undefined && !(value >= 0 && value <= limit))
      report(field, `${field} is ${value}: it lies between 0 and ${limit}`);
  }
  if (problems.length > 0) throw new UserError(problems);
}

/**
 * The pairs of a series that bring a tap to the reference at `target_V`, best first, at most `count`; of equal ones the
 * string with the larger total.
 *
 * Source: the voltage divider, V = V_ref (1 + R_top/R_bottom) (Ohm's law); series by IEC 60063. Worst cases take every
 * part at the unkind end of its tolerance, and of its drift over the span, at once. Input current of the comparator is
 * neglected: keep it below a hundredth of the string's. Throws UserError when the target is not above the reference or
 * no pair fits the total.
 */
export function dividerFor(target_V: number, reference_V: number, options: DividerOptions, count = 3): Divider[] {
  check([['target_V', target_V]], reference_V, options);
  const total = options.total_Ohm ?? DEFAULT_TOTAL_Ohm;
  const values = seriesValues(options.series, total.low / 1e3, total.high);
  const ratio = target_V / reference_V - 1;
  const found: Divider[] = [];
  for (const bottom_Ohm of values) {
    for (const top_Ohm of neighbours(values, bottom_Ohm * ratio)) {
      const sum_Ohm = top_Ohm + bottom_Ohm;
      if (sum_Ohm < total.low || sum_Ohm > total.high) continue;
      found.push({ top_Ohm, bottom_Ohm, threshold: thresholdOf(reference_V, top_Ohm, bottom_Ohm, target_V, options) });
    }
  }
  if (found.length === 0) throw nothingFits(options);
  const miss = (d: Divider) => Math.round(Math.abs(d.threshold.error_V) * 1e9);
  found.sort((a, b) => miss(a) - miss(b) || b.top_Ohm + b.bottom_Ohm - (a.top_Ohm + a.bottom_Ohm));
  return found.slice(0, count);
}

/**
 * One string of three resistors with two taps that sets both the cut-off and the reconnect voltage against one
 * reference, best first, at most `count`.
 *
 * The lower tap meets the reference at the higher voltage: V_reconnect = V_ref (R1+R2+R3)/R3; the upper tap at the
 * lower one: V_cutOff = V_ref (R1+R2+R3)/(R2+R3) (Ohm's law). A search over R3 takes the neighbours of the exact R2 and
 * R1 and keeps the least of the larger relative miss. The spread of each threshold is that of its own two arms, with
 * R1+R2 or R2+R3 as one part. The least gap keeps the reference common and lets the resistors be as unkind as they can.
 * Throws UserError as `dividerFor` does, and when reconnect is not above cut-off.
 */
export function hysteresisDivider(
  target: { readonly cutOff_V: number; readonly reconnect_V: number; readonly reference_V: number },
  options: DividerOptions,
  count = 3,
): HysteresisDivider[] {
  const { cutOff_V, reconnect_V, reference_V } = target;
  check([['cutOff_V', cutOff_V]], reference_V, options);
  if (!(reconnect_V > cutOff_V)) {
    const message = `reconnect_V ${reconnect_V} is not above cutOff_V ${cutOff_V}: the load would chatter; leave 0.2 V or more`;
    throw userError('divider-reconnect_V', message, { field: 'reconnect_V' });
  }
  const total = options.total_Ohm ?? DEFAULT_TOTAL_Ohm;
  const values = seriesValues(options.series, total.low / 1e4, total.high);
  const found: { divider: HysteresisDivider; miss: number }[] = [];
  for (const r3_Ohm of values) {
    const whole_Ohm = (r3_Ohm * reconnect_V) / reference_V;
    if (whole_Ohm < 0.8 * total.low || whole_Ohm > 1.2 * total.high) continue;
    for (const r2_Ohm of neighbours(values, (whole_Ohm * reference_V) / cutOff_V - r3_Ohm)) {
      for (const r1_Ohm of neighbours(values, whole_Ohm - r2_Ohm - r3_Ohm)) {
        const sum_Ohm = r1_Ohm + r2_Ohm + r3_Ohm;
        if (sum_Ohm < total.low || sum_Ohm > total.high) continue;
        const cutOff = thresholdOf(reference_V, r1_Ohm, r2_Ohm + r3_Ohm, cutOff_V, options);
        const reconnect = thresholdOf(reference_V, r1_Ohm + r2_Ohm, r3_Ohm, reconnect_V, options);
        if (reconnect.nominal_V <= cutOff.nominal_V) continue;
        const leastGap_V = leastGap(reference_V, r1_Ohm, r2_Ohm, r3_Ohm, options);
        const miss = Math.max(Math.abs(cutOff.error_V) / cutOff_V, Math.abs(reconnect.error_V) / reconnect_V);
        found.push({ divider: { r1_Ohm, r2_Ohm, r3_Ohm, cutOff, reconnect, leastGap_V }, miss });
      }
    }
  }
  if (found.length === 0) throw nothingFits(options);
  found.sort((a, b) => Math.round((a.miss - b.miss) * 1e12) || b.divider.r1_Ohm - a.divider.r1_Ohm);
  return found.slice(0, count).map((entry) => entry.divider);
}

/** Smallest V_reconnect − V_cutOff over all corners of the three resistors, with the reference at its low end. */
function leastGap(reference_V: number, r1: number, r2: number, r3: number, options: DividerOptions): number {
  const { all } = spreads(options);
  const off = all.resistor;
  const low_V = reference_V * (1 - all.reference);
  let least = Number.POSITIVE_INFINITY;
  for (let corner = 0; corner < 8; corner++) {
    const a = r1 * (corner & 1 ? 1 + off : 1 - off);
    const b = r2 * (corner & 2 ? 1 + off : 1 - off);
    const c = r3 * (corner & 4 ? 1 + off : 1 - off);
    least = Math.min(least, low_V * ((a + b + c) / c - (a + b + c) / (b + c)));
  }
  return least;
}

function nothingFits(options: DividerOptions): UserError {
  const { low, high } = options.total_Ohm ?? DEFAULT_TOTAL_Ohm;
  return userError(
    'divider-total_Ohm',
    `no ${options.series} values give a string between ${low} and ${high} Ω: widen the range of the total`,
    { field: 'total_Ohm' },
  );
}

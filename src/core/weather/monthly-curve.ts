/** Twelve monthly means to a smooth daily curve that gives the same means back. */
import { DAYS_IN_MONTH, DAYS_PER_YEAR, MONTH_START } from '../units/index.ts';

/**
 * Daily values (365) by straight lines between mid-month nodes, the nodes moved until each month's mean of the curve is the
 * given mean (the idea of Killworth 1996, Int. J. Climatol. 16, "Time interpolation of forcing fields"; solved here by
 * fixed-point iteration). Means come back within 1e-9 of the range; no step at a month's border. The curve can
 * overshoot a sharp peak a little.
 */
export function monthlyCurve(means: readonly number[]): Float64Array {
  const nodes = Float64Array.from(means);
  const curve = new Float64Array(DAYS_PER_YEAR);
  const scale = Math.max(1e-12, Math.max(...means) - Math.min(...means));
  for (let round = 0; round < 60; round++) {
    interpolateNodes(nodes, curve);
    let worst = 0;
    for (let m = 0; m < 12; m++) {
      let sum = 0;
      for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++) sum += curve[d]!;
      const error = means[m]! - sum / DAYS_IN_MONTH[m]!;
      nodes[m]! += error;
      worst = Math.max(worst, Math.abs(error));
    }
    if (worst < 1e-10 * scale) break;
  }
  return curve;
}

/** Straight lines between values at mid-month, over the year's end too. Writes 365 values. */
export function interpolateNodes(nodes: ArrayLike<number>, out: Float64Array): void {
  for (let m = 0; m < 12; m++) {
    const next = (m + 1) % 12;
    const from = MONTH_START[m]! + DAYS_IN_MONTH[m]! / 2;
    const length = (DAYS_IN_MONTH[m]! + DAYS_IN_MONTH[next]!) / 2;
    const first = Math.ceil(from - 0.5);
    for (let d = first; d + 0.5 < from + length; d++) {
      const t = (d + 0.5 - from) / length;
      out[d % DAYS_PER_YEAR] = nodes[m]! * (1 - t) + nodes[next]! * t;
    }
  }
}

/** Month 0..11 of each day of the year. */
export function monthOfDays(): Uint8Array {
  const months = new Uint8Array(DAYS_PER_YEAR);
  for (let m = 0; m < 12; m++) months.fill(m, MONTH_START[m], MONTH_START[m + 1]);
  return months;
}

export const MONTH_NAMES: readonly string[] =
  'January February March April May June July August September October November December'.split(' ');

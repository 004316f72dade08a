/** Fresh snow of a synthetic year: a few events a month on its cloudiest and coldest days. */
import type { Random } from '../math/index.ts';
import { MONTH_START } from '../units/index.ts';

/** Mean size of an event and its rate, cm and cm/h: judgement, no source; at least 1 cm/h, the threshold at which a panel is taken as covered. */
const EVENT_cm = 5;
const RATE_cm_h = 1.5;

/**
 * Writes hourly snowfall of one year (8760). Each month's total is on average the given one; it is split into events of about
 * 5 cm, each falling at 1 cm/h or more. Days are ranked by their standardised clearness plus a quarter of their temperature
 * (cloudy and cold first) with some chance, one event a day. Amounts below 1 cm come as 1 cm in a share of the years.
 */
export function fillSnow(
  month_cm: readonly number[],
  anomaly: Float64Array,
  mean_degC: Float64Array,
  random: Random,
  out: Float32Array,
): void {
  out.fill(0);
  for (let m = 0; m < 12; m++) {
    // The total varies from year to year: uniform between 0.4 and 1.6 times the mean.
    const total = month_cm[m]! * (0.4 + 1.2 * random.next());
    if (total <= 0) continue;
    const from = MONTH_START[m]!;
    const days = MONTH_START[m + 1]! - from;
    const events = Math.min(days, Math.max(1, Math.round(total / EVENT_cm)));
    let size = total / events;
    if (size < 1) {
      if (random.next() > size) continue;
      size = 1;
    }
    const ranked = Array.from({ length: days }, (_, i) => ({
      day: from + i,
      score: anomaly[from + i]! + 0.25 * mean_degC[from + i]! + 0.5 * random.normal(),
    })).sort((a, b) => a.score - b.score);
    for (let e = 0; e < events; e++) {
      const lasts = Math.max(1, Math.min(24, Math.floor(size / RATE_cm_h)));
      const start = random.below(25 - lasts);
      for (let h = 0; h < lasts; h++) out[ranked[e]!.day * 24 + start + h] = size / lasts;
    }
  }
}

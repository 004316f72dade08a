/** Settings of the linear-rate soiling model; defaults as in Kimber et al. 2006. */
export interface SoilingRates {
  /** Loss that a dry day adds, %; 0.1-0.3 measured, 0.15 by default. */
  readonly rate_pct_day?: number;
  /** Rain within a day that cleans, mm; 6 by default. */
  readonly cleaningRain_mm?: number;
  /** Days after a cleaning rain in which the ground stays damp and nothing settles; 14 by default. */
  readonly grace_days?: number;
  /** Largest loss, %; 30 by default. */
  readonly cap_pct?: number;
}

/**
 * Share of the light that dirt takes, per day, 0..1, into `out`; `rain_mm` has one entry a day. `initial` is the share
 * lost at the start of the first day. Returns the last share.
 *
 * Source: Kimber, Mitchell, Nogradi & Wenger 2006, IEEE 4th World Conf. PV Energy Conversion, 2391-2395: a constant
 * rate between cleaning rains, nothing during the grace days. The day of a cleaning rain counts as clean. Valid for
 * grid arrays in California; elsewhere an assumption. Loss after a day is that at its end. Checked on a dry year in
 * test/golden/panel-soiling.csv.
 */
export function soilingSeries(
  rain_mm: Float32Array,
  out: Float32Array,
  rates: SoilingRates = {},
  initial = 0,
  initialGrace_days = 0,
): number {
  if (rain_mm.length < out.length) throw new RangeError('soilingSeries: fewer days of rain than days wanted');
  const rate = (rates.rate_pct_day ?? 0.15) / 100;
  const cleaning_mm = rates.cleaningRain_mm ?? 6;
  const grace_days = rates.grace_days ?? 14;
  const cap = (rates.cap_pct ?? 30) / 100;
  let lost = initial;
  let damp_days = initialGrace_days;
  for (let i = 0; i < out.length; i++) {
    if (rain_mm[i]! >= cleaning_mm) {
      lost = 0;
      damp_days = grace_days;
    } else if (damp_days > 0) damp_days--;
    else lost = Math.min(cap, lost + rate);
    out[i] = lost;
  }
  return lost;
}

/**
 * Share of the light that passes the dirt in each month, 0..1, where no rain is known: from a constant loss in percent
 * or twelve of them. Typical yearly means: 1 % or less in wet temperate places, 1.5-6 % in dry ones (from memory).
 */
export function monthlyCleanShare(loss_pct: number | readonly number[]): Float64Array {
  const list = typeof loss_pct === 'number' ? Array<number>(12).fill(loss_pct) : loss_pct;
  if (list.length !== 12) throw new RangeError(`monthlyCleanShare: ${list.length} values, twelve wanted`);
  return Float64Array.from(list, (loss) => {
    if (!(loss >= 0 && loss <= 100)) throw new RangeError(`monthlyCleanShare: ${loss} % is not between 0 and 100`);
    return 1 - loss / 100;
  });
}

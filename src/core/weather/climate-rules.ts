/**
 * How variable a climate is, from what is known of any place: latitude, monthly clearness, monthly temperature.
 *
 * Each rule is a small fit of our own on public daily records (DSSAT/dssat-csm-data; the statistics are in the tests'
 * golden files); residuals stand with each. They describe the typical climate of a kind, not a given station.
 */

/**
 * Year-to-year coefficient of variation of a month's mean clearness. Least squares over 7 records of 21-53 years (84
 * month values), residual 0.017 rms: cloudy months vary more (0.15-0.17 at clearness 0.25), sunny ones less. Held within 0.064..0.18:
 * the steadiest of the records has 0.057 over its year, and the clear sky clips some of what is drawn.
 */
export function interannualCv(meanKt: number, latitude_deg: number): number {
  const cv = 0.176 - 0.205 * meanKt + 0.0235 * (Math.abs(latitude_deg) / 50);
  return Math.min(0.18, Math.max(0.064, cv));
}

/**
 * Correlation of the standardised clearness of consecutive days, pooled over the year and over years. By eye through 14
 * pyranometer records (0.17-0.50): about 0.23 near the equator, 0.45 in the belt of monsoons and subtropical highs,
 * 0.26 in the westerlies; residual 0.08 rms. The records' scatter about it is real: it is not known for a given place.
 */
export function clearnessPersistence(latitude_deg: number): number {
  const distance = (Math.abs(latitude_deg) - 24) / 12;
  return 0.265 + 0.19 * Math.exp(-distance * distance);
}

/**
 * Spread of daily clearness relative to the 1988 tables (which were made from stations of the middle latitudes): 1 poleward
 * of 22°, less towards the equator, where every day has its share of cloud. Measured ratio of standard deviations: 0.58,
 * 0.67, 0.70, 0.73, 0.78, 1.09 within 11° of the equator; 0.65, 0.97, 1.01 at 15-24°; 0.87-1.08 beyond.
 */
export function clearnessSpread(latitude_deg: number): number {
  const t = Math.min(1, Math.max(0, (Math.abs(latitude_deg) - 8) / 14));
  return 0.74 + 0.26 * t * t * (3 - 2 * t);
}

/**
 * Exponent that turns the hourly diffuse share d of the split (split-low-sun.ts) into d^gamma, by month:
 * ln gamma = -0.06 + 1.7 (Kt - 0.5) - 0.5 kWh / H0 - 1.4 max(0, 0.4 - Kt), held within 0.3..1.6.
 *
 * Fitted on monthly diffuse radiation of 59 reference climates and two hourly files, weighted by what it does to a plane
 * at latitude + 15°. Clear, dry months have less diffuse light than Erbs' stations, dull winter months more. Judged on sites
 * left out of the fit: monthly diffuse share within 0.062 rms; the plane at latitude + 15° within 0.7 % in half and 7 % in
 * 95 % of the months, and within 0.7 % and 3.4 % over the year. What remains is the difference between data sets,
 * which twelve means cannot tell; where the diffuse radiation is known, fitDiffuseExponents replaces the rule.
 */
export function diffuseExponents(month_kt: ArrayLike<number>, h0Mean_Wh_m2: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: 12 }, (_, m) => {
    const kt = month_kt[m]!;
    const h0_kWh_m2 = Math.max(0.2, h0Mean_Wh_m2[m]! / 1000);
    const log = -0.06 + 1.7 * (kt - 0.5) - 0.5 / h0_kWh_m2 - 1.4 * Math.max(0, 0.4 - kt);
    return Math.min(1.6, Math.max(0.3, Math.exp(log)));
  });
}

export interface TemperatureRules {
  /** Standard deviation from year to year of each month's mean, K. */
  readonly monthly_K: Float64Array;
  /** Standard deviation of a day about its month's mean in that year, K. */
  readonly daily_K: Float64Array;
  /** Correlation of a day's temperature innovation with its clearness, by month: negative in winter (clear = cold). */
  readonly clearness: Float64Array;
}

/**
 * Variability of temperature by month. `monthly_K`: fit on 6 records of 21-53 years, residual 0.35 K rms: coldest month
 * 0.6 + 0.0035 R (|latitude| - 20°), warmest 0.5 + 0.04 R with R the annual range of monthly means, between them by
 * temperature (measured: 4.5 K in a prairie winter, 2.2 K in a maritime one, 0.4-0.8 K in the tropics).
 * `daily_K` = 0.2 + 1.7 `monthly_K` and `clearness` (-0.8 in winters poleward of 50°, +0.3 in summer and in the tropics) are judgement,
 * held against two hourly files only: at 55° N daily means and radiation correlate by -0.7 in winter, at 9° N by +0.3.
 */
export function temperatureRules(temperature_degC: readonly number[], latitude_deg: number): TemperatureRules {
  const warmest = Math.max(...temperature_degC);
  const range = warmest - Math.min(...temperature_degC);
  const poleward = Math.max(0, Math.abs(latitude_deg) - 20);
  const summer = 0.5 + 0.04 * range;
  const winter = Math.max(0.6 + 0.0035 * range * poleward, range < 3 ? summer : 0);
  const monthly_K = new Float64Array(12);
  const daily_K = new Float64Array(12);
  const clearness = new Float64Array(12);
  const extratropical = Math.min(1, poleward / 30);
  for (let m = 0; m < 12; m++) {
    const w = range < 0.5 ? 0.5 : (warmest - temperature_degC[m]!) / range; // 0 warmest, 1 coldest
    const sd = Math.min(4.6, summer + (winter - summer) * w);
    monthly_K[m] = sd;
    daily_K[m] = 0.2 + 1.7 * sd;
    clearness[m] = 0.3 - 1.1 * extratropical * w;
  }
  return { monthly_K, daily_K, clearness };
}

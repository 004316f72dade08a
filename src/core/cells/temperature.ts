import { KELVIN_AT_0_degC } from '../units/index.ts';

const REFERENCE_K = 25 + KELVIN_AT_0_degC;
/*
 * Vogel-Fulcher-Tammann law, ln R = B/(T - T0) + const, laid through two ratios FROM MEMORY for 18650 energy cells under
 * a pulse of about a second: twice the 25 °C resistance at -10 °C, 3.2 times at -20 °C (3 to 4 is usual). A plain
 * Arrhenius law cannot meet both.
 */
const VFT_B_K = 65.8707;
const VFT_T0_K = 220.3811;
/** Range over which the temperature laws are used; outside, the value at the nearer end. */
export const CELL_TEMPERATURE_RANGE_degC = { lowest: -30, highest: 60 } as const;

/**
 * Resistance of a cell relative to 25 °C. Not validated against a data set: the shape is that of electrolyte
 * conductivity, the two ratios are from memory (×2 at -10 °C, ×3.2 at -20 °C). Range -30..60 °C, beyond it the end value.
 */
export function resistanceRatio(temperature_degC: number): number {
  const { lowest, highest } = CELL_TEMPERATURE_RANGE_degC;
  const kelvin = Math.min(highest, Math.max(lowest, temperature_degC)) + KELVIN_AT_0_degC;
  return Math.exp(VFT_B_K * (1 / (kelvin - VFT_T0_K) - 1 / (REFERENCE_K - VFT_T0_K)));
}

/** Usable share of the capacity at C/5: typical of energy cells, FROM MEMORY; -30 °C continues the trend. */
const AT_C5: readonly (readonly [number, number])[] = [
  [-30, 0.45],
  [-20, 0.65],
  [-10, 0.8],
  [0, 0.9],
  [10, 0.96],
  [25, 1],
  [45, 1],
];
/**
 * Part of the C/5 loss that remains at C/50 to C/100, the currents of a repeater: a judgement, no source. Most of the
 * cold loss at C/5 is voltage drop in a resistance that is then 10 to 20 times less loaded; what remains is slow
 * diffusion. A third is on the safe side of that.
 */
export const COLD_LOSS_KEPT = 1 / 3;

/**
 * Share of a cell's 25 °C capacity that can be drawn before the cut-off at a temperature, at C/50 to C/100. The rest is
 * not lost: it comes back when the cell warms. Range -30..45 °C, beyond it the end value. Judgement, not validated.
 */
export function usableShare(temperature_degC: number, lossKept = COLD_LOSS_KEPT): number {
  return 1 - lossKept * (1 - shareAtC5(temperature_degC));
}

function shareAtC5(temperature_degC: number): number {
  if (temperature_degC <= AT_C5[0][0]) return AT_C5[0][1];
  for (let i = 1; i < AT_C5.length; i++) {
    const [t1, share1] = AT_C5[i];
    const [t0, share0] = AT_C5[i - 1];
    if (temperature_degC <= t1) return share0 + ((temperature_degC - t0) / (t1 - t0)) * (share1 - share0);
  }
  return 1;
}

/** Lowest and highest cell temperature at which the charger is allowed to charge. */
export interface ChargeWindow {
  readonly lowest_degC: number;
  readonly highest_degC: number;
}

/** Charging from 0 to 45 °C: the window in several 18650 specifications. */
export const CHARGE_WINDOW: ChargeWindow = { lowest_degC: 0, highest_degC: 45 };

/** Highest charge rate by temperature band, from the specification table of a 2.6 Ah 18650 (public pack-maker page). */
const CHARGE_BANDS: readonly { readonly from_degC: number; readonly rate_per_h: number }[] = [
  { from_degC: 0, rate_per_h: 0.1 },
  { from_degC: 5, rate_per_h: 0.2 },
  { from_degC: 15, rate_per_h: 0.5 },
];
/** Upper end of the warmest band of the same table. */
const CHARGE_HIGHEST_degC = 55;

/**
 * Highest charge current over capacity, 1/h (a C-rate), at a cell temperature: 0 outside the window; 0.1 C from 0 °C,
 * 0.2 C from 5 °C, 0.5 C from 15 to 55 °C. A window that reaches below 0 °C charges there at the coldest band's rate:
 * such hours plate lithium, and it is the caller's part to count them.
 */
export function maxChargeRate_per_h(temperature_degC: number, window: ChargeWindow = CHARGE_WINDOW): number {
  if (temperature_degC < window.lowest_degC || temperature_degC > window.highest_degC) return 0;
  if (temperature_degC > CHARGE_HIGHEST_degC) return 0;
  let rate_per_h = CHARGE_BANDS[0].rate_per_h;
  for (const band of CHARGE_BANDS) if (temperature_degC >= band.from_degC) rate_per_h = band.rate_per_h;
  return rate_per_h;
}

/** Mean month, h. */
const HOURS_PER_MONTH = 730;

/**
 * Share of the capacity that a cell loses by itself in an hour: `pct_month` at 20 °C, doubling per 10 K (1 to 3 % a
 * month and the doubling are FROM MEMORY; checked against the floors of public specifications only).
 */
export function ownDischarge_per_h(temperature_degC: number, pct_month = 2): number {
  return (pct_month / 100 / HOURS_PER_MONTH) * 2 ** ((temperature_degC - 20) / 10);
}

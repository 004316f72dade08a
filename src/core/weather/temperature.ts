/**
 * Air temperature of synthetic years: the smooth yearly course of the monthly means, the month's own anomaly, a day-to-day
 * chain that goes with the clearness of the days, and the course of the day after Erbs, Klein & Beckman 1983.
 */
import type { Random } from '../math/index.ts';
import { DAYS_PER_YEAR } from '../units/index.ts';
import { temperatureRules } from './climate-rules.ts';
import { BLOCK_YEARS, stratifiedNormals } from './month-draws.ts';
import { interpolateNodes, monthlyCurve, monthOfDays } from './monthly-curve.ts';

/** Correlation of the temperature anomaly of consecutive days (0.3-0.9 in the months of two hourly files; judgement). */
export const TEMPERATURE_PERSISTENCE = 0.7;

/**
 * Departure from the day's mean as a share of the daily range at the middle of the hour that begins at 0..23: Erbs, Klein &
 * Beckman, ASHRAE Journal 25(6) 60-65 (1983), cosine series in t* = 2 pi (t - 1) / 24 with t the clock hour; coefficients from memory.
 */
export function diurnalShape(hourBeginning: number): number {
  const t = (2 * Math.PI * (hourBeginning + 0.5 - 1)) / 24;
  return (
    0.4632 * Math.cos(t - 3.805) +
    0.0984 * Math.cos(2 * t - 0.36) +
    0.0168 * Math.cos(3 * t - 0.822) +
    0.0138 * Math.cos(4 * t - 3.513)
  );
}

/** Daily range (peak to peak) for a clearness, K: 25.8 Kt - 5.21 (Erbs, Klein & Beckman 1983, from memory), at least 1 K. */
export function diurnalRange_K(kt: number): number {
  return Math.max(1, 25.8 * kt - 5.21);
}

export interface DailyTemperature {
  /** Writes the mean temperature of BLOCK_YEARS x 365 days; `anomaly` is the standardised clearness of the same days. */
  generateBlock(random: Random, anomaly: Float64Array, mean_degC: Float64Array): void;
}

/** Prepares daily mean temperatures of one place. Long-term monthly means come back; spreads follow temperatureRules. */
export function createDailyTemperature(temperature_degC: readonly number[], latitude_deg: number): DailyTemperature {
  const course = monthlyCurve(temperature_degC);
  const rules = temperatureRules(temperature_degC, latitude_deg);
  const months = monthOfDays();
  const phi = TEMPERATURE_PERSISTENCE;
  // The chain alone makes a monthly mean vary by sd² (1+phi)/(1-phi)/30; the slow part supplies the rest. Straight lines
  // between mid-months keep 0.59 of the variance of a month's mean.
  const slow_K = rules.monthly_K.map((sd, m) => {
    const fast = (rules.daily_K[m]! ** 2 * (1 + phi)) / (1 - phi) / 30;
    return Math.sqrt(Math.max((0.3 * sd) ** 2, sd * sd - fast) / 0.59);
  });
  const draws = new Float64Array(12 * BLOCK_YEARS);
  const nodes = new Float64Array(12);
  const slow = new Float64Array(DAYS_PER_YEAR);
  const innovation = Math.sqrt(1 - phi * phi);
  return {
    generateBlock(random, anomaly, mean_degC) {
      stratifiedNormals(random.fork(1), draws);
      const chance = random.fork(2);
      let fast = chance.normal(); // in units of the month's sd
      for (let y = 0; y < BLOCK_YEARS; y++) {
        for (let m = 0; m < 12; m++) nodes[m] = slow_K[m]! * draws[m * BLOCK_YEARS + y]!;
        interpolateNodes(nodes, slow);
        for (let d = 0; d < DAYS_PER_YEAR; d++) {
          const m = months[d]!;
          const c = rules.clearness[m]!;
          const shock = c * anomaly[y * DAYS_PER_YEAR + d]! + Math.sqrt(1 - c * c) * chance.normal();
          fast = phi * fast + innovation * shock;
          mean_degC[y * DAYS_PER_YEAR + d] = course[d]! + slow[d]! + rules.daily_K[m]! * fast;
        }
      }
    },
  };
}

const SHAPE = Float64Array.from({ length: 24 }, (_, h) => diurnalShape(h));

/**
 * Writes the 24 hourly temperatures of a day: mean and range run in straight lines from noon to noon, so that there is no
 * step at midnight.
 */
export function fillDayTemperature(
  before_degC: number,
  mean_degC: number,
  after_degC: number,
  rangeBefore_K: number,
  range_K: number,
  rangeAfter_K: number,
  out: Float32Array,
  offset: number,
): void {
  for (let h = 0; h < 24; h++) {
    const t = (h + 0.5 - 12) / 24;
    const mean = t < 0 ? mean_degC + (mean_degC - before_degC) * t : mean_degC + (after_degC - mean_degC) * t;
    const range = t < 0 ? range_K + (range_K - rangeBefore_K) * t : range_K + (rangeAfter_K - range_K) * t;
    out[offset + h] = mean + range * SHAPE[h]!;
  }
}

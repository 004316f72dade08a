/**
 * Daily clearness of synthetic years: Markov days of Aguiar et al. 1988 with two corrections, or a Gaussian chain through
 * the Bendt marginal.
 *
 * 1. Every simulated month first draws its own mean about the long-term one (interannualCv), stratified over blocks of 20
 *    years; its days are then scaled to that draw, so that the spread from year to year is not counted twice.
 * 2. The persistence of the chain is moved to that of the climate (clearnessPersistence) without touching its stationary law.
 *
 * The spread of the days about their mean follows clearnessSpread. Scaling is capped at a clear day's clearness.
 */
import { findRoot, type Random } from '../math/index.ts';
import { DAYS_IN_MONTH, DAYS_PER_YEAR, MONTH_START } from '../units/index.ts';
import { type ClearnessLaw, classOf, clearnessLaw, cumulativeWithLag1, nextState, STATES } from './aguiar.ts';
import { type BendtLaw, bendtLaw, bendtQuantile } from './bendt.ts';
import { clearnessPersistence, clearnessSpread, interannualCv } from './climate-rules.ts';
import { BLOCK_YEARS, type BoundedNormal, boundedNormal, boundedValue, stratifiedNormals } from './month-draws.ts';
import { monthlyCurve } from './monthly-curve.ts';
import { normalProbability } from './normal.ts';
import { rescaleCapped } from './rescale.ts';

export interface DailyClearnessInput {
  readonly latitude_deg: number;
  /** Twelve long-term means. */
  readonly ghi_kWh_m2_day: readonly number[];
  /** Extraterrestrial horizontal radiation of each day (365). */
  readonly h0_Wh_m2: Float64Array;
  /** Clearness of a cloudless day, the cap of a day (365). */
  readonly clearDay_kt: Float64Array;
  /** `markov` (default) or `bendt`. */
  readonly method?: 'markov' | 'bendt';
}

export interface DailyClearness {
  /** Long-term mean clearness of each month; 0 in months without sun. */
  readonly month_kt: Float64Array;
  /** Year-to-year coefficient of variation asked of each month. */
  readonly interannual_cv: Float64Array;
  /** Persistence asked of the pooled record. */
  readonly persistence: number;
  /** Writes BLOCK_YEARS x 365 values of daily clearness; `normal` receives the standardised anomaly of each day within its month. */
  generateBlock(random: Random, kt: Float64Array, anomaly: Float64Array): void;
}

/** Clearness of each month (at most 1; 0 without sun) and its mean daily extraterrestrial radiation. */
export function monthlyClearness(
  ghi_kWh_m2_day: readonly number[],
  h0_Wh_m2: Float64Array,
): { month_kt: Float64Array; h0Mean_Wh_m2: Float64Array } {
  const month_kt = new Float64Array(12);
  const h0Mean_Wh_m2 = new Float64Array(12);
  for (let m = 0; m < 12; m++) {
    for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++) h0Mean_Wh_m2[m]! += h0_Wh_m2[d]! / DAYS_IN_MONTH[m]!;
    month_kt[m] = h0Mean_Wh_m2[m]! > 0 ? Math.min(1, (ghi_kWh_m2_day[m]! * 1000) / h0Mean_Wh_m2[m]!) : 0;
  }
  return { month_kt, h0Mean_Wh_m2 };
}

/** Below this monthly mean of extraterrestrial radiation (Wh/m² a day) clearness means nothing: the month is left without spread. */
const DARK_MONTH_Wh_m2 = 60;

interface MonthPlan {
  readonly from: number;
  readonly to: number;
  readonly kt: number;
  readonly h0Sum_Wh_m2: number;
  /** Law of the drawn mean; undefined in months without variation. */
  readonly law?: BoundedNormal;
}

/** Prepares the generator of one place. */
export function createDailyClearness(input: DailyClearnessInput): DailyClearness {
  const { latitude_deg, h0_Wh_m2, ghi_kWh_m2_day } = input;
  const { month_kt } = monthlyClearness(ghi_kWh_m2_day, h0_Wh_m2);
  const interannual_cv = new Float64Array(12);
  const cap_kt = Float64Array.from(input.clearDay_kt);
  const plans: MonthPlan[] = [];
  for (let m = 0; m < 12; m++) {
    const from = MONTH_START[m]!;
    const to = MONTH_START[m + 1]!;
    let h0Sum = 0;
    let capSum = 0;
    for (let d = from; d < to; d++) {
      h0Sum += h0_Wh_m2[d]!;
      capSum += h0_Wh_m2[d]! * cap_kt[d]!;
    }
    const kt = month_kt[m]!;
    if (h0Sum < DARK_MONTH_Wh_m2 * (to - from) || kt <= 0.01) {
      plans.push({ from, to, kt, h0Sum_Wh_m2: h0Sum });
      continue;
    }
    // A month that is clearer than the cap allows (high, dry places) lifts the cap: the user's mean counts more.
    const lift = Math.max(1, (kt * 1.05) / (capSum / h0Sum));
    for (let d = from; d < to; d++) cap_kt[d]! *= lift;
    const high = (0.97 * lift * capSum) / h0Sum;
    const cv = interannualCv(kt, latitude_deg);
    interannual_cv[m] = cv;
    plans.push({
      from,
      to,
      kt,
      h0Sum_Wh_m2: h0Sum,
      law: boundedNormal(kt, cv * kt, 0.3 * kt, Math.max(high, kt * 1.01)),
    });
  }
  const persistence = clearnessPersistence(latitude_deg);
  const spread = clearnessSpread(latitude_deg);
  const laws = Array.from({ length: STATES }, (_, i) => clearnessLaw(i));
  const chain = chainPersistence(persistence, spread, month_kt, interannual_cv, laws);
  const rows = laws.map((law) => cumulativeWithLag1(law, chain));
  const bendtLaws = laws.map((law) => bendtLaw(Math.max(0.2, law.mean_kt)));
  const trend = monthlyCurve(Array.from(month_kt));
  const draws = new Float64Array(12 * BLOCK_YEARS);
  const day = new Float64Array(DAYS_PER_YEAR);

  return {
    month_kt,
    interannual_cv,
    persistence,
    generateBlock(random, kt, anomaly) {
      stratifiedNormals(random.fork(1), draws);
      const chance = random.fork(2);
      let yesterday = month_kt[11]! || 0.4; // clearness that carries over a month's border
      let z = chance.normal();
      for (let y = 0; y < BLOCK_YEARS; y++) {
        for (let m = 0; m < 12; m++) {
          const plan = plans[m]!;
          const { from, to } = plan;
          if (plan.law === undefined) {
            day.fill(plan.kt, from, to);
            anomaly.fill(0, y * DAYS_PER_YEAR + from, y * DAYS_PER_YEAR + to);
            continue;
          }
          const mean = boundedValue(plan.law, draws[m * BLOCK_YEARS + y]!);
          const index = classOf(mean);
          const law = laws[index]!;
          const table = rows[index]!;
          const bendt: BendtLaw = bendtLaws[index]!;
          let state = Math.min(STATES - 1, Math.max(0, Math.floor((yesterday - law.min_kt) / law.step_kt)));
          const step = Math.sqrt(1 - chain * chain);
          for (let d = from; d < to; d++) {
            let value: number;
            if (input.method === 'bendt') {
              z = chain * z + step * chance.normal();
              value = bendtQuantile(bendt, normalProbability(z));
            } else {
              state = nextState(table, state, chance.next());
              value = law.min_kt + (state + chance.next()) * law.step_kt;
            }
            yesterday = value;
            anomaly[y * DAYS_PER_YEAR + d] = (value - law.mean_kt) / law.sd_kt;
            const seasonal = Math.min(1.25, Math.max(0.8, trend[d]! / plan.kt));
            day[d] = (law.mean_kt + spread * (value - law.mean_kt)) * seasonal;
          }
          rescaleCapped(day, h0_Wh_m2, cap_kt, from, to, mean * plan.h0Sum_Wh_m2);
        }
        kt.set(day, y * DAYS_PER_YEAR);
      }
    },
  };
}

/**
 * Persistence that the chain needs so that the pooled record has the target. Forcing a month's mean takes the variance of a
 * monthly mean (v = s² (1+r)/(1-r)/30) out of the days, and the drawn means put the year-to-year variance V back:
 * r_pooled = (s² r - v + V) / (s² - v + V), averaged over the months; solved for r.
 */
function chainPersistence(
  target: number,
  spread: number,
  month_kt: Float64Array,
  cv: Float64Array,
  laws: readonly ClearnessLaw[],
): number {
  const pooled = (r: number) => {
    let sum = 0;
    let months = 0;
    for (let m = 0; m < 12; m++) {
      if (cv[m] === 0) continue;
      const s2 = (spread * laws[classOf(month_kt[m]!)]!.sd_kt) ** 2;
      const v = (s2 * (1 + r)) / (1 - r) / 30;
      const between = (cv[m]! * month_kt[m]!) ** 2;
      sum += (s2 * r - v + between) / (s2 - v + between);
      months++;
    }
    return months === 0 ? target : sum / months;
  };
  if (pooled(0.02) >= target) return 0.02;
  return findRoot((r) => pooled(r) - target, 0.02, 0.8);
}

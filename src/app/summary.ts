import { type BalanceTrace, type Fan, type MonthSummary, TALLY } from '../core/energy/index.ts';
import { type SeasonRun, seasonHour, tallyAt } from '../core/energy/seasons.ts';
import { quantileOfSorted } from '../core/math/index.ts';
import { DAYS_IN_MONTH, DAYS_PER_YEAR, HOURS_PER_YEAR, MONTH_START } from '../core/units/index.ts';
import { budgetOf } from './forecast.ts';
import type { SiteWeather } from './site.ts';
import type { Supply } from './supply.ts';

/** Lowest state of charge of each day and whether it was dark: [season][day from the season's begin]. */
export interface DailyLows {
  readonly seasons: number;
  /** Day of the year with which each season begins. */
  readonly startDay: number;
  readonly low: Float32Array;
  readonly dark: Uint8Array;
}

/** Daily lows from an hourly trace. */
export function dailyLows(trace: BalanceTrace, startMonth: number, seasons: number): DailyLows {
  const low = new Float32Array(seasons * DAYS_PER_YEAR);
  const dark = new Uint8Array(seasons * DAYS_PER_YEAR);
  for (let s = 0; s < seasons; s++) {
    const begin = seasonHour(startMonth, s, 0);
    for (let d = 0; d < DAYS_PER_YEAR; d++) {
      let least = 1;
      let out = 0;
      for (let h = 0, i = begin + d * 24; h < 24; h++, i++) {
        if (trace.stateOfCharge[i]! < least) least = trace.stateOfCharge[i]!;
        if (trace.on[i] === 0) out = 1;
      }
      low[s * DAYS_PER_YEAR + d] = least;
      dark[s * DAYS_PER_YEAR + d] = out;
    }
  }
  return { seasons, startDay: MONTH_START[startMonth]!, low, dark };
}

/** Quantiles of the daily low over all seasons, by day from the season's begin. */
export function fanOf(lows: DailyLows): Fan {
  const fan = {
    p01: [] as number[],
    p10: [] as number[],
    p50: [] as number[],
    p90: [] as number[],
    dark: [] as number[],
  };
  const column = new Float64Array(lows.seasons);
  for (let d = 0; d < DAYS_PER_YEAR; d++) {
    let darkDays = 0;
    for (let s = 0; s < lows.seasons; s++) {
      column[s] = lows.low[s * DAYS_PER_YEAR + d]!;
      darkDays += lows.dark[s * DAYS_PER_YEAR + d]!;
    }
    column.sort();
    fan.p01.push(quantileOfSorted(column, 0.01));
    fan.p10.push(quantileOfSorted(column, 0.1));
    fan.p50.push(quantileOfSorted(column, 0.5));
    fan.p90.push(quantileOfSorted(column, 0.9));
    fan.dark.push(darkDays / lows.seasons);
  }
  return fan;
}

/** The twelve months, averaged over all seasons. */
export function monthSummaries(run: SeasonRun, lows: DailyLows, site: SiteWeather, supply: Supply): MonthSummary[] {
  return DAYS_IN_MONTH.map((days, month) => {
    const at = (field: number) => tallyAt(run.month, month, field) / run.seasons;
    let darkSeasons = 0;
    for (let s = 0; s < run.seasons; s++) if (run.darkByMonth[s * 12 + month]! > 0) darkSeasons++;
    const values: number[] = [];
    for (let d = MONTH_START[month]!; d < MONTH_START[month + 1]!; d++) {
      const day = (d - lows.startDay + DAYS_PER_YEAR) % DAYS_PER_YEAR;
      for (let s = 0; s < lows.seasons; s++) values.push(lows.low[s * DAYS_PER_YEAR + day]!);
    }
    const row = run.month.subarray(month * TALLY.size, (month + 1) * TALLY.size);
    return {
      month: month + 1,
      harvest_Wh_day: at(TALLY.harvest_Wh) / days,
      need_Wh_day: (at(TALLY.load_Wh) + at(TALLY.unserved_Wh)) / days,
      poa_kWh_m2_day: supply.poa_kWh_m2_day[month]!,
      ghi_kWh_m2_day: site.monthlyGhi_kWh_m2_day[month]!,
      temperature_degC: site.monthlyTemperature_degC[month]!,
      dark_h: at(TALLY.dark_h),
      darkShare: darkSeasons / run.seasons,
      lowStateOfCharge: quantileOfSorted(Float64Array.from(values).sort(), 0.1),
      budget: budgetOf(row, run.seasons),
    };
  });
}

/** Month (1..12) that is worst: most dark hours, else lowest charge, else least harvest for the need. */
export function worstMonthOf(months: readonly MonthSummary[]): number {
  const harder = (a: MonthSummary, b: MonthSummary) =>
    b.dark_h - a.dark_h ||
    a.lowStateOfCharge - b.lowStateOfCharge ||
    a.harvest_Wh_day / a.need_Wh_day - b.harvest_Wh_day / b.need_Wh_day;
  return [...months].sort(harder)[0]!.month;
}

/** The season with the most dark hours, else the lowest charge. */
export function worstSeason(run: SeasonRun): number {
  let worst = 0;
  for (let s = 1; s < run.seasons; s++) {
    const dark = tallyAt(run.season, s, TALLY.dark_h) - tallyAt(run.season, worst, TALLY.dark_h);
    const low = tallyAt(run.season, worst, TALLY.minStateOfCharge) - tallyAt(run.season, s, TALLY.minStateOfCharge);
    if (dark > 0 || (dark === 0 && low > 0)) worst = s;
  }
  return worst;
}

/** One season hour by hour for the carpet: state of charge, −1 where dark. */
export function carpetOf(trace: BalanceTrace, startMonth: number, season: number): Float32Array {
  const begin = seasonHour(startMonth, season, 0);
  return Float32Array.from({ length: HOURS_PER_YEAR }, (_, h) =>
    trace.on[begin + h] === 0 ? -1 : trace.stateOfCharge[begin + h]!,
  );
}

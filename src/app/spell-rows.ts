import { DAYS_PER_YEAR, MONTH_START } from '../core/units/index.ts';
import { type DarkSpell, darkSpells, type WeatherHours } from '../core/weather/index.ts';

/** Lengths of spells told, days. */
export const SPELL_DAYS: readonly number[] = [3, 5, 7, 10];
/** One return value: n days in a row that bring no more than this once in so many years. */
export interface SpellRow {
  readonly days: number;
  readonly period_years: number;
  /** Mean of the n days as a share of the long-term mean of the same days of the year. */
  readonly share: number;
  /** 95 % bootstrap interval of the share. */
  readonly low: number;
  readonly high: number;
}

/** Daily sums of global horizontal radiation, kWh/m². */
export function dailyGhi(hours: WeatherHours): Float64Array {
  const daily = new Float64Array(hours.length / 24);
  for (let i = 0; i < hours.length; i++) daily[(i / 24) | 0]! += hours.ghi_W_m2[i]! / 1000;
  return daily;
}

/** Fewest whole years that hold two seasons, each from the sunniest month to the next. */
const LEAST_YEARS = 3;

/** Dark spells of a record of days, whole years from January; none where it is too short to tell any. */
export function findSpells(daily_kWh_m2: Float64Array, startMonth: number, seed: number): DarkSpell[] {
  if (daily_kWh_m2.length < LEAST_YEARS * DAYS_PER_YEAR) return [];
  return darkSpells(daily_kWh_m2, SPELL_DAYS, { yearStart_day: MONTH_START[startMonth]!, seed });
}

/** Return values of the share, one row a length and period; without those that polar night leaves empty. */
export function spellRows(found: readonly DarkSpell[]): SpellRow[] {
  return found.flatMap(({ days, share }) =>
    share
      .filter((r) => Number.isFinite(r.value))
      .map(({ period_y, value, low, high }) => ({ days, period_years: period_y, share: value, low, high })),
  );
}

import { createRandom } from '../src/core/math/index.ts';
import { sunYear } from '../src/core/sun/index.ts';
import { DAYS_IN_MONTH, DAYS_PER_YEAR, HOURS_PER_YEAR } from '../src/core/units/index.ts';
import {
  allocateWeather,
  dailyStatistics,
  REFERENCE_CLIMATES,
  syntheticDays,
  syntheticYears,
} from '../src/core/weather/index.ts';
import type { BenchRow } from './rows.ts';

const YEARS = 400;

/** Largest relative error of a month's long-term mean, and the month. */
function worstMonth(daily: Float64Array, given: readonly number[]): { error: number; month: number } {
  const sums = new Float64Array(12);
  let i = 0;
  for (let y = 0; y < daily.length / DAYS_PER_YEAR; y++)
    DAYS_IN_MONTH.forEach((days, m) => {
      for (let d = 0; d < days; d++) sums[m]! += daily[i++]!;
    });
  let worst = { error: 0, month: 0 };
  sums.forEach((sum, m) => {
    const error = Math.abs(((sum / daily.length) * DAYS_PER_YEAR) / DAYS_IN_MONTH[m]! / given[m]! - 1);
    if (error > worst.error) worst = { error, month: m + 1 };
  });
  return worst;
}

/** Synthetic years: how well every built-in climate comes back (worst place named), and how fast. */
export async function benchWeather(): Promise<BenchRow[]> {
  const places = REFERENCE_CLIMATES.map((climate) => {
    const days = syntheticDays({ sun: sunYear(climate), ...climate, years: YEARS, seed: 1 });
    const statistics = dailyStatistics(days.kt);
    return {
      name: climate.name,
      worst: worstMonth(days.ghi_kWh_m2, climate.ghi_kWh_m2_day),
      cv: statistics.interannual_cv.reduce((a, b) => a + b, 0) / 12,
      lag1: statistics.lag1,
    };
  });
  const by = (key: (p: (typeof places)[number]) => number) => [...places].sort((a, b) => key(a) - key(b));
  const off = by((p) => p.worst.error).at(-1)!;
  const [steady, varying] = [by((p) => p.cv)[0]!, by((p) => p.cv).at(-1)!];
  const [forgetful, persistent] = [by((p) => p.lag1)[0]!, by((p) => p.lag1).at(-1)!];

  const climate = REFERENCE_CLIMATES.find((c) => c.name === 'Salzburg')!;
  const { dhi_kWh_m2_day: _, ...rest } = climate;
  const sun = sunYear(climate);
  const hours = allocateWeather(40 * HOURS_PER_YEAR);
  const chance = createRandom(1);
  const sink = new Float64Array(hours.length);
  let best = Number.POSITIVE_INFINITY;
  let reference = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 6; round++) {
    let from = performance.now();
    syntheticYears({ sun, ...rest, years: 40, seed: round }, hours);
    best = Math.min(best, performance.now() - from);
    from = performance.now();
    for (let i = 0; i < sink.length; i++) sink[i] = Math.exp(-Math.abs(chance.normal()));
    reference = Math.min(reference, performance.now() - from);
  }
  const perHour_ns = (best * 1e6) / hours.length;
  return [
    {
      name: `worst monthly mean of ${places.length} climates x ${YEARS} years (target 1 %)`,
      value: 100 * off.worst.error,
      unit: `% (${off.name}, month ${off.worst.month})`,
    },
    { name: 'steadiest place, year-to-year CV of a month (measured 0.057-0.135)', value: steady.cv, unit: steady.name },
    { name: 'most variable place', value: varying.cv, unit: varying.name },
    {
      name: 'least persistence of daily clearness (measured 0.22-0.54)',
      value: forgetful.lag1,
      unit: forgetful.name,
    },
    { name: 'most persistence', value: persistent.lag1, unit: persistent.name },
    {
      name: 'synthetic hours (target 150 ns)',
      value: perHour_ns,
      unit: 'ns/hour',
      ratio: best / reference,
      against: 'one normal draw and one exponential',
    },
  ];
}

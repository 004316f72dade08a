import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import { sunYear } from '../../../src/core/sun/index.ts';
import { darkSpells, REFERENCE_CLIMATES, returnValues, syntheticDays } from '../../../src/core/weather/index.ts';
import { readGolden } from '../../golden.ts';

describe('darkSpells', () => {
  it('finds planted spells and tells how often they come', () => {
    // 41 calendar years of 4 kWh/m² a day, one spell of five days in each January, of 1 kWh/m² a day in every tenth year and
    // 3 in the others: the 10-year five-day mean is 1 by construction.
    const years = 41;
    const daily = new Float64Array(years * 365).fill(4);
    for (let y = 0; y < years; y++) daily.fill(y % 10 === 5 ? 1 : 3, y * 365 + 10, y * 365 + 15);
    const [five] = darkSpells(daily, [5]);
    expect(five!.lowest_kWh_m2_day).toHaveLength(40);
    expect(Array.from(five!.lowest_kWh_m2_day).filter((v) => v < 1.001)).toHaveLength(4);
    const ten = five!.radiation_kWh_m2_day.find((r) => r.period_y === 10)!;
    const two = five!.radiation_kWh_m2_day.find((r) => r.period_y === 2)!;
    expect(ten.value).toBeLessThan(3);
    expect(ten.value).toBeGreaterThanOrEqual(1);
    expect(two.value).toBeCloseTo(3, 9);
    expect(ten.low).toBeLessThanOrEqual(ten.value);
    expect(ten.high).toBeGreaterThanOrEqual(ten.value);
    expect(five!.share.map((r) => r.period_y)).toEqual([2, 5, 10, 20]);
  });

  it('joins a spell across the turn of the year, once', () => {
    const daily = new Float64Array(6 * 365).fill(4);
    daily.fill(1, 3 * 365 - 3, 3 * 365 + 4); // seven days, 29 December to 4 January
    const [seven] = darkSpells(daily, [7]);
    expect(Array.from(seven!.lowest_kWh_m2_day).filter((v) => v < 1.001)).toHaveLength(1);
  });

  it('has return values that are the quantiles of the law they were drawn from', () => {
    // Uniform minima: the T-year value is 1/T; standard error of a quantile of 4000 values is below 0.008.
    const chance = createRandom(9);
    const minima = Float64Array.from({ length: 4000 }, () => chance.next());
    for (const { period_y, value, low, high } of returnValues(minima, 1)) {
      expect(Math.abs(value - 1 / period_y)).toBeLessThan(0.03);
      expect(low).toBeLessThanOrEqual(value);
      expect(high).toBeGreaterThanOrEqual(value);
      expect(high - low).toBeLessThan(0.05);
    }
  });

  it('grow milder with length and worse with the return period at every kind of climate', () => {
    for (const name of ['Rothamsted', 'Maricopa AZ', 'Carimagua', 'Helsinki']) {
      const climate = REFERENCE_CLIMATES.find((c) => c.name === name)!;
      const days = syntheticDays({ sun: sunYear(climate), ...climate, years: 120, seed: 1 });
      const spells = darkSpells(days.ghi_kWh_m2, [3, 5, 7, 10]);
      const ten = spells.map((s) => s.share.find((r) => r.period_y === 10)!.value);
      expect(ten).toEqual([...ten].sort((a, b) => a - b));
      for (const spell of spells) {
        const values = spell.share.map((r) => r.value);
        expect(values).toEqual([...values].sort((a, b) => b - a));
      }
    }
  });

  it('has the worst of measured decades within reach: the darkest 7 days in 41 and 53 years', () => {
    // Measured worst 7-day clearness relative to the month's: 0.197 in 41 years (52° N, maritime), 0.249 in 53 years (50° N,
    // prairie); statistics of DSSAT/dssat-csm-data, shared reference folder, weather-generator.json. A single extreme
    // scatters: the synthetic 20-year value and half of it must enclose it.
    const golden = readGolden('weather-daily-statistics.csv').rows;
    for (const [name, worst] of [
      ['Rothamsted', 0.197],
      ['Swift Current', 0.249],
    ] as const) {
      expect(golden.some((r) => r.name === name)).toBe(true);
      const climate = REFERENCE_CLIMATES.find((c) => c.name === name)!;
      const days = syntheticDays({ sun: sunYear(climate), ...climate, years: 300, seed: 6 });
      const twenty = darkSpells(days.ghi_kWh_m2, [7])[0]!.share.find((r) => r.period_y === 20)!.value;
      expect(worst, name).toBeLessThan(twenty * 1.25);
      expect(worst, name).toBeGreaterThan(twenty * 0.5);
    }
  });

  it('refuses part of a year and spans that are none', () => {
    expect(() => darkSpells(new Float64Array(1000), [3])).toThrow(RangeError);
    expect(() => darkSpells(new Float64Array(730), [3])).toThrow(RangeError);
    expect(() => darkSpells(new Float64Array(365 * 4), [0])).toThrow(RangeError);
  });
});

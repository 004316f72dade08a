import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sunYear } from '../../../src/core/sun/index.ts';
import { DAYS_IN_MONTH, HOURS_PER_YEAR, MONTH_START, UserError } from '../../../src/core/units/index.ts';
import {
  allocateWeather,
  hoursFromDays,
  resampleBlocks,
  type SyntheticInput,
  syntheticDays,
  syntheticYears,
} from '../../../src/core/weather/index.ts';

const place = { latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1800, utcOffset_h: 1 };
const input: SyntheticInput = {
  sun: sunYear(place),
  latitude_deg: place.latitude_deg,
  elevation_m: place.elevation_m,
  ghi_kWh_m2_day: [1.6, 2.5, 3.8, 4.8, 5.4, 5.9, 6.0, 5.2, 4.1, 2.7, 1.7, 1.3],
  temperature_degC: [-6, -5, -2, 2, 7, 11, 13, 12, 9, 5, -1, -5],
  years: 3,
  seed: 42,
};

function caught(action: () => unknown): UserError {
  try {
    action();
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error('nothing was thrown');
}

describe('syntheticYears', () => {
  it('answers the same seed with the same years, however many are asked for', () => {
    const three = syntheticYears(input);
    const more = syntheticYears({ ...input, years: 23 });
    for (const column of ['ghi_W_m2', 'dni_W_m2', 'dhi_W_m2', 'temperature_degC', 'wind_m_s', 'hourOfYear'] as const)
      expect(more[column].subarray(0, three.length)).toEqual(three[column]);
    expect(syntheticYears({ ...input, seed: 43 }).ghi_W_m2).not.toEqual(three.ghi_W_m2);
  });

  it('writes into arrays of the caller, over whatever was there', () => {
    const into = allocateWeather(3 * HOURS_PER_YEAR);
    for (const column of [into.ghi_W_m2, into.dni_W_m2, into.dhi_W_m2, into.temperature_degC, into.wind_m_s])
      column.fill(-999);
    into.hourOfYear.fill(9);
    expect(syntheticYears(input, into)).toBe(into);
    expect(into).toEqual(syntheticYears(input));
    expect(() => syntheticYears({ ...input, years: 2 }, into)).toThrow(RangeError);
  });

  it('numbers the hours of each year and holds the wind given', () => {
    const hours = syntheticYears({ ...input, wind_m_s: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] });
    for (let i = 0; i < hours.length; i += 997) {
      expect(hours.hourOfYear[i]).toBe(i % HOURS_PER_YEAR);
      const month = MONTH_START.findLastIndex((start) => start * 24 <= i % HOURS_PER_YEAR);
      expect(hours.wind_m_s[i]).toBe(month + 1);
    }
    expect(new Set(syntheticYears(input).wind_m_s)).toEqual(new Set([1.5]));
  });

  it('gives the monthly means of the hours back within 1 % over 200 years', () => {
    const hours = syntheticYears({ ...input, years: 200 });
    const ghi = new Float64Array(12);
    const temperature = new Float64Array(12);
    for (let y = 0, i = 0; y < 200; y++)
      for (let m = 0; m < 12; m++)
        for (let h = 0; h < DAYS_IN_MONTH[m]! * 24; h++, i++) {
          ghi[m]! += hours.ghi_W_m2[i]! / (1000 * 200 * DAYS_IN_MONTH[m]!);
          temperature[m]! += hours.temperature_degC[i]! / (24 * 200 * DAYS_IN_MONTH[m]!);
        }
    for (let m = 0; m < 12; m++) {
      expect(Math.abs(ghi[m]! / input.ghi_kWh_m2_day[m]! - 1)).toBeLessThan(0.01);
      expect(Math.abs(temperature[m]! - input.temperature_degC[m]!)).toBeLessThan(0.6);
    }
  });

  it('has the days of syntheticDays', () => {
    const hours = syntheticYears(input);
    const days = syntheticDays(input);
    for (let d = 0; d < 3 * 365; d += 13) {
      const day = hours.ghi_W_m2.subarray(d * 24, d * 24 + 24).reduce((a, b) => a + b, 0) / 1000;
      expect(Math.abs(day - days.ghi_kWh_m2[d]!)).toBeLessThan(0.002 * days.ghi_kWh_m2[d]! + 1e-6);
    }
  });

  it('is dark through the polar night and keeps on', () => {
    const north = { latitude_deg: 75, longitude_deg: 20, elevation_m: 0, utcOffset_h: 1 };
    const hours = syntheticYears({
      ...input,
      sun: sunYear(north),
      ...north,
      ghi_kWh_m2_day: [0, 0.2, 1.4, 3.6, 5.4, 5.2, 4.2, 2.6, 1.2, 0.3, 0, 0],
    });
    expect(hours.ghi_W_m2.subarray(0, 31 * 24).every((g) => g === 0)).toBe(true);
    expect(hours.ghi_W_m2.every((g) => g >= 0 && g < 1400)).toBe(true);
    expect(hours.temperature_degC.every(Number.isFinite)).toBe(true);
  });

  it('is never impossible, at any place, season and seed', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -72, max: 72 }),
        fc.integer({ min: 0, max: 4000 }),
        fc.array(fc.double({ min: 0.12, max: 0.78, noNaN: true }), { minLength: 12, maxLength: 12 }),
        fc.integer(),
        (latitude_deg, elevation_m, kt, seed) => {
          const sun = sunYear({ latitude_deg, longitude_deg: 0, elevation_m, utcOffset_h: 0 });
          const ghi = kt.map((k, m) => {
            let h0 = 0;
            for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++) h0 += sun.h0_Wh_m2[d]!;
            return (k * h0) / DAYS_IN_MONTH[m]! / 1000;
          });
          const hours = syntheticYears({
            sun,
            latitude_deg,
            elevation_m,
            ghi_kWh_m2_day: ghi,
            temperature_degC: kt.map((k) => 40 * k - 10),
            years: 1,
            seed,
          });
          for (let i = 0; i < hours.length; i++) {
            const [g, b, d] = [hours.ghi_W_m2[i]!, hours.dni_W_m2[i]!, hours.dhi_W_m2[i]!];
            if (!(g >= 0 && b >= 0 && d >= -1e-3 && g < 1500 && b < 1200 && d <= g + 1e-3))
              expect.fail(`hour ${i}: ghi ${g}, dni ${b}, dhi ${d}`);
            if (Math.abs(g - d - b * Math.max(0, sun.up[i]!)) > 1e-2) expect.fail(`hour ${i} does not close`);
            if (!Number.isFinite(hours.temperature_degC[i]!)) expect.fail(`hour ${i}: temperature`);
          }
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });

  it('snows the amounts given, in the cold, at 1 cm an hour or more', () => {
    const snow = [40, 30, 20, 8, 0.5, 0, 0, 0, 0, 4, 20, 35];
    const hours = syntheticYears({ ...input, snowfall_cm: snow, years: 200 });
    const total = new Float64Array(12);
    const column = hours.snowfall_cm!;
    let cold = 0;
    let fallen = 0;
    for (let i = 0; i < hours.length; i++) {
      if (column[i] === 0) continue;
      expect(column[i]!).toBeGreaterThanOrEqual(0.999);
      const m = MONTH_START.findLastIndex((start) => start * 24 <= i % HOURS_PER_YEAR);
      total[m]! += column[i]! / 200;
      fallen += column[i]!;
      if (hours.temperature_degC[i]! < 3) cold += column[i]!;
    }
    // Each year's amount is uniform over 0.4-1.6 of the mean: standard error 2.5 % over 200 years, four of them allowed;
    // the half centimetre comes as a centimetre in half of the years.
    snow.forEach((cm, m) => {
      expect(Math.abs(total[m]! - cm)).toBeLessThanOrEqual(Math.max(0.1 * cm, cm > 0 && cm < 1 ? 0.15 : 0));
    });
    expect(cold / fallen).toBeGreaterThan(0.9);
  });

  it('tells twelve means that are not twelve, below zero, or more than the sun sends', () => {
    const short = caught(() => syntheticYears({ ...input, ghi_kWh_m2_day: [1, 2, 3] }));
    expect(short.problems[0]!.code).toBe('weather.twelve');
    expect(short.message).toContain('ghi_kWh_m2_day has 3 value(s)');
    const negative = caught(() => syntheticYears({ ...input, ghi_kWh_m2_day: input.ghi_kWh_m2_day.map((g) => g - 2) }));
    expect(negative.problems[0]!.code).toBe('weather.negative');
    const most = caught(() => syntheticYears({ ...input, ghi_kWh_m2_day: input.ghi_kWh_m2_day.map((g) => g * 3.6) }));
    expect(most.problems[0]!.code).toBe('weather.above-extraterrestrial');
    expect(most.message).toMatch(/January is 5\.76, but no more than 3\.\d\d/);
    const diffuse = caught(() => syntheticYears({ ...input, dhi_kWh_m2_day: input.ghi_kWh_m2_day.map((g) => g + 1) }));
    expect(diffuse.problems[0]!.code).toBe('weather.diffuse-above-global');
    expect(() => syntheticYears({ ...input, years: 0 })).toThrow(RangeError);
    expect(() =>
      syntheticYears({ ...input, temperature_degC: [Number.NaN, ...input.temperature_degC.slice(1)] }),
    ).toThrow(UserError);
  });
});

describe('hoursFromDays', () => {
  it('keeps the totals and the mean temperatures of the days', () => {
    const days = syntheticDays({ ...input, years: 2 });
    const dayOfYear = Uint16Array.from({ length: 730 }, (_, i) => i % 365);
    const hours = hoursFromDays({
      sun: input.sun,
      elevation_m: input.elevation_m,
      dayOfYear,
      ghi_kWh_m2: days.ghi_kWh_m2,
      temperature_degC: days.temperature_degC,
      seed: 1,
    });
    let worst = 0;
    let bias = 0;
    for (let d = 0; d < 730; d++) {
      const ghi = hours.ghi_W_m2.subarray(d * 24, d * 24 + 24).reduce((a, b) => a + b, 0) / 1000;
      worst = Math.max(worst, Math.abs(ghi / days.ghi_kWh_m2[d]! - 1));
      const t = hours.temperature_degC.subarray(d * 24, d * 24 + 24).reduce((a, b) => a + b, 0) / 24;
      bias += (t - days.temperature_degC[d]!) / 730;
      expect(hours.hourOfYear[d * 24]).toBe((d % 365) * 24);
    }
    expect(worst).toBeLessThan(0.002);
    expect(Math.abs(bias)).toBeLessThan(0.02);
  });

  it('refuses columns of different length and days that are none', () => {
    const record = { sun: input.sun, elevation_m: 0, ghi_kWh_m2: [1, 2], temperature_degC: [1, 2], seed: 1 };
    expect(() => hoursFromDays({ ...record, dayOfYear: [1] })).toThrow(RangeError);
    expect(() => hoursFromDays({ ...record, dayOfYear: [1, 365] })).toThrow(RangeError);
  });
});

describe('resampleBlocks', () => {
  const record = syntheticYears({ ...input, years: 4 });

  it('copies whole months of the record, each from a year of its own', () => {
    const hours = resampleBlocks(record, 6, 7);
    const used = new Set<string>();
    for (let y = 0; y < 6; y++)
      for (let m = 0; m < 12; m++) {
        const from = MONTH_START[m]! * 24;
        const to = MONTH_START[m + 1]! * 24;
        const months = hours.ghi_W_m2.subarray(y * HOURS_PER_YEAR + from, y * HOURS_PER_YEAR + to);
        const source = [0, 1, 2, 3].filter((k) =>
          months.every((g, h) => g === record.ghi_W_m2[k * HOURS_PER_YEAR + from + h]),
        );
        expect(source).toHaveLength(1);
        used.add(`${m}:${source[0]}`);
      }
    expect(used.size).toBeGreaterThan(20);
    expect(hours.hourOfYear[HOURS_PER_YEAR + 5]).toBe(5);
    expect(resampleBlocks(record, 6, 7)).toEqual(hours);
  });

  it('gives a record of one year back', () => {
    const one = syntheticYears({ ...input, years: 1 });
    const twice = resampleBlocks(one, 2, 1);
    expect(twice.temperature_degC.subarray(HOURS_PER_YEAR)).toEqual(one.temperature_degC);
  });

  it('leaves a month with a gap out, and tells a month that is nowhere whole', () => {
    const gap = syntheticYears({ ...input, years: 2 });
    gap.hourOfYear[10 * 24] = 9999; // January of the first year
    const hours = resampleBlocks(gap, 3, 1);
    for (let y = 0; y < 3; y++) expect(hours.ghi_W_m2[y * HOURS_PER_YEAR + 12]).toBe(gap.ghi_W_m2[HOURS_PER_YEAR + 12]);
    gap.hourOfYear[HOURS_PER_YEAR + 30] = 9999;
    expect(caught(() => resampleBlocks(gap, 3, 1)).message).toContain('no complete January');
  });
});

import { describe, expect, it } from 'vitest';
import { sunYear } from '../../../src/core/sun/index.ts';
import { DAYS_IN_MONTH, DAYS_PER_YEAR } from '../../../src/core/units/index.ts';
import {
  dailyStatistics,
  interannualCv,
  REFERENCE_CLIMATES,
  spellRatios,
  syntheticDays,
  temperatureRules,
} from '../../../src/core/weather/index.ts';
import { readGolden } from '../../golden.ts';

function monthlyMeans(daily: ArrayLike<number>): number[] {
  const sums = new Array<number>(12).fill(0);
  const years = daily.length / DAYS_PER_YEAR;
  let i = 0;
  for (let y = 0; y < years; y++)
    DAYS_IN_MONTH.forEach((days, m) => {
      for (let d = 0; d < days; d++) sums[m]! += daily[i++]! / days / years;
    });
  return sums;
}

describe('every built-in climate, 200 synthetic years', () => {
  const runs = REFERENCE_CLIMATES.map((climate) => {
    const days = syntheticDays({
      sun: sunYear(climate),
      latitude_deg: climate.latitude_deg,
      elevation_m: climate.elevation_m,
      ghi_kWh_m2_day: climate.ghi_kWh_m2_day,
      temperature_degC: climate.temperature_degC,
      years: 200,
      seed: 11,
    });
    return {
      climate,
      ghi: monthlyMeans(days.ghi_kWh_m2),
      temperature: monthlyMeans(days.temperature_degC),
      statistics: dailyStatistics(days.kt),
      highest: days.kt.reduce((a, b) => Math.max(a, b), 0),
      lowest: days.kt.reduce((a, b) => Math.min(a, b), 1),
    };
  });

  it('gives the monthly radiation back within 1 %', () => {
    for (const { climate, ghi } of runs)
      ghi.forEach((value, m) => {
        expect(Math.abs(value / climate.ghi_kWh_m2_day[m]! - 1), `${climate.name}, month ${m + 1}`).toBeLessThan(0.01);
      });
  });

  it('gives the monthly temperature back within 0.6 K (three standard errors of a cold month)', () => {
    for (const { climate, temperature } of runs)
      temperature.forEach((value, m) => {
        expect(Math.abs(value - climate.temperature_degC[m]!), `${climate.name}, month ${m + 1}`).toBeLessThan(0.6);
      });
  });

  it('varies from year to year inside the measured band: 0.057-0.135 of a month, averaged over the months of a place', () => {
    // Band: the steadiest and the most variable of seven records of 21-53 years (test/golden/weather-interannual.csv).
    const means = readGolden('weather-interannual.csv').rows.map(
      (row) => Array.from({ length: 12 }, (_, m) => Number(row[`cv${m + 1}`])).reduce((a, b) => a + b, 0) / 12,
    );
    const [least, most] = [Math.min(...means), Math.max(...means)];
    for (const { climate, statistics } of runs) {
      const mean = statistics.interannual_cv.reduce((a, b) => a + b, 0) / 12;
      expect(mean, climate.name).toBeGreaterThan(least - 0.002);
      expect(mean, climate.name).toBeLessThan(most + 0.002);
    }
  });

  it('remembers yesterday inside the measured band, 0.22-0.54', () => {
    for (const { climate, statistics } of runs) {
      expect(statistics.lag1, climate.name).toBeGreaterThan(0.22);
      expect(statistics.lag1, climate.name).toBeLessThan(0.54);
    }
  });

  it('has days that can be: no day above a clearness of 0.9 or below 0.005', () => {
    // Daily clearness above 0.85 is dropped as an error from the measured records (their note); polar winters lie low.
    for (const { climate, highest, lowest } of runs) {
      expect(highest, climate.name).toBeLessThan(0.9);
      expect(lowest, climate.name).toBeGreaterThan(0.005);
    }
  });
});

describe('synthetic days at measured places', () => {
  const rows = readGolden('weather-daily-statistics.csv').rows.map((row) => {
    const place = {
      latitude_deg: Number(row.latitude_deg),
      longitude_deg: Number(row.longitude_deg),
      elevation_m: Number(row.elevation_m),
      utcOffset_h: Math.round(Number(row.longitude_deg) / 15),
    };
    const sun = sunYear(place);
    const h0 = monthlyMeans(sun.h0_Wh_m2);
    const days = syntheticDays({
      sun,
      ...place,
      ghi_kWh_m2_day: h0.map((h, m) => (h * Number(row[`kt${m + 1}`])) / 1000),
      temperature_degC: new Array<number>(12).fill(15),
      years: 100,
      seed: 3,
    });
    return { row, kt: days.kt, statistics: dailyStatistics(days.kt) };
  });

  it.each([3, 5, 7, 10, 14])(
    'have the darkest 1 % of %i-day spells within 0.08 of the measured at most places',
    (n) => {
      const errors = rows.map(({ row, kt, statistics }) => {
        const ratios = spellRatios(kt, statistics.monthMean_kt, n).sort();
        return ratios[Math.floor(0.01 * ratios.length)]! - Number(row[`w${n}_p1`]);
      });
      const close = errors.filter((e) => Math.abs(e) <= 0.08).length;
      expect(close / errors.length).toBeGreaterThan(0.6);
      // No lean to either side: spells too light would flatter a design, too dark would oversize it.
      expect(Math.abs(errors.reduce((a, b) => a + b, 0) / errors.length)).toBeLessThan(0.05);
    },
  );

  it('have the measured spread and persistence, on average over the places', () => {
    const spread = rows.map(
      ({ row, statistics }) =>
        statistics.monthSd_kt.reduce((a, sd, m) => a + sd / Number(row[`sd${m + 1}`]), 0) / 12 - 1,
    );
    const persistence = rows.map(({ row, statistics }) => statistics.lag1 - Number(row.lag1));
    const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length;
    expect(Math.abs(mean(spread))).toBeLessThan(0.12);
    expect(Math.abs(mean(persistence))).toBeLessThan(0.04);
    expect(Math.sqrt(mean(persistence.map((e) => e * e)))).toBeLessThan(0.1);
  });

  it('come out alike, within the same bounds, from the Gaussian chain through the Bendt marginal', () => {
    const climate = REFERENCE_CLIMATES.find((c) => c.name === 'Rothamsted')!;
    const days = syntheticDays({ sun: sunYear(climate), ...climate, years: 100, seed: 5, method: 'bendt' });
    const statistics = dailyStatistics(days.kt);
    const golden = rows.find((r) => r.row.name === 'Rothamsted')!.row;
    monthlyMeans(days.ghi_kWh_m2).forEach((value, m) => {
      expect(Math.abs(value / climate.ghi_kWh_m2_day[m]! - 1)).toBeLessThan(0.01);
    });
    expect(Math.abs(statistics.lag1 - Number(golden.lag1))).toBeLessThan(0.08);
    const ratios = spellRatios(days.kt, statistics.monthMean_kt, 7).sort();
    expect(Math.abs(ratios[Math.floor(0.01 * ratios.length)]! - Number(golden.w7_p1))).toBeLessThan(0.08);
  });
});

describe('the rules for a climate', () => {
  const golden = readGolden('weather-interannual.csv').rows;
  const twelve = (row: Record<string, string>, key: string) =>
    Array.from({ length: 12 }, (_, m) => Number(row[key.replace('#', String(m + 1))]));
  const climateOf = (name: string) => REFERENCE_CLIMATES.find((c) => c.name.startsWith(name));

  it('give the measured spread of monthly radiation within 0.02 rms', () => {
    const errors = golden.flatMap((row) => {
      const climate = climateOf(row.name!);
      if (climate === undefined) return [];
      const h0 = monthlyMeans(sunYear(climate).h0_Wh_m2);
      return twelve(row, 'cv#').map(
        (cv, m) => interannualCv((climate.ghi_kWh_m2_day[m]! * 1000) / h0[m]!, climate.latitude_deg) - cv,
      );
    });
    expect(errors.length).toBeGreaterThanOrEqual(72);
    expect(Math.sqrt(errors.reduce((a, e) => a + e * e, 0) / errors.length)).toBeLessThan(0.02);
  });

  it('give the measured spread of monthly temperature within 0.4 K rms', () => {
    const errors = golden.flatMap((row) => {
      const climate = climateOf(row.name!);
      if (climate === undefined) return [];
      const { monthly_K } = temperatureRules(climate.temperature_degC, climate.latitude_deg);
      return twelve(row, 'tsd#_degC').map((sd, m) => monthly_K[m]! - sd);
    });
    expect(errors.length).toBeGreaterThanOrEqual(72);
    expect(Math.sqrt(errors.reduce((a, e) => a + e * e, 0) / errors.length)).toBeLessThan(0.4);
  });

  it('are met by the chain: spread of monthly mean temperature over 200 years within 15 % of the rule', () => {
    const climate = climateOf('Swift Current')!;
    const days = syntheticDays({ sun: sunYear(climate), ...climate, years: 200, seed: 2 });
    const rule = temperatureRules(climate.temperature_degC, climate.latitude_deg).monthly_K;
    const yearly = Array.from({ length: 200 }, (_, y) =>
      monthlyMeans(days.temperature_degC.subarray(y * DAYS_PER_YEAR, (y + 1) * DAYS_PER_YEAR)),
    );
    for (let m = 0; m < 12; m++) {
      const mean = yearly.reduce((a, t) => a + t[m]!, 0) / 200;
      const sd = Math.sqrt(yearly.reduce((a, t) => a + (t[m]! - mean) ** 2, 0) / 199);
      expect(Math.abs(sd / rule[m]! - 1), `month ${m + 1}`).toBeLessThan(0.15);
    }
  });
});

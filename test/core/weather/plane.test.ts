import { describe, expect, it } from 'vitest';
import { planeGeometry, planeOfArray, sunYear } from '../../../src/core/sun/index.ts';
import { DAYS_IN_MONTH } from '../../../src/core/units/index.ts';
import { REFERENCE_CLIMATES, syntheticYears, type WeatherHours } from '../../../src/core/weather/index.ts';
import { readGolden } from '../../golden.ts';

/** Long-term monthly means of an hourly column, kWh/m² a day. */
function monthly(hourly: ArrayLike<number>): number[] {
  const sums = new Array<number>(12).fill(0);
  const years = hourly.length / 8760;
  let i = 0;
  for (let y = 0; y < years; y++)
    DAYS_IN_MONTH.forEach((days, m) => {
      for (let h = 0; h < days * 24; h++) sums[m]! += hourly[i++]!;
    });
  return sums.map((s, m) => s / 1000 / years / DAYS_IN_MONTH[m]!);
}

function onPlane(hours: WeatherHours, sun: ReturnType<typeof sunYear>, tilt_deg: number): number[] {
  const south = sun.place.latitude_deg < 0;
  const geometry = planeGeometry(sun, {
    tilt_deg,
    azimuth_deg: south ? 0 : 180,
    albedo: new Array<number>(12).fill(0.2),
    cover: 'none',
    model: 'perez',
  });
  const out = new Float32Array(hours.length);
  planeOfArray(hours, geometry, out);
  return monthly(out);
}

const annual = (values: readonly number[]) => values.reduce((a, v, m) => a + v * DAYS_IN_MONTH[m]!, 0);

const golden = readGolden('weather-plane.csv').rows.map((row) => {
  const twelve = (key: string) => Array.from({ length: 12 }, (_, m) => Number(row[`${key}${m + 1}`]));
  const sun = sunYear({
    latitude_deg: Number(row.latitude_deg),
    longitude_deg: Number(row.longitude_deg),
    elevation_m: Number(row.elevation_m),
    utcOffset_h: Number(row.utc_offset_h),
  });
  const input = {
    sun,
    latitude_deg: sun.place.latitude_deg,
    elevation_m: sun.place.elevation_m,
    ghi_kWh_m2_day: twelve('ghi'),
    temperature_degC: twelve('temperature'),
    years: 200,
    seed: 1,
  };
  return { name: row.name, tilt_deg: Number(row.tilt_deg), dhi: twelve('dhi'), poa: twelve('poa'), input };
});

describe('the tilted plane under synthetic years, against hourly files transposed by Perez', () => {
  it('is within 2.5 % over the year, and 6 % in 95 % of the months, when the diffuse is known', () => {
    const errors: number[] = [];
    for (const place of golden) {
      const poa = onPlane(
        syntheticYears({ ...place.input, dhi_kWh_m2_day: place.dhi }),
        place.input.sun,
        place.tilt_deg,
      );
      expect(Math.abs(annual(poa) / annual(place.poa) - 1), place.name).toBeLessThan(0.025);
      errors.push(...poa.map((value, m) => Math.abs(value / place.poa[m]! - 1)));
    }
    expect(errors).toHaveLength(24);
    expect(errors.filter((e) => e < 0.06).length / errors.length).toBeGreaterThanOrEqual(0.95);
  });

  it('Addis Ababa: within the same bounds from twelve means of global radiation alone', () => {
    const place = golden.find((g) => g.name === 'Addis Ababa')!;
    const poa = onPlane(syntheticYears(place.input), place.input.sun, place.tilt_deg);
    expect(Math.abs(annual(poa) / annual(place.poa) - 1)).toBeLessThan(0.025);
    for (let m = 0; m < 12; m++) expect(Math.abs(poa[m]! / place.poa[m]! - 1)).toBeLessThan(0.06);
  });
});

describe('the diffuse share of synthetic years, against the monthly diffuse radiation of 59 reference climates', () => {
  const sites = REFERENCE_CLIMATES.filter((c) => c.dhi_kWh_m2_day !== undefined).map((climate) => ({
    climate,
    sun: sunYear(climate),
  }));
  const errors = (known: boolean) =>
    sites.flatMap(({ climate, sun }) => {
      const { dhi_kWh_m2_day, ...rest } = climate;
      const hours = syntheticYears({ sun, ...rest, ...(known ? { dhi_kWh_m2_day } : {}), years: 20, seed: 4 });
      return monthly(hours.dhi_W_m2).map((d, m) => (d - dhi_kWh_m2_day![m]!) / climate.ghi_kWh_m2_day[m]!);
    });

  it('is unbiased within 0.02 and within 0.065 rms by rule', () => {
    const list = errors(false);
    expect(list.length).toBeGreaterThanOrEqual(59 * 12);
    expect(Math.abs(list.reduce((a, b) => a + b, 0) / list.length)).toBeLessThan(0.02);
    expect(Math.sqrt(list.reduce((a, b) => a + b * b, 0) / list.length)).toBeLessThan(0.065);
  });

  it('is within 0.03 in 95 % of the months where it was given', () => {
    const list = errors(true)
      .map(Math.abs)
      .sort((a, b) => a - b);
    expect(list[Math.floor(0.95 * list.length)]!).toBeLessThan(0.03);
  });
});

import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { extraterrestrialDay_Wh_m2, sunYear } from '../../../src/core/sun/index.ts';
import { DAYS_IN_MONTH, MONTH_START } from '../../../src/core/units/index.ts';
import {
  greatCircle_km,
  nearestClimate,
  REFERENCE_CLIMATES,
  type ReferenceClimate,
  rankedClimates,
  temperatureAtElevation,
} from '../../../src/core/weather/index.ts';

function monthlyH0_kWh_m2(climate: ReferenceClimate): number[] {
  const { h0_Wh_m2 } = sunYear(climate);
  return DAYS_IN_MONTH.map((days, m) => {
    let sum = 0;
    for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++) sum += h0_Wh_m2[d]! / days / 1000;
    return sum;
  });
}

describe('the reference climates', () => {
  it('are a hundred places with twelve means each, and a source', () => {
    expect(REFERENCE_CLIMATES).toHaveLength(100);
    expect(new Set(REFERENCE_CLIMATES.map((c) => c.name)).size).toBe(100);
    for (const c of REFERENCE_CLIMATES) {
      expect(c.ghi_kWh_m2_day, c.name).toHaveLength(12);
      expect(c.temperature_degC, c.name).toHaveLength(12);
      expect(
        [...c.ghi_kWh_m2_day, ...c.temperature_degC, ...(c.dhi_kWh_m2_day ?? [])].every(Number.isFinite),
        c.name,
      ).toBe(true);
      expect(c.source.length).toBeGreaterThan(10);
      expect(c.country).toMatch(/^[A-Z]{3}$/);
      expect(Math.abs(c.utcOffset_h - c.longitude_deg / 15)).toBeLessThan(3.2);
    }
    expect(REFERENCE_CLIMATES.filter((c) => c.dhi_kWh_m2_day !== undefined).length).toBeGreaterThanOrEqual(59);
  });

  it('have a clearness of 0.22-0.80 where the sun is worth more than 1 kWh/m² a day outside the air, and diffuse below global', () => {
    for (const c of REFERENCE_CLIMATES) {
      const h0 = monthlyH0_kWh_m2(c);
      for (let m = 0; m < 12; m++) {
        if (c.dhi_kWh_m2_day) expect(c.dhi_kWh_m2_day[m]!).toBeLessThanOrEqual(c.ghi_kWh_m2_day[m]!);
        if (h0[m]! <= 1) continue;
        expect(c.ghi_kWh_m2_day[m]! / h0[m]!, `${c.name}, month ${m + 1}`).toBeGreaterThan(0.22);
        expect(c.ghi_kWh_m2_day[m]! / h0[m]!, `${c.name}, month ${m + 1}`).toBeLessThan(0.8);
      }
    }
  });

  const shared = new URL('../../../../shared/reference/energy/climate-sites.json', import.meta.url);
  it.skipIf(!existsSync(shared))(
    'are row by row those of the shared reference folder (skipped where it is not beside the clone)',
    () => {
      interface Site {
        name: string;
        lat: number;
        lon: number;
        elevation_m: number;
        ghi_kwh_m2_day: number[];
        temp_c: number[];
        dhi_kwh_m2_day?: number[];
        kt: number[];
      }
      const { sites } = JSON.parse(readFileSync(shared, 'utf8')) as { sites: Site[] };
      sites.forEach((site, i) => {
        const c = REFERENCE_CLIMATES[i]!;
        expect([c.name, c.latitude_deg, c.longitude_deg, c.elevation_m]).toEqual([
          site.name,
          site.lat,
          site.lon,
          site.elevation_m,
        ]);
        expect(c.ghi_kWh_m2_day).toEqual(site.ghi_kwh_m2_day);
        expect(c.temperature_degC).toEqual(site.temp_c);
        expect(c.dhi_kWh_m2_day).toEqual(site.dhi_kwh_m2_day);
        // Its clearness stands on Cooper's declination (H0 up to 6 % lower in a high winter than under the sun used here).
        site.kt.forEach((kt, m) => {
          let h0 = 0;
          for (let d = MONTH_START[m]!; d < MONTH_START[m + 1]!; d++)
            h0 += extraterrestrialDay_Wh_m2(c.latitude_deg, d + 1) / DAYS_IN_MONTH[m]! / 1000;
          // Radiation is given to 0.01 kWh/m².
          expect(Math.abs(c.ghi_kWh_m2_day[m]! / h0 - kt), `${c.name} ${m}`).toBeLessThan(0.001 + 0.006 / h0);
        });
      });
    },
  );
});

describe('the nearest climate', () => {
  it('is by great circle: a quarter of a meridian is 10,007.5 km on the mean sphere (pi/2 x 6371.0088 km)', () => {
    expect(greatCircle_km(0, 0, 90, 0)).toBeCloseTo(10007.557, 2);
    expect(greatCircle_km(0, 179, 0, -179)).toBeCloseTo(222.39, 1);
    expect(greatCircle_km(10, 20, 10, 20)).toBe(0);
  });

  it('is told with distance, height and cautions', () => {
    const near = nearestClimate(46.4, 10.2, 1800);
    expect(near.climate.name).toBe(rankedClimates(46.4, 10.2)[0]!.climate.name);
    expect(near.climate.name).toBe('Salzburg');
    expect(near.text).toMatch(/^nearest: 2\d\d km, 1350 m lower$/);
    expect(near.cautions.join(' ')).toContain('5-10 %');
    expect(near.cautions.join(' ')).toContain('6.5 K per km');
    const here = nearestClimate(52.1, 5.18, 4);
    expect(here.text).toBe('nearest: 0 km, same height');
    expect(here.cautions).toEqual([]);
    expect(nearestClimate(52.1, 5.18).text).toBe('nearest: 0 km');
  });

  it('is sorted by distance', () => {
    const distances = rankedClimates(-44.3, 170).map((n) => n.distance_km);
    expect(distances).toEqual([...distances].sort((a, b) => a - b));
  });

  it('gets colder by 6.5 K a kilometre (ICAO standard atmosphere)', () => {
    expect(temperatureAtElevation([0, 10], 450, 1450)).toEqual({ temperature_degC: [-6.5, 3.5], change_K: -6.5 });
  });
});

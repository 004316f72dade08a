import * as Astronomy from 'astronomy-engine';
import fc from 'fast-check';
import { getSpa, SPA_ZA } from 'nrel-spa';
import { describe, expect, it } from 'vitest';
import { geocentricSun } from '../../../src/core/sun/ephemeris.ts';
import {
  incidence_deg,
  julianDayOfUnix_ms,
  refraction_deg,
  standardPressure_hPa,
  sunPosition,
  unix_msOfJulianDay,
} from '../../../src/core/sun/index.ts';
import { readGolden } from '../../golden.ts';

const DEG = 180 / Math.PI;
const jdOf = (iso: string) => julianDayOfUnix_ms(Date.parse(iso));
const turned = (difference_deg: number) => difference_deg - 360 * Math.round(difference_deg / 360);

describe('sunPosition', () => {
  it('reproduces the worked example of the position report, step by step', () => {
    // Source in the golden file (NREL/TP-560-34302 appendix A.5).
    const jd = jdOf('2003-10-17T12:30:30-07:00');
    const steps = geocentricSun(jd);
    const p = sunPosition(jd, 39.742476, -105.1786, 1830.14);
    const got: Record<string, number> = {
      heliocentricLongitude_deg: steps.heliocentricLongitude_rad * DEG,
      heliocentricLatitude_deg: steps.heliocentricLatitude_rad * DEG,
      distance_au: p.distance_au,
      nutationLongitude_deg: steps.nutationLongitude_rad * DEG,
      nutationObliquity_deg: steps.nutationObliquity_rad * DEG,
      obliquity_deg: steps.obliquity_rad * DEG,
      apparentLongitude_deg: steps.apparentLongitude_rad * DEG,
      siderealTime_deg: steps.siderealTime_rad * DEG,
      rightAscension_deg: p.rightAscension_deg,
      declination_deg: p.declination_deg,
      elevation_deg: p.elevation_deg,
      refraction_deg: refraction_deg(p.elevation_deg, 820, 11),
      azimuth_deg: p.azimuth_deg,
      // Surface of slope 30°, 10° east of south; zenith with refraction.
      incidence_deg: incidence_deg(
        90 - p.elevation_deg - refraction_deg(p.elevation_deg, 820, 11),
        p.azimuth_deg,
        30,
        170,
      ),
      equationOfTime_min: p.equationOfTime_min,
    };
    let checked = 0;
    for (const row of readGolden('sun-spa-example.csv').rows) {
      if (got[row.quantity!] === undefined) continue; // rise and set: tests of times
      expect(Math.abs(got[row.quantity!]! - Number(row.value)), row.quantity).toBeLessThanOrEqual(
        Number(row.tolerance),
      );
      checked++;
    }
    expect(checked).toBe(15);
  });

  it('meets the points of two independent programs, 1990 to 2060', () => {
    const { rows } = readGolden('sun-points.csv');
    expect(rows.length).toBe(24);
    for (const r of rows) {
      const p = sunPosition(jdOf(r.utc!), Number(r.latitude_deg), Number(r.longitude_deg), Number(r.elevation_m));
      const cos = Math.cos(Number(r.true_elevation_deg) / DEG);
      expect(Math.abs(p.elevation_deg - Number(r.true_elevation_deg)), r.utc).toBeLessThan(0.01);
      expect(Math.abs(turned(p.azimuth_deg - Number(r.true_azimuth_deg))) * cos, r.utc).toBeLessThan(0.01);
      expect(Math.abs(p.elevation_deg - Number(r.spa_elevation_deg)), r.utc).toBeLessThan(0.001);
      expect(Math.abs(turned(p.azimuth_deg - Number(r.spa_azimuth_deg))) * cos, r.utc).toBeLessThan(0.001);
      expect(Math.abs(p.equationOfTime_min - Number(r.equationOfTime_min)), r.utc).toBeLessThan(0.01);
      expect(Math.abs(p.distance_au - Number(r.distance_au)), r.utc).toBeLessThan(2e-5);
    }
  });

  it('stays within 0.001° of the full series and 0.003° of another ephemeris from 1950 to 2100', () => {
    // Source: npm nrel-spa 2.0 (full algorithm) and astronomy-engine 2.1 (own theory), run here at random moments.
    const from = Date.UTC(1950, 0, 1);
    const to = Date.UTC(2100, 0, 1);
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: -89.5, max: 89.5, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        (share, latitude_deg, longitude_deg) => {
          const date = new Date(Math.round(from + share * (to - from)));
          const p = sunPosition(julianDayOfUnix_ms(date.getTime()), latitude_deg, longitude_deg, 300);
          const cos = Math.cos(p.elevation_deg / DEG);
          // No air, so that nothing is refracted.
          const spa = getSpa(date, latitude_deg, longitude_deg, 0, { function: SPA_ZA, pressure: 0, elevation: 300 });
          const spread = 0.0011; // the package holds ΔT at 67 s: up to 0.0005° in 1950 and 2100
          // The package reads whole seconds only: 0.0042° of hour angle a second.
          const second = (date.getUTCMilliseconds() / 1000) * 0.00418;
          expect(Math.abs(p.elevation_deg - (90 - spa.zenith))).toBeLessThan(spread + second);
          expect(Math.abs(turned(p.azimuth_deg - spa.azimuth)) * cos).toBeLessThan(spread + second);
          const observer = new Astronomy.Observer(latitude_deg, longitude_deg, 300);
          const place = Astronomy.Equator(Astronomy.Body.Sun, date, observer, true, true);
          const sky = Astronomy.Horizon(date, observer, place.ra, place.dec);
          expect(Math.abs(p.elevation_deg - sky.altitude)).toBeLessThan(0.003);
          expect(Math.abs(turned(p.azimuth_deg - sky.azimuth)) * cos).toBeLessThan(0.003);
        },
      ),
      { seed: 1, numRuns: 600 },
    );
  });

  it('refuses what is not a place', () => {
    expect(() => sunPosition(2451545, 90.001, 0)).toThrow(RangeError);
    expect(() => sunPosition(2451545, Number.NaN, 0)).toThrow(RangeError);
    expect(() => sunPosition(2451545, 0, Number.POSITIVE_INFINITY)).toThrow(RangeError);
    expect(sunPosition(2451545, 90, 0).elevation_deg).toBeCloseTo(sunPosition(2451545, 90, 120).elevation_deg, 6);
  });
});

describe('Julian days', () => {
  it('counts from noon and comes back', () => {
    // Source: J2000.0 is JD 2451545.0 at 2000-01-01 12:00 (IAU 1994 resolution C7).
    expect(jdOf('2000-01-01T12:00:00Z')).toBe(2451545);
    expect(unix_msOfJulianDay(2451545)).toBe(Date.parse('2000-01-01T12:00:00Z'));
  });
});

describe('refraction', () => {
  it('lifts a sun on the horizon by about 34 minutes of arc', () => {
    // Source: 34' is the almanacs' standard refraction at the apparent horizon, true elevation -34' (Meeus 1998, ch. 15-16).
    expect(refraction_deg(-34 / 60) * 60).toBeGreaterThan(33);
    expect(refraction_deg(-34 / 60) * 60).toBeLessThan(35.5);
    expect(refraction_deg(-1.01)).toBe(0);
  });
  it('never lifts a sun from below -1° over the horizon: no jump through the gate', () => {
    expect(-1 + refraction_deg(-1, 1100, -40)).toBeLessThan(0);
  });
  it('knows the standard atmosphere', () => {
    // Source: ISO 2533:1975 table: 898.75 hPa at 1000 m, 701.09 hPa at 3000 m.
    expect(standardPressure_hPa(1000)).toBeCloseTo(898.75, 1);
    expect(standardPressure_hPa(3000)).toBeCloseTo(701.09, 1);
  });
});

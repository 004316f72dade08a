import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { geocentricSun } from '../../../src/core/sun/ephemeris.ts';
import { julianDayOfUnix_ms, sunTimes, unix_msOfJulianDay } from '../../../src/core/sun/index.ts';
import { readGolden } from '../../golden.ts';

const jdOf = (iso: string) => julianDayOfUnix_ms(Date.parse(iso));

describe('sunTimes', () => {
  it('meets the published times', () => {
    const { rows } = readGolden('sun-times.csv');
    expect(rows.length).toBe(12);
    for (const r of rows) {
      const at = (shift_d: number) =>
        sunTimes(jdOf(`${r.date_utc}T00:00Z`) + shift_d, Number(r.latitude_deg), Number(r.longitude_deg));
      for (const key of ['rise', 'transit', 'set'] as const) {
        const want = r[key === 'rise' ? 'sunrise' : key === 'set' ? 'sunset' : 'transit']!;
        const error_s = (shift_d: number) =>
          Math.abs(unix_msOfJulianDay(at(shift_d)[`${key}_JD`]! - shift_d) - Date.parse(want)) / 1000;
        expect(error_s(0), `${r.date_utc} ${want}`).toBeLessThan(60);
        // What falls outside the UTC day was computed there for the event of the neighbouring day: see the golden file.
        const shift_d = Math.sign(Date.parse(r.date_utc!) - Date.parse(want.slice(0, 10)));
        expect(error_s(shift_d), `${r.date_utc} ${want}`).toBeLessThan(2);
      }
    }
  });

  it('meets the example of the position report', () => {
    // Source: NREL/TP-560-34302 appendix A.5; 17 October 2003, UTC-7. The report takes the events of the UTC day: its
    // sunset at 00:20 UT is that of the local evening before.
    const times = (day: string) => sunTimes(jdOf(`${day}T00:00-07:00`), 39.742476, -105.1786);
    const { rise_JD, transit_JD } = times('2003-10-17');
    const { set_JD } = times('2003-10-16');
    const { rows } = readGolden('sun-spa-example.csv');
    for (const [jd, quantity, day] of [
      [rise_JD, 'sunrise', '17'],
      [transit_JD, 'transit', '17'],
      [set_JD, 'sunset', '16'],
    ] as const) {
      const row = rows.find((r) => r.quantity === quantity)!;
      const want = Date.parse(`2003-10-${day}T${row.value}-07:00`);
      expect(Math.abs(unix_msOfJulianDay(jd!) - want) / 1000, quantity).toBeLessThan(Number(row.tolerance));
    }
  });

  it('tells polar day from polar night', () => {
    // Tromsø, 69.65° N: midnight sun 20 May to 22 July, polar night 27 November to 15 January (common knowledge, no source).
    expect(sunTimes(jdOf('2024-06-21T00:00+01:00'), 69.65, 18.96)).toMatchObject({
      rise_JD: null,
      set_JD: null,
      allDay: 'up',
    });
    expect(sunTimes(jdOf('2024-12-21T00:00+01:00'), 69.65, 18.96)).toMatchObject({
      rise_JD: null,
      set_JD: null,
      allDay: 'down',
    });
    expect(sunTimes(jdOf('2024-06-21T00:00Z'), -90, 0).allDay).toBe('down');
    expect(sunTimes(jdOf('2024-06-21T00:00Z'), 90, 0).allDay).toBe('up');
  });

  it('gives moments at which the sun is where it is said to be, in order', () => {
    const elevation = (jd: number, latitude_deg: number, longitude_deg: number) => {
      const s = geocentricSun(jd);
      const h = s.siderealTime_rad + (longitude_deg * Math.PI) / 180 - s.rightAscension_rad;
      const phi = (latitude_deg * Math.PI) / 180;
      const sin = Math.sin(phi) * Math.sin(s.declination_rad);
      return (Math.asin(sin + Math.cos(phi) * Math.cos(s.declination_rad) * Math.cos(h)) * 180) / Math.PI;
    };
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 54000 }),
        fc.double({ min: -75, max: 75, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        (day, latitude_deg, longitude_deg) => {
          const from = 2433282.5 + day;
          const t = sunTimes(from, latitude_deg, longitude_deg);
          expect(t.transit_JD).toBeGreaterThan(from - 1e-4);
          expect(t.transit_JD).toBeLessThan(from + 1.001);
          for (const jd of [t.rise_JD, t.set_JD]) {
            if (jd !== null) expect(elevation(jd, latitude_deg, longitude_deg)).toBeCloseTo(-0.8333, 3);
          }
          if (t.rise_JD !== null) expect(t.rise_JD).toBeLessThan(t.transit_JD);
          if (t.set_JD !== null) expect(t.set_JD).toBeGreaterThan(t.transit_JD);
          expect(t.allDay === null).toBe(t.rise_JD !== null || t.set_JD !== null);
        },
      ),
      { seed: 1, numRuns: 400 },
    );
  });
});

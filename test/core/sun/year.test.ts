import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  distanceFactor,
  julianDayOfUnix_ms,
  refraction_deg,
  standardPressure_hPa,
  sunPosition,
  sunSeries,
  sunYear,
} from '../../../src/core/sun/index.ts';
import { MONTH_START } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const START_JD = 2451910.5; // 2001-01-01T00:00 UT
const RAD = Math.PI / 180;
const PLACES = [
  { latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1800, utcOffset_h: 1 },
  { latitude_deg: -44.3, longitude_deg: 170, elevation_m: 600, utcOffset_h: 12 },
  { latitude_deg: 8.98, longitude_deg: 38.8, elevation_m: 2355, utcOffset_h: 3 },
  { latitude_deg: 78.2, longitude_deg: 15.6, elevation_m: 10, utcOffset_h: 1 },
  { latitude_deg: 22, longitude_deg: -159.5, elevation_m: 0, utcOffset_h: -10 },
];

describe('sunYear', () => {
  it('holds the sun of each mid-hour', () => {
    for (const place of PLACES) {
      const year = sunYear(place);
      const pressure = standardPressure_hPa(place.elevation_m);
      for (let i = 0; i < 8760; i += 37) {
        const jd = START_JD + (i + 0.5 - place.utcOffset_h) / 24;
        const p = sunPosition(jd, place.latitude_deg, place.longitude_deg, place.elevation_m);
        expect(Math.abs(year.elevation_deg[i]! - p.elevation_deg)).toBeLessThan(0.0003);
        const apparent = (p.elevation_deg + refraction_deg(p.elevation_deg, pressure)) * RAD;
        expect(Math.abs(year.up[i]! - Math.sin(apparent))).toBeLessThan(1e-5);
        const level = Math.cos(apparent);
        expect(Math.abs(year.east[i]! - level * Math.sin(p.azimuth_deg * RAD))).toBeLessThan(1e-5);
        expect(Math.abs(year.north[i]! - level * Math.cos(p.azimuth_deg * RAD))).toBeLessThan(1e-5);
        expect(Math.hypot(year.east[i]!, year.north[i]!, year.up[i]!)).toBeCloseTo(1, 12);
      }
    }
  });

  it('sums the horizontal light as a sum over every 15 seconds does', () => {
    // The other way round: no closed form, positions of the batch kernel.
    for (const place of PLACES) {
      const year = sunYear(place);
      for (const day of [0, 20, 79, 110, 171, 230, 265, 354]) {
        const steps = 5760;
        const out = { elevation_deg: new Float64Array(steps), azimuth_deg: new Float64Array(steps) };
        const start = START_JD + day - place.utcOffset_h / 24 + 0.5 / steps;
        sunSeries(start, 24 / steps, place.latitude_deg, place.longitude_deg, 0, out);
        const i0 = year.extraterrestrialNormal_W_m2[day]!;
        let whole = 0;
        for (let h = 0; h < 24; h++) {
          let sum = 0;
          for (let k = h * 240; k < h * 240 + 240; k++) {
            const sine = Math.sin(out.elevation_deg[k]! * RAD);
            if (sine > 0) sum += (sine * i0) / 240;
          }
          whole += sum;
          const i = day * 24 + h;
          expect(Math.abs(year.extraterrestrialHorizontal_Wh_m2[i]! - sum)).toBeLessThan(0.2);
          // Parallax (0.0024°) and the drift of the declination in half an hour (0.009°) may shift the sun a little.
          const share = (level_deg: number) =>
            out.elevation_deg.subarray(h * 240, h * 240 + 240).filter((e) => e > level_deg).length / 240;
          expect(year.sunlitFraction[i]).toBeGreaterThan(share(0.012) - 0.005);
          expect(year.sunlitFraction[i]).toBeLessThan(share(-0.012) + 0.005);
        }
        expect(Math.abs(year.h0_Wh_m2[day]! - whole)).toBeLessThan(2);
      }
    }
  });

  it('meets the extraterrestrial column of two weather files, hour by hour', () => {
    // Source and tolerance in the golden file; the same is sampled here from the series, minute by minute.
    const { rows } = readGolden('radiation-etr-hours.csv');
    expect(rows.length).toBeGreaterThan(250);
    for (const r of rows) {
      const [latitude_deg, longitude_deg, elevation_m] = [r.latitude_deg, r.longitude_deg, r.elevation_m].map(Number);
      const begin = julianDayOfUnix_ms(
        Date.UTC(Number(r.year), Number(r.month) - 1, Number(r.day), Number(r.hourEnding) - 1),
      );
      const out = { elevation_deg: new Float64Array(60), azimuth_deg: new Float64Array(60) };
      sunSeries(
        begin - (Number(r.utcOffset_h) - 0.5 / 60) / 24,
        1 / 60,
        latitude_deg!,
        longitude_deg!,
        elevation_m!,
        out,
      );
      const tropics = latitude_deg! < 20; // the EPW of the two
      const day = MONTH_START[Number(r.month) - 1]! + Number(r.day);
      const factor = tropics ? sunPosition(begin, 0, 0).distance_au ** -2 : distanceFactor(day);
      const sines = Array.from(out.elevation_deg, (e) =>
        Math.sin((e + refraction_deg(e, standardPressure_hPa(elevation_m!))) * RAD),
      );
      const lit = sines.filter((s) => s > 0);
      const mean = lit.reduce((a, b) => a + b, 0) / 60;
      const sine = lit.length === 60 && tropics ? (sines[29]! + sines[30]!) / 2 : mean;
      const off = Math.abs(1367 * sine * factor - Number(r.etr_W_m2));
      expect(off, `${latitude_deg} ${r.year}-${r.month} ${r.hourEnding} h`).toBeLessThan(lit.length === 60 ? 1.2 : 2);
    }
  });

  it('keeps its laws anywhere', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        (latitude_deg, longitude_deg) => {
          const y = sunYear({
            latitude_deg,
            longitude_deg,
            elevation_m: 0,
            utcOffset_h: Math.round(longitude_deg / 15),
          });
          let lit = 0;
          for (let i = 0; i < 8760; i++) {
            const f = y.sunlitFraction[i]!;
            const e = y.extraterrestrialHorizontal_Wh_m2[i]!;
            lit += f;
            if (!(f >= 0 && f <= 1 && e >= 0 && e < 1420)) throw new Error(`hour ${i}: lit ${f}, ${e} Wh/m²`);
            if (f > 0.001 ? e <= 0 : f === 0 && e > 0) throw new Error(`hour ${i}: lit ${f}, ${e} Wh/m²`);
            if (Math.abs(y.elevation_deg[i]!) > 8 && f !== (y.elevation_deg[i]! > 0 ? 1 : 0))
              throw new Error(`hour ${i}`);
          }
          // Every place on Earth has the sun up for half of the year, but for the ellipse of the orbit (2 %).
          expect(Math.abs(lit / 8760 - 0.5)).toBeLessThan(0.011);
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });

  it('refuses what is not a place', () => {
    const at = (latitude_deg: number, utcOffset_h: number) => () =>
      sunYear({ latitude_deg, longitude_deg: 0, elevation_m: 0, utcOffset_h });
    expect(at(90.1, 0)).toThrow(RangeError);
    expect(at(0, 14.1)).toThrow(RangeError);
    expect(at(90, 14)).not.toThrow();
  });
});

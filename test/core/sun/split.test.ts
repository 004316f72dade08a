import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { erbsDaily, erbsHourly, erbsMonthly, splitGlobal } from '../../../src/core/sun/index.ts';
import { readGolden } from '../../golden.ts';

describe('diffuse share', () => {
  it('is the published hourly curve', () => {
    const { rows } = readGolden('radiation-erbs-hourly.csv');
    expect(rows.length).toBe(8);
    for (const r of rows) expect(Math.abs(erbsHourly(Number(r.clearness)) - Number(r.share))).toBeLessThan(1e-5);
  });
  it('is the published daily and monthly curves', () => {
    const { rows } = readGolden('radiation-erbs-daily.csv');
    expect(rows.length).toBe(12);
    for (const r of rows) {
      const [k, sunset] = [Number(r.clearness), Number(r.sunset_deg)];
      expect(Math.abs(erbsDaily(k, sunset) - Number(r.daily)), `daily ${k}`).toBeLessThan(1e-5);
      if (r.monthly !== '')
        expect(Math.abs(erbsMonthly(k, sunset) - Number(r.monthly)), `monthly ${k}`).toBeLessThan(1e-5);
    }
  });
  it('joins at the ends of its pieces', () => {
    // Law: the curve does not jump by more than the rounding of its printed coefficients (0.002).
    for (const edge of [0.22, 0.8])
      expect(Math.abs(erbsHourly(edge - 1e-9) - erbsHourly(edge + 1e-9))).toBeLessThan(0.002);
    expect(erbsMonthly(0.1, 90)).toBe(erbsMonthly(0.3, 90));
  });
  it('splits so that the parts make up the whole', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1400, noNaN: true }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        (ghi, zenith_deg) => {
          const { dni_W_m2, dhi_W_m2 } = splitGlobal(ghi, zenith_deg, 1367);
          const cos = Math.max(0, Math.cos((zenith_deg * Math.PI) / 180));
          expect(dni_W_m2 * cos + dhi_W_m2).toBeCloseTo(ghi, 8);
          expect(dni_W_m2).toBeGreaterThanOrEqual(0);
          expect(dhi_W_m2).toBeGreaterThanOrEqual(0);
        },
      ),
      { seed: 1, numRuns: 500 },
    );
    expect(splitGlobal(-3, 20, 1367)).toEqual({ dni_W_m2: 0, dhi_W_m2: 0 });
    expect(splitGlobal(5, 90.5, 1367)).toEqual({ dni_W_m2: 0, dhi_W_m2: 5 });
  });
  it('splits the 16 moments as their source did', () => {
    // Source in the golden file: its beam and diffuse come from the same curve.
    for (const r of readGolden('radiation-transposition.csv').rows) {
      const s = splitGlobal(Number(r.ghi_W_m2), Number(r.zenith_deg), Number(r.extraterrestrialNormal_W_m2));
      expect(Math.abs(s.dhi_W_m2 - Number(r.dhi_W_m2))).toBeLessThan(0.5);
      expect(Math.abs(s.dni_W_m2 - Number(r.dni_W_m2))).toBeLessThan(0.5);
    }
  });
});

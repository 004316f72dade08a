import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { panelInSun } from '../../../src/core/bench/index.ts';
import {
  fitDiode,
  maximumPoint,
  openCircuit,
  scaleDiode,
  shortCircuit,
  translate,
  typicalFromWatts,
} from '../../../src/core/panel/index.ts';

const sheet = typicalFromWatts({ power_W: 3.2, vmp_V: 5.5 });
const label_W = maximumPoint(fitDiode(sheet)).power_W;
// A June noon, 46.4 N 10.2 E, 1,500 m, face turned to the sun.
const noon = {
  unix_ms: Date.UTC(2026, 5, 21, 11, 20),
  latitude_deg: 46.4,
  longitude_deg: 10.2,
  elevation_m: 1500,
  tilt_deg: 23,
  azimuth_deg: 180,
  air_degC: 15,
  wind_m_s: 1,
};

/** What a panel `share` as large as its label shows at a light and a cell temperature. */
function shown(share: number, light_W_m2: number, cell_degC: number) {
  const there = translate(scaleDiode(fitDiode(sheet), share), light_W_m2, cell_degC);
  return { isc_A: shortCircuit(there), voc_V: openCircuit(there) };
}

describe('a panel in the sun', () => {
  it('gives back the watts of the panel that made the reading (inverse of the panel model)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.6, max: 1.1, noNaN: true }),
        fc.double({ min: 300, max: 1100, noNaN: true }),
        fc.double({ min: -5, max: 65, noNaN: true }),
        (share, irradiance_W_m2, cell_degC) => {
          const reading = { ...noon, ...shown(share, irradiance_W_m2, cell_degC), irradiance_W_m2, cell_degC };
          const found = panelInSun(sheet, reading);
          expect(found.power_W / (share * label_W)).toBeCloseTo(1, 3);
          expect(found.shareOfLabel).toBeCloseTo(share, 3);
          expect(maximumPoint(fitDiode(found.sheet)).power_W / found.power_W).toBeCloseTo(1, 3);
          expect(found.low_W).toBeLessThan(share * label_W);
          expect(found.high_W).toBeGreaterThan(share * label_W);
        },
      ),
      { seed: 1, numRuns: 25 },
    );
  });

  it('takes the light from the clear sky, with an interval that names its causes', () => {
    const first = panelInSun(sheet, { ...noon, isc_A: 0.6, voc_V: 6.2 });
    // At noon of the solstice the sun stands 90 - 46.4 + 23.44 degrees high; normal light in the mountains is 950 to
    // 1,150 W/m² (common practice, no source).
    expect(first.sunElevation_deg).toBeCloseTo(67.04, 1);
    expect(first.incidence_deg).toBeLessThan(1);
    expect(first.irradiance_W_m2).toBeGreaterThan(950);
    expect(first.irradiance_W_m2).toBeLessThan(1150);
    expect(first.warnings).toEqual([]);
    // GUM: twice the root of the sum of squares.
    const root = Math.hypot(...first.shares.map((s) => s.power_W));
    expect(first.high_W - first.power_W).toBeCloseTo(2 * root, 12);
    expect(first.shares[0]!.cause).toBe('irradiance');
    expect(first.shares.map((s) => s.cause).sort()).toEqual([
      'current',
      'fill-factor',
      'irradiance',
      'pointing',
      'temperature',
      'voltage',
    ]);
    // Five percent of light is five percent of current, nearly of power.
    expect(first.shares[0]!.power_W / first.power_W).toBeCloseTo(0.05, 2);
  });

  it('a worse direction is worse known, and told', () => {
    const facing = panelInSun(sheet, { ...noon, isc_A: 0.6, voc_V: 6.2 });
    const aslant = panelInSun(sheet, { ...noon, tilt_deg: 80, isc_A: 0.4, voc_V: 6.1 });
    expect(aslant.warnings).toContain('sun-aslant');
    const pointing = (r: typeof facing) => r.shares.find((s) => s.cause === 'pointing')!.power_W / r.power_W;
    expect(pointing(aslant)).toBeGreaterThan(3 * pointing(facing));
    const evening = panelInSun(sheet, {
      ...noon,
      unix_ms: Date.UTC(2026, 5, 21, 18, 0),
      tilt_deg: 60,
      azimuth_deg: 285,
      isc_A: 0.3,
      voc_V: 6,
    });
    expect(evening.warnings).toContain('sun-low');
  });

  it('night and readings of nothing are told', () => {
    const night = { ...noon, unix_ms: Date.UTC(2026, 5, 21, 23, 0), isc_A: 0.6, voc_V: 6 };
    expect(() => panelInSun(sheet, night)).toThrow(/no light reaches it/);
    expect(() => panelInSun(sheet, { ...noon, isc_A: 0, voc_V: 6 })).toThrow(/isc_A is 0/);
  });
});

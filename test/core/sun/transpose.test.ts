import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  incidence_deg,
  kastenYoungAirMass,
  type SkyModel,
  type TransposeInput,
  transpose,
} from '../../../src/core/sun/index.ts';
import { readGolden } from '../../golden.ts';

const MODELS: SkyModel[] = ['isotropic', 'hay-davies', 'reindl', 'perez'];

describe('transposition', () => {
  it('meets a general library on 16 moments, all four models', () => {
    const { rows } = readGolden('radiation-transposition.csv');
    expect(rows.length).toBe(16);
    for (const r of rows) {
      const n = (key: string) => Number(r[key]);
      const input: TransposeInput = {
        zenith_deg: n('zenith_deg'),
        solarAzimuth_deg: n('solarAzimuth_deg'),
        tilt_deg: n('tilt_deg'),
        surfaceAzimuth_deg: n('surfaceAzimuth_deg'),
        ghi_W_m2: n('ghi_W_m2'),
        dni_W_m2: n('dni_W_m2'),
        dhi_W_m2: n('dhi_W_m2'),
        extraterrestrialNormal_W_m2: n('extraterrestrialNormal_W_m2'),
        albedo: n('albedo'),
      };
      const angle = incidence_deg(input.zenith_deg, input.solarAzimuth_deg, input.tilt_deg, input.surfaceAzimuth_deg);
      expect(Math.abs(angle - n('incidence_deg'))).toBeLessThan(0.001);
      expect(Math.abs(kastenYoungAirMass(input.zenith_deg) - n('airMass'))).toBeLessThan(0.001);
      for (const model of MODELS) {
        const off = Math.abs(transpose(model, input).total_W_m2 - n(model));
        expect(off, `${model} day ${r.dayOfYear}`).toBeLessThan(Math.max(0.5, 0.003 * n(model)));
        expect(off, `${model} day ${r.dayOfYear}`).toBeLessThan(0.05); // what the doc block claims
      }
    }
  });

  it('gives back the horizontal on a horizontal plane, whatever the model', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...MODELS),
        fc.double({ min: 0, max: 84, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 0, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (model, zenith_deg, solarAzimuth_deg, dni_W_m2, dhi_W_m2) => {
          const ghi_W_m2 = dhi_W_m2 + dni_W_m2 * Math.cos((zenith_deg * Math.PI) / 180);
          const flat = transpose(model, {
            ...{ zenith_deg, solarAzimuth_deg, tilt_deg: 0, surfaceAzimuth_deg: 77 },
            ...{ ghi_W_m2, dni_W_m2, dhi_W_m2, extraterrestrialNormal_W_m2: 1367, albedo: 0.3 },
          });
          expect(flat.total_W_m2).toBeCloseTo(ghi_W_m2, 8);
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });

  it('mirrors east and west and is never negative', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...MODELS),
        fc.double({ min: 0, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 180, noNaN: true }),
        fc.double({ min: 0, max: 180, noNaN: true }),
        fc.double({ min: 0, max: 180, noNaN: true }),
        fc.double({ min: 0, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (model, zenith_deg, tilt_deg, surface, solar, dni_W_m2, dhi_W_m2) => {
          const cos = Math.max(0, Math.cos((zenith_deg * Math.PI) / 180));
          const rest = {
            ...{ zenith_deg, tilt_deg, ghi_W_m2: dhi_W_m2 + dni_W_m2 * cos, dni_W_m2, dhi_W_m2 },
            ...{ extraterrestrialNormal_W_m2: 1367, albedo: 0.2 },
          };
          const west = transpose(model, { ...rest, solarAzimuth_deg: 180 + solar, surfaceAzimuth_deg: 180 + surface });
          const east = transpose(model, { ...rest, solarAzimuth_deg: 180 - solar, surfaceAzimuth_deg: 180 - surface });
          expect(west.total_W_m2).toBeCloseTo(east.total_W_m2, 7);
          for (const part of Object.values(west)) expect(part).toBeGreaterThanOrEqual(0);
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });
});

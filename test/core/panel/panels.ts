import fc from 'fast-check';
import type { ReferenceDiode } from '../../../src/core/panel/index.ts';

/** The invented 5 W class panel of the golden files: 12 cells in series. */
export const testPanel: ReferenceDiode = {
  photocurrent_A: 0.906,
  saturation_A: 1.24e-9,
  series_Ohm: 0.3,
  shunt_Ohm: 80,
  slope_V: 0.3546,
  tempIsc_A_K: 0.00045,
  bandGap_eV: 1.121,
};

const log = (low: number, high: number) =>
  fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp);

/** Circuits from a lone cell in moonlight to a large module, any resistances. */
export const anyDiode = fc.record({
  photocurrent_A: log(1e-6, 12),
  saturation_A: log(1e-13, 1e-6),
  series_Ohm: fc.oneof(fc.constant(0), log(1e-4, 5)),
  shunt_Ohm: fc.oneof(fc.constant(Number.POSITIVE_INFINITY), log(3, 1e6)),
  slope_V: log(0.02, 3),
});

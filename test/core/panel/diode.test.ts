import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ReferenceDiode } from '../../../src/core/panel/index.ts';
import {
  currentAt,
  describeDiode,
  maximumPoint,
  openCircuit,
  scaleDiode,
  shortCircuit,
  translate,
} from '../../../src/core/panel/index.ts';
import { readGolden } from '../../golden.ts';
import { anyDiode, testPanel } from './panels.ts';

const within = (found: number, wanted: number, share: number) =>
  expect(Math.abs(found - wanted), `${found} against ${wanted}`).toBeLessThanOrEqual(share * Math.abs(wanted) + 1e-12);

describe('single diode against published points', () => {
  for (const [file, share] of [
    ['panel-diode.csv', 1e-4],
    ['panel-diode-200w.csv', 3e-3],
  ] as const) {
    const golden = readGolden(file);
    it(`${file}: ${golden.tolerance} (${golden.source})`, () => {
      for (const row of golden.rows) {
        const number = (key: string) => Number(row[key]);
        const diode = {
          photocurrent_A: number('photocurrent_A'),
          saturation_A: number('saturation_A'),
          series_Ohm: number('series_Ohm'),
          shunt_Ohm: number('shunt_Ohm'),
          slope_V: number('slope_V'),
        };
        const best = maximumPoint(diode);
        within(best.current_A, number('imp_A'), share);
        within(best.voltage_V, number('vmp_V'), share);
        within(best.power_W, number('power_W'), share);
        if (row['isc_A'] !== '') within(shortCircuit(diode), number('isc_A'), share);
        if (row['voc_V'] !== '') within(openCircuit(diode), number('voc_V'), share);
      }
    });
  }

  const golden = readGolden('panel-translated.csv');
  it(`translation: ${golden.tolerance} (${golden.source})`, () => {
    expect(golden.rows.length).toBeGreaterThan(3);
    for (const row of golden.rows) {
      const diode = translate(testPanel, Number(row['irradiance_W_m2']), Number(row['cell_degC']));
      for (const key of ['photocurrent_A', 'saturation_A', 'shunt_Ohm', 'slope_V'] as const) {
        within(diode[key], Number(row[key]), 3e-3);
      }
      const best = maximumPoint(diode);
      within(shortCircuit(diode), Number(row['isc_A']), 3e-3);
      within(openCircuit(diode), Number(row['voc_V']), 3e-3);
      within(best.current_A, Number(row['imp_A']), 3e-3);
      within(best.voltage_V, Number(row['vmp_V']), 3e-3);
      within(best.power_W, Number(row['power_W']), 3e-3);
    }
  });
});

describe('single diode laws', () => {
  it('the current satisfies the circuit equation at any voltage', () => {
    const law = fc.property(anyDiode, fc.double({ min: -5, max: 60, noNaN: true }), (d, voltage_V) => {
      // Without a series resistance the current is explicit, and beyond the range of numbers far above open circuit.
      fc.pre(d.series_Ohm > 0 || voltage_V / d.slope_V < 700);
      const current_A = currentAt(d, voltage_V);
      const junction_V = voltage_V + current_A * d.series_Ohm;
      const back_A = d.photocurrent_A - d.saturation_A * Math.expm1(junction_V / d.slope_V) - junction_V / d.shunt_Ohm;
      // Seen as a voltage across Rs, the residual is no more than rounding, however steep the exponential.
      const slope_S = (d.saturation_A / d.slope_V) * Math.exp(junction_V / d.slope_V) + 1 / d.shunt_Ohm;
      const residual_A = (back_A - current_A) / (1 + d.series_Ohm * slope_S);
      expect(Math.abs(residual_A)).toBeLessThan(1e-9 * (1 + Math.abs(current_A)));
    });
    fc.assert(law, { seed: 1, numRuns: 2000 });
  });

  it('no voltage gives more than the maximum point, and its own voltage gives exactly that', () => {
    const law = fc.property(anyDiode, fc.double({ min: 0, max: 1, noNaN: true }), (d, share) => {
      const best = maximumPoint(d);
      const voltage_V = share * openCircuit(d);
      expect(voltage_V * currentAt(d, voltage_V)).toBeLessThanOrEqual(best.power_W * (1 + 1e-9) + 1e-15);
      within(currentAt(d, best.voltage_V), best.current_A, 1e-7);
    });
    fc.assert(law, { seed: 2, numRuns: 2000 });
  });

  it('the current falls with voltage and is zero at open circuit', () => {
    const law = fc.property(anyDiode, fc.double({ min: 0, max: 40, noNaN: true }), (d, voltage_V) => {
      expect(currentAt(d, voltage_V + 0.1)).toBeLessThan(currentAt(d, voltage_V));
      expect(Math.abs(currentAt(d, openCircuit(d)))).toBeLessThan(1e-7 * d.photocurrent_A);
    });
    fc.assert(law, { seed: 3, numRuns: 500 });
  });

  it('a blocking diode costs power, and all of it where the panel cannot rise above the drop', () => {
    const best = maximumPoint(testPanel);
    const behind = maximumPoint(testPanel, 0.3);
    expect(behind.power_W).toBeLessThan(best.power_W);
    expect(behind.power_W).toBeGreaterThan(best.power_W - 0.3 * shortCircuit(testPanel));
    expect(maximumPoint(testPanel, 8).power_W).toBe(0);
  });

  it('at reference conditions the translation changes nothing', () => {
    const same = translate(testPanel, 1000, 25);
    for (const key of ['photocurrent_A', 'saturation_A', 'shunt_Ohm', 'slope_V', 'series_Ohm'] as const) {
      within(same[key], testPanel[key], 1e-12);
    }
  });

  it('darkness gives nothing, and more light never less, from starlight to full sun', () => {
    expect(maximumPoint(translate(testPanel, 0, 25)).power_W).toBe(0);
    expect(openCircuit(translate(testPanel, 0, 25))).toBe(0);
    expect(shortCircuit(translate(testPanel, 0, 25))).toBe(0);
    const law = fc.property(
      fc.double({ min: 1e-6, max: 1400, noNaN: true }),
      fc.double({ min: -60, max: 120, noNaN: true }),
      (irradiance_W_m2, cell_degC) => {
        const less = maximumPoint(translate(testPanel, irradiance_W_m2, cell_degC));
        const more = maximumPoint(translate(testPanel, irradiance_W_m2 * 1.01, cell_degC));
        expect(more.power_W).toBeGreaterThan(less.power_W);
        expect(less.power_W).toBeGreaterThan(0);
      },
    );
    fc.assert(law, { seed: 4, numRuns: 1000 });
  });

  it('scaling a panel scales its current at every voltage', () => {
    const twice: ReferenceDiode = scaleDiode(testPanel, 2.5);
    for (const voltage_V of [0, 3, 4.4, 5.9, 7, 8]) {
      const one_A = currentAt(translate(testPanel, 640, 41), voltage_V);
      within(currentAt(translate(twice, 640, 41), voltage_V), 2.5 * one_A, 1e-9);
    }
    expect(() => scaleDiode(testPanel, 0)).toThrow(RangeError);
  });

  it('maximum power lies between 70 and 90 % of Voc (charger data sheets, as in the shared reference set)', () => {
    const { vmp_V, voc_V } = describeDiode(testPanel);
    expect(vmp_V / voc_V).toBeGreaterThan(0.7);
    expect(vmp_V / voc_V).toBeLessThan(0.9);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PanelSheet } from '../../../src/core/panel/index.ts';
import { describeDiode, fitDiode, maximumPoint, translate, typicalFromWatts } from '../../../src/core/panel/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';
import { testPanel } from './panels.ts';

const FIVE = ['voc_V', 'isc_A', 'vmp_V', 'imp_A', 'tempVoc_pct_K'] as const;

const reproduces = (sheet: PanelSheet, share: number) => {
  const reference = fitDiode(sheet);
  const figures = describeDiode(reference);
  for (const key of FIVE) {
    const miss = Math.abs(figures[key] - sheet[key]);
    expect(miss, `${key} ${figures[key]} against ${sheet[key]}`).toBeLessThanOrEqual(share * Math.abs(sheet[key]));
  }
  expect(Math.abs(figures.tempIsc_pct_K - sheet.tempIsc_pct_K)).toBeLessThan(0.005);
  expect(reference.series_Ohm).toBeGreaterThanOrEqual(0);
  expect(reference.shunt_Ohm).toBeGreaterThan(0);
  return reference;
};

const usual: PanelSheet = { voc_V: 7.2, isc_A: 0.63, vmp_V: 6, imp_A: 0.58, tempIsc_pct_K: 0.05, tempVoc_pct_K: -0.31 };

describe('fit of a data sheet', () => {
  const golden = readGolden('panel-sheets.csv');
  it(`reproduces the sheets within ${golden.tolerance} (${golden.source})`, () => {
    expect(golden.rows.length).toBe(7);
    for (const row of golden.rows) {
      const sheet = {
        voc_V: Number(row['voc_V']),
        isc_A: Number(row['isc_A']),
        vmp_V: Number(row['vmp_V']),
        imp_A: Number(row['imp_A']),
        tempIsc_pct_K: Number(row['tempIsc_pct_K']),
        tempVoc_pct_K: Number(row['tempVoc_pct_K']),
        ...(row['cells'] === '' ? {} : { seriesCells: Number(row['cells']) }),
      };
      reproduces(sheet, 0.005);
    }
  });

  it('finds a known circuit again from its own figures', () => {
    const found = fitDiode({ ...describeDiode(testPanel), seriesCells: 12 });
    for (const key of ['photocurrent_A', 'saturation_A', 'series_Ohm', 'shunt_Ohm', 'slope_V'] as const) {
      expect(found[key] / testPanel[key]).toBeCloseTo(1, 4);
    }
    expect(found.bandGap_eV).toBe(1.121);
  });

  it('keeps to the sheet over the whole of plausible panels, bending the band gap only where it must', () => {
    const sheets = fc.record({
      voc_V: fc.double({ min: 0.5, max: 60, noNaN: true }),
      isc_A: fc.double({ min: 0.02, max: 12, noNaN: true }),
      vmpShare: fc.double({ min: 0.72, max: 0.84, noNaN: true }),
      impShare: fc.double({ min: 0.86, max: 0.95, noNaN: true }),
      tempIsc_pct_K: fc.double({ min: 0, max: 0.1, noNaN: true }),
      tempVoc_pct_K: fc.double({ min: -0.45, max: -0.24, noNaN: true }),
    });
    const law = fc.property(sheets, ({ vmpShare, impShare, ...rest }) => {
      reproduces({ ...rest, vmp_V: vmpShare * rest.voc_V, imp_A: impShare * rest.isc_A }, 0.005);
    });
    fc.assert(law, { seed: 5, numRuns: 300 });
  });

  it('makes a panel of watts and volts alone, with the watts it is given and a plausible loss when hot', () => {
    const reference = fitDiode(typicalFromWatts({ power_W: 3.2, vmp_V: 5.5 }));
    expect(describeDiode(reference).power_W).toBeCloseTo(3.2, 6);
    // Common range of silicon panels, from memory: −0.30 to −0.50 %/K.
    expect(describeDiode(reference).tempPmp_pct_K).toBeLessThan(-0.3);
    expect(describeDiode(reference).tempPmp_pct_K).toBeGreaterThan(-0.5);
    // Efficiency at 200 W/m² relative to full sun: 0.90 to 1.0 is usual for silicon (common practice, no source).
    const dim = maximumPoint(translate(reference, 200, 25)).power_W / (0.2 * 3.2);
    expect(dim).toBeGreaterThan(0.9);
    expect(dim).toBeLessThan(1);
  });

  it.each<[string, Partial<PanelSheet>, string]>([
    ['Vmp at Voc', { vmp_V: 7.2 }, 'panel-vmp-above-voc'],
    ['Vmp at half of Voc', { vmp_V: 3.6 }, 'panel-vmp-too-low'],
    ['Imp at Isc', { imp_A: 0.63 }, 'panel-imp-above-isc'],
    ['Imp at half of Isc', { imp_A: 0.315 }, 'panel-imp-too-low'],
    ['a fill factor out of reach', { vmp_V: 6.5, imp_A: 0.62 }, 'panel-fill-factor'],
    ['a positive Voc coefficient', { tempVoc_pct_K: 0.31 }, 'panel-temp-voc'],
    ['a Voc coefficient in mV', { tempVoc_pct_K: -22 }, 'panel-temp-voc'],
    ['a wild Isc coefficient', { tempIsc_pct_K: 5 }, 'panel-temp-isc'],
    ['no current', { isc_A: 0 }, 'panel-not-positive'],
    ['not a number', { voc_V: Number.NaN }, 'panel-not-positive'],
    ['half a cell', { seriesCells: 0.5 }, 'panel-series-cells'],
  ])('refuses %s with a sentence', (_, change, code) => {
    let caught: unknown;
    try {
      fitDiode({ ...usual, ...change });
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(UserError);
    const [problem] = (caught as UserError).problems;
    expect(problem?.code).toBe(code);
    expect(problem?.message.length).toBeGreaterThan(40);
    expect(problem?.place?.field).toBeDefined();
  });

  it('tells all that is wrong with a sheet at once, and refuses watts of nothing', () => {
    const wrong = { ...usual, vmp_V: 8, imp_A: 0.7 };
    expect(() => fitDiode(wrong)).toThrow(/vmp_V 8 is not below[\s\S]*imp_A 0.7 is not below/);
    expect(() => typicalFromWatts({ power_W: 0, vmp_V: 6 })).toThrow(UserError);
    expect(() => typicalFromWatts({ power_W: 2, vmp_V: -6 })).toThrow(/vmp_V is -6/);
  });

  it('works right up to the limits it names', () => {
    for (const change of [
      { vmp_V: 3.7, imp_A: 0.33 },
      { vmp_V: 6.4, imp_A: 0.62 },
    ]) {
      const figures = describeDiode(fitDiode({ ...usual, ...change }));
      expect(figures.vmp_V).toBeCloseTo(change.vmp_V, 4);
      expect(figures.imp_A).toBeCloseTo(change.imp_A, 4);
      expect(figures.tempVoc_pct_K).toBeCloseTo(-0.31, 4);
    }
  });
});

import { describe, expect, it } from 'vitest';
import { chanceColour, contrastRatio, inkOn, luminance, paletteColour, parseHex } from '../../src/report/palette.ts';
import { type ColourName, DARK, LIGHT } from '../../src/report/theme.ts';
import { readGolden } from '../golden.ts';

describe('palettes', () => {
  const golden = readGolden('report-palettes.csv');
  it(`agree with the published tables within ${golden.tolerance}`, () => {
    const tolerance = Number(golden.tolerance.split('/')[0]);
    expect(golden.rows.length).toBeGreaterThan(20);
    for (const row of golden.rows) {
      const ours = parseHex(paletteColour(row['palette'] as 'viridis' | 'cividis', Number(row['index']) / 255));
      parseHex(row['hex']!).forEach((channel, i) => {
        expect(Math.abs(ours[i]! - channel), `${row['palette']} ${row['index']}`).toBeLessThanOrEqual(tolerance);
      });
    }
  });

  it('begin and end exactly on the published colours', () => {
    // van der Walt & Smith 2015; Nuñez, Anderton & Renslow 2018
    expect([paletteColour('viridis', 0), paletteColour('viridis', 1)]).toEqual(['#440154', '#fde725']);
    expect([paletteColour('cividis', 0), paletteColour('cividis', 1)]).toEqual(['#00224e', '#fee838']);
    expect(paletteColour('cividis', 7)).toBe('#fee838');
    expect(() => paletteColour('viridis', Number.NaN)).toThrow(RangeError);
  });

  it('grow brighter all the way, so that they read in black and white', () => {
    for (const name of ['viridis', 'cividis'] as const) {
      for (let i = 1; i <= 100; i++)
        expect(luminance(paletteColour(name, i / 100))).toBeGreaterThan(luminance(paletteColour(name, (i - 1) / 100)));
    }
    expect(luminance(chanceColour(1))).toBeLessThan(luminance(chanceColour(0)));
  });
});

describe('contrast', () => {
  it('agrees with the ratios that follow from the definition (WCAG 2.2)', () => {
    expect(contrastRatio('#000000', '#ffffff')).toBeCloseTo(21, 9); // the definition's maximum
    expect(contrastRatio('#777777', '#ffffff')).toBeCloseTo(4.48, 2); // common practice, no source: the grey just short of AA
    expect(contrastRatio('#767676', '#ffffff')).toBeCloseTo(4.54, 2); // common practice, no source: the grey that just passes
  });

  // WCAG 2.2, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1)
  it('of text is at least 4.5:1, of lines that carry meaning at least 3:1, in both themes', () => {
    for (const theme of [LIGHT, DARK]) {
      const text: ColourName[] = ['ink', 'lake', 'dusk'];
      const lines: ColourName[] = ['ink', 'lake', 'dusk', 'sun'];
      for (const c of text) expect(contrastRatio(theme[c], theme.paper), c).toBeGreaterThanOrEqual(4.5);
      for (const c of lines) expect(contrastRatio(theme[c], theme.paper), c).toBeGreaterThanOrEqual(3);
    }
  });

  it('of figures written on a chance or a charge is at least 4.5:1', () => {
    for (let i = 0; i <= 200; i++) {
      for (const colour of [chanceColour(i / 200), paletteColour('cividis', i / 200)])
        expect(contrastRatio(inkOn(colour), colour), colour).toBeGreaterThanOrEqual(4.5);
    }
  });
});

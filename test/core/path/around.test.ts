import { describe, expect, it } from 'vitest';
import { normalQuantile, normalShareBelow } from '../../../src/core/math/index.ts';
import {
  buildingEntryLoss_dB,
  type ClutterKind,
  linkBudget,
  manMadeNoise,
  narrowBand,
  oddsOf,
  systemNoiseFigure_dB,
  terminalClutterLoss_dB,
  townClutterLoss_dB,
  woodlandLoss_dB,
} from '../../../src/core/path/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

describe('clutter at an end (ITU-R P.2108-1)', () => {
  it.each(readGolden('path-p2108.csv').rows)(
    '$model $kind $frequency_MHz MHz, $distance_km km, $locations_pct %',
    (row) => {
      const value = (key: string) => Number(row[key]);
      const compute = () =>
        row['model'] === 'terminal'
          ? terminalClutterLoss_dB({
              frequency_MHz: value('frequency_MHz'),
              height_m: value('height_m'),
              kind: row['kind'] as ClutterKind,
              clutterHeight_m: value('clutterHeight_m'),
              streetWidth_m: value('streetWidth_m'),
            })
          : townClutterLoss_dB(value('frequency_MHz'), value('distance_km'), value('locations_pct'));
      if (row['loss_dB'] === 'reject') expect(compute).toThrow(UserError);
      else expect(Math.abs(compute() - value('loss_dB'))).toBeLessThan(0.06);
    },
  );

  it('is nothing above the clutter, and in town stays as at 2 km', () => {
    expect(terminalClutterLoss_dB({ frequency_MHz: 868, height_m: 15, kind: 'woods' })).toBe(0);
    expect(townClutterLoss_dB(868, 20, 50)).toBe(townClutterLoss_dB(868, 2, 50));
    expect(townClutterLoss_dB(868, 1, 50)).toBeLessThan(townClutterLoss_dB(868, 2, 50));
  });
});

describe('entry into buildings (ITU-R P.2109)', () => {
  it.each(readGolden('path-p2109.csv').rows)(
    '$kind, $frequency_MHz MHz, $elevation_deg degrees, $share_pct %',
    (row) => {
      const loss_dB = buildingEntryLoss_dB(
        Number(row['frequency_MHz']),
        Number(row['share_pct']),
        row['kind'] as 'traditional' | 'efficient',
        Number(row['elevation_deg']),
      );
      expect(Math.abs(loss_dB - Number(row['loss_dB']))).toBeLessThan(0.01);
    },
  );

  it('refuses what lies outside', () => {
    for (const bad of [
      () => buildingEntryLoss_dB(79, 50, 'traditional'),
      () => buildingEntryLoss_dB(868, 0, 'traditional'),
      () => buildingEntryLoss_dB(868, 100, 'traditional'),
      () => buildingEntryLoss_dB(868, 50, 'traditional', 91),
    ])
      expect(bad).toThrow(UserError);
  });
});

describe('man-made noise (ITU-R P.372)', () => {
  it('has the published medians', () => {
    // c - d log f with c, d of P.372 (two public programs agree), worked by hand at 10 MHz: 49.1, 44.8, 39.5, 25.0 dB.
    expect(manMadeNoise(10, 'city').figure_dB).toBeCloseTo(49.1, 9);
    expect(manMadeNoise(10, 'residential').figure_dB).toBeCloseTo(44.8, 9);
    expect(manMadeNoise(10, 'rural').figure_dB).toBeCloseTo(39.5, 9);
    expect(manMadeNoise(10, 'quiet rural').figure_dB).toBeCloseTo(25.0, 9);
    expect(manMadeNoise(10, 'rural').extrapolated).toBe(false);
    // Business areas up to 900 MHz: 44.3 - 12.3 log f (P.372-8); at 868 MHz 8.156 dB, by hand.
    expect(manMadeNoise(868, 'city').figure_dB).toBeCloseTo(8.156, 3);
    expect(manMadeNoise(868, 'city').extrapolated).toBe(false);
    expect(manMadeNoise(915, 'city').extrapolated).toBe(true);
    expect(manMadeNoise(868, 'rural').extrapolated).toBe(true);
    expect(() => manMadeNoise(0.2, 'city')).toThrow(UserError);
  });

  it('adds to the noise of the receiver', () => {
    // By hand: quiet surroundings leave the receiver's own figure; an external figure of 8.156 dB with 6 dB: 6.540 + 3.981 - 1 = 9.521, 9.787 dB.
    expect(systemNoiseFigure_dB(6, 0, [])).toBeCloseTo(6, 12);
    expect(systemNoiseFigure_dB(6, 1.5, [-9])).toBeCloseTo(7.5, 12);
    expect(systemNoiseFigure_dB(6, 0, [8.156])).toBeCloseTo(9.787, 3);
  });
});

describe('woodland (ITU-R P.833)', () => {
  it('begins with the specific attenuation and ends at the most', () => {
    // The measured set at 949 MHz: 0.17 dB/m and 26.5 dB at most (P.833 as quoted).
    expect(woodlandLoss_dB(949, 1)).toBeCloseTo(0.17, 2);
    expect(woodlandLoss_dB(949, 1e5)).toBeCloseTo(26.5, 6);
    // 100 m by hand: 26.5·(1 - e^(-17/26.5)) = 12.55 dB.
    expect(woodlandLoss_dB(949, 100)).toBeCloseTo(12.548, 2);
    expect(woodlandLoss_dB(949, 0)).toBeCloseTo(0, 12);
    expect(woodlandLoss_dB(1852, 1e5)).toBeCloseTo(29, 6);
    expect(woodlandLoss_dB(868, 50)).toBeLessThan(woodlandLoss_dB(915, 50));
    expect(() => woodlandLoss_dB(100, 10)).toThrow(UserError);
    expect(() => woodlandLoss_dB(868, -1)).toThrow(UserError);
  });
});

describe('the normal distribution', () => {
  it('has the quantiles of the tables', () => {
    // NIST/SEMATECH e-Handbook 1.3.6.7.1 and common tables: 1.644854, 1.959964, 2.575829, 3.090232; 1e-6: 4.753424 (tables, from memory).
    for (const [p, z] of [
      [0.5, 0],
      [0.95, 1.644854],
      [0.975, 1.959964],
      [0.995, 2.575829],
      [0.999, 3.090232],
      [1 - 1e-6, 4.753424],
    ] as const) {
      expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-6);
      expect(Math.abs(normalQuantile(1 - p) + z)).toBeLessThan(1e-6);
    }
    for (const z of [-6, -3.001, -2.999, -1, 0, 0.5, 2.9999, 3.0001, 5])
      expect(Math.abs(normalQuantile(normalShareBelow(z)) - z)).toBeLessThan(1e-7);
    expect(Math.abs(normalShareBelow(3 - 1e-12) - normalShareBelow(3))).toBeLessThan(1e-13);
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });
});

describe('link budget', () => {
  const hut = { transmit_dBm: 22, feederLoss_dB: 0.5, mismatchLoss_dB: 0.5, gain_dBi: 5, sensitivity_dBm: -130 };
  const hand = { transmit_dBm: 20, feederLoss_dB: 0, mismatchLoss_dB: 1, gain_dBi: 0, sensitivity_dBm: -127 };

  it('adds up both ways and judges by the weaker', () => {
    // By hand: 22 - (140 + 3 + 0.5 + 0.5 + 1 - 5) = -118 dBm there, margin 9; 20 - 140 = -120 dBm back, margin 10.
    const link = linkBudget(hut, hand, {
      pathLoss_dB: 140,
      polarizationLoss_dB: 3,
      modelSpread_dB: 6,
      otherSpreads_dB: [8],
    });
    expect(link.there.received_dBm).toBeCloseTo(-118, 12);
    expect(link.there.margin_dB).toBeCloseTo(9, 12);
    expect(link.back.received_dBm).toBeCloseTo(-120, 12);
    expect(link.back.margin_dB).toBeCloseTo(10, 12);
    expect(link.spread_dB).toBeCloseTo(10, 12);
    expect(link.margin_dB).toBe(link.there.margin_dB);
    expect(link.odds).toBeCloseTo(0.81594, 5); // 0.9 standard deviations, tables of the normal distribution
    expect(linkBudget(hand, hut, { pathLoss_dB: 140, modelSpread_dB: 6 }).there.margin_dB).toBeCloseTo(13, 12);
    expect(oddsOf(0, 6)).toBeCloseTo(0.5, 12);
    expect([oddsOf(0, 0), oddsOf(-0.1, 0)]).toEqual([1, 0]);
  });

  it('narrows the band by measured links, and widens it where they disagree', () => {
    expect(narrowBand(10, [])).toEqual({ excess_dB: 0, spread_dB: 10 });
    const alike = narrowBand(10, [4, 5, 6, 5, 4, 6, 5, 5]);
    expect(alike.excess_dB).toBeCloseTo(40 / 9, 12);
    expect(alike.spread_dB).toBeLessThan(6);
    expect(narrowBand(6, [-25, 20, 30, -18]).spread_dB).toBeGreaterThan(10);
    // Many links: the mean and the standard deviation of what was measured.
    const many = narrowBand(
      10,
      Array.from({ length: 2000 }, (_, i) => (i % 2 === 0 ? 1 : 5)),
    );
    expect(many.excess_dB).toBeCloseTo(3, 1);
    expect(many.spread_dB).toBeCloseTo(2, 1);
  });
});

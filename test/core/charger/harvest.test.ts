import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChargerModel, DiodePanel, FlatPanel } from '../../../src/core/charger/index.ts';
import {
  canReach,
  checkCharger,
  currentCap_W,
  efficiencyAt,
  harvestAt,
  nominalPower_W,
} from '../../../src/core/charger/index.ts';
import { maximumPoint, translate } from '../../../src/core/panel/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';
import { testPanel } from '../panel/panels.ts';

const panel: DiodePanel = { kind: 'diode', reference: testPanel };
const linear: ChargerModel = { kind: 'linear', inputVoltage_V: 4.4, dropout_V: 0.1 };
const fixed: ChargerModel = { kind: 'fixed-input', inputVoltage_V: 5.5, efficiency: 1 };
const fraction: ChargerModel = { kind: 'voc-fraction', vocFraction: 0.8, efficiency: 1 };
const tracking: ChargerModel = { kind: 'tracking', efficiency: 1 };

describe('harvest of each kind of charger', () => {
  const golden = readGolden('charger-harvest.csv');
  it(`meets the table within ${golden.tolerance} (${golden.source})`, () => {
    expect(golden.rows.length).toBe(9);
    for (const row of golden.rows) {
      const maximum_W = Number(row['maximum_W']);
      const at = (charger: ChargerModel) =>
        harvestAt(panel, charger, Number(row['irradiance_W_m2']), Number(row['cell_degC']), Number(row['battery_V']));
      const near = (found_W: number, key: string) =>
        expect(Math.abs(found_W - Number(row[key])), key).toBeLessThan(0.005 * maximum_W);
      near(at(linear).battery_W, 'linear_W');
      near(at(fixed).battery_W, 'fixed_W');
      near(at(fraction).battery_W, 'vocFraction_W');
      near(at(tracking).battery_W, 'maximum_W');
      expect(at(linear).panel_V).toBe(4.4);
      expect(Math.abs(at(linear).panel_A / Number(row['linear_A']) - 1)).toBeLessThan(0.005);
    }
  });

  it('keeps the shares of maximum power: linear at 4.4 V 62-78 % cool and 74-89 % hot, fixed 97-99 % cool and 84 % at 55 °C (shared reference set)', () => {
    const share = (charger: ChargerModel, irradiance: number, cell: number, battery: number) =>
      harvestAt(panel, charger, irradiance, cell, battery).battery_W /
      maximumPoint(translate(testPanel, irradiance, cell)).power_W;
    for (const [irradiance, cell] of [
      [1000, 25],
      [300, 25],
      [100, 15],
      [50, 10],
    ] as const) {
      for (const battery of [3.4, 4.1]) {
        const cool = share(linear, irradiance, cell, battery);
        expect(cool).toBeGreaterThan(0.61);
        expect(cool).toBeLessThan(0.785);
      }
      expect(share(fixed, irradiance, cell, 3.8)).toBeGreaterThan(0.965);
    }
    expect(share(linear, 1000, 55, 3.4)).toBeGreaterThan(0.735);
    expect(share(linear, 1000, 55, 4.1)).toBeLessThan(0.895);
    expect(share(fixed, 1000, 55, 3.8)).toBeCloseTo(0.84, 2);
  });

  it('gives nothing where the panel cannot reach, and leaves it at its open voltage', () => {
    const high: ChargerModel = { kind: 'fixed-input', inputVoltage_V: 7.5, efficiency: 0.9 };
    const none = harvestAt(panel, high, 1000, 25, 3.7);
    expect(none.battery_W).toBe(0);
    expect(none.panel_A).toBe(0);
    expect(none.panel_V).toBeCloseTo(7.2, 2);
  });

  it('raises a linear input with the battery, dropout and blocking diode', () => {
    const plain: ChargerModel = { kind: 'linear', dropout_V: 0.2 };
    expect(harvestAt(panel, plain, 800, 20, 3.6).panel_V).toBeCloseTo(3.8, 12);
    expect(harvestAt(panel, linear, 800, 20, 4.35).panel_V).toBeCloseTo(4.45, 12);
    expect(harvestAt({ ...panel, blockingDiode_V: 0.3 }, linear, 800, 20, 3.6).panel_V).toBeCloseTo(4.7, 12);
  });

  it('limits the current into the battery, for every kind', () => {
    for (const charger of [linear, fixed, fraction, tracking]) {
      const limited = { ...charger, currentLimit_A: 0.25 };
      expect(harvestAt(panel, limited, 1000, 25, 3.7).battery_W).toBeCloseTo(0.25 * 3.7, 12);
      expect(harvestAt(panel, limited, 100, 25, 3.7)).toEqual(harvestAt(panel, charger, 100, 25, 3.7));
      expect(currentCap_W(limited, 4)).toBe(1);
    }
  });

  it('reads an efficiency curve between its points and holds its ends', () => {
    const curve = [
      { power_W: 0.1, efficiency: 0.6 },
      { power_W: 1, efficiency: 0.9 },
      { power_W: 5, efficiency: 0.86 },
    ];
    expect(efficiencyAt(curve, 0)).toBe(0.6);
    expect(efficiencyAt(curve, 0.55)).toBeCloseTo(0.75, 12);
    expect(efficiencyAt(curve, 3)).toBeCloseTo(0.88, 12);
    expect(efficiencyAt(curve, 50)).toBe(0.86);
  });

  it('plain mode: watts times light times warmth times efficiency', () => {
    const flat: FlatPanel = { kind: 'flat', power_W: 2, temperatureCoefficient_pct_K: -0.4 };
    const charger: ChargerModel = { kind: 'flat', efficiency: 0.85 };
    // By hand, the rule of the shared reference runs: 2·0.5·(1 − 0.004·20)·0.85.
    expect(harvestAt(flat, charger, 500, 45, 3.6).battery_W).toBeCloseTo(0.782, 12);
    expect(harvestAt(flat, charger, 500, 300, 3.6).battery_W).toBe(0);
    expect(nominalPower_W(flat)).toBe(2);
    expect(() => harvestAt(flat, linear, 500, 25, 3.6)).toThrow(RangeError);
  });

  it('never exceeds the maximum point, rises with light and is nothing in the dark', () => {
    const kinds = fc.constantFrom(linear, fixed, fraction, tracking);
    const law = fc.property(
      kinds,
      fc.double({ min: 0.01, max: 1400, noNaN: true }),
      fc.double({ min: -40, max: 90, noNaN: true }),
      fc.double({ min: 2.8, max: 4.3, noNaN: true }),
      fc.double({ min: 0, max: 0.6, noNaN: true }),
      (charger, irradiance, cell, battery, blockingDiode_V) => {
        const one = { ...panel, blockingDiode_V };
        const here = harvestAt(one, charger, irradiance, cell, battery).battery_W;
        expect(here).toBeLessThanOrEqual(maximumPoint(translate(testPanel, irradiance, cell)).power_W * (1 + 1e-9));
        expect(harvestAt(one, charger, irradiance * 1.05, cell, battery).battery_W).toBeGreaterThanOrEqual(here);
        expect(here).toBeGreaterThanOrEqual(0);
        expect(harvestAt(one, charger, 0, cell, battery).battery_W).toBe(0);
        expect(harvestAt(one, charger, -3, cell, battery).battery_W).toBe(0);
      },
    );
    fc.assert(law, { seed: 6, numRuns: 1000 });
  });
});

describe('checks of a charger', () => {
  it('says whether a panel reaches the cells', () => {
    const charger: ChargerModel = { kind: 'linear', dropout_V: 0.2 };
    expect(canReach({ vmp_V: 4.4 }, charger, 4.2)).toMatchObject({ reaches: true, never: false });
    expect(canReach({ vmp_V: 4.39, voc_V: 5.3 }, charger, 4.2)).toMatchObject({ reaches: false, never: false });
    const weak = canReach({ vmp_V: 3.6, voc_V: 4.3, blockingDiode_V: 0.3 }, charger, 4.2);
    expect(weak).toMatchObject({ reaches: false, never: true });
    expect(weak.needed_V).toBeCloseTo(4.7, 12);
    expect(canReach({ vmp_V: 0.5 }, tracking, 4.2).reaches).toBe(true);
  });

  it.each<[ChargerModel, RegExp]>([
    [{ kind: 'linear', dropout_V: -0.1 }, /dropout_V is -0.1/],
    [{ kind: 'linear', dropout_V: 0, currentLimit_A: 0 }, /currentLimit_A is 0/],
    [{ kind: 'fixed-input', inputVoltage_V: 0, efficiency: 0.9 }, /inputVoltage_V is 0/],
    [{ kind: 'voc-fraction', vocFraction: 80, efficiency: 0.9 }, /vocFraction is 80/],
    [{ kind: 'tracking', trackingEfficiency: 97, efficiency: 0.9 }, /trackingEfficiency is 97/],
    [{ kind: 'tracking', efficiency: 90 }, /efficiency is 90/],
    [{ kind: 'tracking', efficiency: [] }, /empty list/],
    [
      {
        kind: 'flat',
        efficiency: [
          { power_W: 2, efficiency: 0.9 },
          { power_W: 1, efficiency: 0.8 },
        ],
      },
      /must rise in power_W: 1 follows 2/,
    ],
  ])('refuses %o', (charger, sentence) => {
    expect(() => checkCharger(charger)).toThrow(UserError);
    expect(() => checkCharger(charger)).toThrow(sentence);
  });
});

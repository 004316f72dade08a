import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChargerModel, PanelModel } from '../../../src/core/charger/index.ts';
import {
  applyConversion,
  availablePower,
  batteryNodes,
  batteryPowerAt,
  harvestAt,
  harvestTable,
  nominalPower_W,
} from '../../../src/core/charger/index.ts';
import { fitDiode, scaleDiode, typicalFromWatts } from '../../../src/core/panel/index.ts';
import { testPanel } from '../panel/panels.ts';

const span = { low_V: 3, high_V: 4.2 };
const panels: readonly PanelModel[] = [
  { kind: 'diode', reference: testPanel },
  { kind: 'diode', reference: fitDiode(typicalFromWatts({ power_W: 3.2, vmp_V: 6 })), blockingDiode_V: 0.3 },
  { kind: 'diode', reference: fitDiode(typicalFromWatts({ power_W: 1, vmp_V: 5.5 })) },
  { kind: 'diode', reference: fitDiode(typicalFromWatts({ power_W: 10, vmp_V: 18 })), blockingDiode_V: 0.5 },
];
const curve = [
  { power_W: 0.05, efficiency: 0.7 },
  { power_W: 1, efficiency: 0.9 },
];
const chargers: readonly ChargerModel[] = [
  { kind: 'linear', dropout_V: 0.2, currentLimit_A: 0.5 },
  { kind: 'linear', inputVoltage_V: 4.0, dropout_V: 0.2 },
  { kind: 'linear', inputVoltage_V: 4.4, dropout_V: 0.1 },
  { kind: 'fixed-input', inputVoltage_V: 4.8, efficiency: 0.9, currentLimit_A: 0.6 },
  { kind: 'fixed-input', inputVoltage_V: 5.5, efficiency: curve },
  { kind: 'voc-fraction', vocFraction: 0.8, efficiency: 0.88, trackingEfficiency: 0.98 },
  { kind: 'tracking', efficiency: curve, trackingEfficiency: 0.97, currentLimit_A: 1 },
];
const cases = panels.flatMap((panel) =>
  chargers.map((charger) => ({ panel, charger, table: harvestTable(panel, charger, span) })),
);

/** Power into the battery by the table, in one hour. */
function fast(which: (typeof cases)[number], irradiance: number, cell: number, battery_V: number): number {
  const { table, charger } = which;
  const out = new Float32Array(table.battery_V.length);
  availablePower(table, Float32Array.of(irradiance), Float32Array.of(cell), false, out);
  applyConversion(charger, table.battery_V, out, 1, out);
  return batteryPowerAt(charger, table.battery_V, out, 0, battery_V);
}

const light = fc.double({ min: 0, max: 1, noNaN: true }).map((x) => 1400 * x * x);
const anyCase = fc.constantFrom(...cases);

describe('harvest table', () => {
  it('is within 0.1 % of full power at its battery voltages, over all light and warmth', () => {
    const law = fc.property(anyCase, light, fc.double({ min: -40, max: 90, noNaN: true }), fc.nat(), (it, g, t, n) => {
      const battery_V = it.table.battery_V[n % it.table.battery_V.length]!;
      const slow = harvestAt(it.panel, it.charger, Math.fround(g), Math.fround(t), battery_V).battery_W;
      expect(Math.abs(fast(it, g, t, battery_V) - slow)).toBeLessThan(0.001 * nominalPower_W(it.panel));
    });
    fc.assert(law, { seed: 7, numRuns: 6000 });
  });

  it('is within 0.5 % of full power between its battery voltages, cells up to 70 °C', () => {
    const voltage = fc.double({ min: 3, max: 4.2, noNaN: true });
    const law = fc.property(anyCase, light, fc.double({ min: -40, max: 70, noNaN: true }), voltage, (it, g, t, v) => {
      const slow = harvestAt(it.panel, it.charger, Math.fround(g), Math.fround(t), v).battery_W;
      expect(Math.abs(fast(it, g, t, v) - slow)).toBeLessThan(0.005 * nominalPower_W(it.panel));
    });
    fc.assert(law, { seed: 8, numRuns: 6000 });
  });

  it('holds its edges outside, is zero without light and hands on a missing number', () => {
    for (const it of cases) {
      expect(fast(it, 0, 20, 3.7)).toBe(0);
      expect(fast(it, -5, 20, 3.7)).toBe(0);
      expect(fast(it, 1500, 20, 3.7)).toBe(fast(it, 1400, 20, 3.7));
      expect(fast(it, 700, -60, 3.7)).toBe(fast(it, 700, -40, 3.7));
      expect(fast(it, 700, 120, 3.7)).toBe(fast(it, 700, 90, 3.7));
      expect(fast(it, Number.NaN, 20, 3.7)).toBeNaN();
      expect(fast(it, 700, Number.NaN, 3.7)).toBeNaN();
    }
  });

  it('sums panels of one charger before the conversion, each behind its own diode', () => {
    const charger: ChargerModel = { kind: 'fixed-input', inputVoltage_V: 5.2, efficiency: curve };
    const [east, west] = [panels[0]!, panels[1]!];
    const out = new Float32Array(2);
    const cells = Float32Array.of(15, 30);
    const first = harvestTable(east, charger, span);
    availablePower(first, Float32Array.of(300, 700), cells, false, out);
    availablePower(harvestTable(west, charger, span), Float32Array.of(90, 0), cells, true, out);
    applyConversion(charger, first.battery_V, out, 1, out);
    const input = (panel: PanelModel, g: number, t: number) =>
      harvestAt(panel, { ...charger, efficiency: 1 }, g, t, 3.7).battery_W;
    const sum_W = input(east, 300, 15) + input(west, 90, 15);
    expect(sum_W).toBeGreaterThan(1);
    expect(out[0]! / (sum_W * 0.9)).toBeCloseTo(1, 2);
    expect(out[1]).toBeCloseTo(harvestAt(east, charger, 700, 30, 3.7).battery_W, 2);
  });

  it('scales with the panel, so that one table serves every size', () => {
    const charger: ChargerModel = { kind: 'linear', dropout_V: 0.2 };
    const large: PanelModel = { kind: 'diode', reference: scaleDiode(testPanel, 3) };
    const of = (panel: PanelModel, scale: number) => {
      const table = harvestTable(panel, charger, span);
      const out = new Float32Array(table.battery_V.length);
      availablePower(table, Float32Array.of(420), Float32Array.of(33), false, out);
      applyConversion(charger, table.battery_V, out, scale, out);
      return [...out];
    };
    const scaled = of(panels[0]!, 3);
    of(large, 1).forEach((value, i) => {
      expect(value / scaled[i]!).toBeCloseTo(1, 5);
    });
  });

  it('keeps plain panels exact without a table', () => {
    const panel: PanelModel = { kind: 'flat', power_W: 5, temperatureCoefficient_pct_K: -0.4 };
    const charger: ChargerModel = { kind: 'flat', efficiency: 0.85 };
    const it = { panel, charger, table: harvestTable(panel, charger, span) };
    expect(fast(it, 600, 40, 3.6)).toBeCloseTo(5 * 0.6 * 0.94 * 0.85, 6);
    expect(fast(it, 0, 40, 3.6)).toBe(0);
    expect(() => harvestTable(panel, { kind: 'linear', dropout_V: 0.1 }, span)).toThrow(RangeError);
  });

  it('places battery voltages where the harvest bends', () => {
    const nodes = (charger: ChargerModel) => [...batteryNodes(charger, span)];
    expect(nodes({ kind: 'tracking', efficiency: 0.9 })).toEqual([4.2]);
    expect(nodes({ kind: 'linear', inputVoltage_V: 4.5, dropout_V: 0.1 })).toEqual([3, 4.2]);
    const plain = nodes({ kind: 'linear', dropout_V: 0.2 });
    expect(plain).toHaveLength(5);
    expect(plain[1]).toBeCloseTo(3.3, 12);
    const regulated = nodes({ kind: 'linear', inputVoltage_V: 4.1, dropout_V: 0.2 });
    expect(regulated).toHaveLength(5);
    expect(regulated[1]).toBeCloseTo(3.9, 12);
    expect(() => batteryNodes(chargers[0]!, { low_V: 4.2, high_V: 3 })).toThrow(RangeError);
  });

  it('gives nothing, not a missing number, where the panel stands far below the voltage asked', () => {
    // One cell on a charger for a battery: its diode current there is beyond any number that a Float32Array holds.
    const panel: PanelModel = { kind: 'diode', reference: fitDiode(typicalFromWatts({ power_W: 1, vmp_V: 0.5 })) };
    for (const charger of [chargers[0]!, chargers[4]!]) {
      const it = { panel, charger, table: harvestTable(panel, charger, span) };
      expect(fast(it, 900, 25, 3.7)).toBe(0);
      expect(fast(it, 3, -40, 3)).toBe(0);
    }
  });

  it('takes the maximum power of a panel with a curve on a flat charger', () => {
    const charger: ChargerModel = { kind: 'flat', efficiency: 0.85 };
    const it = { panel: panels[0]!, charger, table: harvestTable(panels[0]!, charger, span) };
    // 4.654 W: the panel's maximum in full sun, golden file charger-harvest.csv.
    expect(fast(it, 1000, 25, 3.7) / (0.85 * 4.654)).toBeCloseTo(1, 3);
  });

  it('refuses arrays that do not fit', () => {
    const { table, charger } = cases[0]!;
    const two = new Float32Array(2);
    expect(() => availablePower(table, two, two, false, new Float32Array(9))).toThrow(RangeError);
    expect(() => availablePower(table, two, new Float32Array(1), false, new Float32Array(10))).toThrow(RangeError);
    expect(() => applyConversion(charger, table.battery_V, new Float32Array(10), 1, two)).toThrow(RangeError);
  });
});

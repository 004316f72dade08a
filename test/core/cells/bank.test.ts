import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  agedBank,
  bankCapacity_Ah,
  bankTables,
  CELL_LIMITS,
  createBank,
  maxChargeRate_per_h,
  NMC811,
  openCircuit_V,
  ownDischarge_per_h,
  pulseVoltage_V,
  resistance_Ohm,
  resistanceRatio,
  selfDischarge_per_h,
  socAtPulse,
  socFromRest,
  usableShare,
} from '../../../src/core/cells/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const bank = createBank({ table: NMC811, count: 3, capacity_mAh: 3350, resistance_mOhm: 60 });

describe('cold and warmth', () => {
  it('raise the resistance as remembered: twice at -10 °C, three to four times at -20 °C', () => {
    // From memory, for 18650 energy cells.
    expect(resistanceRatio(25)).toBe(1);
    expect(resistanceRatio(-10)).toBeCloseTo(2, 3);
    expect(resistanceRatio(-20)).toBeGreaterThan(3);
    expect(resistanceRatio(-20)).toBeLessThan(4);
    expect(resistanceRatio(0)).toBeGreaterThan(1.3);
    expect(resistanceRatio(0)).toBeLessThan(1.7);
    expect(resistanceRatio(-60)).toBe(resistanceRatio(-30));
    expect(resistanceRatio(99)).toBe(resistanceRatio(60));
  });

  it('leave more at C/50 than at C/5, and never more than all', () => {
    const { rows } = readGolden('cells-cold.csv');
    expect(rows.length).toBe(6);
    for (const row of rows) {
      const t = Number(row['temperature_degC']);
      const atC5 = Number(row['shareAtC5']);
      expect(usableShare(t, 1)).toBeCloseTo(atC5, 12); // the whole loss kept: the golden column itself
      expect(usableShare(t)).toBeGreaterThanOrEqual(atC5);
      expect(usableShare(t)).toBeLessThanOrEqual(1);
    }
    expect(usableShare(-80)).toBe(usableShare(-30));
    expect(usableShare(70)).toBe(1);
  });

  it('act one way only', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 59, noNaN: true }),
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        (t, step) => {
          expect(resistanceRatio(t + step)).toBeLessThanOrEqual(resistanceRatio(t));
          expect(usableShare(t + step)).toBeGreaterThanOrEqual(usableShare(t));
          expect(ownDischarge_per_h(t + step)).toBeGreaterThan(ownDischarge_per_h(t));
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it('limit the charge rate as a published specification does', () => {
    const { rows } = readGolden('cells-charge-rate.csv');
    expect(rows.length).toBe(10);
    for (const row of rows) {
      const window = { lowest_degC: 0, highest_degC: Number(row['highest_degC']) };
      expect(maxChargeRate_per_h(Number(row['temperature_degC']), window)).toBe(Number(row['rate_per_h']));
    }
  });

  it('charge below freezing only where the window says so, at the coldest rate', () => {
    expect(maxChargeRate_per_h(-5)).toBe(0);
    expect(maxChargeRate_per_h(-5, { lowest_degC: -10, highest_degC: 45 })).toBe(0.1);
    expect(maxChargeRate_per_h(-10.1, { lowest_degC: -10, highest_degC: 45 })).toBe(0);
  });
});

describe('own discharge', () => {
  it('stays within the floors of public specifications', () => {
    // Two public data pages: over 95 % left after 30 days at 25 °C; at least 90 % after 30 days at 23 °C.
    expect(1 - 720 * ownDischarge_per_h(25)).toBeGreaterThan(0.95);
    expect(1 - 720 * ownDischarge_per_h(23)).toBeGreaterThan(0.9);
  });

  it('is 2 % a month at 20 °C, doubles per 10 K, and adds the protection circuit', () => {
    // From memory: 1-3 % a month, doubling per 10 K. Arithmetic: 4 µA over 10.05 Ah.
    expect(730 * ownDischarge_per_h(20)).toBeCloseTo(0.02, 12);
    expect(ownDischarge_per_h(30) / ownDischarge_per_h(20)).toBeCloseTo(2, 12);
    expect(selfDischarge_per_h(bank, 20) - ownDischarge_per_h(20)).toBeCloseTo(4e-6 / 10.05, 12);
  });
});

describe('a bank', () => {
  it('adds cells in parallel (arithmetic)', () => {
    expect(bankCapacity_Ah(bank)).toBeCloseTo(10.05, 12);
    expect(resistance_Ohm(bank, 25)).toBeCloseTo(0.02, 12);
    expect(bankTables(bank).capacity_Ah).toBeCloseTo(10.05, 12);
    // 120 mA through 20 mΩ: 2.4 mV
    expect(openCircuit_V(NMC811, 0.5) - pulseVoltage_V(bank, 0.5, 25, 0.12)).toBeCloseTo(0.0024, 12);
  });

  it('takes the measured capacity of the lot before the nominal one', () => {
    const measured = createBank({ table: NMC811, count: 2, capacity_mAh: 3350, measuredCapacity_mAh: 3100 });
    expect(bankCapacity_Ah(measured)).toBeCloseTo(6.2, 12);
  });

  it('holds less and resists more with age', () => {
    const old = agedBank(bank, 0.85, 1.4);
    expect(bankCapacity_Ah(old)).toBeCloseTo(10.05 * 0.85, 12);
    expect(resistance_Ohm(old, -10)).toBeCloseTo(1.4 * resistance_Ohm(bank, -10), 12);
    expect(bank.capacityShare).toBe(1);
  });

  it('reads the state of charge from a rested voltage', () => {
    expect(socFromRest(bank, 3.7459)).toBeCloseTo(0.5, 9); // Chen et al. 2020, see cells-ocv.csv
  });

  it('cuts off at a higher charge when cold, aged or pulsed harder', () => {
    const at = (b: typeof bank, t: number, a: number) => socAtPulse(b, 3.3, t, a);
    expect(at(bank, -20, 0.5)).toBeGreaterThan(at(bank, 25, 0.5));
    expect(at(agedBank(bank, 0.8, 2), -20, 0.5)).toBeGreaterThan(at(bank, -20, 0.5));
    expect(at(bank, 0, 1)).toBeGreaterThan(at(bank, 0, 0.1));
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        fc.double({ min: -30, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (soc, t, a) => {
          expect(socAtPulse(bank, pulseVoltage_V(bank, soc, t, a), t, a)).toBeCloseTo(soc, 8);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it('refuses each number just outside its limits and takes it at them', () => {
    const base = { table: NMC811, count: 1, capacity_mAh: 3000 };
    for (const [name, [low, high]] of Object.entries(CELL_LIMITS)) {
      const whole = name === 'count';
      const step = whole ? 1 : 1e-6 * Math.max(1, Math.abs(high));
      for (const value of [low, high]) expect(() => createBank({ ...base, [name]: value })).not.toThrow();
      for (const value of [low - step, high + step, Number.NaN])
        expect(() => createBank({ ...base, [name]: value })).toThrow(UserError);
    }
    expect(() => createBank({ ...base, count: 1.5 })).toThrow(/whole numbers/);
    expect(() => createBank({ ...base, chargeWindow: { lowest_degC: 50 } })).toThrow(/lower end/);
  });

  it('tells all faults at once, with their fields', () => {
    try {
      createBank({ table: NMC811, count: 0, capacity_mAh: 0 });
      expect.unreachable();
    } catch (error) {
      expect((error as UserError).problems.map((p) => p.place?.field)).toEqual(['cells.count', 'cells.capacity_mAh']);
    }
  });
});

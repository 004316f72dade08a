import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { OcvTable } from '../../../src/core/cells/index.ts';
import {
  cellTables,
  constantVoltageTables,
  energyShare,
  lookUpByEnergy,
  meanVoltage_V,
  NMC111,
  NMC811,
  ocvTable,
  openCircuit_V,
  stateOfCharge,
  stateOfChargeByEnergy,
  userTable,
} from '../../../src/core/cells/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

/** The codes of the problems that a call reports. */
function codesOf(call: () => unknown): string[] {
  try {
    call();
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((p) => p.code);
    throw error;
  }
  return [];
}

// A plateau cell: round numbers of the shape of LFP, from memory.
const PLATEAU = userTable([
  { soc: 0, voltage_V: 2.5 },
  { soc: 0.1, voltage_V: 3.2 },
  { soc: 0.9, voltage_V: 3.33 },
  { soc: 1, voltage_V: 3.6 },
]);
const TABLES: [string, OcvTable][] = [
  ['nmc111', NMC111],
  ['nmc811', NMC811],
  ['own', PLATEAU],
];

describe('open-circuit curves', () => {
  it('meet the published points', () => {
    const { rows } = readGolden('cells-ocv.csv');
    expect(rows.length).toBe(39);
    for (const row of rows) {
      const table = ocvTable(row['chemistry'] as 'nmc111' | 'nmc811');
      expect(Math.abs(openCircuit_V(table, Number(row['soc'])) - Number(row['voltage_V']))).toBeLessThan(1e-9);
    }
  });

  it('of the two chemistries agree where both cells work, within what such curves differ by', () => {
    // From memory: NMC cells of different nickel content lie within 0.1 V of each other from 30 to 100 % charge.
    for (let soc = 0.3; soc <= 1; soc += 0.01)
      expect(Math.abs(openCircuit_V(NMC111, soc) - openCircuit_V(NMC811, soc))).toBeLessThan(0.1);
  });

  it.each(TABLES)('%s: voltage and state of charge are inverse to each other', (_, table) => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (soc) => {
        expect(stateOfCharge(table, openCircuit_V(table, soc))).toBeCloseTo(soc, 9);
        expect(stateOfChargeByEnergy(table, energyShare(table, soc))).toBeCloseTo(soc, 12);
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it.each(TABLES)('%s: ends hold beyond the table', (_, table) => {
    const last = table.voltage_V[table.voltage_V.length - 1];
    expect(openCircuit_V(table, -0.1)).toBe(table.voltage_V[0]);
    expect(openCircuit_V(table, 1.1)).toBe(last);
    expect(stateOfCharge(table, 1)).toBe(0);
    expect(stateOfCharge(table, 5)).toBe(1);
    expect(energyShare(table, 1)).toBe(1);
    expect(stateOfChargeByEnergy(table, 1)).toBe(1);
  });

  it.each(TABLES)('%s: energy is the integral of voltage over charge (midpoint sum)', (_, table) => {
    for (const soc of [0.015, 0.1, 0.33, 0.5, 0.77, 1]) {
      let sum = 0;
      const steps = 40_000;
      for (let i = 0; i < steps; i++) sum += (openCircuit_V(table, ((i + 0.5) / steps) * soc) * soc) / steps;
      expect(energyShare(table, soc) * meanVoltage_V(table)).toBeCloseTo(sum, 7);
    }
  });

  it('has the mean voltage that cells of these kinds are sold by', () => {
    // From memory: 3.6 to 3.7 V nominal for NMC energy cells; a rest curve lies a little above the 0.2C discharge.
    expect(meanVoltage_V(NMC811)).toBeGreaterThan(3.6);
    expect(meanVoltage_V(NMC811)).toBeLessThan(3.8);
    expect(meanVoltage_V(NMC111)).toBeGreaterThan(3.65);
    expect(meanVoltage_V(NMC111)).toBeLessThan(3.85);
  });
});

describe('tables by energy', () => {
  const errors = (table: OcvTable, nodes: number | undefined, fromSoc: number) => {
    const tables = cellTables(table, 3.35, nodes);
    let volt = 0;
    let charge = 0;
    for (let i = 0; i <= 60_000; i++) {
      const share = i / 60_000;
      const soc = stateOfChargeByEnergy(table, share);
      if (soc < fromSoc) continue;
      volt = Math.max(volt, Math.abs(lookUpByEnergy(tables.voltageByEnergy, share) - openCircuit_V(table, soc)));
      charge = Math.max(charge, Math.abs(lookUpByEnergy(tables.socByEnergy, share) - soc));
    }
    return { volt, charge };
  };

  it('have 513 nodes and the energy of the curve', () => {
    const tables = cellTables(NMC111, 2);
    expect(tables.voltageByEnergy.length).toBe(513);
    expect(tables.socByEnergy.length).toBe(513);
    expect(tables.energyFull_Wh).toBeCloseTo(2 * meanVoltage_V(NMC111), 12);
    expect(tables.socByEnergy[0]).toBe(0);
    expect(tables.socByEnergy[512]).toBe(1);
    expect(tables.voltageByEnergy[512]).toBe(4.162);
  });

  it('look up within 1 mV and 1e-4 of the exact inverse wherever a load is on', () => {
    // The tightest use: 513 nodes. The bends of the NMC811 table below soc 0.06 lie under every usual cut-off.
    for (const [table, from] of [
      [NMC111, 0],
      [NMC811, 0.06],
    ] as const) {
      const { volt, charge } = errors(table, undefined, from);
      expect(volt).toBeLessThan(1e-3);
      expect(charge).toBeLessThan(1e-4);
    }
    expect(errors(NMC811, undefined, 0).volt).toBeLessThan(0.01); // the accuracy of the table itself
    expect(errors(NMC811, undefined, 0).charge).toBeLessThan(1e-4);
  });

  it('look up within 1 mV everywhere with 4097 nodes', () => {
    expect(errors(NMC811, 4097, 0).volt).toBeLessThan(1e-3);
    expect(errors(PLATEAU, 4097, 0).volt).toBeLessThan(1e-3);
  });

  it('of a constant voltage are straight', () => {
    const tables = constantVoltageTables(3.6, 3.4);
    expect(tables.energyFull_Wh).toBeCloseTo(12.24, 12); // arithmetic
    expect(lookUpByEnergy(tables.socByEnergy, 0.123)).toBeCloseTo(0.123, 12);
    expect(lookUpByEnergy(tables.voltageByEnergy, 0.9)).toBe(3.6);
    expect(lookUpByEnergy(tables.socByEnergy, -1)).toBe(0);
    expect(lookUpByEnergy(tables.socByEnergy, 2)).toBe(1);
  });

  it('refuse what is no bank', () => {
    expect(() => cellTables(NMC111, 0)).toThrow(RangeError);
    expect(() => cellTables(NMC111, 1, 1)).toThrow(RangeError);
    expect(() => constantVoltageTables(0, 1)).toThrow(RangeError);
  });
});

describe("a user's own table", () => {
  const p = (soc: number, voltage_V: number) => ({ soc, voltage_V });

  it('is checked point by point, each limit just inside and just outside', () => {
    expect(codesOf(() => userTable([p(0, 1.5), p(1, 5)]))).toEqual([]);
    expect(codesOf(() => userTable([p(0, 1.49), p(1, 5.01)]))).toEqual(['cells-table-voltage', 'cells-table-voltage']);
    expect(codesOf(() => userTable([p(0, 3)]))).toContain('cells-table-short');
    expect(codesOf(() => userTable([]))).toContain('cells-table-short');
    expect(codesOf(() => userTable([p(0, 3), p(0, 3.5), p(1, 4)]))).toEqual(['cells-table-order']);
    expect(codesOf(() => userTable([p(0, 3), p(0.5, 3), p(1, 4)]))).toEqual(['cells-table-flat']);
    expect(codesOf(() => userTable([p(0.1, 3), p(1, 4)]))).toEqual(['cells-table-ends']);
    expect(codesOf(() => userTable([p(0, 3), p(100, 4)]))).toContain('cells-table-soc');
    expect(codesOf(() => userTable([p(0, Number.NaN), p(1, 4)]))).toContain('cells-table-voltage');
  });

  it('is told by place and with the mend', () => {
    try {
      userTable([p(0, 3), p(0.5, 2.9), p(1, 4)]);
      expect.unreachable();
    } catch (error) {
      const problem = (error as UserError).problems[0];
      expect(problem?.place?.field).toBe('cells.table[1]');
      expect(problem?.message).toMatch(/must rise/);
    }
  });

  it('is needed where a record says so', () => {
    expect(codesOf(() => ocvTable('table'))).toContain('cells-table-short');
    expect(ocvTable('table', [p(0, 2.5), p(1, 3.6)]).chemistry).toBe('table');
  });
});

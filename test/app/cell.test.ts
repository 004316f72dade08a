import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CellRequest, cell } from '../../src/app/cell.ts';
import { readGolden } from '../golden.ts';
import { kitText } from '../records/reading.ts';
import { PORTS, portsWith, problemsOf } from './real-ports.ts';

const THREE = { chemistry: 'nmc811', capacity_mAh: 3350, count: 3, resistance_mOhm: 60 } as const;

describe('cell, voltage and energy', () => {
  it('gives the published rested voltages within 0.01 V, and the charge back from them', async () => {
    const { rows } = readGolden('cells-ocv.csv');
    for (const row of rows) {
      const chemistry = row.chemistry as 'nmc111' | 'nmc811';
      const soc = Number(row.soc);
      const told = await cell(PORTS, { ...THREE, chemistry, soc });
      expect(Math.abs(told.restedVoltage_V - Number(row.voltage_V))).toBeLessThan(0.01);
      const back = await cell(PORTS, { ...THREE, chemistry, voltage_V: told.restedVoltage_V });
      expect(back.stateOfCharge).toBeCloseTo(soc, 9);
      expect(back.stateOfChargeRange!.low).toBeLessThanOrEqual(soc);
      expect(back.stateOfChargeRange!.high).toBeGreaterThanOrEqual(soc);
    }
    expect(rows.length).toBeGreaterThan(30);
  });

  it("sags by Ohm's law: three cells of 60 mOhm side by side are 20 mOhm at 25 °C", async () => {
    const told = await cell(PORTS, { ...THREE, soc: 0.5, current_A: 0.6 });
    expect(told.resistance_mOhm).toBeCloseTo(20, 9);
    expect(told.restedVoltage_V - told.pulseVoltage_V).toBeCloseTo(0.6 * 0.02, 9);
    const charging = await cell(PORTS, { ...THREE, soc: 0.5, current_A: -0.6 });
    expect(charging.pulseVoltage_V - charging.restedVoltage_V).toBeCloseTo(0.6 * 0.02, 9);
  });

  it('stores the integral of voltage over charge, by the trapezoid rule over the published points', async () => {
    const points = readGolden('cells-ocv.csv').rows.filter((row) => row.chemistry === 'nmc811');
    let volts = 0;
    for (let i = 1; i < points.length; i++) {
      const [a, b] = [points[i - 1]!, points[i]!];
      volts += ((Number(a.voltage_V) + Number(b.voltage_V)) / 2) * (Number(b.soc) - Number(a.soc));
    }
    const told = await cell(PORTS, THREE);
    // 3 x 3.35 Ah; the published voltages are good to 0.01 V.
    expect(told.capacity_Ah).toBeCloseTo(10.05, 9);
    expect(Math.abs(told.storedEnergy_Wh - volts * 10.05)).toBeLessThan(0.01 * 10.05);
    expect(told.energyFull_Wh).toBeCloseTo(told.storedEnergy_Wh, 9);
  });

  it('cold keeps some back: no less is usable at these small currents than at a fifth of the capacity', async () => {
    for (const row of readGolden('cells-cold.csv').rows) {
      const told = await cell(PORTS, { ...THREE, temperature_degC: Number(row.temperature_degC) });
      expect(told.usableShare).toBeGreaterThanOrEqual(Number(row.shareAtC5));
      expect(told.usableEnergy_Wh).toBeCloseTo(told.usableShare * told.storedEnergy_Wh, 9);
      if (Number(row.temperature_degC) < 0) {
        expect(told.mostCharge_A).toBe(0);
        expect(told.cautions.map(({ code }) => code)).toContain('charging-below-freezing');
      }
    }
  });

  it('falls with charge and cold, never below nothing', async () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    await fc.assert(
      fc.asyncProperty(share, fc.double({ min: -40, max: 25, noNaN: true }), async (soc, temperature_degC) => {
        const warm = await cell(PORTS, { ...THREE, soc, current_A: 0.1 });
        const cold = await cell(PORTS, { ...THREE, soc, current_A: 0.1, temperature_degC });
        expect(cold.pulseVoltage_V).toBeLessThanOrEqual(warm.pulseVoltage_V + 1e-12);
        expect(cold.usableEnergy_Wh).toBeLessThanOrEqual(warm.usableEnergy_Wh + 1e-12);
        expect(cold.usableEnergy_Wh).toBeGreaterThanOrEqual(0);
        const volts = cold.curve.map((point) => point.restedVoltage_V);
        expect(volts).toEqual([...volts].sort((a, b) => a - b));
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});

describe('cell, ageing', () => {
  it('loses what the published laws say at rest, within 0.2 % of the loss', async () => {
    const rows = readGolden('cells-calendar.csv').rows.filter(({ model }) => model !== 'nmc811-2020');
    for (const row of rows) {
      const told = await cell(PORTS, {
        ...THREE,
        age_years: Number(row.days) / 365,
        ageing_degC: Number(row.temperature_degC),
        ceiling_soc: Number(row.soc),
        depth: 0,
      });
      const law = told.ageing.models.find(({ model }) => model === row.model)!;
      expect(Math.abs((1 - law.capacityShare) / Number(row.cap_loss) - 1)).toBeLessThan(0.002);
    }
    expect(new Set(rows.map(({ model }) => model)).size).toBe(2);
  });

  it('shows what a ceiling buys, as published', async () => {
    for (const row of readGolden('cells-ceiling.csv').rows) {
      const { ageing } = await cell(PORTS, { ...THREE, ageing_degC: Number(row.temperature_degC) });
      const found = ageing.ceilings.find(({ ceiling_soc }) => ceiling_soc === Number(row.ceilingSoc));
      if (found !== undefined) expect(Math.abs(found.relativeRate - Number(row.relativeRate))).toBeLessThan(0.0006);
    }
    const { ageing } = await cell(PORTS, THREE);
    expect(ageing.ceilings.map(({ ceiling_soc }) => ceiling_soc)).toEqual([0.8, 0.85, 0.9, 0.95, 1]);
    const lives = ageing.ceilings.map(({ yearsTo80 }) => yearsTo80.low);
    expect(lives).toEqual([...lives].sort((a, b) => b - a));
    for (const { yearsTo80 } of ageing.ceilings) expect(yearsTo80.low).toBeLessThanOrEqual(yearsTo80.high);
  });

  it('answers with the cells at their age: less capacity, more resistance', async () => {
    const fresh = await cell(PORTS, { ...THREE, ceiling_soc: 0.9 });
    const old = await cell(PORTS, { ...THREE, ceiling_soc: 0.9, age_years: 8 });
    expect(old.capacity_Ah / fresh.capacity_Ah).toBeCloseTo(old.ageing.models[0]!.capacityShare, 9);
    expect(old.resistance_mOhm / fresh.resistance_mOhm).toBeCloseTo(old.ageing.models[0]!.resistanceFactor, 9);
    expect(old.energyFull_Wh).toBeLessThan(fresh.energyFull_Wh);
  });

  it('says that a voltage table of one’s own is not modelled', async () => {
    const text = kitText({
      charger: '{ type: tracking, ceiling_V: 3.4 }',
      cutoff: '{ cutoff_V: 3.0, reconnect_V: 3.25 }',
      cells:
        '{ count: 1, capacity_mAh: 1500, chemistry: table, table: [{ soc: 0, voltage_V: 2.5 }, { soc: 0.5, voltage_V: 3.3 }, { soc: 1, voltage_V: 3.42 }] }',
    });
    const told = await cell(portsWith(text), { kit: 'kit.yaml', soc: 0.5, age_years: 5 });
    expect(told).toMatchObject({ chemistry: 'table', restedVoltage_V: 3.3, capacityShare: 1 });
    expect(told.ageing).toMatchObject({ modelled: false, yearsTo80: null, ceilings: [] });
    expect(told.ageing.warnings[0]).toMatch(/not modelled/);
  });
});

describe('cell, from a kit or from options', () => {
  const text = kitText({ cells: '{ count: 2, capacity_mAh: 3350, measuredCapacity_mAh: 3200 }' });

  it('reads the kit, and lets an option win over it', async () => {
    const asRead = await cell(portsWith(text), { kit: 'kit.yaml' });
    expect(asRead).toMatchObject({ count: 2, capacity_mAh: 3200 });
    const changed = await cell(portsWith(text), { kit: 'kit.yaml', capacity_mAh: 2500, count: 4 });
    expect(changed).toMatchObject({ count: 4, capacity_mAh: 2500 });
    // A mean night has 12 hours: 9 mA over them from 6.4 Ah.
    expect(asRead.ageing.depth).toBeCloseTo((9 * 12) / 6400, 9);
  });

  it('tells every default that it took', async () => {
    const told = await cell(PORTS, { capacity_mAh: 3350 });
    const fields = told.assumptions.map(({ field }) => field);
    for (const option of ['--chemistry', '--count', '--resistance', '--temperature', '--current', '--ceiling', '--soc'])
      expect(fields).toContain(option);
    const full = { temperature_degC: 20, ageing_degC: 20, ceiling_soc: 0.9, depth: 0.1, current_A: 0.1, soc: 0.5 };
    const said = await cell(PORTS, { ...THREE, ...full });
    expect(said.assumptions.map(({ field }) => field)).toEqual(['kit.cells.selfDischarge_pct_month']);
  });

  it.each<[Partial<CellRequest>, string, RegExp]>([
    [{ capacity_mAh: 3.35 }, '--capacity', /3.35 Ah is 3350 mAh/],
    [{ capacity_mAh: 0 }, '--capacity', /between 20 and 200000/],
    [{ soc: 90 }, '--soc', /write 90 % as 0.9/],
    [{ soc: -0.01 }, '--soc', /between 0 and 1/],
    [{ voltage_V: 3700 }, '--voltage', /write 3700 mV as 3.7/],
    [{ temperature_degC: 285 }, '--temperature', /between -40 and 80/],
    [{ ceiling_soc: 0 }, '--ceiling', /between 0.01 and 1/],
    [{ age_years: -1 }, '--age', /between 0 and 50/],
    [{ current_A: 120 }, '--current', /write 120 mA as 0.12/],
    [{ count: 0 }, '--count', /between 1 and 1000/],
  ])('tells %o', async (change, field, sentence) => {
    const found = await problemsOf(() => cell(PORTS, { ...THREE, ...change }));
    expect(found.map((problem) => problem.field)).toEqual([field]);
    expect(found[0]!.message).toMatch(sentence);
  });

  it('cautions about a voltage that these cells never show', async () => {
    const told = await cell(PORTS, { ...THREE, count: 1, voltage_V: 2.1 });
    expect(told.stateOfCharge).toBe(0);
    expect(told.cautions.map(({ code }) => code)).toEqual(['voltage-outside-table']);
  });
});

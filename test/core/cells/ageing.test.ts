import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AgeingCourse, AgeingInput, AgeingModel, LifeRange } from '../../../src/core/cells/index.ts';
import {
  ageingVoltage_V,
  ageYears,
  alphaCapacity,
  alphaResistance,
  betaCapacity,
  betaResistance,
  calendarRate,
  ceilingTable,
  cycleAgeing,
  LONGEST_LIFE_years,
  rmsVoltage_V,
  stepCalendar,
  TIME_EXPONENT,
  yearsTo,
} from '../../../src/core/cells/index.ts';
import { readGolden } from '../../golden.ts';

const MODELS: AgeingModel[] = ['nmc-2014', 'nca-2016', 'nmc811-2020'];
const constant = (temperature_degC: number, soc: number, extra: Partial<AgeingInput> = {}): AgeingInput => ({
  chemistry: 'nmc111',
  charge: { ceilingSoc: soc },
  temperatureHours_degC: new Float32Array(24).fill(temperature_degC),
  equivalentFullCycles_per_year: 0,
  depth: 0,
  ...extra,
});
const course = (input: AgeingInput, years: number[]): AgeingCourse => {
  const result = ageYears(input, years);
  if (!result.modelled) throw new Error(result.reason);
  return result;
};
const life = (input: AgeingInput, share?: number): LifeRange => {
  const result = yearsTo(input, share);
  if (!result.modelled) throw new Error(result.reason);
  return result;
};
const within = (actual: number, expected: number, relative: number) =>
  expect(Math.abs(actual / expected - 1)).toBeLessThan(relative);

describe('calendar ageing', () => {
  it('meets the reference points of the three laws within 0.2 % of the loss', () => {
    const { rows } = readGolden('cells-calendar.csv');
    expect(rows.length).toBe(13);
    for (const row of rows) {
      const [days, t, soc] = [Number(row['days']), Number(row['temperature_degC']), Number(row['soc'])];
      const model = row['model'] as AgeingModel;
      const got = course(constant(t, soc, { model }), [days / 365]);
      within(1 - (got.capacityShare[0] ?? 0), Number(row['cap_loss']), 0.002);
      if (row['voltage_V'] === '') continue;
      expect(ageingVoltage_V(soc)).toBeCloseTo(Number(row['voltage_V']), 9);
      within(alphaCapacity(Number(row['voltage_V']), t), Number(row['alpha_cap']), 0.002);
      within((got.resistanceFactor[0] ?? 0) - 1, Number(row['res_gain']), 0.002);
    }
  });

  it('about doubles every 10 K', () => {
    // Arithmetic from the 2014 paper's 6976 K: 2.19 per 10 K around 25 °C; 2.07 as a mean over 25 to 50 °C.
    within(alphaCapacity(4, 30) / alphaCapacity(4, 20), 2.19, 0.003);
    within((alphaCapacity(4, 50) / alphaCapacity(4, 25)) ** 0.4, 2.07, 0.005);
  });

  it('stands still below 3.149 V instead of healing the cell', () => {
    expect(alphaCapacity(3.14, 40)).toBe(0);
    expect(alphaCapacity(3.15, 40)).toBeGreaterThan(0);
    expect(alphaResistance(3.0, 40)).toBe(0);
  });

  it.each(MODELS)('%s: small steps under constant conditions give the closed form', (model) => {
    const p = TIME_EXPONENT[model];
    const alpha = calendarRate(model, 0.9, 30);
    let loss = 0;
    for (let i = 0; i < 3650; i++) loss = stepCalendar(loss, alpha, p, 0.1);
    within(loss, alpha * 365 ** p, 1e-9);
  });

  it.each(MODELS)('%s: a step agrees with the published increment d(loss) = a·p·(loss/a)^((p-1)/p)·dt', (model) => {
    // Euler steps of the rule as it is written, over changing temperature, against the exact steps.
    const p = TIME_EXPONENT[model];
    let euler = calendarRate(model, 0.9, 15) * 20 ** p;
    let exact = euler;
    for (let i = 0; i < 40_000; i++) {
      const alpha = calendarRate(model, 0.9, 15 + 15 * Math.sin(i / 1000));
      euler += alpha * p * (euler / alpha) ** ((p - 1) / p) * 0.01;
      exact = stepCalendar(exact, alpha, p, 0.01);
    }
    within(euler, exact, 1e-4);
  });

  it('gives the same for a year in one piece and for a year of hours stepped one by one', () => {
    const hours = Float32Array.from({ length: 8760 }, (_, h) => 12 + 14 * Math.sin((h / 8760) * 2 * Math.PI));
    const soc = Float32Array.from({ length: 8760 }, (_, h) => 0.7 + 0.2 * Math.sin((h / 8760) * 2 * Math.PI));
    for (const model of MODELS) {
      let loss = 0;
      for (let year = 0; year < 2; year++)
        for (let h = 0; h < 8760; h++)
          loss = stepCalendar(loss, calendarRate(model, soc[h], hours[h]), TIME_EXPONENT[model], 1 / 24);
      const input = constant(0, 0, { model, temperatureHours_degC: hours, charge: { socHours: soc } });
      within(1 - (course(input, [2]).capacityShare[0] ?? 0), loss, 1e-9);
    }
  });

  it('takes a histogram of one bin as a constant', () => {
    const histogram = new Float64Array(10);
    histogram[8] = 8760; // the bin 0.8..0.9 stands for 0.85
    const a = course(constant(25, 0, { charge: { socHistogram: histogram } }), [1, 5]);
    const b = course(constant(25, 0.85), [1, 5]);
    expect(a.capacityShare[1]).toBeCloseTo(b.capacityShare[1] ?? 0, 12);
  });
});

describe('cycle ageing', () => {
  it('meets the reference points within 0.2 %', () => {
    const { rows } = readGolden('cells-cycle.csv');
    expect(rows.length).toBe(2);
    for (const row of rows) {
      const [rms, depth] = [Number(row['rmsVoltage_V']), Number(row['depth'])];
      const throughput_Ah = Number(row['throughput_Ah']);
      within(betaCapacity(rms, depth), Number(row['beta_cap']), 0.002);
      const got = cycleAgeing({ throughput_Ah, capacity_Ah: 2.05, rmsVoltage_V: rms, depth });
      within(got.capacityLoss, Number(row['cap_loss']), 0.002);
      within(got.resistanceGain, Number(row['res_gain']), 0.002);
      // A cell of twice the size wears as much at twice the throughput.
      const twice = cycleAgeing({ throughput_Ah: 2 * throughput_Ah, capacity_Ah: 4.1, rmsVoltage_V: rms, depth });
      expect(twice.capacityLoss).toBeCloseTo(got.capacityLoss, 12);
    }
  });

  it('of very shallow cycles does not lower the resistance', () => {
    expect(betaResistance(3.725, 0)).toBe(0);
    expect(betaResistance(3.725, 0.06)).toBeGreaterThan(0);
  });

  it('uses the root-mean-square voltage over the swing', () => {
    expect(rmsVoltage_V(0.5, 0.5)).toBeCloseTo(3.6974, 9);
    // Fine midpoint sum of the published curve as reference.
    let sum = 0;
    for (let i = 0; i < 20_000; i++) sum += ageingVoltage_V(0.3 + (0.6 * (i + 0.5)) / 20_000) ** 2;
    expect(rmsVoltage_V(0.3, 0.9)).toBeCloseTo(Math.sqrt(sum / 20_000), 4);
  });

  it('adds to the calendar loss', () => {
    const rest = course(constant(25, 0.9), [4]);
    const used = course(constant(25, 0.9, { equivalentFullCycles_per_year: 25, depth: 0.1 }), [4]);
    expect(used.calendarLoss).toEqual(rest.calendarLoss);
    expect(used.cycleLoss[0]).toBeGreaterThan(0);
    expect(used.capacityShare[0]).toBeCloseTo(1 - (used.calendarLoss[0] ?? 0) - (used.cycleLoss[0] ?? 0), 12);
    // Arithmetic: 25 cycles a year for 4 years are 2·2.05·100 Ah in the 2.05 Ah cell.
    const by = cycleAgeing({ throughput_Ah: 410, capacity_Ah: 2.05, rmsVoltage_V: rmsVoltage_V(0.8, 0.9), depth: 0.1 });
    expect(used.cycleLoss[0]).toBeCloseTo(by.capacityLoss, 12);
  });
});

describe('laws of ageing', () => {
  const input = fc.record({
    t: fc.double({ min: -20, max: 60, noNaN: true }),
    soc: fc.double({ min: 0, max: 1, noNaN: true }),
    cycles: fc.double({ min: 0, max: 365, noNaN: true }),
    depth: fc.double({ min: 0, max: 1, noNaN: true }),
    model: fc.constantFrom(...MODELS),
  });
  const of = (v: { t: number; soc: number; cycles: number; depth: number; model: AgeingModel }) =>
    constant(v.t, v.soc, { model: v.model, equivalentFullCycles_per_year: v.cycles, depth: v.depth });

  it('more heat, more charge, more cycles and more years never age less', () => {
    fc.assert(
      fc.property(input, fc.double({ min: 0.01, max: 20, noNaN: true }), (v, more) => {
        const left = (w: typeof v, y = 5) => course(of(w), [y]).capacityShare[0] ?? 0;
        const base = left(v);
        expect(left({ ...v, t: v.t + more })).toBeLessThanOrEqual(base + 1e-12);
        expect(left({ ...v, cycles: v.cycles + more })).toBeLessThanOrEqual(base + 1e-12);
        expect(left(v, 5 + more)).toBeLessThanOrEqual(base + 1e-12);
        const fuller = { ...v, soc: Math.min(1, v.soc + more / 20), cycles: 0, depth: 0 };
        expect(left(fuller)).toBeLessThanOrEqual(left({ ...v, cycles: 0, depth: 0 }) + 1e-12);
        expect(base).toBeGreaterThanOrEqual(0);
        expect(base).toBeLessThanOrEqual(1);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('the years to a share are the years at which that share is reached', () => {
    const base = constant(25, 0.95, { equivalentFullCycles_per_year: 20, depth: 0.08 });
    const range = life(base, 0.8);
    expect(range.byModel.map((m) => m.model)).toEqual(['nmc-2014', 'nca-2016']);
    for (const { model, years, beyond } of range.byModel) {
      expect(beyond).toBe(false);
      expect(course({ ...base, model }, [years]).capacityShare[0]).toBeCloseTo(0.8, 9);
    }
    expect(range.low_years).toBeLessThan(range.high_years);
  });

  it('a very long life is told as a bound', () => {
    const range = life(constant(-10, 0.3), 0.5);
    expect(range.highBeyond).toBe(true);
    expect(range.high_years).toBe(LONGEST_LIFE_years);
  });
});

describe('ceilings', () => {
  it('buy what the published law says, at every temperature', () => {
    const { rows } = readGolden('cells-ceiling.csv');
    expect(rows.length).toBe(18);
    for (const row of rows) {
      const [got] = ceilingTable([Number(row['ceilingSoc'])], Number(row['temperature_degC']));
      expect(Math.abs((got?.relativeRate ?? 0) - Number(row['relativeRate']))).toBeLessThan(0.0006);
    }
  });

  it('stand at the rested voltages of the published curve', () => {
    // Schmalstieg 2014 Fig. 1 as tabulated: 95 % 4.118 V, 90 % 4.073 V, 80 % 3.965 V.
    expect(ceilingTable([0.95, 0.9, 0.8]).map((r) => Number(r.voltage_V.toFixed(3)))).toEqual([4.118, 4.073, 3.965]);
  });

  it('are never a big lever against heat: 10 K less beat a ceiling of 80 %', () => {
    // Temperature dominates in the 2014 law: about twice per 10 K against 19 % for an 80 % ceiling.
    const full = course(constant(25, 1), [5]).calendarLoss[0] ?? 0;
    const cooler = course(constant(15, 1), [5]).calendarLoss[0] ?? 0;
    const lower = course(constant(25, 0.8), [5]).calendarLoss[0] ?? 0;
    expect(cooler).toBeLessThan(lower);
    within(lower / full, 0.806, 0.002);
  });
});

describe('limits of the laws', () => {
  it('are told: cold, heat, long times', () => {
    const cold = course(constant(5, 0.9), [1]);
    expect(cold.warnings.join(' ')).toMatch(/100 % of the year is below 20 °C.*extrapolation/);
    expect(course(constant(19.99, 0.9), [1]).warnings.length).toBe(1);
    expect(course(constant(20, 0.9), [1]).warnings).toEqual([]);
    expect(course(constant(65, 0.9), [1]).warnings).toEqual([]);
    expect(course(constant(65.1, 0.9), [1]).warnings.join(' ')).toMatch(/above 65 °C/);
    expect(course(constant(20, 0.9), [5]).warnings.join(' ')).toMatch(/later years are extrapolated/);
  });

  it('own tables are told as not modelled', () => {
    const own = constant(25, 0.9, { chemistry: 'table' });
    expect(ageYears(own, [1])).toMatchObject({ modelled: false, reason: expect.stringMatching(/not modelled/) });
    expect(yearsTo(own)).toMatchObject({ modelled: false });
  });

  it('bad numbers are programming errors', () => {
    expect(() => ageYears(constant(Number.NaN, 0.9), [1])).toThrow(RangeError);
    expect(() => ageYears(constant(298.15, 0.9), [1])).toThrow(RangeError);
    expect(() => ageYears(constant(25, 1.01), [1])).toThrow(RangeError);
    expect(() => ageYears(constant(25, 0.9, { temperatureHours_degC: [] }), [1])).toThrow(RangeError);
    expect(() => ageYears(constant(25, 0.9, { depth: -0.1 }), [1])).toThrow(RangeError);
    expect(() => ageYears(constant(25, 0.9, { charge: { socHours: [0.5] } }), [1])).toThrow(/length/);
    expect(() => ageYears(constant(25, 0.9, { charge: { socHistogram: [0, 0] } }), [1])).toThrow(RangeError);
    expect(() => yearsTo(constant(25, 0.9), 1)).toThrow(RangeError);
  });
});

import { describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const THREE = ['--chemistry', 'nmc811', '--capacity', '3350', '--count', '3'];

describe('sunperch cell', () => {
  it('answers for cells described by options, cold ones too', () => {
    const run = sunperch('cell', ...THREE, '--soc', '0.5', '--temperature', '-10', '--current', '0.12', '--json');
    expect(run).toMatchObject({ code: 0, err: '' });
    const told = run.json() as Record<string, number>;
    // Chen et al. 2020 (J. Electrochem. Soc. 167 080534): 3.746 V at half charge, curve good to 0.01 V.
    expect(Math.abs(told['restedVoltage_V']! - 3.7459)).toBeLessThan(0.01);
    expect(told['restedVoltage_V']! - told['pulseVoltage_V']!).toBeCloseTo((0.12 * told['resistance_mOhm']!) / 1000, 9);
    expect(told).toMatchObject({ stateOfCharge: 0.5, temperature_degC: -10, count: 3 });
    for (const key of ['storedEnergy_Wh', 'usableEnergy_Wh', 'usableShare']) expect(told[key]).toBeGreaterThan(0);
  });

  it('finds the charge at a voltage, of a kit', () => {
    const run = sunperch('cell', 'examples/alder-3.yaml', '--voltage', '3.7', '--json');
    const told = run.json() as { stateOfCharge: number; stateOfChargeRange: { low: number; high: number } };
    // Between the published points 0.40 (3.664 V) and 0.50 (3.7459 V), by a straight line.
    expect(told.stateOfCharge).toBeCloseTo(0.4 + (0.1 * (3.7 - 3.664)) / (3.7459 - 3.664), 3);
    expect(told.stateOfChargeRange.high - told.stateOfChargeRange.low).toBeGreaterThan(0.01);
  });

  it('tells ageing in words, with both laws and the ceilings', () => {
    const run = sunperch('cell', ...THREE, '--age', '8', '--at-temperature', '15', '--ceiling', '0.9');
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/Resting at 90 % and 15 °C,[\s\S]* 80 % of the\s+capacity\s+after\s+\d/);
    expect(run.out).toMatch(/^ceiling +rest V +calendar rate +second law +years to 80 %$/m);
    expect(run.out).toMatch(/extrapolation/);
  });

  it.each([
    ['nothing', [], 2, /name a kit file, or give the capacity/],
    ['charge and voltage at once', [...THREE, '--soc', '0.5', '--voltage', '3.7'], 2, /cannot be used with option/],
    ['an unknown chemistry', ['--capacity', '3350', '--chemistry', 'lead'], 2, /Allowed choices are nmc111, nmc811/],
    ['ampere-hours', ['--capacity', '3.35'], 1, /3\.35 Ah is 3350 mAh/],
    ['no cells', ['--capacity', '3350', '--count', '0'], 2, /not a whole number from 1/],
    ['a state of charge in per cent', [...THREE, '--soc', '50'], 1, /write 50 % as 0\.5/],
    ['an absent kit', ['absent.yaml'], 1, /^absent\.yaml: cannot be read/],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('cell', ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});

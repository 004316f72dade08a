import { describe, expect, it } from 'vitest';
import { ashraeModifier, diffuseModifiers, physicalModifier } from '../../../src/core/sun/index.ts';
import { readGolden } from '../../golden.ts';

describe('incidence angle modifiers', () => {
  it('are the published ones', () => {
    const { rows } = readGolden('radiation-incidence.csv');
    expect(rows.length).toBe(9);
    for (const r of rows) {
      expect(Math.abs(ashraeModifier(Number(r.incidence_deg)) - Number(r.ashrae))).toBeLessThan(0.0005);
      expect(Math.abs(physicalModifier(Number(r.incidence_deg)) - Number(r.physical))).toBeLessThan(0.0005);
    }
  });
  it('end at 90° and never rise', () => {
    for (const modifier of [ashraeModifier, physicalModifier]) {
      expect(modifier(0)).toBeCloseTo(1, 12);
      for (let a = 0; a < 180; a++) expect(modifier(a + 1)).toBeLessThanOrEqual(modifier(a) + 1e-12);
      expect(modifier(90)).toBeCloseTo(0, 6);
      expect(modifier(135)).toBe(0);
    }
  });
});

describe('diffuse modifiers', () => {
  it('are the published integrals', () => {
    const { rows } = readGolden('radiation-incidence-diffuse.csv');
    expect(rows.length).toBe(5);
    for (const r of rows) {
      const got = diffuseModifiers(Number(r.tilt_deg));
      for (const key of ['sky', 'horizon', 'ground'] as const) {
        expect(Math.abs(got[key] - Number(r[key])), `${key} at tilt ${r.tilt_deg}: ${got[key]}`).toBeLessThan(0.0005);
      }
    }
  });
  it('are one without a cover', () => {
    // Law: an average of ones is one.
    expect(diffuseModifiers(37, () => 1)).toEqual({ sky: 1, horizon: 1, ground: 1 });
  });
});

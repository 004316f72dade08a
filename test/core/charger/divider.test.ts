import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DividerOptions } from '../../../src/core/charger/index.ts';
import { dividerFor, hysteresisDivider, seriesDecade, seriesValues } from '../../../src/core/charger/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const E96: DividerOptions = { series: 'E96' };

describe('preferred resistor values', () => {
  const golden = readGolden('charger-eseries.csv');
  it(`are those of the standard, ${golden.tolerance} (${golden.source})`, () => {
    for (const series of ['E24', 'E96'] as const) {
      const listed = golden.rows.filter((row) => row['series'] === series).map((row) => Number(row['value']));
      expect(listed).toHaveLength(series === 'E24' ? 24 : 96);
      expect([...seriesDecade(series)]).toEqual(listed);
    }
  });

  it('run through the decades, rising, within the limits and without rounding dust', () => {
    expect(seriesValues('E24', 82e3, 120e3)).toEqual([82e3, 91e3, 100e3, 110e3, 120e3]);
    expect(seriesValues('E96', 976e3, 1.03e6)).toEqual([976e3, 1e6, 1.02e6]);
    expect(seriesValues('E96', 1, 10)).toHaveLength(97);
    expect(() => seriesValues('E24', 10, 1)).toThrow(RangeError);
  });
});

describe('divider for one threshold', () => {
  it('finds the exact pair where there is one', () => {
    // By hand: 1.2 V · (1 + 2 MΩ/1 MΩ) = 3.6 V; both values stand in E24.
    const [best] = dividerFor(3.6, 1.2, { series: 'E24', total_Ohm: { low: 2.9e6, high: 3.1e6 } });
    expect(best).toMatchObject({ top_Ohm: 2e6, bottom_Ohm: 1e6 });
    expect(best?.threshold.error_V).toBeCloseTo(0, 12);
  });

  it('states the worst case: 1 % resistors and 0.5 % reference by hand', () => {
    const options: DividerOptions = {
      series: 'E24',
      total_Ohm: { low: 2.9e6, high: 3.1e6 },
      resistorTolerance_pct: 1,
      referenceTolerance_pct: 0.5,
      resistorDrift_ppm_K: 0,
      referenceDrift_ppm_K: 100,
      span_K: 40,
    };
    const { threshold } = dividerFor(3.6, 1.2, options, 1)[0]!;
    expect(threshold.high_V).toBeCloseTo(1.2 * 1.005 * (1 + (2 * 1.01) / 0.99), 12);
    expect(threshold.low_V).toBeCloseTo(1.2 * 0.995 * (1 + (2 * 0.99) / 1.01), 12);
    // 100 ppm/K over 40 K is 0.4 % of the reference, hence of the threshold.
    expect(threshold.drift_V).toBeCloseTo(0.004 * 3.6, 12);
    expect(threshold.worstHigh_V).toBeCloseTo(threshold.high_V * 1.004, 12);
    const tight = dividerFor(3.6, 1.2, { ...options, resistorTolerance_pct: 0.1 }, 1)[0]!.threshold;
    expect(tight.high_V - tight.low_V).toBeLessThan(threshold.high_V - threshold.low_V);
  });

  it('is never beaten by any other pair of the series', () => {
    const options: DividerOptions = { series: 'E24', total_Ohm: { low: 9e5, high: 1.1e6 } };
    const law = fc.property(fc.double({ min: 2.5, max: 4.3, noNaN: true }), (target_V) => {
      const best = dividerFor(target_V, 1.2, options, 1)[0]!;
      const values = seriesValues('E24', 1e3, 1.1e6);
      let least = Number.POSITIVE_INFINITY;
      for (const top of values) {
        for (const bottom of values) {
          if (top + bottom < 9e5 || top + bottom > 1.1e6) continue;
          least = Math.min(least, Math.abs(1.2 * (1 + top / bottom) - target_V));
        }
      }
      expect(Math.abs(best.threshold.error_V)).toBeLessThanOrEqual(least + 2e-9);
    });
    fc.assert(law, { seed: 9, numRuns: 60 });
  });

  it('comes within half a step of the series, and sorts by the miss', () => {
    const law = fc.property(fc.double({ min: 2, max: 4.4, noNaN: true }), (target_V) => {
      const list = dividerFor(target_V, 1.2, E96, 5);
      // IEC 60063: E96 steps by 10^(1/96), its values are rounded by up to 0.5 %; the miss is that share of V − V_ref.
      const halfStep = 10 ** (1 / 192) - 1 + 0.005;
      expect(Math.abs(list[0]!.threshold.error_V)).toBeLessThan(halfStep * (target_V - 1.2));
      const misses = list.map((d) => Math.abs(d.threshold.error_V));
      expect(misses.every((miss, i) => i === 0 || miss >= misses[i - 1]! - 2e-9)).toBe(true);
    });
    fc.assert(law, { seed: 10, numRuns: 100 });
  });

  it.each<[string, () => unknown, RegExp]>([
    ['a target at the reference', () => dividerFor(1.2, 1.2, E96), /target_V is 1.2/],
    ['no reference', () => dividerFor(3.3, 0, E96), /reference_V is 0/],
    ['an empty range', () => dividerFor(3.3, 1.2, { series: 'E96', total_Ohm: { low: 2, high: 1 } }), /total_Ohm runs/],
    ['a wild tolerance', () => dividerFor(3.3, 1.2, { series: 'E96', resistorTolerance_pct: 50 }), /between 0 and 20/],
    [
      'a total that nothing fits',
      () => dividerFor(3.3, 1.2, { series: 'E24', total_Ohm: { low: 1000000.1, high: 1000000.2 } }),
      /no E24 values/,
    ],
    [
      'reconnect below cut-off',
      () => hysteresisDivider({ cutOff_V: 3.5, reconnect_V: 3.4, reference_V: 1.2 }, E96),
      /reconnect_V 3.4 is not above cutOff_V 3.5/,
    ],
  ])('refuses %s', (_, act, sentence) => {
    expect(act).toThrow(UserError);
    expect(act).toThrow(sentence);
  });
});

describe('one string for cut-off and reconnect', () => {
  const target = { cutOff_V: 3.1, reconnect_V: 3.5, reference_V: 1.2 };

  it('sets both thresholds by the divider law, in values of the series', () => {
    const list = hysteresisDivider(target, E96, 4);
    const allowed = new Set(seriesValues('E96', 10, 1e7));
    expect(list).toHaveLength(4);
    for (const d of list) {
      const whole = d.r1_Ohm + d.r2_Ohm + d.r3_Ohm;
      expect(d.reconnect.nominal_V).toBeCloseTo((1.2 * whole) / d.r3_Ohm, 10);
      expect(d.cutOff.nominal_V).toBeCloseTo((1.2 * whole) / (d.r2_Ohm + d.r3_Ohm), 10);
      expect([d.r1_Ohm, d.r2_Ohm, d.r3_Ohm].every((r) => allowed.has(r))).toBe(true);
      expect(whole).toBeGreaterThanOrEqual(5e5);
      expect(whole).toBeLessThanOrEqual(5e6);
    }
    expect(Math.abs(list[0]!.cutOff.error_V)).toBeLessThan(0.01);
    expect(Math.abs(list[0]!.reconnect.error_V)).toBeLessThan(0.01);
  });

  it('brackets every unit that tolerance and drift can make', () => {
    const [best] = hysteresisDivider(target, E96, 1);
    const unit = fc.double({ min: -1, max: 1, noNaN: true });
    // Limits by default: 1 % and 100 ppm/K over 50 K for resistors, 1 % and 50 ppm/K for the reference.
    const off = 1.01 * 1.005 - 1;
    const holds = (a: number, b: number, c: number, r: number) => {
      const d = best!;
      const [r1, r2, r3] = [d.r1_Ohm * (1 + off * a), d.r2_Ohm * (1 + off * b), d.r3_Ohm * (1 + off * c)];
      const reference_V = 1.2 * (1 + (1.01 * 1.0025 - 1) * r);
      const cutOff_V = (reference_V * (r1 + r2 + r3)) / (r2 + r3);
      const reconnect_V = (reference_V * (r1 + r2 + r3)) / r3;
      expect(cutOff_V).toBeLessThanOrEqual(d.cutOff.worstHigh_V + 1e-9);
      expect(cutOff_V).toBeGreaterThanOrEqual(d.cutOff.worstLow_V - 1e-9);
      expect(reconnect_V).toBeLessThanOrEqual(d.reconnect.worstHigh_V + 1e-9);
      expect(reconnect_V).toBeGreaterThanOrEqual(d.reconnect.worstLow_V - 1e-9);
      expect(reconnect_V - cutOff_V).toBeGreaterThanOrEqual(d.leastGap_V - 1e-9);
    };
    fc.assert(fc.property(unit, unit, unit, unit, holds), { seed: 11, numRuns: 2000 });
    const corner = fc.constantFrom(-1, 1);
    fc.assert(fc.property(corner, corner, corner, corner, holds), { seed: 12, numRuns: 64 });
    expect(best!.leastGap_V).toBeGreaterThan(0);
  });
});

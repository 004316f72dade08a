import { describe, expect, it } from 'vitest';
import {
  checkLimits,
  DIPOLE_GAIN_dBi,
  LIMITS,
  LIMITS_READ_ON,
  limitsOf,
  REGIONS,
} from '../../../src/core/path/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const base = { frequency_MHz: 868.3, bandwidth_kHz: 125, conducted_dBm: 14, gain_dBi: 2.15 };

describe('the table of limits', () => {
  it.each(readGolden('path-limits.csv').rows)('$region $from_MHz-$to_MHz MHz as in the sources', (row) => {
    const value = (key: string) => (row[key] === '' ? undefined : Number(row[key]));
    const found = limitsOf(row['region']!).filter(
      (limit) =>
        limit.from_MHz === value('from_MHz') &&
        limit.to_MHz === value('to_MHz') &&
        limit.duty_pct === value('duty_pct') &&
        limit.freeGain_dBi === value('freeGain_dBi'),
    );
    for (const key of ['conducted_dBm', 'erp_dBm', 'eirp_dBm'] as const) {
      const wanted = value(key);
      if (wanted !== undefined)
        expect(found.some((limit) => Math.abs((limit[key] ?? Number.NaN) - wanted) < 0.01)).toBe(true);
    }
    expect(found.some((limit) => limit.confirmation === row['confirmation'])).toBe(true);
  });

  it('dates and cites each row, and says how sure it is', () => {
    expect(LIMITS_READ_ON).toMatch(/^\d{4}-\d\d-\d\d$/);
    for (const limit of LIMITS) {
      expect(limit.citation.length).toBeGreaterThan(10);
      expect(limit.to_MHz).toBeGreaterThan(limit.from_MHz);
      expect(limit.conducted_dBm ?? limit.eirp_dBm ?? limit.erp_dBm).toBeDefined();
      if (limit.confirmation === 'partly') expect(limit.confirmed).toBeDefined();
    }
    for (const region of REGIONS) expect(limitsOf(region).length).toBeGreaterThan(0);
  });

  it('tells an unknown region which ones it knows', () => {
    expect(() => limitsOf('Mars')).toThrow(UserError);
    expect(() => limitsOf('Mars')).toThrow(/US, EU, UK, AU, NZ, JP, IN/);
    expect(limitsOf('eu')).toEqual(limitsOf('EU'));
  });
});

describe('a setting against the limits', () => {
  it('keeps 25 mW e.r.p. exactly with a dipole at 14 dBm', () => {
    // 25 mW e.r.p. = 13.98 dBm e.r.p. = 16.13 dBm e.i.r.p. (ERC/REC 70-03; a half-wave dipole has 2.15 dBi).
    const at = (conducted_dBm: number) => checkLimits('EU', { ...base, conducted_dBm });
    expect(at(13.97).within).toBe(true);
    expect(at(14).verdicts[0]!.against.join()).toMatch(/e\.r\.p\. is 14 dBm: 13\.98 dBm are allowed/);
    expect(at(10).verdicts[0]!.headroom_dB).toBeCloseTo(3.979, 3);
    expect(at(14).eirp_dBm - at(14).erp_dBm).toBeCloseTo(DIPOLE_GAIN_dBi, 12);
  });

  it('judges the duty cycle where it is given, and tells it where not', () => {
    expect(checkLimits('EU', { ...base, conducted_dBm: 13, duty_pct: 1 }).within).toBe(true);
    expect(checkLimits('EU', { ...base, conducted_dBm: 13, duty_pct: 1.01 }).within).toBe(false);
    expect(checkLimits('EU', { ...base, conducted_dBm: 13 }).verdicts[0]!.also.join()).toMatch(/At most 1 %/);
    // 27 dBm e.r.p. in the sub-band of 500 mW and 10 %.
    const strong = { ...base, frequency_MHz: 869.525, bandwidth_kHz: 250, conducted_dBm: 26.9 };
    expect(checkLimits('EU', { ...strong, duty_pct: 10 }).within).toBe(true);
    expect(checkLimits('EU', { ...strong, frequency_MHz: 869.55 }).verdicts).toEqual([]); // its upper edge leaves the sub-band
  });

  it('takes a decibel off for each above 6 dBi in the United States', () => {
    // 47 CFR 15.247(b)(4): 500 kHz digital, 30 dBm conducted, 36 dBm e.i.r.p. at most.
    const us = { frequency_MHz: 915, bandwidth_kHz: 500, conducted_dBm: 30, gain_dBi: 6 };
    expect(checkLimits('US', us).within).toBe(true); // 7.8 dBm in 3 kHz, under the 8 that are allowed
    expect(checkLimits('US', { ...us, gain_dBi: 7 }).within).toBe(false);
    expect(checkLimits('US', { ...us, gain_dBi: 7, conducted_dBm: 29 }).within).toBe(true);
    expect(checkLimits('US', { ...us, conducted_dBm: 30.1 }).within).toBe(false);
  });

  it('finds that one channel of 125 kHz meets neither rule there', () => {
    // 47 CFR 15.247(a)(1), (a)(2): neither hopping nor 500 kHz wide (shared reference folder).
    const one = checkLimits('US', { frequency_MHz: 915, bandwidth_kHz: 125, conducted_dBm: 20, gain_dBi: 2 });
    expect(one.within).toBe(false);
    expect(one.verdicts.flatMap((v) => v.against).join(' ')).toMatch(/hopping over at least 50/);
    expect(one.verdicts.flatMap((v) => v.against).join(' ')).toMatch(/at least 500 kHz/);
    expect(
      checkLimits('US', { frequency_MHz: 915, bandwidth_kHz: 125, conducted_dBm: 30, gain_dBi: 2, channels: 50 })
        .within,
    ).toBe(true);
    // Hybrid at 125 kHz: 8 dBm in 3 kHz make 24.2 dBm, spread evenly.
    const hybrid = { frequency_MHz: 915, bandwidth_kHz: 125, gain_dBi: 2, channels: 8 };
    expect(checkLimits('US', { ...hybrid, conducted_dBm: 24.1 }).within).toBe(true);
    expect(checkLimits('US', { ...hybrid, conducted_dBm: 24.3 }).within).toBe(false);
  });

  it('names the bands where the emission is in none, and computes all the same', () => {
    const report = checkLimits('EU', { ...base, frequency_MHz: 915 });
    expect(report.within).toBe(false);
    expect(report.verdicts).toEqual([]);
    expect(report.bands).toContainEqual({ from_MHz: 869.4, to_MHz: 869.65 });
    expect(report.eirp_dBm).toBeCloseTo(16.15, 9);
    expect(() => checkLimits('EU', { ...base, gain_dBi: Number.NaN })).toThrow(/gain_dBi is NaN/);
  });
});

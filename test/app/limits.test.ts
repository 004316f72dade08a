import { describe, expect, it } from 'vitest';
import { limitHint, limits } from '../../src/app/limits.ts';
import { LIMITS, LIMITS_READ_ON, REGIONS } from '../../src/core/path/index.ts';
import { readGolden } from '../golden.ts';
import { problemsOf } from './real-ports.ts';

const EU = { region: 'EU', frequency_MHz: 868.3, bandwidth_kHz: 125, gain_dBi: 2.15, feederLoss_dB: 0, channels: 1 };

describe('limits', () => {
  it('gives every rule of every region with its citation, dated, and says how sure it is', () => {
    for (const region of REGIONS) {
      const told = limits({ region });
      expect(told.rows.length).toBe(LIMITS.filter((l) => l.region === region).length);
      expect(told.readOn).toBe(LIMITS_READ_ON);
      expect(told.within).toBeNull();
      for (const row of told.rows) {
        expect(row.citation).not.toBe('');
        expect(['confirmed', 'partly', 'from memory']).toContain(row.confirmation);
        expect(row.verdict).toBe('not judged');
      }
      expect(told.cautions.map((c) => c.text).join()).toContain('local law decides');
    }
    expect(limits({ region: 'eu' }).region).toBe('EU');
  });

  it('has the powers of the sources in its rows', () => {
    const { rows } = readGolden('path-limits.csv');
    for (const row of rows) {
      const told = limits({ region: row['region']! }).rows.filter(
        (r) => r.from_MHz === Number(row['from_MHz']) && r.to_MHz === Number(row['to_MHz']),
      );
      for (const key of ['conducted_dBm', 'erp_dBm', 'eirp_dBm'] as const)
        if (row[key] !== '')
          expect(told.some((r) => Math.abs((r[key] ?? Number.NaN) - Number(row[key])) < 0.01)).toBe(true);
    }
    expect(rows.length).toBeGreaterThan(10);
  });

  it('says which rule is kept, and what is above its limit is told and computed all the same', () => {
    // 25 mW e.r.p. is 13.98 dBm e.r.p., with a dipole of 2.15 dBi 13.98 dBm at the connector (ERC/REC 70-03 as read).
    const kept = limits({ ...EU, power_dBm: 13.9, duty_pct: 0.5 });
    expect(kept).toMatchObject({ within: true });
    expect(kept.eirp_dBm).toBeCloseTo(16.05, 9);
    expect(kept.erp_dBm).toBeCloseTo(13.9, 9);
    expect(kept.rows.filter((r) => r.verdict === 'kept').map((r) => r.from_MHz)).toEqual([868]);
    const over = limits({ ...EU, power_dBm: 20 });
    expect(over.within).toBe(false);
    expect(over.eirp_dBm).toBeCloseTo(22.15, 9);
    expect(over.verdict).toContain('keeps no rule of the European table');
    expect(over.verdict).toContain('The e.r.p. is 20 dBm: 13.98 dBm are allowed');
    expect(over.cautions.map((c) => c.code)).toContain('over-limits');
  });

  it('tells the highest power where none is given, whatever the gain', () => {
    // 47 CFR 15.247(b)(4): each dB of gain above 6 dBi takes one off the conducted power.
    const US = { region: 'US', frequency_MHz: 915, bandwidth_kHz: 125, channels: 64 };
    const most = (gain_dBi: number) =>
      limits({ ...US, gain_dBi }).rows.find((r) => r.kind.includes('50 channels'))!.mostPower_dBm;
    expect(most(6)).toBeCloseTo(30, 9);
    expect(most(9)).toBeCloseTo(27, 9);
    const told = limits({ ...US, gain_dBi: 6 });
    expect(told.within).toBeNull();
    expect(told.verdict).toContain('up to 30.0 dBm at the connector');
    // One channel of 125 kHz keeps none but the low-power rule: 50 mV/m at 3 m is -1.25 dBm e.i.r.p.
    expect(limits({ ...US, channels: 1, gain_dBi: 0 }).verdict).toContain('up to -1.2 dBm');
  });

  it('duty cycle is judged where it is told, and asked for where it is not', () => {
    expect(limits({ ...EU, power_dBm: 10, duty_pct: 2 }).verdict).toContain('on the air for 2 % of the hour: 1 %');
    expect(limits({ ...EU, power_dBm: 10 }).verdict).toContain('on the air at most 1 % of the hour');
    expect(limitHint('EU', { frequency_MHz: 868.3, bandwidth_kHz: 125, conducted_dBm: 10, gain_dBi: 2 }).within).toBe(
      true,
    );
  });

  it('a frequency outside all bands names the bands', () => {
    const told = limits({ ...EU, frequency_MHz: 433, power_dBm: 10 });
    expect(told).toMatchObject({ within: false });
    expect(told.verdict).toContain('lies in no band of the European table (EU and CEPT) known here: those are 863–865');
  });

  it.each([
    [{ region: 'Mars' }, '"Mars" is no region of the table: it knows US, EU, UK, AU, NZ, JP, IN'],
    [{ region: 'EU', power_dBm: 14 }, '--power is given without --frequency'],
    [{ region: 'EU', frequency_MHz: -1 }, '--frequency is -1: give it in MHz'],
    [{ region: 'EU', frequency_MHz: 868, bandwidth_kHz: 0 }, '--bandwidth is 0: give it in kHz'],
  ])('%j is told', async (request, message) => {
    const found = await problemsOf(() => limits(request));
    expect(found.map((p) => p.message).join()).toContain(message);
  });
});

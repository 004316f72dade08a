import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type AirtimeRequest, airtime } from '../../src/app/airtime.ts';
import { readGolden } from '../golden.ts';
import { problemsOf } from './real-ports.ts';

const USUAL: AirtimeRequest = { sf: 8, bandwidth_kHz: 125, codingRate: '4/6', payload_bytes: 40, preamble_symbols: 8 };

interface SharedCase {
  readonly id: string;
  readonly inputs: {
    readonly sf: number;
    readonly bandwidth_kHz: number;
    readonly payload_bytes: number;
    readonly coding_rate: string;
    readonly preamble_symbols: number;
    readonly explicit_header: boolean;
    readonly crc: boolean;
    readonly low_data_rate_optimise: boolean;
  };
  readonly expected_ms: number;
  readonly tolerance_ms: number;
}

function sharedCases(): readonly SharedCase[] | undefined {
  try {
    const file = new URL('../../../shared/reference/radio/lora_time_on_air.json', import.meta.url);
    return (JSON.parse(readFileSync(file, 'utf8')) as { cases: SharedCase[] }).cases;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

describe('airtime', () => {
  it.each(readGolden('airtime-time-on-air.csv').rows)('$id', (row) => {
    const told = airtime({
      sf: Number(row['sf']),
      bandwidth_kHz: Number(row['bandwidth_kHz']),
      codingRate: row['codingRate'],
      payload_bytes: Number(row['payload_bytes']),
      preamble_symbols: Number(row['preamble_symbols']),
      explicitHeader: row['explicitHeader'] === 'yes',
      crc: row['crc'] === 'yes',
      lowRate: row['lowDataRate'] as 'on' | 'off',
    });
    expect(Math.abs(told.timeOnAir_ms - Number(row['timeOnAir_ms']))).toBeLessThan(Number(row['tolerance_ms']));
  });

  const shared = sharedCases();
  it.skipIf(shared === undefined)(
    `agrees with all rows of the shared reference folder${shared ? '' : ' (skipped: it is not here)'}`,
    () => {
      expect(shared!.length).toBeGreaterThan(5);
      for (const { inputs, expected_ms, tolerance_ms } of shared!) {
        const told = airtime({
          sf: inputs.sf,
          bandwidth_kHz: inputs.bandwidth_kHz,
          codingRate: inputs.coding_rate,
          payload_bytes: inputs.payload_bytes,
          preamble_symbols: inputs.preamble_symbols,
          explicitHeader: inputs.explicit_header,
          crc: inputs.crc,
          lowRate: inputs.low_data_rate_optimise ? 'on' : 'off',
        });
        expect(Math.abs(told.timeOnAir_ms - expected_ms)).toBeLessThanOrEqual(tolerance_ms);
      }
    },
  );

  it('turns low-data-rate mode on where a symbol lasts over 16 ms (data sheet: SF11 and SF12 at 125 kHz)', () => {
    const on = [9, 10, 11, 12].map((sf) => airtime({ ...USUAL, sf }).lowRate);
    expect(on).toEqual([false, false, true, true]);
    expect(airtime({ ...USUAL, sf: 12, lowRate: 'off' }).notes.join()).toContain('above 16 ms');
    expect(airtime({ ...USUAL, sf: 12, lowRate: 'on' }).timeOnAir_ms).toBe(airtime({ ...USUAL, sf: 12 }).timeOnAir_ms);
    expect(airtime({ ...USUAL, sf: 5, lowRate: 'on' }).notes.join()).toContain('--low-rate on has no effect');
  });

  it('counts messages, share and silence at a duty cycle', () => {
    // By hand: 176.64 ms a message; 1 % of the hour is 36 s, so 203.8 messages; the silence after each is 99 times its length.
    const told = airtime({ ...USUAL, duty_pct: 1, perHour: 300 });
    expect(told.duty).toMatchObject({ limit_pct: 1, messagesPerHour: 203, kept: false });
    expect(told.duty!.pauseAfter_ms).toBeCloseTo(176.64 * 99, 6);
    expect(told.perHour!.share_pct).toBeCloseTo((300 * 176.64) / 36_000, 6);
    expect(airtime({ ...USUAL, duty_pct: 1, perHour: 203 }).duty!.kept).toBe(true);
    expect(airtime({ ...USUAL, duty_pct: 1 }).duty!.kept).toBeNull();
  });

  it('gives the energy of a message', () => {
    // E = V I t: 3.3 V x 45 mA x 0.17664 s = 26.231 mJ; beyond 5 mA of idling 23.31648 mJ.
    const told = airtime({ ...USUAL, current_mA: 45, idle_mA: 5, supply_V: 3.3, perHour: 10 });
    expect(told.energy!.total_mJ).toBeCloseTo(26.231, 3);
    expect(told.energy!.extra_mJ).toBeCloseTo(23.31648, 5);
    expect(told.energy!.extra_Wh_day).toBeCloseTo((23.31648 * 240) / 3.6e6, 8);
    expect(airtime(USUAL).energy).toBeNull();
  });

  it('tells what it took for granted, and writes a setting without a name', () => {
    const told = airtime({ sf: 8, bandwidth_kHz: 125, payload_bytes: 40 });
    expect(told.assumptions.map((a) => a.field)).toEqual(['--coding-rate', '--preamble']);
    expect(airtime(USUAL).setting).toBe('SF8 / 125 kHz / 4:6');
    expect(airtime({ ...USUAL, bandwidth_kHz: 41.7 }).setting).toBe('SF8 / 41.7 kHz / 4:6');
  });

  it.each([
    [{ sf: 13 }, 'The spreading factor is 13: it is a whole number from 5 to 12.'],
    [{ bandwidth_kHz: 126.5 }, 'The bandwidth is 126.5 kHz: it is one of 7.8,'],
    [{ codingRate: '4/9' }, 'The coding rate is "4/9": it is one of 4/5, 4/6, 4/7 or 4/8.'],
    [{ payload_bytes: 256 }, 'The payload is 256 bytes: a packet carries 0 to 255 whole bytes.'],
    [{ preamble_symbols: 0 }, 'The preamble is 0 symbols'],
    [{ duty_pct: 0 }, 'The duty cycle is 0 %: it lies above 0 and up to 100 %.'],
    [{ perHour: -1 }, '--per-hour is -1: a number of messages in an hour lies between 0 and 1000000'],
    [{ current_mA: -5 }, '--current is -5: a current in mA lies between 0 and 20000'],
  ])('%j is told', async (change, message) => {
    const found = await problemsOf(() => airtime({ ...USUAL, ...change }));
    expect(found.map((p) => p.message).join('\n')).toContain(message);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  airtimeShare_pct,
  BANDWIDTHS_kHz,
  type CodingRate,
  exactBandwidth_kHz,
  formatSetting,
  leastSf,
  messageEnergy_mJ,
  messagesPerHour,
  noiseFloor_dBm,
  type Packet,
  parseCodingRate,
  pauseAfter_ms,
  payloadRate_bit_s,
  sensitivity_dBm,
  snrLimit_dB,
  survivalRatio_dB,
  timeOnAir,
} from '../../../src/core/airtime/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

const packet: Packet = { sf: 9, bandwidth_kHz: 125, codingRate: 5, payload_bytes: 13, preamble_symbols: 8 };

describe('time on air', () => {
  it.each(readGolden('airtime-time-on-air.csv').rows)('$id', (row) => {
    const found = timeOnAir({
      sf: Number(row['sf']),
      bandwidth_kHz: Number(row['bandwidth_kHz']),
      codingRate: parseCodingRate(row['codingRate']!),
      payload_bytes: Number(row['payload_bytes']),
      preamble_symbols: Number(row['preamble_symbols']),
      explicitHeader: row['explicitHeader'] === 'yes',
      crc: row['crc'] === 'yes',
      lowDataRate: row['lowDataRate'] === 'on',
    });
    expect(Math.abs(found.timeOnAir_ms - Number(row['timeOnAir_ms']))).toBeLessThanOrEqual(Number(row['tolerance_ms']));
    if (row['payloadSymbols'] !== '') expect(found.payloadSymbols).toBe(Number(row['payloadSymbols']));
  });

  it('switches low-data-rate mode on where a symbol lasts over 16 ms', () => {
    // SX1276 data sheet sec. 4.1.1.6: mandated for 125 kHz at SF11-12, 250 kHz at SF12, 62.5 kHz at SF10-12.
    const on = [62.5, 125, 250, 500].flatMap((bandwidth_kHz) =>
      [7, 8, 9, 10, 11, 12]
        .filter((sf) => timeOnAir({ ...packet, sf, bandwidth_kHz }).lowDataRate)
        .map((sf) => `${bandwidth_kHz} SF${sf}`),
    );
    expect(on).toEqual(['62.5 SF10', '62.5 SF11', '62.5 SF12', '125 SF11', '125 SF12', '250 SF12']);
    expect(timeOnAir({ ...packet, sf: 6, lowDataRate: true }).lowDataRate).toBe(false); // SX1261/2 data sheet sec. 6.1.4
  });

  it('never falls with a longer payload or preamble, a stronger code or a higher spreading factor', () => {
    const settings = fc.record({
      sf: fc.integer({ min: 7, max: 11 }),
      bandwidth_kHz: fc.constantFrom(...BANDWIDTHS_kHz),
      codingRate: fc.constantFrom<CodingRate>(5, 6, 7),
      payload_bytes: fc.integer({ min: 0, max: 254 }),
      preamble_symbols: fc.integer({ min: 1, max: 1000 }),
      explicitHeader: fc.boolean(),
      crc: fc.boolean(),
    });
    fc.assert(
      fc.property(settings, (p) => {
        const now = timeOnAir(p).timeOnAir_ms;
        expect(timeOnAir({ ...p, payload_bytes: p.payload_bytes + 1 }).timeOnAir_ms).toBeGreaterThanOrEqual(now);
        expect(timeOnAir({ ...p, preamble_symbols: p.preamble_symbols + 1 }).timeOnAir_ms).toBeGreaterThan(now);
        expect(timeOnAir({ ...p, codingRate: (p.codingRate + 1) as CodingRate }).timeOnAir_ms).toBeGreaterThanOrEqual(
          now,
        );
        expect(timeOnAir({ ...p, sf: p.sf + 1 }).timeOnAir_ms).toBeGreaterThan(now);
        // Half the bandwidth doubles all of it, the mode being the same.
        const wide = timeOnAir({ ...p, bandwidth_kHz: 250, lowDataRate: false }).timeOnAir_ms;
        const narrow = timeOnAir({ ...p, bandwidth_kHz: 125, lowDataRate: false }).timeOnAir_ms;
        expect(narrow).toBeCloseTo(2 * wide, 9);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('refuses each value just outside its limits', () => {
    for (const change of [
      { sf: 4 },
      { sf: 13 },
      { sf: 7.5 },
      { bandwidth_kHz: 120 },
      { bandwidth_kHz: Number.NaN },
      { codingRate: 9 as CodingRate },
      { payload_bytes: -1 },
      { payload_bytes: 256 },
      { payload_bytes: 1.5 },
      { preamble_symbols: 0 },
      { preamble_symbols: 65_536 },
    ])
      expect(() => timeOnAir({ ...packet, ...change })).toThrow(UserError);
    for (const change of [
      { sf: 5 },
      { sf: 12 },
      { payload_bytes: 0 },
      { payload_bytes: 255 },
      { preamble_symbols: 65_535 },
    ])
      expect(timeOnAir({ ...packet, ...change }).timeOnAir_ms).toBeGreaterThan(0);
    expect(() => parseCodingRate('4/9')).toThrow(/4\/5, 4\/6, 4\/7 or 4\/8/);
    expect(() => exactBandwidth_kHz(100)).toThrow(/one of 7\.8, 10\.4/);
  });

  it('writes and reads settings', () => {
    expect(formatSetting({ sf: 8, bandwidth_kHz: 125, codingRate: parseCodingRate('4:6') })).toBe(
      'SF8 / 125 kHz / 4:6',
    );
    expect(exactBandwidth_kHz(41.7)).toBeCloseTo(125 / 3, 12);
    // 13 bytes in 164.864 ms, the worked example of AN1200.13.
    expect(payloadRate_bit_s(packet)).toBeCloseTo(104 / 0.164864, 9);
  });
});

describe('duty cycle and energy', () => {
  it('counts messages and pauses', () => {
    // By hand: 1 % of an hour is 36 s; 36 / 0.164864 = 218.4 messages; the pause after one is 99 times its length.
    expect(messagesPerHour(164.864, 1)).toBe(218);
    expect(pauseAfter_ms(164.864, 1)).toBeCloseTo(99 * 164.864, 9);
    expect(messagesPerHour(360, 1)).toBe(100);
    expect(airtimeShare_pct(360, 100)).toBeCloseTo(1, 12);
    expect(() => messagesPerHour(100, 0)).toThrow(UserError);
    expect(() => pauseAfter_ms(100, 101)).toThrow(UserError);
  });

  it('prices a message in energy', () => {
    // By hand: 3.3 V · 118 mA · 0.2 s = 77.88 mJ; with 4.6 mA drawn anyway, 74.844 mJ more.
    const { total_mJ, extra_mJ } = messageEnergy_mJ({
      timeOnAir_ms: 200,
      supply_V: 3.3,
      transmit_mA: 118,
      idle_mA: 4.6,
    });
    expect(total_mJ).toBeCloseTo(77.88, 10);
    expect(extra_mJ).toBeCloseTo(74.844, 10);
  });
});

describe('the link', () => {
  it.each(readGolden('airtime-sensitivity.csv').rows)('SF$sf / $bandwidth_kHz kHz', (row) => {
    const found = sensitivity_dBm(Number(row['sf']), Number(row['bandwidth_kHz']), Number(row['noiseFigure_dB']));
    expect(Math.abs(found - Number(row['sensitivity_dBm']))).toBeLessThan(0.05);
  });

  it('meets the sensitivity of a data sheet', () => {
    // SX1262 data sheet as quoted: -137 dBm at SF12 and 125 kHz; the usual noise figure of 6 dB.
    expect(Math.abs(sensitivity_dBm(12, 125, 6) + 137)).toBeLessThan(0.1);
    expect(noiseFloor_dBm(1, 0)).toBe(-144);
  });

  it('finds the least spreading factor that closes', () => {
    expect(leastSf(-7.5)).toBe(7);
    expect(leastSf(-7.6)).toBe(8);
    expect(leastSf(-15, 3)).toBe(12);
    expect(leastSf(-20.1)).toBeUndefined();
    expect(leastSf(0, 0, 5)).toBe(5);
    expect(() => snrLimit_dB(13)).toThrow(UserError);
  });

  it('knows who survives whom', () => {
    // Croce et al. 2018, as coded in public simulators: spot values; same factor: 6 dB of Bor et al. 2016.
    expect(survivalRatio_dB(7, 8)).toBe(-8);
    expect(survivalRatio_dB(12, 7)).toBe(-25);
    expect(survivalRatio_dB(10, 12)).toBe(-18);
    expect(survivalRatio_dB(9, 9)).toBe(6);
    expect(survivalRatio_dB(9, 9, 1)).toBe(1);
    expect(() => survivalRatio_dB(6, 7)).toThrow(UserError);
    // The higher the wanted factor, the more it stands, whoever disturbs (physics of spreading).
    for (let other = 7; other <= 12; other++)
      for (let sf = 7; sf < 12; sf++)
        if (sf !== other && sf + 1 !== other)
          expect(survivalRatio_dB(sf + 1, other)).toBeLessThan(survivalRatio_dB(sf, other));
  });
});

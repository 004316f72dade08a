import { UserError } from '../units/index.ts';
import { exactBandwidth_kHz, type RadioSetting, settingProblems, symbolTime_ms } from './setting.ts';

export interface Packet extends RadioSetting {
  /** Bytes after the header, 0..255. */
  readonly payload_bytes: number;
  /** Programmed preamble, without the 4.25 symbols that the radio adds (6.25 for SF5 and SF6). */
  readonly preamble_symbols: number;
  /** The header tells length, coding rate and check; without it both ends must know them. True if left out. */
  readonly explicitHeader?: boolean;
  /** Check of the payload; true if left out. */
  readonly crc?: boolean;
  /** Low-data-rate mode, which spreads slow symbols over fewer bits; auto: on where a symbol lasts over 16 ms. */
  readonly lowDataRate?: boolean | 'auto';
}

export interface TimeOnAir {
  readonly timeOnAir_ms: number;
  readonly preamble_ms: number;
  readonly symbol_ms: number;
  /** Symbols after the preamble, header included. */
  readonly payloadSymbols: number;
  /** Whether low-data-rate mode is on. */
  readonly lowDataRate: boolean;
}

/** A symbol longer than this asks for low-data-rate mode (SX1276 data sheet, sec. 4.1.1.6). */
const SLOW_SYMBOL_ms = 16;

/**
 * Time that a packet takes in the air, ms.
 *
 * Source: SX1276 data sheet, sec. 4.1.1.7, for SF7 to SF12; SX1261/2 data sheet, sec. 6.1.4, for SF5 and SF6 (two symbols more of
 * preamble, no low-data-rate mode). SF6 of older radios has other framing and is not meant. Exact.
 * Checked against a network simulator's tests and the chip maker's own function in test/golden/airtime-time-on-air.csv.
 *
 * @throws UserError outside the limits.
 */
export function timeOnAir(packet: Packet): TimeOnAir {
  const { sf, codingRate, payload_bytes, preamble_symbols, explicitHeader = true, crc = true } = packet;
  const problems = settingProblems(packet);
  if (!(Number.isInteger(payload_bytes) && payload_bytes >= 0 && payload_bytes <= 255))
    problems.push({
      code: 'airtime.payload',
      message: `The payload is ${payload_bytes} bytes: a packet carries 0 to 255 whole bytes.`,
      place: { field: 'payload_bytes' },
    });
  if (!(Number.isInteger(preamble_symbols) && preamble_symbols >= 1 && preamble_symbols <= 65_535))
    problems.push({
      code: 'airtime.preamble',
      message: `The preamble is ${preamble_symbols} symbols: it is a whole number from 1 to 65,535, most often 8 to 16.`,
      place: { field: 'preamble_symbols' },
    });
  if (problems.length > 0) throw new UserError(problems);

  const symbol_ms = symbolTime_ms(sf, exactBandwidth_kHz(packet.bandwidth_kHz));
  const fast = sf <= 6;
  const asked = packet.lowDataRate ?? 'auto';
  const lowDataRate = !fast && (asked === 'auto' ? symbol_ms > SLOW_SYMBOL_ms : asked);
  const bits = 8 * payload_bytes - 4 * sf + (fast ? 0 : 8) + (explicitHeader ? 20 : 0) + (crc ? 16 : 0);
  const perBlock = 4 * (lowDataRate ? sf - 2 : sf);
  const payloadSymbols = 8 + Math.ceil(Math.max(bits, 0) / perBlock) * codingRate;
  const preamble_ms = (preamble_symbols + (fast ? 6.25 : 4.25)) * symbol_ms;
  return {
    timeOnAir_ms: preamble_ms + payloadSymbols * symbol_ms,
    preamble_ms,
    symbol_ms,
    payloadSymbols,
    lowDataRate,
  };
}

/** Bits of payload per second while on the air, all framing counted as loss. */
export function payloadRate_bit_s(packet: Packet): number {
  return (8000 * packet.payload_bytes) / timeOnAir(packet).timeOnAir_ms;
}

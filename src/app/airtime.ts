import {
  airtimeShare_pct,
  exactBandwidth_kHz,
  formatSetting,
  messageEnergy_mJ,
  messagesPerHour,
  parseCodingRate,
  pauseAfter_ms,
  payloadRate_bit_s,
  sensitivity_dBm,
  timeOnAir,
} from '../core/airtime/index.ts';
import type { Assumption } from '../core/energy/index.ts';
import { type Problem, UserError } from '../core/units/index.ts';

export interface AirtimeRequest {
  readonly sf: number;
  readonly bandwidth_kHz: number;
  /** `4/5`…`4/8`. */
  readonly codingRate?: string | undefined;
  readonly payload_bytes: number;
  readonly preamble_symbols?: number | undefined;
  readonly explicitHeader?: boolean | undefined;
  readonly crc?: boolean | undefined;
  readonly lowRate?: 'on' | 'off' | 'auto' | undefined;
  /** Messages sent in an hour by this node, its forwarded ones among them. */
  readonly perHour?: number | undefined;
  readonly duty_pct?: number | undefined;
  /** Supply current while sending, and otherwise. */
  readonly current_mA?: number | undefined;
  readonly idle_mA?: number | undefined;
  readonly supply_V?: number | undefined;
}

/** Result of `sunperch airtime`. */
export interface AirtimeOutcome {
  readonly command: 'airtime';
  readonly setting: string;
  readonly timeOnAir_ms: number;
  readonly symbol_ms: number;
  readonly preamble_ms: number;
  /** After the preamble, header included. */
  readonly payloadSymbols: number;
  /** Whether low-data-rate mode is on. */
  readonly lowRate: boolean;
  /** Bits of payload per second on the air; null for an empty payload. */
  readonly payloadRate_bit_s: number | null;
  /** Weakest signal that is received with a noise figure of 6 dB. */
  readonly sensitivity_dBm: number;
  /** Share of the hour; null without a number of messages. */
  readonly perHour: { readonly messages: number; readonly airtime_s: number; readonly share_pct: number } | null;
  /** Within a duty cycle; null without one. */
  readonly duty: {
    readonly limit_pct: number;
    readonly messagesPerHour: number;
    readonly pauseAfter_ms: number;
    /** Whether the number of messages told keeps the limit; null without one. */
    readonly kept: boolean | null;
  } | null;
  /** Null without a current. */
  readonly energy: {
    readonly total_mJ: number;
    readonly extra_mJ: number;
    readonly extra_Wh_day: number | null;
  } | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

const USUAL = { codingRate: '4/5', preamble_symbols: 8, supply_V: 3.3, noiseFigure_dB: 6 } as const;

/**
 * `sunperch airtime`: how long a packet lasts, what share of the hour it takes, and what it costs.
 *
 * Exact for the formula of the data sheets (core/airtime). Throws UserError for a value outside.
 */
export function airtime(request: AirtimeRequest): AirtimeOutcome {
  const { sf, payload_bytes, perHour, duty_pct, current_mA, idle_mA } = request;
  checkNumbers(request);
  const assumptions: Assumption[] = [];
  const notes: string[] = [];
  const assume = <T extends string | number>(field: string, given: T | undefined, value: T, why: string): T => {
    if (given !== undefined) return given;
    assumptions.push({ field, value: String(value), why });
    return value;
  };
  const codingRate = parseCodingRate(
    assume('--coding-rate', request.codingRate, USUAL.codingRate, 'the least redundancy'),
  );
  const preamble_symbols = assume('--preamble', request.preamble_symbols, USUAL.preamble_symbols, 'the usual length');
  const asked = request.lowRate ?? 'auto';
  const packet = {
    sf,
    bandwidth_kHz: request.bandwidth_kHz,
    codingRate,
    payload_bytes,
    preamble_symbols,
    explicitHeader: request.explicitHeader ?? true,
    crc: request.crc ?? true,
    lowDataRate: asked === 'auto' ? asked : asked === 'on',
  } as const;
  const found = timeOnAir(packet);
  const bandwidth_kHz = exactBandwidth_kHz(request.bandwidth_kHz);
  if (asked === 'on' && !found.lowDataRate)
    notes.push(`SF${sf} has no low-data-rate mode: --low-rate on has no effect.`);
  if (asked === 'off' && found.symbol_ms > 16 && sf > 6)
    notes.push(
      `A symbol lasts ${found.symbol_ms.toFixed(1)} ms: above 16 ms the data sheet asks for low-data-rate mode, and the other end must have it alike.`,
    );
  if (sf <= 6)
    notes.push(
      `SF${sf} is framed as by radios that know SF5; an older radio's SF6 is another framing. At least 12 symbols of preamble are asked for (from memory).`,
    );
  const extra = (energy: { extra_mJ: number }) =>
    perHour === undefined ? null : (energy.extra_mJ * perHour * 24) / 3_600_000;
  const energy =
    current_mA === undefined
      ? null
      : messageEnergy_mJ({
          timeOnAir_ms: found.timeOnAir_ms,
          transmit_mA: current_mA,
          idle_mA: assume('--idle', idle_mA, 0, 'without it the whole current counts as extra'),
          supply_V: assume('--voltage', request.supply_V, USUAL.supply_V, 'the usual supply of a radio'),
        });
  return {
    command: 'airtime',
    setting: formatSetting({ sf, bandwidth_kHz, codingRate }),
    timeOnAir_ms: found.timeOnAir_ms,
    symbol_ms: found.symbol_ms,
    preamble_ms: found.preamble_ms,
    payloadSymbols: found.payloadSymbols,
    lowRate: found.lowDataRate,
    payloadRate_bit_s: payload_bytes === 0 ? null : payloadRate_bit_s(packet),
    sensitivity_dBm: sensitivity_dBm(sf, bandwidth_kHz, USUAL.noiseFigure_dB),
    perHour:
      perHour === undefined
        ? null
        : {
            messages: perHour,
            airtime_s: (found.timeOnAir_ms * perHour) / 1000,
            share_pct: airtimeShare_pct(found.timeOnAir_ms, perHour),
          },
    duty:
      duty_pct === undefined
        ? null
        : {
            limit_pct: duty_pct,
            messagesPerHour: messagesPerHour(found.timeOnAir_ms, duty_pct),
            pauseAfter_ms: pauseAfter_ms(found.timeOnAir_ms, duty_pct),
            kept: perHour === undefined ? null : airtimeShare_pct(found.timeOnAir_ms, perHour) <= duty_pct * (1 + 1e-9),
          },
    energy: energy === null ? null : { ...energy, extra_Wh_day: extra(energy) },
    notes,
    assumptions,
  };
}

/** What the core does not look at. */
function checkNumbers(request: AirtimeRequest): void {
  const problems: Problem[] = [];
  const hold = (field: string, value: number | undefined, low: number, high: number, what: string) => {
    if (value === undefined || (value >= low && value <= high)) return;
    problems.push({
      code: 'out-of-range',
      message: `${field} is ${value}: ${what} lies between ${low} and ${high}`,
      place: { field },
    });
  };
  hold('--per-hour', request.perHour, 0, 1e6, 'a number of messages in an hour');
  hold('--current', request.current_mA, 0, 20_000, 'a current in mA');
  hold('--idle', request.idle_mA, 0, 20_000, 'a current in mA');
  hold('--voltage', request.supply_V, 0.8, 60, 'a supply voltage');
  if (problems.length > 0) throw new UserError(problems);
}

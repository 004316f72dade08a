import { type Problem, UserError } from '../units/index.ts';

/** Denominator of the coding rate: 4/5 is 5. */
export type CodingRate = 5 | 6 | 7 | 8;

/** The radio setting that all nodes of a net share. */
export interface RadioSetting {
  /** Spreading factor, 5..12. */
  readonly sf: number;
  readonly bandwidth_kHz: number;
  readonly codingRate: CodingRate;
}

/** Bandwidths that LoRa modulation below 1 GHz knows, kHz (SX1276 data sheet, sec. 4.1.1.4, as divisions of 500 kHz). */
export const BANDWIDTHS_kHz: readonly number[] = [
  7.8125, 10.416666666666666, 15.625, 20.833333333333332, 31.25, 41.666666666666664, 62.5, 125, 250, 500,
];

/**
 * The exact bandwidth for a rounded one such as 7.8, 10.4 or 41.7 kHz: the nearest of `BANDWIDTHS_kHz` within 1 %.
 *
 * @throws UserError for any other.
 */
export function exactBandwidth_kHz(given_kHz: number): number {
  const found = BANDWIDTHS_kHz.find((b) => Math.abs(given_kHz - b) <= 0.01 * b);
  if (found !== undefined) return found;
  throw new UserError({
    code: 'airtime.bandwidth',
    message: `The bandwidth is ${given_kHz} kHz: it is one of ${BANDWIDTHS_kHz.map((b) => Math.round(b * 10) / 10).join(', ')} kHz.`,
    place: { field: 'bandwidth_kHz' },
  });
}

/**
 * Reads `4/5`…`4/8` (also written `4:5`).
 *
 * @throws UserError for anything else.
 */
export function parseCodingRate(text: string): CodingRate {
  const found = /^\s*4\s*[/:]\s*([5-8])\s*$/.exec(text);
  if (found) return Number(found[1]) as CodingRate;
  throw new UserError({
    code: 'airtime.codingRate',
    message: `The coding rate is "${text.slice(0, 40)}": it is one of 4/5, 4/6, 4/7 or 4/8.`,
    place: { field: 'codingRate' },
  });
}

/** How a setting is written: `SF8 / 125 kHz / 4:6`. */
export function formatSetting(setting: RadioSetting): string {
  return `SF${setting.sf} / ${Math.round(setting.bandwidth_kHz * 10) / 10} kHz / 4:${setting.codingRate}`;
}

/** Length of a symbol, ms: 2^SF chips at the rate of the bandwidth (SX1276 data sheet, sec. 4.1.1.6). */
export function symbolTime_ms(sf: number, bandwidth_kHz: number): number {
  return 2 ** sf / bandwidth_kHz;
}

/** Tells what is wrong with a setting; empty when all is well. */
export function settingProblems(setting: RadioSetting): Problem[] {
  const problems: Problem[] = [];
  if (!(Number.isInteger(setting.sf) && setting.sf >= 5 && setting.sf <= 12))
    problems.push({
      code: 'airtime.sf',
      message: `The spreading factor is ${setting.sf}: it is a whole number from 5 to 12.`,
      place: { field: 'sf' },
    });
  if (!BANDWIDTHS_kHz.some((b) => Math.abs(setting.bandwidth_kHz - b) <= 0.01 * b))
    problems.push({
      code: 'airtime.bandwidth',
      message: `The bandwidth is ${setting.bandwidth_kHz} kHz: it is one of ${BANDWIDTHS_kHz.map((b) => Math.round(b * 10) / 10).join(', ')} kHz.`,
      place: { field: 'bandwidth_kHz' },
    });
  if (![5, 6, 7, 8].includes(setting.codingRate))
    problems.push({
      code: 'airtime.codingRate',
      message: `The coding rate is 4/${setting.codingRate}: it is one of 4/5, 4/6, 4/7 or 4/8.`,
      place: { field: 'codingRate' },
    });
  return problems;
}

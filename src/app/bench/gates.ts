/** Judging a measurement at a gate. */
import { userError } from '../../core/units/index.ts';
import { type ContentOf, type Gate, MEASURES } from '../../records/bench/index.ts';

export type GateValue = number | boolean | string;

/** Unit of what a gate measures. */
export const gateUnit = (gate: Gate): string =>
  gate.measures === 'number' ? (gate.unit ?? '') : MEASURES[gate.measures].unit;

/** 1.4 - 0.05 is 1.35, not 1.3499999999999999. */
const tidy = (value: number) => Number(value.toPrecision(12));

/** Limits drawn in by the uncertainty (guard band, JCGM 106:2012, 8.3.2): a value on the limit passes. */
export function gateLimits(gate: Gate): { readonly low?: number; readonly high?: number } {
  const { low, high, uncertainty = 0 } = gate;
  return {
    ...(low === undefined ? {} : { low: tidy(low + uncertainty) }),
    ...(high === undefined ? {} : { high: tidy(high - uncertainty) }),
  };
}

/** The limits in words: "at most 40 µA", "4.05 to 4.12 V", "yes". */
export function limitText(gate: Gate): string {
  const { value } = MEASURES[gate.measures];
  if (value === 'yes or no') return 'yes';
  if (value === 'text') return gate.equals ?? 'recorded';
  const { low, high } = gateLimits(gate);
  const unit = gateUnit(gate);
  const tail = unit === '' ? '' : ` ${unit}`;
  if (low !== undefined && high !== undefined) return `${low} to ${high}${tail}`;
  return low === undefined ? `at most ${high}${tail}` : `at least ${low}${tail}`;
}

/**
 * The verdict on a value, with the limits that it was judged by.
 *
 * @throws UserError when the value is of another kind than the gate measures
 */
export function judge(
  gate: Gate,
  value: GateValue,
): Pick<ContentOf<'gate-measured'>, 'value' | 'verdict' | 'low' | 'high'> {
  const kind = MEASURES[gate.measures].value;
  const place = { field: gate.key };
  if (kind === 'yes or no') {
    const answer = typeof value === 'string' ? yesOrNo(value) : value;
    if (typeof answer !== 'boolean')
      throw userError('not-yes-or-no', `${gate.name} is answered by yes or no: ${value} is neither`, place);
    return { value: answer, verdict: answer ? 'passed' : 'failed' };
  }
  if (kind === 'text') {
    const text = String(value).trim();
    if (text === '') throw userError('no-value', `${gate.name} is recorded as a text: it is empty`, place);
    const right = gate.equals === undefined || gate.equals === text;
    return { value: text, verdict: right ? 'passed' : 'failed' };
  }
  const number = typeof value === 'string' ? numberOf(value) : value;
  if (typeof number !== 'number' || !Number.isFinite(number))
    throw userError(
      'not-a-number',
      `${gate.name} is a number${gateUnit(gate) === '' ? '' : ` in ${gateUnit(gate)}`}: ${value} is none`,
      place,
    );
  const { low, high } = gateLimits(gate);
  const inside = (low === undefined || number >= low) && (high === undefined || number <= high);
  return { value: number, verdict: inside ? 'passed' : 'failed', ...gateLimits(gate) };
}

function yesOrNo(text: string): boolean | undefined {
  const word = text.trim().toLowerCase();
  if (['yes', 'y', 'true', 'passed', 'ok'].includes(word)) return true;
  if (['no', 'n', 'false', 'failed'].includes(word)) return false;
  return undefined;
}

/** A number as somebody types it, with a decimal point or a decimal comma. */
function numberOf(text: string): number | undefined {
  const plain = text.trim().replace(/^([+-]?\d*),(\d+)$/, '$1.$2');
  return /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i.test(plain) ? Number(plain) : undefined;
}

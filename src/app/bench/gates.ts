/** Judging a measurement at a gate. */
import { userError } from '../../core/units/index.ts';
import { type ContentOf, type Gate, MEASURES } from '../../records/bench/index.ts';

export type GateValue = number | boolean | string;

/** Unit of what a gate measures. */
export const gateUnit = (gate: Gate): string =>
  gate.measures === 'number' ? (gate.unit ?? '') : MEASURES[gate.measures].unit;

/** 1.4 - 0.05 is 1.35, not 1.3499999999999999. */
const tidy = (value: number) => Number(value.toPrecision(12));

/**
 * Limits that a value must keep to be accepted: drawn in by the uncertainty (guarded acceptance, JCGM 106:2012, 8.3.2, with the
 * whole expanded uncertainty as guard band), or as they stand where the plan says `guard: none`. A value on the limit passes.
 * `uncertainty` of the measurement at hand takes the place of the gate's.
 */
export function gateLimits(
  gate: Gate,
  uncertainty: number | undefined = gate.uncertainty,
): { readonly low?: number; readonly high?: number } {
  const { low, high } = gate;
  const by = gate.guard === 'none' ? 0 : (uncertainty ?? 0);
  return {
    ...(low === undefined ? {} : { low: tidy(low + by) }),
    ...(high === undefined ? {} : { high: tidy(high - by) }),
  };
}

/** How the uncertainty enters, for papers; empty where there is none. */
export function guardText(gate: Gate): string {
  if (!gate.uncertainty) return '';
  const unit = gateUnit(gate);
  const by = `${gate.uncertainty}${unit === '' ? '' : ` ${unit}`}`;
  return gate.guard === 'none' ? ` (uncertainty ${by}, not taken off)` : ` (drawn in by ${by})`;
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
 * The verdict on a value, with the limits that it was judged by. Between the limit of the plan and the one drawn in by the
 * uncertainty it is undecided: such a meter cannot tell. Beyond the limit of the plan it has failed, however uncertain.
 *
 * @throws UserError when the value is of another kind than the gate measures
 */
export function judge(
  gate: Gate,
  value: GateValue,
  uncertainty?: number,
): Pick<ContentOf<'gate-measured'>, 'value' | 'verdict' | 'low' | 'high' | 'uncertainty'> {
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
  if (uncertainty !== undefined && !(Number.isFinite(uncertainty) && uncertainty >= 0))
    throw userError('not-an-uncertainty', `the uncertainty of ${gate.name} is ${uncertainty}: nought or more`, place);
  const limits = gateLimits(gate, uncertainty ?? gate.uncertainty);
  const verdict = isInside(number, limits) ? 'passed' : isInside(number, gate) ? 'undecided' : 'failed';
  return { value: number, verdict, ...limits, ...(uncertainty === undefined ? {} : { uncertainty }) };
}

const isInside = (
  value: number,
  { low, high }: { readonly low?: number | undefined; readonly high?: number | undefined },
) => (low === undefined || value >= low) && (high === undefined || value <= high);

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

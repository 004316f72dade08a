/** Looking things up in the bench's state, with a sentence when they are not there. */
import { hasValidCheck, likelySlips, normaliseSerial } from '../../core/quality/index.ts';
import { type UserError, userError } from '../../core/units/index.ts';
import type { Gate, Plan, UnitState } from '../../records/bench/index.ts';
import { nearestWord } from '../../records/index.ts';
import {
  type BatchState,
  type BenchState,
  type LotState,
  type OrderState,
  type PartState,
  planOfBatch,
} from './state.ts';

/** Check character of serials: a single one, over letters and digits. */
export const SERIAL_SCHEME = 'mod37-36';

function found<T>(all: ReadonlyMap<string, T>, key: string, what: string, none: string): T {
  const value = all.get(key);
  if (value !== undefined) return value;
  const near = nearestWord(key, [...all.keys()]);
  const mend = all.size === 0 ? none : near === undefined ? `there are ${all.size} others` : `did you mean ${near}?`;
  throw userError(`no-such-${what.replace(' ', '-')}`, `there is no ${what} ${key}: ${mend}`, { field: what });
}

export const partIn = (state: BenchState, key: string): PartState =>
  found(state.parts, key, 'part', 'the stores know no part yet');
export const lotIn = (state: BenchState, key: string): LotState =>
  found(state.lots, key, 'lot', 'no lot has been received yet');
export const batchIn = (state: BenchState, key: string): BatchState =>
  found(state.batches, key, 'batch', 'no batch has been opened yet');
export const orderIn = (state: BenchState, key: string): OrderState =>
  found(state.orders, key, 'order', 'no order has been placed yet');

/** The same but for the check character at its end. */
const isWithout = (serial: string, typed: string): boolean =>
  serial.length === typed.length + 1 && serial.startsWith(typed);

/** A unit by its serial, however it was typed: small letters and left-out hyphens are the same serial. */
export function unitIn(state: BenchState, typed: string): UnitState {
  const direct = state.units.get(typed);
  if (direct !== undefined) return direct;
  const bare = normaliseSerial(typed);
  const same = (text: string) => [...state.units.values()].find((unit) => normaliseSerial(unit.serial) === text);
  const unit = same(bare);
  if (unit !== undefined) return unit;
  const place = { field: 'unit' };
  const whole =
    bare.length < 3 ? [] : [...state.units.values()].filter((u) => isWithout(normaliseSerial(u.serial), bare));
  if (whole.length === 1)
    throw userError(
      'mistyped-serial',
      `${typed} is no serial: its last sign, the check character, is missing; did you mean ${whole[0]!.serial}?`,
      place,
    );
  if (bare.length < 3 || hasValidCheck(SERIAL_SCHEME, bare))
    throw userError('no-such-unit', `no unit of this workshop has the serial ${typed}`, place);
  const meant = likelySlips(SERIAL_SCHEME, bare).flatMap(({ text }) => same(text)?.serial ?? []);
  const mend = meant.length === 0 ? 'read it once more' : `did you mean ${meant.join(' or ')}?`;
  throw userError('mistyped-serial', `the check character of ${typed} does not fit, a sign is wrong: ${mend}`, place);
}

export function planIn(state: BenchState, key: string): { readonly plan: Plan; readonly number: number } {
  const all = found(state.plans, key, 'plan', 'no plan has been saved yet');
  return { plan: all[all.length - 1]!.plan, number: all.length };
}

/** The plan that a unit is built by. */
export const planOfUnit = (state: BenchState, unit: UnitState): Plan => planOfBatch(state, batchIn(state, unit.batch));

export function gateIn(plan: Plan, key: string): Gate {
  return found(new Map(plan.gates.map((gate) => [gate.key, gate])), key, 'gate', 'this plan has no gates');
}

export function stepIn(plan: Plan, key: string): Plan['steps'][number] {
  return found(new Map(plan.steps.map((step) => [step.key, step])), key, 'step', 'this plan has no steps');
}

/** Told where a plan has variants, and none for a region. */
export const noVariant = (key: string, plan: Plan, region: string, or: string): UserError =>
  userError(
    'no-such-variant',
    `plan ${key} has variants for ${plan.variants.map((v) => v.region).join(', ')}, none for ${region}: add one to the plan, with radio and antenna of that region, or ${or}`,
    { field: 'region' },
  );

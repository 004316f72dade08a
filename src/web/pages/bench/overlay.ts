/** A unit as it will stand when what waits is sent: so that work goes on without a connection. */
import type { GateAsked, UnitPage } from '../../../app/bench/unit-page.ts';
import type { WaitingDeed } from '../../state/deed-queue.ts';

export type Judged = 'passed' | 'failed' | 'undecided';

/** The verdict on a value by what the gate asks for; undefined when it is none that the gate takes. */
export function judged(asked: GateAsked, value: number | boolean | string): Judged | undefined {
  if (asked.value === 'yes or no') return typeof value === 'boolean' ? (value ? 'passed' : 'failed') : undefined;
  if (asked.value === 'text') {
    if (typeof value !== 'string' || value.trim() === '') return undefined;
    return asked.equals === undefined || asked.equals === value.trim() ? 'passed' : 'failed';
  }
  if (typeof value !== 'number' || !Number.isFinite(value)) return undefined;
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY } = asked;
  if (value >= low && value <= high) return 'passed';
  const { outerLow = low, outerHigh = high } = asked;
  return value >= outerLow && value <= outerHigh ? 'undecided' : 'failed';
}

export interface Overlaid {
  readonly page: UnitPage;
  /** Keys of steps and gates whose newest state waits to be sent. */
  readonly waits: ReadonlySet<string>;
}

/** Applies the waiting deeds of a unit, in their order. */
export function withWaiting(page: UnitPage, deeds: readonly WaitingDeed[]): Overlaid {
  const waits = new Set<string>();
  let { unit } = page;
  for (const { body, at } of deeds) {
    const step = body['step'] as string;
    const by = String(body['by']);
    if (body['deed'] === 'tick' || body['deed'] === 'untick') {
      const done = body['deed'] === 'tick' ? { at, by } : null;
      unit = { ...unit, steps: unit.steps.map((s) => (s.key === step ? { ...s, done } : s)) };
      waits.add(`step ${step}`);
    } else if (body['deed'] === 'measure' && body['value'] !== undefined) {
      const value = body['value'] as number | boolean | string;
      const asked = page.asked.find((a) => a.gate === body['gate']);
      const state = asked === undefined ? undefined : judged(asked, value);
      if (state === undefined) continue;
      unit = {
        ...unit,
        gates: unit.gates.map((g) => (g.gate === body['gate'] ? { ...g, state, value } : g)),
        standing: state === 'failed' ? 'stopped' : unit.standing,
      };
      waits.add(`gate ${body['gate']}`);
    }
  }
  return {
    page: { ...page, unit: { ...unit, nextStep: unit.steps.find((s) => s.done === null)?.key ?? null } },
    waits,
  };
}

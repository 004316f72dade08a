/** Looking at one unit: where it stands, its steps, gates and parts. */
import {
  countingTry,
  type GateState,
  gateState,
  openGates,
  type Plan,
  reasonsNotToShip,
  type UnitState,
} from '../../records/bench/index.ts';
import { batchIn, planOfUnit, unitIn } from './find.ts';
import { type GateValue, gateUnit, limitText } from './gates.ts';
import { orderOf, type Standing, standingOf } from './looks.ts';
import { type BenchState, drawingKey, type KeptDrawing, quarantinedLots } from './state.ts';

export interface GateLook {
  readonly gate: string;
  readonly name: string;
  readonly limit: string;
  readonly unit: string;
  readonly state: GateState;
  readonly required: boolean;
  /** The value that counts. */
  readonly value: GateValue | null;
  readonly tries: readonly {
    readonly value: GateValue;
    readonly verdict: 'passed' | 'failed' | 'undecided';
    readonly at: string;
    readonly by: string;
    readonly instrument: string | null;
    readonly file: string | null;
    /** Put right by a later record, or reopened by a rework: counts no more. */
    readonly counts: boolean;
  }[];
  readonly override: { readonly name: string; readonly reason: string; readonly at: string } | null;
}

export interface UnitOutcome {
  readonly command: 'unit show';
  readonly verdict: string;
  readonly serial: string;
  readonly batch: string;
  readonly plan: string;
  readonly kit: string;
  readonly kitRevision: string;
  readonly standing: Standing;
  readonly madeAt: string;
  /** Number of its newest record. */
  readonly number: number;
  readonly steps: readonly {
    readonly key: string;
    readonly name: string;
    readonly done: { readonly at: string; readonly by: string } | null;
    readonly tool: string | null;
    readonly drawing: string | null;
    /** Drawing or photo whose bytes the workshop keeps. */
    readonly picture: Pick<KeptDrawing, 'name' | 'type' | 'bytes' | 'sha256'> | null;
    readonly caution: string | null;
    readonly time_min: number;
    readonly gates: readonly string[];
    readonly parts: readonly string[];
  }[];
  readonly nextStep: string | null;
  readonly gates: readonly GateLook[];
  readonly fitted: readonly {
    readonly part: string;
    readonly lot: string;
    readonly count: number;
    readonly quarantined: boolean;
  }[];
  readonly order: string | null;
  readonly customer: string | null;
  readonly shippedAt: string | null;
  readonly swappedFor: string | null;
  /** Perch of the workshop at which it stands. */
  readonly installed: string | null;
  /** Each return, oldest first: what it was for, what it was in the end, what was done. */
  readonly returned: UnitState['returned'];
  readonly measured: Readonly<Record<string, { readonly value: number; readonly how: string; readonly at: string }>>;
  /** Names of the keys that are kept for it; their values are never shown here. */
  readonly secrets: readonly string[];
  /** Parts that its passport shows, as chosen last. */
  readonly shows: readonly string[];
  readonly whyNotToShip: readonly string[];
}

export function unitLook(state: BenchState, serial: string): UnitOutcome {
  const unit = unitIn(state, serial);
  const plan = planOfUnit(state, unit);
  const quarantined = quarantinedLots(state);
  const standing = standingOf(unit, plan, quarantined);
  const order = orderOf(unit);
  const next = plan.steps.find((step) => !unit.steps.has(step.key));
  return {
    command: 'unit show',
    verdict: unitVerdict(unit, plan, standing),
    serial: unit.serial,
    batch: unit.batch,
    plan: batchIn(state, unit.batch).plan,
    kit: plan.kit,
    kitRevision: plan.kitRevision,
    standing,
    madeAt: unit.madeAt,
    number: unit.number,
    steps: plan.steps.map((step) => {
      const done = unit.steps.get(step.key);
      return {
        key: step.key,
        name: step.name,
        done: done === undefined ? null : { at: done.at, by: done.by },
        tool: step.tool ?? null,
        drawing: step.drawing ?? null,
        picture: pictureOf(state, unit, step.key),
        caution: step.caution ?? null,
        time_min: step.time_min,
        gates: step.gates,
        parts: step.parts,
      };
    }),
    nextStep: next?.key ?? null,
    gates: plan.gates.map((gate) => ({
      gate: gate.key,
      name: gate.name,
      limit: limitText(gate),
      unit: gateUnit(gate),
      state: gateState(unit, gate.key),
      required: gate.required,
      value: countingTry(unit, gate.key)?.measured.value ?? null,
      tries: (unit.gates.get(gate.key) ?? []).map(({ at, by, measured, corrected, reopened }) => ({
        value: measured.value,
        verdict: measured.verdict,
        at,
        by,
        instrument: measured.instrument ?? null,
        file: measured.file?.name ?? null,
        counts: !corrected && !reopened,
      })),
      override: unit.overrides.get(gate.key) ?? null,
    })),
    fitted: unit.fitted
      .filter((f) => f.count > 0)
      .map(({ part, lot, count }) => ({ part, lot, count, quarantined: quarantined.has(lot) })),
    order: order ?? null,
    customer: order ? (state.orders.get(order)?.customer ?? null) : null,
    shippedAt: unit.shipped?.at ?? null,
    swappedFor: unit.swappedFor,
    installed: unit.installed?.perch ?? null,
    returned: unit.returned,
    measured: Object.fromEntries(
      [...unit.measured].map(([field, { value, how, at }]) => [field, { value, how, at }] as const),
    ),
    secrets: unit.secrets,
    shows: unit.shows,
    whyNotToShip: reasonsNotToShip(unit, plan, quarantined),
  };
}

function pictureOf(state: BenchState, unit: UnitState, step: string): UnitOutcome['steps'][number]['picture'] {
  const kept = state.drawings.get(drawingKey(batchIn(state, unit.batch).plan, step));
  if (kept === undefined) return null;
  const { name, type, bytes, sha256 } = kept;
  return { name, type, bytes, sha256 };
}

function unitVerdict(unit: UnitState, plan: Plan, standing: Standing): string {
  const { serial } = unit;
  const name = (key: string) => plan.gates.find((gate) => gate.key === key)?.name ?? key;
  const open = openGates(unit, plan);
  const overridden = [...unit.overrides.keys()];
  switch (standing) {
    case 'ready':
      return overridden.length === 0
        ? `${serial} is through every gate and ready to ship.`
        : `${serial} is ready to ship; ${overridden.map(name).join(', ')} was overridden.`;
    case 'stopped':
      return `${serial} is stopped: it failed at ${open
        .filter((g) => gateState(unit, g) === 'failed')
        .map(name)
        .join(', ')}.`;
    case 'kept back':
      return `${serial} is kept back: it holds parts of a quarantined lot.`;
    case 'shipped':
      return `${serial} was shipped on ${unit.shipped!.at.slice(0, 10)}${unit.swappedFor === null ? '' : `, and swapped for ${unit.swappedFor}: it is to come back`}.`;
    case 'returned':
      return `${serial} has come back${unit.swappedFor === null ? '' : `, was swapped for ${unit.swappedFor},`} and waits for repair.`;
    case 'scrapped':
      return `${serial} is scrapped.`;
    case 'at the bench': {
      const next = plan.steps.find((step) => !unit.steps.has(step.key));
      return next !== undefined
        ? `${serial} is at the bench; next: ${next.name}.`
        : `${serial} is assembled; open: ${open.map(name).join(', ')}.`;
    }
  }
}

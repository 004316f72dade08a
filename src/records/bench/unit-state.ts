/** A unit as its entries leave it: a fold, one entry at a time, in their order. */
import type { ContentOf, Entry } from './entry.ts';
import { streamKey } from './entry.ts';
import type { Plan } from './plan.ts';
import type { ReturnCause } from './return-causes.ts';

/** One measurement at a gate. Earlier ones stay; the newest that is not taken back counts. */
export interface GateTry {
  readonly number: number;
  readonly at: string;
  readonly by: string;
  readonly measured: ContentOf<'gate-measured'>;
  /** A later entry takes its place: it counts nowhere, but stays in sight. */
  corrected: boolean;
  /** A rework after it asks for another. */
  reopened: boolean;
}

export interface StepTick {
  readonly at: string;
  readonly by: string;
  readonly time_s: number | null;
}

export interface Override {
  readonly at: string;
  readonly name: string;
  readonly reason: string;
}

export interface Fitted {
  readonly part: string;
  readonly lot: string;
  count: number;
  readonly at: string;
  readonly by: string;
}

export type UnitStage = 'at the bench' | 'stopped' | 'shipped' | 'returned' | 'scrapped';

export interface UnitState {
  readonly serial: string;
  readonly batch: string;
  readonly position: number;
  readonly madeAt: string;
  stage: UnitStage;
  readonly steps: Map<string, StepTick>;
  readonly gates: Map<string, GateTry[]>;
  readonly overrides: Map<string, Override>;
  readonly fitted: Fitted[];
  /** Order that it is kept for. */
  order: string | null;
  shipped: (ContentOf<'unit-shipped'> & { readonly at: string; readonly by: string }) | null;
  reworks: number;
  /** What each rework was begun for, oldest first. */
  readonly reworkedFor: {
    readonly at: string;
    readonly by: string;
    readonly reason: string;
    readonly gates: string[];
  }[];
  returns: number;
  /** What each return was for, oldest first; `cause` as it was found in the end. */
  readonly returned: {
    readonly at: string;
    readonly reason: string;
    cause: ReturnCause | null;
    repaired: string | null;
  }[];
  /** Perch of the workshop at which it stands. */
  installed: { readonly perch: string; readonly at: string } | null;
  /** Serial that it was swapped for. */
  swappedFor: string | null;
  readonly measured: Map<string, ContentOf<'unit-measured'> & { readonly at: string }>;
  /** Names of the keys that are kept for it; their values stay in the entries. */
  readonly secrets: string[];
  shows: ContentOf<'passport-published'>['show'];
  /** Number of its newest entry. */
  number: number;
}

/** The unit of a `unit-made` entry. */
export function unitOf(entry: Entry): UnitState {
  if (entry.content.kind !== 'unit-made') throw new RangeError(`${entry.stream} begins with ${entry.content.kind}`);
  const { batch, position } = entry.content;
  return {
    serial: streamKey(entry.stream),
    batch,
    position,
    madeAt: entry.at,
    stage: 'at the bench',
    steps: new Map(),
    gates: new Map(),
    overrides: new Map(),
    fitted: [],
    order: null,
    shipped: null,
    reworks: 0,
    reworkedFor: [],
    returns: 0,
    returned: [],
    installed: null,
    swappedFor: null,
    measured: new Map(),
    secrets: [],
    shows: [],
    number: entry.number,
  };
}

/** Takes one more entry of the unit in. */
export function foldUnit(unit: UnitState, entry: Entry): void {
  const { content, at, by, number } = entry;
  unit.number = number;
  switch (content.kind) {
    case 'part-fitted':
      unit.fitted.push({ part: content.part, lot: content.lot, count: content.count, at, by });
      break;
    case 'part-taken-out':
      takeOut(unit, content);
      break;
    case 'step-ticked':
      unit.steps.set(content.step, { at, by, time_s: content.time_s ?? null });
      break;
    case 'step-unticked':
      unit.steps.delete(content.step);
      break;
    case 'gate-measured': {
      const tries = unit.gates.get(content.gate) ?? [];
      const old = entry.corrects === null ? undefined : tries.find((t) => t.number === entry.corrects);
      if (old !== undefined) old.corrected = true;
      tries.push({ number, at: content.measuredAt ?? at, by, measured: content, corrected: false, reopened: false });
      unit.gates.set(content.gate, tries);
      break;
    }
    case 'gate-overridden':
      unit.overrides.set(content.gate, { at, name: content.name, reason: content.reason });
      break;
    case 'rework-begun':
      unit.reworks++;
      unit.reworkedFor.push({ at, by, reason: content.reason, gates: content.gates });
      for (const gate of content.gates) {
        for (const tried of unit.gates.get(gate) ?? []) tried.reopened = true;
        unit.overrides.delete(gate);
      }
      for (const step of content.steps) unit.steps.delete(step);
      break;
    case 'unit-reserved':
      unit.order = content.order;
      break;
    case 'unit-freed':
      unit.order = null;
      break;
    case 'unit-shipped':
      unit.shipped = { ...content, at, by };
      unit.swappedFor = null;
      break;
    case 'unit-returned':
      unit.returns++;
      unit.returned.push({ at, reason: content.reason, cause: content.cause ?? null, repaired: null });
      // It stands to the maker again: whoever ordered it waits, for it or for another.
      unit.order = null;
      unit.installed = null;
      break;
    case 'unit-repaired': {
      const last = unit.returned.at(-1);
      if (last !== undefined) Object.assign(last, { cause: content.cause ?? last.cause, repaired: content.what });
      break;
    }
    case 'unit-installed':
      unit.installed = { perch: content.perch, at };
      break;
    case 'unit-swapped':
      unit.order = null;
      unit.swappedFor = content.for;
      break;
    case 'unit-measured':
      unit.measured.set(content.field, { ...content, at });
      break;
    case 'secret-kept':
      if (!unit.secrets.includes(content.name)) unit.secrets.push(content.name);
      break;
    case 'passport-published':
      unit.shows = content.show;
      break;
    default:
      break;
  }
  unit.stage = stageAfter(unit, entry);
}

function takeOut(unit: UnitState, out: ContentOf<'part-taken-out'>): void {
  let left = out.count;
  for (const fitted of unit.fitted) {
    if (fitted.part !== out.part || fitted.lot !== out.lot) continue;
    const taken = Math.min(left, fitted.count);
    fitted.count -= taken;
    left -= taken;
  }
}

function stageAfter(unit: UnitState, { content }: Entry): UnitStage {
  if (content.kind === 'unit-shipped') return 'shipped';
  if (content.kind === 'unit-returned') return 'returned';
  if (content.kind === 'unit-scrapped') return 'scrapped';
  // A repair brings a returned unit back to the bench; its gates are opened by a rework.
  if (unit.stage === 'returned' && content.kind !== 'unit-repaired') return 'returned';
  if (unit.stage === 'shipped' || unit.stage === 'scrapped') return unit.stage;
  for (const gate of unit.gates.keys()) if (gateState(unit, gate) === 'failed') return 'stopped';
  return 'at the bench';
}

/** The try that counts at a gate: the newest that is neither corrected nor reopened. */
export function countingTry(unit: UnitState, gate: string): GateTry | undefined {
  return unit.gates.get(gate)?.findLast((t) => !t.corrected && !t.reopened);
}

/** `undecided`: measured, but too close to the limit for the meter; open like one that is not measured. */
export type GateState = 'open' | 'passed' | 'failed' | 'undecided' | 'overridden';

export function gateState(unit: UnitState, gate: string): GateState {
  if (unit.overrides.has(gate)) return 'overridden';
  return countingTry(unit, gate)?.measured.verdict ?? 'open';
}

/** Required gates that are neither passed nor overridden, in the plan's order. */
export function openGates(unit: UnitState, plan: Plan): string[] {
  return plan.gates
    .filter((gate) => gate.required && !['passed', 'overridden'].includes(gateState(unit, gate.key)))
    .map((gate) => gate.key);
}

/**
 * Why a unit may not be shipped, in sentences; empty when it may. The one rule for pages, command line, server and store.
 * `quarantined` are the lots that are kept back.
 */
export function reasonsNotToShip(unit: UnitState, plan: Plan, quarantined: ReadonlySet<string>): string[] {
  const { serial, stage } = unit;
  if (stage === 'shipped') return [`${serial} is shipped already`];
  if (stage === 'scrapped') return [`${serial} is scrapped`];
  if (stage === 'returned') return [`${serial} has come back and is not repaired`];
  const names = new Map(plan.gates.map((gate) => [gate.key, gate.name]));
  const open = openGates(unit, plan);
  const failed = open.filter((gate) => gateState(unit, gate) === 'failed');
  const close = open.filter((gate) => gateState(unit, gate) === 'undecided');
  const unmeasured = open
    .filter((gate) => !failed.includes(gate) && !close.includes(gate))
    .map((gate) => names.get(gate));
  const reasons = failed.map(
    (gate) =>
      `${serial} failed at ${names.get(gate)}: rework it and measure again, or override the gate with a name and a reason`,
  );
  for (const gate of close)
    reasons.push(
      `${serial} is undecided at ${names.get(gate)}: too close to the limit for this meter; measure again or with a better instrument`,
    );
  if (unmeasured.length > 0)
    reasons.push(
      `${serial} has not passed ${unmeasured.join(', ')}: measure ${unmeasured.length === 1 ? 'it' : 'them'} first`,
    );
  const lots = new Set(unit.fitted.filter((f) => f.count > 0 && quarantined.has(f.lot)).map((f) => f.lot));
  for (const lot of lots) reasons.push(`${serial} holds parts of lot ${lot}, which is quarantined`);
  return reasons;
}

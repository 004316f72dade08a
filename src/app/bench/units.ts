/** What is done with a unit at the bench: steps, parts, gates, rework. Each gives what is to be written, or says why not. */
import { userError } from '../../core/units/index.ts';
import {
  type Content,
  type ContentOf,
  countingTry,
  gateState,
  type Plan,
  streamOf,
  type UnitState,
} from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { gateIn, lotIn, partIn, planOfUnit, stepIn, unitIn } from './find.ts';
import { type GateValue, judge } from './gates.ts';
import type { BenchState } from './state.ts';

const onUnit = (unit: UnitState, content: Content, corrects?: number): Deed => ({
  stream: streamOf('unit', unit.serial),
  content,
  ...(corrects === undefined ? {} : { corrects }),
});

/** A unit that is at the bench and not stopped. */
function atWork(state: BenchState, serial: string): UnitState {
  const unit = unitIn(state, serial);
  if (unit.stage === 'at the bench') return unit;
  if (unit.stage === 'stopped') {
    const plan = planOfUnit(state, unit);
    const failed = plan.gates.filter((gate) => gateState(unit, gate.key) === 'failed').map((gate) => gate.name);
    throw userError(
      'unit-stopped',
      `${unit.serial} failed at ${failed.join(', ')} and is stopped: begin a rework, or override the gate with a name and a reason`,
    );
  }
  throw notAtBench(unit);
}

function notAtBench(unit: UnitState) {
  const why = {
    shipped: 'is shipped: note its return first',
    returned: 'has come back: note what was repaired first',
    scrapped: 'is scrapped',
    'at the bench': 'is at the bench',
    stopped: 'is stopped',
  }[unit.stage];
  return userError('not-at-the-bench', `${unit.serial} ${why}`);
}

/** A step done. Steps go in their order, and past a gate only when it is passed or overridden. */
export function tickStep(state: BenchState, serial: string, step: string, time_s?: number): Deed[] {
  const unit = atWork(state, serial);
  const plan = planOfUnit(state, unit);
  const { key, name } = stepIn(plan, step);
  const ticked = unit.steps.get(key);
  if (ticked !== undefined)
    throw userError(
      'ticked-already',
      `${unit.serial}: ${ticked.by} has ticked ${name} already (${ticked.at.slice(0, 16).replace('T', ' ')} UTC)`,
      { field: key },
    );
  const before = plan.steps.slice(
    0,
    plan.steps.findIndex((s) => s.key === key),
  );
  for (const earlier of before) {
    if (!unit.steps.has(earlier.key))
      throw userError('step-before', `${unit.serial}: ${earlier.name} comes first`, { field: earlier.key });
    for (const gate of earlier.gates.map((g) => gateIn(plan, g)))
      if (gate.required && ['open', 'undecided'].includes(gateState(unit, gate.key)))
        throw userError(
          'gate-before',
          gateState(unit, gate.key) === 'open'
            ? `${unit.serial}: ${gate.name} is measured before this step`
            : `${unit.serial}: ${gate.name} is undecided: measure again or with a better instrument before this step`,
          {
            field: gate.key,
          },
        );
  }
  return [onUnit(unit, { kind: 'step-ticked', step: key, ...(time_s === undefined ? {} : { time_s }) })];
}

/** Takes a tick back; it stays in the record. */
export function untickStep(state: BenchState, serial: string, step: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'at the bench' && unit.stage !== 'stopped') throw notAtBench(unit);
  const { key, name } = stepIn(planOfUnit(state, unit), step);
  if (!unit.steps.has(key)) throw userError('not-ticked', `${unit.serial}: ${name} is not ticked`);
  return [onUnit(unit, { kind: 'step-unticked', step: key })];
}

export interface Measurement {
  readonly gate: string;
  readonly value: GateValue;
  readonly instrument?: string | undefined;
  /** Expanded uncertainty of this measurement, in place of the one of the gate. */
  readonly uncertainty?: number | undefined;
  readonly file?: { readonly name: string; readonly sha256: string } | undefined;
  readonly note?: string | undefined;
  /** When, UTC, where it is written down later. */
  readonly measuredAt?: string | undefined;
  /** The last measurement of this gate was written down wrongly: this one takes its place. */
  readonly correct?: boolean | undefined;
}

/** A measurement at a gate with its verdict. */
export function measureGate(state: BenchState, serial: string, m: Measurement): Deed[] {
  const found = unitIn(state, serial);
  const gate = gateIn(planOfUnit(state, found), m.gate);
  const last = countingTry(found, gate.key);
  // A wrong figure is put right even where it has stopped the unit.
  const unit = m.correct && found.stage === 'stopped' ? found : atWork(state, serial);
  if (m.correct && last === undefined)
    throw userError('nothing-to-correct', `${unit.serial} has no measurement of ${gate.name} that could be put right`);
  const { instrument, file, note, measuredAt } = m;
  const content: ContentOf<'gate-measured'> = {
    kind: 'gate-measured',
    gate: gate.key,
    ...judge(gate, m.value, m.uncertainty),
    ...(instrument === undefined ? {} : { instrument }),
    ...(file === undefined ? {} : { file }),
    ...(note === undefined ? {} : { note }),
    ...(measuredAt === undefined ? {} : { measuredAt }),
  };
  return [onUnit(unit, content, m.correct ? last!.number : undefined)];
}

/** Lets a unit past a gate on somebody's word; shows on its certificate. */
export function overrideGate(
  state: BenchState,
  serial: string,
  request: { readonly gate: string; readonly name: string; readonly reason: string },
): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'at the bench' && unit.stage !== 'stopped') throw notAtBench(unit);
  const gate = gateIn(planOfUnit(state, unit), request.gate);
  if (gateState(unit, gate.key) === 'passed')
    throw userError('gate-passed', `${unit.serial} has passed ${gate.name}: there is nothing to override`);
  for (const field of ['name', 'reason'] as const)
    if (request[field].trim() === '')
      throw userError('override-unsigned', `an override needs a name and a reason: the ${field} is empty`, { field });
  return [onUnit(unit, { kind: 'gate-overridden', gate: gate.key, name: request.name, reason: request.reason })];
}

/** Opens gates again, and steps where told; what was measured before stays in the record. */
export function beginRework(
  state: BenchState,
  serial: string,
  request: { readonly reason: string; readonly gates?: readonly string[]; readonly steps?: readonly string[] },
): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'at the bench' && unit.stage !== 'stopped') throw notAtBench(unit);
  const plan = planOfUnit(state, unit);
  const gates = (request.gates ?? failedGates(unit, plan)).map((gate) => gateIn(plan, gate).key);
  if (gates.length === 0)
    throw userError('no-gate-failed', `${unit.serial} has failed at no gate: name those to be measured again`, {
      field: 'gates',
    });
  const steps = (request.steps ?? []).map((step) => stepIn(plan, step).key);
  return [onUnit(unit, { kind: 'rework-begun', reason: request.reason, gates, steps })];
}

const failedGates = (unit: UnitState, plan: Plan): string[] =>
  plan.gates.filter((gate) => gateState(unit, gate.key) === 'failed').map((gate) => gate.key);

/** All lines of a plan's bill of materials for one unit, those of sub-assemblies multiplied out. */
export function linesOf(plan: Plan): { part: string; count: number; scrap_pct: number; alternates: string[] }[] {
  const lines = new Map<string, { part: string; count: number; scrap_pct: number; alternates: string[] }>();
  const add = (line: Plan['bom'][number], times: number) => {
    const { part, count, scrap_pct, alternates } = line;
    const known = lines.get(part);
    if (known === undefined) lines.set(part, { part, count: count * times, scrap_pct, alternates: [...alternates] });
    else {
      known.count += count * times;
      known.scrap_pct = Math.max(known.scrap_pct, scrap_pct);
      for (const other of alternates) if (!known.alternates.includes(other)) known.alternates.push(other);
    }
  };
  for (const line of plan.bom) add(line, 1);
  for (const sub of plan.subassemblies) for (const line of sub.bom) add(line, sub.count);
  return [...lines.values()];
}

export interface FitRequest {
  readonly part: string;
  readonly lot: string;
  readonly count?: number | undefined;
  /** Take more than the stores say there is; the lot then shows less than none, which is told everywhere. */
  readonly short?: boolean | undefined;
}

/** Parts of a lot built into a unit. */
export function fitPart(state: BenchState, serial: string, request: FitRequest): Deed[] {
  const unit = atWork(state, serial);
  const part = partIn(state, request.part);
  const lot = lotIn(state, request.lot);
  const line = linesOf(planOfUnit(state, unit)).find((l) => l.part === part.key || l.alternates.includes(part.key));
  const place = { field: 'lot' };
  if (lot.part !== part.key) throw userError('other-part', `lot ${lot.key} holds ${lot.part}, not ${part.key}`, place);
  if (line === undefined)
    throw userError('not-in-the-plan', `${part.key} stands in no line of this plan's bill of materials`, {
      field: 'part',
    });
  if (lot.quarantined !== null)
    throw userError('lot-quarantined', `lot ${lot.key} is quarantined (${lot.quarantined}): take another`, place);
  const count = request.count ?? line.count;
  if (lot.left < count && request.short !== true)
    throw userError(
      'too-few',
      `lot ${lot.key} has ${Math.max(0, lot.left)} left, ${count} are wanted: count the lot, take another, or take them all the same (short)`,
      place,
    );
  return [onUnit(unit, { kind: 'part-fitted', part: part.key, lot: lot.key, count })];
}

/** Parts taken out of a unit again, back to the stores or to scrap. */
export function takeOutPart(
  state: BenchState,
  serial: string,
  request: {
    readonly part: string;
    readonly lot: string;
    readonly count?: number | undefined;
    readonly to: 'stores' | 'scrap';
  },
): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage === 'shipped' || unit.stage === 'scrapped') throw notAtBench(unit);
  const { part, lot, to } = request;
  const held = unit.fitted.filter((f) => f.part === part && f.lot === lot).reduce((sum, f) => sum + f.count, 0);
  const count = request.count ?? held;
  if (held === 0 || count > held)
    throw userError('not-fitted', `${unit.serial} holds ${held} of ${part} from lot ${lot}, not ${Math.max(1, count)}`);
  return [onUnit(unit, { kind: 'part-taken-out', part, lot, count, to })];
}

/** A value of this very unit that its forecast takes in place of the data sheet's. */
export function noteMeasured(state: BenchState, serial: string, m: Omit<ContentOf<'unit-measured'>, 'kind'>): Deed[] {
  return [onUnit(unitIn(state, serial), { kind: 'unit-measured', ...m })];
}

/** A key of the unit's radio, which never leaves the workshop. */
export function keepSecret(state: BenchState, serial: string, name: string, value: string): Deed[] {
  return [onUnit(unitIn(state, serial), { kind: 'secret-kept', name, value })];
}

/** Looking at batches and orders: what pages and commands show. */
import { gateState, openGates, type Plan, servedBy, type UnitState } from '../../records/bench/index.ts';
import { batchIn } from './find.ts';
import { waitsFor } from './leaving.ts';
import { type BatchState, type BenchState, type OrderState, planOfBatch, quarantinedLots } from './state.ts';

/** Where a unit stands, in the words that are shown. */
export type Standing = 'at the bench' | 'stopped' | 'kept back' | 'ready' | 'shipped' | 'returned' | 'scrapped';

/** At the bench with everything done and passed is ready; with a part of a quarantined lot it is kept back. */
export function standingOf(unit: UnitState, plan: Plan, quarantined: ReadonlySet<string>): Standing {
  if (unit.stage !== 'at the bench') return unit.stage;
  if (unit.fitted.some((f) => f.count > 0 && quarantined.has(f.lot))) return 'kept back';
  const done = plan.steps.every((step) => unit.steps.has(step.key)) && openGates(unit, plan).length === 0;
  return done ? 'ready' : 'at the bench';
}

/**
 * The order that it is away for, or came back from while none has taken its place there; at the bench the one that it is kept
 * for.
 */
export function orderOf({ stage, shipped, swappedFor, order }: UnitState): string | null {
  if (stage === 'shipped' || (stage === 'returned' && swappedFor === null)) return shipped?.order ?? null;
  return order;
}

export interface UnitRow {
  readonly serial: string;
  readonly position: number;
  readonly standing: Standing;
  readonly stepsDone: number;
  /** Key of the step that comes next; null when all are done. */
  readonly nextStep: string | null;
  readonly openGates: readonly string[];
  readonly failedGates: readonly string[];
  readonly overridden: readonly string[];
  readonly order: string | null;
  readonly reworks: number;
}

export interface BatchOutcome {
  readonly command: 'batch show';
  readonly verdict: string;
  readonly batch: string;
  readonly name: string;
  readonly plan: string;
  readonly planNumber: number;
  readonly kit: string;
  readonly kitRevision: string;
  readonly region: string;
  /** Regions whose orders its units may serve. */
  readonly serves: readonly string[];
  readonly openedAt: string;
  readonly closedAt: string | null;
  readonly due: string | null;
  readonly counts: Readonly<Record<Standing, number>>;
  readonly steps: readonly { readonly key: string; readonly name: string; readonly done: number }[];
  readonly gates: readonly {
    readonly key: string;
    readonly name: string;
    readonly passed: number;
    readonly failed: number;
    /** Too close to a limit for the meter: not passed yet. */
    readonly undecided: number;
    readonly overridden: number;
    readonly open: number;
  }[];
  readonly units: readonly UnitRow[];
  /** Lots that keep units back. */
  readonly keptBackBy: readonly string[];
}

export function batchLook(state: BenchState, key: string): BatchOutcome {
  const batch = batchIn(state, key);
  const plan = planOfBatch(state, batch);
  const quarantined = quarantinedLots(state);
  const units = batch.serials.map((serial) => state.units.get(serial)!);
  const rows = units.map((unit) => rowOf(unit, plan, quarantined));
  const counts: Record<Standing, number> = {
    'at the bench': 0,
    stopped: 0,
    'kept back': 0,
    ready: 0,
    shipped: 0,
    returned: 0,
    scrapped: 0,
  };
  for (const row of rows) counts[row.standing]++;
  const holding = new Set(
    units.flatMap((unit) => unit.fitted.filter((f) => f.count > 0 && quarantined.has(f.lot)).map((f) => f.lot)),
  );
  return {
    command: 'batch show',
    verdict: batchVerdict(batch, counts),
    batch: key,
    name: batch.name,
    plan: batch.plan,
    planNumber: batch.planNumber,
    kit: plan.kit,
    kitRevision: plan.kitRevision,
    region: batch.region,
    serves: servedBy(plan, batch.region),
    openedAt: batch.openedAt,
    closedAt: batch.closedAt,
    due: batch.due ?? null,
    counts,
    steps: plan.steps.map(({ key: step, name }) => ({
      key: step,
      name,
      done: units.filter((unit) => unit.steps.has(step)).length,
    })),
    gates: plan.gates.map(({ key: gate, name }) => {
      const at = { passed: 0, failed: 0, undecided: 0, overridden: 0, open: 0 };
      for (const unit of units) at[gateState(unit, gate)]++;
      return { key: gate, name, ...at };
    }),
    units: rows,
    keptBackBy: [...holding],
  };
}

function rowOf(unit: UnitState, plan: Plan, quarantined: ReadonlySet<string>): UnitRow {
  const { serial, position, reworks } = unit;
  const order = orderOf(unit);
  const at = (what: string) => plan.gates.filter((gate) => gateState(unit, gate.key) === what).map((gate) => gate.key);
  return {
    serial,
    position,
    standing: standingOf(unit, plan, quarantined),
    stepsDone: plan.steps.filter((step) => unit.steps.has(step.key)).length,
    nextStep: plan.steps.find((step) => !unit.steps.has(step.key))?.key ?? null,
    openGates: openGates(unit, plan),
    failedGates: at('failed'),
    overridden: at('overridden'),
    order,
    reworks,
  };
}

function batchVerdict(batch: BatchState, counts: Readonly<Record<Standing, number>>): string {
  const through = counts.ready + counts.shipped;
  const more = (n: number, one: string, many: string) => (n === 0 ? '' : n === 1 ? `1 ${one}` : `${n} ${many}`);
  const rest = [
    more(counts.stopped, 'is stopped', 'are stopped'),
    more(counts['kept back'], 'is kept back with its lot', 'are kept back with their lot'),
    more(counts.returned, 'has come back', 'have come back'),
    more(counts.scrapped, 'is scrapped', 'are scrapped'),
  ].filter(Boolean);
  const end = rest.length === 0 ? '' : `; ${rest.join(', ')}`;
  return `${batch.name}: ${through} of ${batch.count} are through every gate${counts.shipped > 0 ? `, ${counts.shipped} of them shipped` : ''}${end}.`;
}

export interface BenchOverview {
  readonly command: 'batch list';
  readonly verdict: string;
  readonly batches: readonly {
    readonly batch: string;
    readonly name: string;
    readonly plan: string;
    readonly region: string;
    readonly due: string | null;
    readonly closedAt: string | null;
    readonly count: number;
    readonly counts: Readonly<Record<Standing, number>>;
    readonly sentence: string;
  }[];
  readonly orders: readonly OrderRow[];
}

export interface OrderRow {
  readonly order: string;
  readonly customer: string;
  readonly plan: string;
  readonly region: string;
  readonly count: number;
  readonly reserved: readonly string[];
  readonly shipped: readonly string[];
  /** Still waited for. */
  readonly waits: number;
  readonly due: string | null;
  readonly place: string | null;
  readonly cancelled: boolean;
}

export function overview(state: BenchState): BenchOverview {
  const batches = [...state.batches.values()].map((batch) => {
    const { counts, verdict } = batchLook(state, batch.key);
    const { key, name, plan, region, due = null, closedAt, count } = batch;
    return { batch: key, name, plan, region, due, closedAt, count, counts, sentence: verdict };
  });
  const running = batches.filter((batch) => batch.closedAt === null);
  const orders = orderRows(state);
  const waiting = orders.reduce((total, order) => total + order.waits, 0);
  const verdict =
    batches.length === 0
      ? 'No batch has been opened yet: save a plan, then open a batch.'
      : `${running.map((batch) => batch.sentence).join(' ')}${waiting > 0 ? ` ${waiting} ordered ${waiting === 1 ? 'unit is' : 'units are'} waited for.` : ''}`;
  return { command: 'batch list', verdict: verdict.trim() || 'No batch is running.', batches, orders };
}

/**
 * Orders as they are served: those that wait by the day on which they are wanted, the earlier placed first among equals and those
 * without a day after all others; then those that wait for nothing, then the cancelled ones.
 */
export function orderRows(state: BenchState): OrderRow[] {
  const rank = (order: OrderState) => (order.cancelled ? 2 : waitsFor(order) > 0 ? 0 : 1);
  const text = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
  return [...state.orders.values()]
    .sort((a, b) => rank(a) - rank(b) || text(a.due ?? '9999', b.due ?? '9999') || text(a.placedAt, b.placedAt))
    .map((order) => ({
      order: order.key,
      customer: order.customer,
      plan: order.plan,
      region: order.region,
      count: order.count,
      reserved: [...order.reserved],
      shipped: [...order.shipped],
      waits: waitsFor(order),
      due: order.due ?? null,
      place: order.place?.name ?? null,
      cancelled: order.cancelled,
    }));
}

/** The bench as its entries leave it: everything that pages and commands show is read from here. */
import {
  asItHappened,
  type Content,
  type ContentOf,
  type Entry,
  foldUnit,
  keptBackAfter,
  type Plan,
  planForRegion,
  streamKey,
  type UnitState,
  unitOf,
} from '../../records/bench/index.ts';

export interface PartState extends ContentOf<'part-saved'> {
  readonly key: string;
  /** Number of its newest entry. */
  readonly number: number;
  readonly savedAt: string;
}

export interface Movement {
  readonly at: string;
  readonly by: string;
  readonly change: number;
  readonly why: string;
  readonly unit: string | null;
  /** What somebody wrote beside it. */
  readonly note: string | null;
}

export interface Inspection extends Omit<ContentOf<'inspection-drawn'>, 'kind'> {
  readonly drawnAt: string;
  found: (Omit<ContentOf<'lot-inspected'>, 'kind'> & { readonly at: string; readonly by: string }) | null;
}

export interface LotState extends ContentOf<'lot-received'> {
  readonly key: string;
  readonly receivedAt: string;
  readonly receivedBy: string;
  /** What is left; below zero when more was taken than there was, which is told. */
  left: number;
  /** Why it is kept back; null when it is not. */
  quarantined: string | null;
  /** Each draw with what was found, when somebody has looked. */
  readonly inspections: Inspection[];
  readonly movements: Movement[];
  /** Pieces by the serial of the unit that holds them. */
  readonly units: Map<string, number>;
  number: number;
}

/** A file that proves a row of the checklist. */
export interface KeptEvidence extends Omit<ContentOf<'evidence-kept'>, 'kind'> {
  readonly at: string;
  readonly by: string;
  /** Why it no longer counts; null while it does. */
  setAside: { readonly reason: string; readonly at: string; readonly by: string } | null;
}

/** What is shown at a step: the newest that was kept for it. */
export interface KeptDrawing extends Omit<ContentOf<'drawing-kept'>, 'kind'> {
  readonly at: string;
  readonly by: string;
}
export const drawingKey = (plan: string, step: string): string => `${plan} ${step}`;

export interface BatchState extends ContentOf<'batch-opened'> {
  readonly key: string;
  readonly openedAt: string;
  /** The plan that it is built by, with the variant of its region in place; undefined where the plan is missing. */
  readonly built: Plan | undefined;
  closedAt: string | null;
  readonly serials: string[];
  readonly papers: Map<string, ContentOf<'paper-noted'> & { readonly at: string; readonly by: string }>;
  /** Files by the row that they prove, oldest first. */
  readonly evidence: Map<string, KeptEvidence[]>;
  number: number;
}

export interface OrderState extends ContentOf<'order-placed'> {
  readonly key: string;
  readonly placedAt: string;
  cancelled: boolean;
  readonly reserved: Set<string>;
  readonly shipped: Set<string>;
  number: number;
}

export interface BenchState {
  /** Number of the newest entry that is in. */
  head: number;
  readonly tokens: Set<string>;
  readonly parts: Map<string, PartState>;
  readonly lots: Map<string, LotState>;
  /** All numbers of each plan, the first at 0. */
  readonly plans: Map<string, { readonly plan: Plan; readonly savedAt: string }[]>;
  /** Drawing or photo of a step, by plan and step. */
  readonly drawings: Map<string, KeptDrawing>;
  readonly batches: Map<string, BatchState>;
  readonly orders: Map<string, OrderState>;
  readonly units: Map<string, UnitState>;
}

export const emptyBench = (): BenchState => ({
  head: 0,
  tokens: new Set(),
  parts: new Map(),
  lots: new Map(),
  plans: new Map(),
  drawings: new Map(),
  batches: new Map(),
  orders: new Map(),
  units: new Map(),
});

/** Takes entries in, in their order. Throws RangeError where one does not follow the last. */
export function fold(state: BenchState, entries: readonly Entry[]): void {
  for (const entry of entries) {
    if (entry.seq !== state.head + 1) throw new RangeError(`entry ${entry.seq} after ${state.head}`);
    foldOne(state, asItHappened(entry));
    state.head = entry.seq;
    if (entry.token !== null) state.tokens.add(entry.token);
  }
}

function foldOne(state: BenchState, entry: Entry): void {
  const kind = entry.stream.slice(0, entry.stream.indexOf(':'));
  const { content } = entry;
  if (kind === 'unit') foldUnitEntry(state, entry);
  else if (kind === 'lot') foldLot(state, entry);
  else if (content.kind === 'part-saved')
    state.parts.set(streamKey(entry.stream), {
      ...content,
      key: streamKey(entry.stream),
      number: entry.number,
      savedAt: entry.at,
    });
  else if (content.kind === 'plan-saved') {
    const key = streamKey(entry.stream);
    const all = state.plans.get(key) ?? [];
    all.push({ plan: content, savedAt: entry.at });
    state.plans.set(key, all);
  } else if (content.kind === 'drawing-kept') {
    const { kind: _, ...file } = content;
    state.drawings.set(drawingKey(streamKey(entry.stream), file.step), { ...file, at: entry.at, by: entry.by });
  } else if (kind === 'batch') foldBatch(state, entry);
  else if (kind === 'order') foldOrder(state, entry);
}

function foldLot(state: BenchState, { stream, number, at, by, content }: Entry): void {
  const key = streamKey(stream);
  if (content.kind === 'lot-received') {
    state.lots.set(key, {
      ...content,
      key,
      receivedAt: at,
      receivedBy: by,
      left: content.count,
      quarantined: null,
      inspections: [],
      movements: [{ at, by, change: content.count, why: 'received', unit: null, note: content.note ?? null }],
      units: new Map(),
      number,
    });
    return;
  }
  const lot = state.lots.get(key);
  if (lot === undefined) return;
  lot.number = number;
  lot.quarantined = keptBackAfter(lot.quarantined, content);
  if (content.kind === 'inspection-drawn') {
    const { kind: _, ...drawn } = content;
    lot.inspections.push({ ...drawn, drawnAt: at, found: null });
  } else if (content.kind === 'lot-inspected') {
    const { defective, verdict } = content;
    const last = lot.inspections.at(-1);
    if (last !== undefined) last.found = { defective, verdict, at, by };
  } else if (content.kind === 'stock-moved')
    move(lot, {
      at: content.movedAt ?? at,
      by,
      change: content.change,
      why: content.why,
      unit: null,
      note: content.note ?? null,
    });
}

function move(lot: LotState, movement: Movement): void {
  lot.left += movement.change;
  lot.movements.push(movement);
}

function foldBatch(state: BenchState, { stream, number, at, by, content }: Entry): void {
  const key = streamKey(stream);
  if (content.kind === 'batch-opened') {
    const plan = state.plans.get(content.plan)?.[content.planNumber - 1]?.plan;
    state.batches.set(key, {
      ...content,
      key,
      openedAt: at,
      built: plan === undefined ? undefined : planForRegion(plan, content.region),
      closedAt: null,
      serials: [],
      papers: new Map(),
      evidence: new Map(),
      number,
    });
    return;
  }
  const batch = state.batches.get(key);
  if (batch === undefined) return;
  batch.number = number;
  if (content.kind === 'batch-closed') batch.closedAt = at;
  else if (content.kind === 'paper-noted') batch.papers.set(content.paper, { ...content, at, by });
  else if (content.kind === 'evidence-kept') {
    const { kind: _, ...file } = content;
    batch.evidence.set(file.paper, [...(batch.evidence.get(file.paper) ?? []), { ...file, at, by, setAside: null }]);
  } else if (content.kind === 'evidence-set-aside') {
    const file = batch.evidence.get(content.paper)?.findLast((e) => e.sha256 === content.sha256);
    if (file !== undefined) file.setAside = { reason: content.reason, at, by };
  }
}

function foldOrder(state: BenchState, { stream, number, at, content }: Entry): void {
  const key = streamKey(stream);
  if (content.kind === 'order-placed') {
    const before = state.orders.get(key);
    state.orders.set(key, {
      ...content,
      key,
      // Whoever orders again after a cancellation stands at the end of the list.
      placedAt: before === undefined || before.cancelled ? at : before.placedAt,
      cancelled: false,
      reserved: before?.reserved ?? new Set(),
      shipped: before?.shipped ?? new Set(),
      number,
    });
  } else {
    const order = state.orders.get(key);
    if (order === undefined) return;
    order.number = number;
    if (content.kind === 'order-cancelled') order.cancelled = true;
  }
}

function foldUnitEntry(state: BenchState, entry: Entry): void {
  const serial = streamKey(entry.stream);
  const { content, at, by } = entry;
  if (content.kind === 'unit-made') {
    state.units.set(serial, unitOf(entry));
    state.batches.get(content.batch)?.serials.push(serial);
    return;
  }
  const unit = state.units.get(serial);
  if (unit === undefined) return;
  const kept = unit.order;
  foldUnit(unit, entry);
  followParts(state, serial, content, at, by);
  if (unit.order !== kept) {
    if (kept !== null) state.orders.get(kept)?.reserved.delete(serial);
    if (unit.order !== null) state.orders.get(unit.order)?.reserved.add(serial);
  }
  // What has come back, or was swapped, is no longer the customer's: whoever ordered it waits again, for it or for another.
  if (content.kind === 'unit-returned' || content.kind === 'unit-swapped')
    state.orders.get(unit.shipped?.order ?? '')?.shipped.delete(serial);
  if (content.kind !== 'unit-shipped' || content.order === undefined) return;
  const order = state.orders.get(content.order);
  order?.reserved.delete(serial);
  order?.shipped.add(serial);
}

/** A fitting takes from its lot; what is taken out goes back to it, or to scrap. */
function followParts(state: BenchState, serial: string, content: Content, at: string, by: string): void {
  if (content.kind !== 'part-fitted' && content.kind !== 'part-taken-out') return;
  const lot = state.lots.get(content.lot);
  if (lot === undefined) return;
  const fitted = content.kind === 'part-fitted';
  const held = (lot.units.get(serial) ?? 0) + (fitted ? content.count : -content.count);
  if (held > 0) lot.units.set(serial, held);
  else lot.units.delete(serial);
  if (fitted) move(lot, { at, by, change: -content.count, why: 'fitted', unit: serial, note: null });
  else if (content.to === 'stores')
    move(lot, { at, by, change: content.count, why: 'taken out', unit: serial, note: null });
  else lot.movements.push({ at, by, change: 0, why: 'taken out to scrap', unit: serial, note: null });
}

/** The plan that a batch is built by, with the variant of its region in place. */
export function planOfBatch(_state: BenchState, batch: BatchState): Plan {
  if (batch.built === undefined)
    throw new RangeError(`batch ${batch.key}: plan ${batch.plan} ${batch.planNumber} is missing`);
  return batch.built;
}

/** Lots that are kept back. */
export function quarantinedLots(state: BenchState): Set<string> {
  const lots = new Set<string>();
  for (const lot of state.lots.values()) if (lot.quarantined !== null) lots.add(lot.key);
  return lots;
}

/** The batch that a unit belongs to. */
export function batchOf(state: BenchState, unit: UnitState): BatchState {
  const batch = state.batches.get(unit.batch);
  if (batch === undefined) throw new RangeError(`${unit.serial}: batch ${unit.batch} is missing`);
  return batch;
}

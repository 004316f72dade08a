/** A bench to try deeds on: begins as the real one stands and leaves that as it is. */
import { type Content, type Entry, streamKey, streamKind, type UnitState } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { type BatchState, type BenchState, fold, type LotState, type OrderState } from './state.ts';

export interface Scratch {
  readonly state: BenchState;
  /** Takes deeds in, as if they had been written. */
  take(deeds: readonly Deed[]): void;
}

const copyUnit = (u: UnitState): UnitState => ({
  ...u,
  steps: new Map(u.steps),
  gates: new Map([...u.gates].map(([gate, tries]) => [gate, tries.map((t) => ({ ...t }))])),
  overrides: new Map(u.overrides),
  fitted: u.fitted.map((f) => ({ ...f })),
  reworkedFor: [...u.reworkedFor],
  returned: u.returned.map((r) => ({ ...r })),
  measured: new Map(u.measured),
  secrets: [...u.secrets],
});
const copyLot = (l: LotState): LotState => ({
  ...l,
  inspections: l.inspections.map((i) => ({ ...i })),
  movements: [...l.movements],
  units: new Map(l.units),
});
const copyOrder = (o: OrderState): OrderState => ({ ...o, reserved: new Set(o.reserved), shipped: new Set(o.shipped) });
const copyBatch = (b: BatchState): BatchState => ({
  ...b,
  serials: [...b.serials],
  papers: new Map(b.papers),
  evidence: new Map([...b.evidence].map(([row, files]) => [row, files.map((f) => ({ ...f }))])),
});

/** Copies lists at once, and what stands in them when it is first touched. */
export function scratchOf(real: BenchState): Scratch {
  const state: BenchState = {
    head: real.head,
    tokens: real.tokens,
    parts: new Map(real.parts),
    lots: new Map(real.lots),
    drawings: new Map(real.drawings),
    plans: new Map([...real.plans].map(([key, numbers]) => [key, [...numbers]])),
    batches: new Map(real.batches),
    orders: new Map(real.orders),
    units: new Map(real.units),
  };
  const own = new Set<unknown>();
  const touch = <T>(all: Map<string, T>, key: string | null | undefined, copy: (value: T) => T) => {
    const value = all.get(key ?? '');
    if (value === undefined || own.has(value)) return;
    const mine = copy(value);
    own.add(mine);
    all.set(key!, mine);
  };
  const touched = (stream: string, content: Content) => {
    const key = streamKey(stream);
    const named = content as { readonly lot?: string; readonly order?: string; readonly batch?: string };
    switch (streamKind(stream)) {
      case 'lot':
        return touch(state.lots, key, copyLot);
      case 'batch':
        return touch(state.batches, key, copyBatch);
      case 'order':
        return touch(state.orders, key, copyOrder);
      case 'unit': {
        const unit = state.units.get(key);
        touch(state.units, key, copyUnit);
        touch(state.lots, named.lot, copyLot);
        touch(state.batches, content.kind === 'unit-made' ? content.batch : undefined, copyBatch);
        for (const order of [named.order, unit?.order, unit?.shipped?.order]) touch(state.orders, order, copyOrder);
        return;
      }
      default:
        return;
    }
  };
  const numberAfter = (stream: string): number => {
    const key = streamKey(stream);
    const lists = { unit: state.units, lot: state.lots, part: state.parts, order: state.orders, batch: state.batches };
    const kind = streamKind(stream);
    return kind === 'plan' ? (state.plans.get(key)?.length ?? 0) + 1 : (lists[kind].get(key)?.number ?? 0) + 1;
  };
  return {
    state,
    take(deeds) {
      for (const { stream, content, corrects = null } of deeds) {
        touched(stream, content);
        const signed = { at: LATER, by: '', token: null, corrects };
        const entry: Entry = { seq: state.head + 1, stream, number: numberAfter(stream), content, ...signed };
        fold(state, [entry]);
      }
    },
  };
}

/** When a deed on trial happens that says no moment of its own. */
const LATER = '9999-12-31T00:00:00Z';

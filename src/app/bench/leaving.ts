/** Orders, and units that leave and come back. */
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import { type Content, type ContentOf, reasonsNotToShip, streamOf, type UnitState } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { orderIn, planIn, planOfUnit, unitIn } from './find.ts';
import { type BenchState, batchOf, type OrderState, quarantinedLots } from './state.ts';

const onUnit = (unit: UnitState, content: Content): Deed => ({ stream: streamOf('unit', unit.serial), content });

/** A new order, or a changed one under the same key. */
export function placeOrder(state: BenchState, key: string, order: Omit<ContentOf<'order-placed'>, 'kind'>): Deed[] {
  planIn(state, order.plan);
  const before = state.orders.get(key);
  if (before !== undefined && before.reserved.size + before.shipped.size > order.count)
    throw userError(
      'order-too-small',
      `order ${key} has ${before.reserved.size} reserved and ${before.shipped.size} shipped already: ${order.count} are fewer`,
      { field: 'count' },
    );
  return [{ stream: streamOf('order', key), content: { kind: 'order-placed', ...order } }];
}

/** Cancels an order; its units are free again. */
export function cancelOrder(state: BenchState, key: string, reason?: string): Deed[] {
  const order = orderIn(state, key);
  if (order.cancelled) throw userError('order-cancelled', `order ${key} is cancelled already`);
  return [
    {
      stream: streamOf('order', key),
      content: { kind: 'order-cancelled', ...(reason === undefined ? {} : { reason }) },
    },
    ...[...order.reserved].map((serial) => onUnit(unitIn(state, serial), { kind: 'unit-freed' })),
  ];
}

/** How many an order still waits for: neither reserved nor shipped. */
export const waitsFor = (order: OrderState): number =>
  order.cancelled ? 0 : Math.max(0, order.count - order.reserved.size - order.shipped.size);

/** Keeps units for an order. */
export function reserveUnits(state: BenchState, key: string, serials: readonly string[]): Deed[] {
  const order = orderIn(state, key);
  if (order.cancelled) throw userError('order-cancelled', `order ${key} is cancelled`);
  if (serials.length > waitsFor(order))
    throw userError('order-full', `order ${key} waits for ${waitsFor(order)}, ${serials.length} are given`);
  return serials.map((typed) => {
    const unit = unitIn(state, typed);
    if (unit.stage === 'shipped' || unit.stage === 'scrapped')
      throw userError('not-free', `${unit.serial} is ${unit.stage}`);
    if (unit.order !== null)
      throw userError('not-free', `${unit.serial} is kept for order ${unit.order}: free it first`);
    const batch = batchOf(state, unit);
    if (batch.plan !== order.plan)
      throw userError('other-plan', `${unit.serial} is built by plan ${batch.plan}, the order wants ${order.plan}`);
    if (batch.region !== order.region)
      throw userError(
        'other-region',
        `${unit.serial} is built for ${batch.region}, the order is for ${order.region}: radio and antenna of another region are not legal there`,
      );
    return onUnit(unit, { kind: 'unit-reserved', order: key });
  });
}

export function freeUnit(state: BenchState, serial: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.order === null) throw userError('not-reserved', `${unit.serial} is kept for no order`);
  return [onUnit(unit, { kind: 'unit-freed' })];
}

/** A unit leaves. Refused with an open gate or a part of a quarantined lot; the store refuses it once more. */
export function shipUnit(state: BenchState, serial: string, shipping: Omit<ContentOf<'unit-shipped'>, 'kind'>): Deed[] {
  const unit = unitIn(state, serial);
  const order = shipping.order ?? unit.order ?? undefined;
  const problems: Problem[] = reasonsNotToShip(unit, planOfUnit(state, unit), quarantinedLots(state)).map(
    (message) => ({ code: 'not-to-ship', message }),
  );
  if (unit.order !== null && order !== unit.order)
    problems.push({
      code: 'kept-for-another',
      message: `${unit.serial} is kept for order ${unit.order}, not ${order}`,
    });
  if (problems.length > 0) throw new UserError(problems);
  const deeds: Deed[] = [];
  if (order !== undefined && unit.order === null) deeds.push(...reserveUnits(state, order, [serial]));
  const content = { kind: 'unit-shipped' as const, ...shipping, ...(order === undefined ? {} : { order }) };
  deeds.push(onUnit(unit, content));
  return deeds;
}

export function takeBack(state: BenchState, serial: string, reason: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'shipped') throw userError('not-shipped', `${unit.serial} is not shipped: it cannot come back`);
  return [onUnit(unit, { kind: 'unit-returned', reason })];
}

/** A returned unit is repaired and stands at the bench again; the gates named are measured again. */
export function repairUnit(
  state: BenchState,
  serial: string,
  request: {
    readonly what: string;
    readonly time_s?: number | undefined;
    readonly gates?: readonly string[] | undefined;
  },
): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'returned') throw userError('not-returned', `${unit.serial} has not come back`);
  const plan = planOfUnit(state, unit);
  const gates = request.gates ?? plan.gates.filter((gate) => gate.required).map((gate) => gate.key);
  const { what, time_s } = request;
  const deeds = [onUnit(unit, { kind: 'unit-repaired', what, ...(time_s === undefined ? {} : { time_s }) })];
  if (gates.length > 0) deeds.push(onUnit(unit, { kind: 'rework-begun', reason: what, gates: [...gates], steps: [] }));
  return deeds;
}

/** Another unit goes out in its place. */
export function swapUnit(state: BenchState, serial: string, other: string): Deed[] {
  const unit = unitIn(state, serial);
  const replacement = unitIn(state, other);
  if (unit.serial === replacement.serial) throw userError('same-unit', 'a unit is not swapped for itself');
  if (unit.stage !== 'returned' && unit.stage !== 'shipped')
    throw userError('not-shipped', `${unit.serial} is not at a customer's: there is nothing to swap`);
  return [onUnit(unit, { kind: 'unit-swapped', for: replacement.serial })];
}

export function scrapUnit(state: BenchState, serial: string, reason: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage === 'scrapped' || unit.stage === 'shipped')
    throw userError('not-at-the-bench', `${unit.serial} is ${unit.stage}`);
  const deeds = [onUnit(unit, { kind: 'unit-scrapped', reason })];
  return unit.order === null ? deeds : [onUnit(unit, { kind: 'unit-freed' }), ...deeds];
}

/** Orders, and units that leave and come back. */
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import {
  type Content,
  type ContentOf,
  hasVariantFor,
  type Plan,
  type ReturnCause,
  reasonsNotToShip,
  servedBy,
  streamOf,
  type UnitState,
} from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { gateIn, orderIn, planIn, planOfUnit, unitIn } from './find.ts';
import { type BenchState, batchOf, type OrderState, planOfBatch, quarantinedLots } from './state.ts';

const onUnit = (unit: UnitState, content: Content): Deed => ({ stream: streamOf('unit', unit.serial), content });

/**
 * A new order, or a changed one under the same key. What is kept for it already keeps plan and region: units of one region are
 * not silently promised to another.
 */
export function placeOrder(state: BenchState, key: string, order: Omit<ContentOf<'order-placed'>, 'kind'>): Deed[] {
  const { plan } = planIn(state, order.plan);
  if (!isServed(plan, order.region))
    throw userError(
      'no-such-variant',
      `plan ${order.plan} has variants for ${plan.variants.map((v) => v.region).join(', ')}, none that may go to ${order.region}: add one to the plan, or declare one of them for it (alsoFor)`,
      { field: 'region' },
    );
  const before = state.orders.get(key);
  const promised = before === undefined ? 0 : before.reserved.size + before.shipped.size;
  if (before !== undefined && promised > order.count)
    throw userError(
      'order-too-small',
      `order ${key} has ${before.reserved.size} reserved and ${before.shipped.size} shipped already: ${order.count} ${order.count === 1 ? 'is' : 'are'} fewer`,
      { field: 'count' },
    );
  if (before !== undefined && promised > 0)
    for (const field of ['plan', 'region'] as const)
      if (before[field] !== order[field])
        throw userError(
          'order-begun',
          `order ${key} has units of ${field} ${before[field]} reserved or shipped already: free those that are reserved, or place another order for ${field} ${order[field]}`,
          { field },
        );
  return [{ stream: streamOf('order', key), content: { kind: 'order-placed', ...order } }];
}

/** Whether some variant of a plan may go to a region. */
const isServed = (plan: Plan, region: string): boolean =>
  hasVariantFor(plan, region) || plan.variants.some((v) => servedBy(plan, v.region).includes(region));

/** Cancels an order, or what is left of it: its units that are kept are free again, those that are shipped stay where they are. */
export function cancelOrder(state: BenchState, key: string, reason?: string): Deed[] {
  const order = orderIn(state, key);
  if (order.cancelled) throw userError('order-cancelled', `order ${key} is cancelled already`);
  if (order.shipped.size >= order.count)
    throw userError('order-shipped', `all ${order.count} units of order ${key} are shipped: nothing is left to cancel`);
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

/**
 * Keeps units for an order: of its plan, built for its region or for one whose variant the plan declares for it too.
 *
 * @throws UserError for a unit that is not free, is built for another region or plan, and for more than are waited for
 */
export function reserveUnits(state: BenchState, key: string, serials: readonly string[]): Deed[] {
  const order = orderIn(state, key);
  if (order.cancelled) throw userError('order-cancelled', `order ${key} is cancelled`);
  const units = [...new Map(serials.map((typed) => unitIn(state, typed)).map((unit) => [unit.serial, unit])).values()];
  const waits = waitsFor(order);
  if (units.length > waits)
    throw userError(
      'order-full',
      waits === 0
        ? `order ${key} waits for no more units: ${order.reserved.size} of ${order.count} are reserved, ${order.shipped.size} shipped`
        : `order ${key} waits for ${waits}, ${units.length} are given`,
    );
  return units.map((unit) => {
    if (unit.stage === 'shipped' || unit.stage === 'scrapped')
      throw userError('not-free', `${unit.serial} is ${unit.stage}`);
    if (unit.order !== null)
      throw userError('not-free', `${unit.serial} is kept for order ${unit.order}: free it first`);
    checkFits(state, unit, order);
    return onUnit(unit, { kind: 'unit-reserved', order: key });
  });
}

/** Plan and region of a unit are those of an order, or declared for it. */
function checkFits(state: BenchState, unit: UnitState, order: OrderState): void {
  const batch = batchOf(state, unit);
  if (batch.plan !== order.plan)
    throw userError('other-plan', `${unit.serial} is built by plan ${batch.plan}, the order wants ${order.plan}`);
  if (!servedBy(planOfBatch(state, batch), batch.region).includes(order.region))
    throw userError(
      'other-region',
      `${unit.serial} is built for ${batch.region}, the order is for ${order.region}: radio and antenna of another region are not legal there, and the plan does not declare its ${batch.region} variant for ${order.region} (alsoFor)`,
    );
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

export function takeBack(state: BenchState, serial: string, reason: string, cause?: ReturnCause): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'shipped') throw userError('not-shipped', `${unit.serial} is not shipped: it cannot come back`);
  return [onUnit(unit, { kind: 'unit-returned', reason, ...(cause === undefined ? {} : { cause }) })];
}

/** A returned unit is repaired and stands at the bench again; the gates named are measured again. */
export function repairUnit(
  state: BenchState,
  serial: string,
  request: {
    readonly what: string;
    readonly cause?: ReturnCause | undefined;
    readonly time_s?: number | undefined;
    readonly gates?: readonly string[] | undefined;
  },
): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'returned')
    throw userError(
      'not-returned',
      unit.stage === 'shipped'
        ? `${unit.serial} is at its customer's: note first that it has come back`
        : `${unit.serial} has not come back (${unit.stage}): what is mended at the bench is a rework`,
    );
  const plan = planOfUnit(state, unit);
  const gates =
    request.gates?.map((gate) => gateIn(plan, gate).key) ??
    plan.gates.filter((gate) => gate.required).map((gate) => gate.key);
  const { what, cause, time_s } = request;
  const more = { ...(cause === undefined ? {} : { cause }), ...(time_s === undefined ? {} : { time_s }) };
  const deeds = [onUnit(unit, { kind: 'unit-repaired', what, ...more })];
  if (gates.length > 0) deeds.push(onUnit(unit, { kind: 'rework-begun', reason: what, gates: [...gates], steps: [] }));
  return deeds;
}

/**
 * Another unit goes out in its place, under the same order and at once; the first one stands to the maker from then on, whether
 * it is back already or still on its way.
 *
 * @throws UserError with all that keeps the other one here: an open gate, a quarantined lot, another order, plan or region
 */
export function swapUnit(
  state: BenchState,
  serial: string,
  other: string,
  shipping: Omit<ContentOf<'unit-shipped'>, 'kind' | 'order'> = {},
): Deed[] {
  const unit = unitIn(state, serial);
  const replacement = unitIn(state, other);
  if (unit.serial === replacement.serial)
    throw userError('same-unit', 'a unit is not swapped for itself', { field: 'for' });
  if (unit.swappedFor !== null)
    throw userError('swapped-already', `${unit.serial} was swapped for ${unit.swappedFor} already`);
  if (unit.stage !== 'returned' && unit.stage !== 'shipped')
    throw userError('not-shipped', `${unit.serial} is not at a customer's: there is nothing to swap`);
  const key = unit.shipped?.order;
  const problems: Problem[] = reasonsNotToShip(replacement, planOfUnit(state, replacement), quarantinedLots(state)).map(
    (message) => ({ code: 'not-to-ship', message, place: { field: 'for' } }),
  );
  if (replacement.order !== null && replacement.order !== key)
    problems.push({
      code: 'kept-for-another',
      message: `${replacement.serial} is kept for order ${replacement.order}${key === undefined ? '' : `, not ${key}`}: free it first, or take another`,
      place: { field: 'for' },
    });
  if (problems.length > 0) throw new UserError(problems);
  const order = key === undefined ? undefined : state.orders.get(key);
  if (order !== undefined) {
    if (order.cancelled) throw userError('order-cancelled', `order ${key} is cancelled: nothing goes out for it`);
    checkFits(state, replacement, order);
    if (!order.shipped.has(unit.serial) && replacement.order === null && waitsFor(order) === 0)
      throw userError(
        'order-full',
        `order ${key} waits for no more units: another has taken the place of ${unit.serial} already`,
      );
  }
  return [
    onUnit(unit, { kind: 'unit-swapped', for: replacement.serial }),
    ...(key === undefined || replacement.order === key
      ? []
      : [onUnit(replacement, { kind: 'unit-reserved' as const, order: key })]),
    onUnit(replacement, { kind: 'unit-shipped', ...shipping, ...(key === undefined ? {} : { order: key }) }),
  ];
}

/** Where a unit stands, as a perch of the workshop: its forecast is made for it. Whether there is such a perch is the caller's to ask. */
export function installUnit(state: BenchState, serial: string, perch: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage !== 'shipped')
    throw userError('not-shipped', `${unit.serial} has not left (${unit.stage}): it stands at no perch yet`);
  if (unit.installed?.perch === perch) return [];
  return [onUnit(unit, { kind: 'unit-installed', perch })];
}

export function scrapUnit(state: BenchState, serial: string, reason: string): Deed[] {
  const unit = unitIn(state, serial);
  if (unit.stage === 'scrapped' || unit.stage === 'shipped')
    throw userError('not-at-the-bench', `${unit.serial} is ${unit.stage}`);
  const deeds = [onUnit(unit, { kind: 'unit-scrapped', reason })];
  return unit.order === null ? deeds : [onUnit(unit, { kind: 'unit-freed' }), ...deeds];
}

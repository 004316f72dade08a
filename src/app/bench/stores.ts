/** What the stores hold: parts, lots, movements, and lots that are kept back. */
import { userError } from '../../core/units/index.ts';
import { type ContentOf, streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { lotIn, partIn } from './find.ts';
import { orderOf } from './looks.ts';
import type { BenchState, LotState, Movement } from './state.ts';

/** A part under its key; `from` is the number that it was made from, 0 for a new one. */
export function savePart(
  state: BenchState,
  key: string,
  part: Omit<ContentOf<'part-saved'>, 'kind'>,
  from?: number,
): Deed[] {
  const newest = state.parts.get(key)?.number ?? 0;
  if (from !== undefined && from !== newest)
    throw userError(
      'stale',
      newest === 0
        ? `part ${key} is not there yet: save it without a number to start from`
        : `part ${key} stands at number ${newest}, yours was made from ${from}: look at what changed, then save again`,
      { field: 'from' },
    );
  return [{ stream: streamOf('part', key), content: { kind: 'part-saved', ...part } }];
}

/** Key for the next lot of a part: cell-1, cell-2 … */
export function nextLotKey(state: BenchState, part: string): string {
  for (let n = 1; ; n++) if (!state.lots.has(`${part}-${n}`)) return `${part}-${n}`;
}

export function receiveLot(
  state: BenchState,
  lot: Omit<ContentOf<'lot-received'>, 'kind'>,
  key = nextLotKey(state, lot.part),
): Deed[] {
  partIn(state, lot.part);
  if (state.lots.has(key))
    throw userError('lot-exists', `lot ${key} is there already: give this one another key`, { field: 'lot' });
  return [{ stream: streamOf('lot', key), content: { kind: 'lot-received', ...lot } }];
}

/** Adds to a lot or takes from it. Never below zero unless told so (`short`). */
export function moveStock(
  state: BenchState,
  key: string,
  movement: Omit<ContentOf<'stock-moved'>, 'kind'>,
  short = false,
): Deed[] {
  const lot = lotIn(state, key);
  const after = lot.left + movement.change;
  if (after < 0 && movement.change < 0 && !short)
    throw userError(
      'too-few',
      `lot ${key} has ${Math.max(0, lot.left)} left, ${-movement.change} are to go: count the lot, or take them all the same (short)`,
      { field: 'change' },
    );
  return [{ stream: streamOf('lot', key), content: { kind: 'stock-moved', ...movement } }];
}

/** Writes the difference between what was counted and what the stores say; nothing when they agree. */
export function countLot(state: BenchState, key: string, counted: number, note?: string): Deed[] {
  if (!(Number.isInteger(counted) && counted >= 0))
    throw userError('not-a-count', `${counted} is no count: whole pieces, none or more`, { field: 'counted' });
  const change = counted - lotIn(state, key).left;
  if (change === 0) return [];
  return moveStock(state, key, { change, why: 'counted', ...(note === undefined ? {} : { note }) }, true);
}

export function quarantineLot(state: BenchState, key: string, reason: string): Deed[] {
  const lot = lotIn(state, key);
  if (lot.quarantined !== null)
    throw userError('quarantined', `lot ${key} is quarantined already: ${lot.quarantined}`, { field: 'lot' });
  return [{ stream: streamOf('lot', key), content: { kind: 'lot-quarantined', reason } }];
}

export function releaseLot(state: BenchState, key: string, reason: string): Deed[] {
  if (lotIn(state, key).quarantined === null)
    throw userError('not-quarantined', `lot ${key} is not quarantined`, { field: 'lot' });
  return [{ stream: streamOf('lot', key), content: { kind: 'lot-released', reason } }];
}

/** A unit that holds parts of a lot, and where it is now. */
export interface RecalledUnit {
  readonly serial: string;
  readonly batch: string;
  readonly count: number;
  readonly stage: string;
  readonly shippedAt: string | null;
  readonly order: string | null;
  readonly customer: string | null;
}

export interface RecallOutcome {
  readonly command: 'stores recall';
  readonly verdict: string;
  readonly lot: string;
  readonly part: string;
  readonly supplier: string;
  readonly quarantined: string | null;
  readonly left: number;
  readonly units: readonly RecalledUnit[];
  /** Who holds one and must be told. */
  readonly customers: readonly {
    readonly customer: string;
    readonly orders: readonly string[];
    readonly serials: readonly string[];
  }[];
  /** Units that are away without an order that says at whose. */
  readonly unknown: readonly string[];
}

/** Every unit made from a lot, those at customers' first. */
export function recall(state: BenchState, key: string): RecallOutcome {
  const lot = lotIn(state, key);
  const units = [...lot.units].map(([serial, count]): RecalledUnit => {
    const unit = state.units.get(serial)!;
    const order = orderOf(unit);
    return {
      serial,
      batch: unit.batch,
      count,
      stage: unit.stage,
      shippedAt: unit.shipped?.at ?? null,
      order: order ?? null,
      customer: order ? (state.orders.get(order)?.customer ?? null) : null,
    };
  });
  const away = (unit: RecalledUnit) => (unit.stage === 'shipped' ? 0 : 1);
  units.sort((a, b) => away(a) - away(b) || (a.serial < b.serial ? -1 : 1));
  const gone = units.filter((unit) => unit.stage === 'shipped').length;
  const { customers, unknown } = toBeTold(units);
  const verdict =
    units.length === 0
      ? `No unit holds a part of lot ${key}.`
      : `${units.length} ${units.length === 1 ? 'unit holds' : 'units hold'} parts of lot ${key}: ${gone} shipped, ${units.length - gone} here.${toldText(customers.length, unknown.length)}`;
  const { part, supplier, quarantined, left } = lot;
  return { command: 'stores recall', verdict, lot: key, part, supplier, quarantined, left, units, customers, unknown };
}

/** The list as a table, titles first. */
export const recallTable = ({ units }: RecallOutcome): readonly (readonly (string | number | null)[])[] => [
  ['serial', 'batch', 'count', 'stage', 'shipped_at', 'order', 'customer'],
  ...units.map((u) => [u.serial, u.batch, u.count, u.stage, u.shippedAt, u.order, u.customer]),
];

/** Customers of units that are away, in the order of the units. */
function toBeTold(units: readonly RecalledUnit[]): Pick<RecallOutcome, 'customers' | 'unknown'> {
  const customers = new Map<string, { orders: Set<string>; serials: string[] }>();
  const unknown: string[] = [];
  for (const { serial, stage, order, customer } of units) {
    if (stage !== 'shipped') continue;
    if (customer === null || order === null) unknown.push(serial);
    else {
      const known = customers.get(customer) ?? { orders: new Set(), serials: [] };
      known.orders.add(order);
      known.serials.push(serial);
      customers.set(customer, known);
    }
  }
  return {
    customers: [...customers].map(([customer, { orders, serials }]) => ({ customer, orders: [...orders], serials })),
    unknown,
  };
}

function toldText(customers: number, unknown: number): string {
  const told = customers === 0 ? '' : ` ${customers} ${customers === 1 ? 'customer' : 'customers'} must be told.`;
  const none =
    unknown === 0
      ? ''
      : ` Of ${unknown} ${unknown === 1 ? 'unit' : 'units'} that left without an order nobody knows the customer.`;
  return told + none;
}

export interface StoredLot extends Pick<LotState, 'key' | 'supplier' | 'receivedAt' | 'left' | 'quarantined'> {
  readonly received: number;
  /** Looked at, drawn but not looked at yet, or neither though the part asks for it. */
  readonly inspection: 'accepted' | 'refused' | 'drawn' | 'due' | 'none asked';
  readonly unitsWith: number;
}

export interface StoredPart {
  readonly part: string;
  readonly name: string;
  readonly measured: string;
  /** Of lots that are not kept back. */
  readonly free: number;
  readonly quarantined: number;
  readonly lots: readonly StoredLot[];
}

export interface StoresOutcome {
  readonly command: 'stores list';
  readonly verdict: string;
  readonly parts: readonly StoredPart[];
  /** Lots that show less than none: more was taken than the stores knew of. */
  readonly short: readonly string[];
}

/** All parts with their lots; empty lots only with `all`. */
export function storesList(state: BenchState, all = false): StoresOutcome {
  const parts = [...state.parts.values()].map((part): StoredPart => {
    const lots = [...state.lots.values()].filter((lot) => lot.part === part.key);
    const sum = (some: readonly LotState[]) => some.reduce((total, lot) => total + lot.left, 0);
    return {
      part: part.key,
      name: part.name,
      measured: part.measured,
      free: sum(lots.filter((lot) => lot.quarantined === null)),
      quarantined: sum(lots.filter((lot) => lot.quarantined !== null)),
      lots: lots
        .filter((lot) => all || lot.left !== 0 || lot.quarantined !== null)
        .map((lot) => storedLot(lot, part.inspection !== undefined)),
    };
  });
  const short = [...state.lots.values()].filter((lot) => lot.left < 0).map((lot) => lot.key);
  const held = [...state.lots.values()].filter((lot) => lot.quarantined !== null).length;
  const verdict = [
    `${parts.length} ${parts.length === 1 ? 'part' : 'parts'} in ${state.lots.size} lots`,
    held > 0 ? `${held} quarantined` : '',
    short.length > 0 ? `${short.length} show less than none: count ${short.join(', ')}` : '',
  ];
  return { command: 'stores list', verdict: `${verdict.filter(Boolean).join('; ')}.`, parts, short };
}

function storedLot(lot: LotState, asked: boolean): StoredLot {
  const { key, supplier, receivedAt, left, quarantined } = lot;
  const last = lot.inspections.at(-1);
  const inspection =
    last === undefined
      ? asked
        ? 'due'
        : 'none asked'
      : last.found === null
        ? 'drawn'
        : last.found.verdict === 'refused'
          ? 'refused'
          : 'accepted';
  return { key, supplier, receivedAt, received: lot.count, left, quarantined, inspection, unitsWith: lot.units.size };
}

export interface LedgerOutcome {
  readonly command: 'stores ledger';
  readonly verdict: string;
  readonly lot: string;
  readonly part: string;
  readonly left: number;
  /** Oldest first; `left` after each. */
  readonly movements: readonly (Movement & { readonly left: number })[];
}

/** Every movement of a lot with what was left after it. */
export function ledger(state: BenchState, key: string): LedgerOutcome {
  const lot = lotIn(state, key);
  let left = 0;
  const movements = lot.movements.map((movement) => {
    left += movement.change;
    return { ...movement, left };
  });
  const verdict =
    lot.left < 0
      ? `Lot ${key} of ${lot.part} shows ${-lot.left} less than none: count it.`
      : `Lot ${key} of ${lot.part}: ${lot.left} of ${lot.count} left.`;
  return { command: 'stores ledger', verdict, lot: key, part: lot.part, left: lot.left, movements };
}

/** The bench as tables: all of it out as CSV; parts, lots, orders, movements and gates in, all rows or none. */
import { amount, amountText, parseAmount } from '../../core/money/index.ts';
import { UserError, userError } from '../../core/units/index.ts';
import { numberOf, readTable, writeTable } from '../../formats/csv-table.ts';
import { type Content, contentSchema, type StreamKind, streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import type { BenchState } from './state.ts';
import { type Cell, DATED, type DatedRow } from './tables-dated.ts';

type Value = string | number | null;

/** Every table by its name, as CSV text. Keys of radios are in none of them. */
export function exportTables(state: BenchState): Readonly<Record<string, string>> {
  const units = [...state.units.values()];
  const money = (minor: number | undefined, currency: string | undefined) =>
    minor === undefined || currency === undefined ? null : amountText(amount(minor, currency));
  const parts = [...state.parts.values()];
  const lots = [...state.lots.values()];
  const out = (titles: string, rows: readonly Value[][]) => writeTable(titles.split(','), rows);
  return {
    parts: out(
      'key,name,is,measured,note',
      parts.map((p) => [p.key, p.name, p.is, p.measured, p.note ?? null]),
    ),
    offers: out(
      'part,supplier,currency,from,price_minor,per,minimum,pack,leadTime_d,leadTimeSpread_d,freight_minor,duty_pct,fees_minor,asked',
      parts.flatMap((p) =>
        p.offers.flatMap((o) =>
          o.breaks.map((b): Value[] => [
            p.key,
            o.supplier,
            o.currency,
            b.from,
            b.price_minor,
            b.per,
            o.minimum,
            o.pack,
            o.leadTime_d,
            o.leadTimeSpread_d,
            o.freight_minor,
            o.duty_pct,
            o.fees_minor,
            o.asked ?? null,
          ]),
        ),
      ),
    ),
    lots: out(
      'key,part,count,supplier,supplierLot,currency,goods,freight,duty,fees,note,left,quarantined,received',
      lots.map((l) => [
        l.key,
        l.part,
        l.count,
        l.supplier,
        l.supplierLot ?? null,
        l.currency,
        ...[l.goods_minor, l.freight_minor, l.duty_minor, l.fees_minor].map((m) => money(m, l.currency)),
        l.note ?? null,
        l.left,
        l.quarantined,
        l.receivedAt,
      ]),
    ),
    movements: out(
      'lot,at,by,change,why,unit',
      lots.flatMap((l) => l.movements.map((m): Value[] => [l.key, m.at, m.by, m.change, m.why, m.unit])),
    ),
    batches: out(
      'key,name,plan,planNumber,count,region,prefix,due,opened,closed',
      [...state.batches.values()].map((b) => [
        b.key,
        b.name,
        b.plan,
        b.planNumber,
        b.count,
        b.region,
        b.prefix,
        b.due ?? null,
        b.openedAt,
        b.closedAt,
      ]),
    ),
    units: out(
      'serial,batch,position,made,stage,order,reworks,returns',
      units.map((u) => [u.serial, u.batch, u.position, u.madeAt, u.stage, u.order, u.reworks, u.returns]),
    ),
    gates: out(
      'serial,gate,value,verdict,at,by,counts',
      units.flatMap((u) =>
        [...u.gates].flatMap(([gate, tries]) =>
          tries.map((t): Value[] => [
            u.serial,
            gate,
            typeof t.measured.value === 'boolean' ? (t.measured.value ? 'yes' : 'no') : t.measured.value,
            t.measured.verdict,
            t.at,
            t.by,
            t.corrected || t.reopened ? 'no' : 'yes',
          ]),
        ),
      ),
    ),
    orders: out(
      'key,customer,plan,count,region,due,price,currency,note,placed,cancelled',
      [...state.orders.values()].map((o) => [
        o.key,
        o.customer,
        o.plan,
        o.count,
        o.region,
        o.due ?? null,
        money(o.price_minor, o.currency),
        o.currency ?? null,
        o.note ?? null,
        o.placedAt,
        o.cancelled ? 'yes' : 'no',
      ]),
    ),
  };
}

interface Column {
  readonly to: string;
  readonly as: 'text' | 'number' | 'sum';
}
const text = (to: string): Column => ({ to, as: 'text' });
const count = (to: string): Column => ({ to, as: 'number' });
const sum = (to: string): Column => ({ to: `${to}_minor`, as: 'sum' });

interface Table {
  readonly stream: StreamKind;
  readonly kind: Content['kind'];
  readonly columns: Readonly<Record<string, Column>>;
}

const TABLES: Readonly<Record<string, Table>> = {
  parts: {
    stream: 'part',
    kind: 'part-saved',
    columns: { name: text('name'), is: text('is'), measured: text('measured'), note: text('note') },
  },
  lots: {
    stream: 'lot',
    kind: 'lot-received',
    columns: {
      part: text('part'),
      count: count('count'),
      supplier: text('supplier'),
      supplierLot: text('supplierLot'),
      currency: text('currency'),
      goods: sum('goods'),
      freight: sum('freight'),
      duty: sum('duty'),
      fees: sum('fees'),
      note: text('note'),
    },
  },
  orders: {
    stream: 'order',
    kind: 'order-placed',
    columns: {
      customer: text('customer'),
      plan: text('plan'),
      count: count('count'),
      region: text('region'),
      due: text('due'),
      price: sum('price'),
      currency: text('currency'),
      note: text('note'),
    },
  },
};
export const IMPORTED = [...Object.keys(TABLES), ...Object.keys(DATED)];
/** Fields of a table that is read, what names a row first. */
export const fieldsOf = (table: string): readonly string[] =>
  DATED[table]?.fields ?? ['key', ...Object.keys(TABLES[table]?.columns ?? {})];

export interface ImportOutcome {
  readonly command: 'stores import';
  readonly verdict: string;
  readonly table: string;
  readonly rows: number;
  readonly fresh: number;
  /** Rows that stand in the workshop as they are here. */
  readonly same: number;
  readonly skipped: readonly number[];
  /** Column of the file to field; columns that nothing is read from. */
  readonly mapped: Readonly<Record<string, string>>;
  readonly unread: readonly string[];
  /** Row of the file, the line of titles being 1. */
  readonly problems: readonly { readonly row: number; readonly message: string }[];
  /** The first rows as they would be kept. */
  readonly preview: readonly Readonly<Record<string, unknown>>[];
}

export interface ImportRequest {
  readonly table: string;
  readonly text: string;
  /** Title of the file to field; to nothing: that column is not read. */
  readonly map?: Readonly<Record<string, string>> | undefined;
  readonly skip?: readonly number[] | undefined;
}

/** What an import would do; the deeds hold only when there is no problem. */
export function planImport(state: BenchState, request: ImportRequest): { outcome: ImportOutcome; deeds: Deed[] } {
  if (!IMPORTED.includes(request.table))
    throw userError('import-table', `${request.table} is not read: there are ${IMPORTED.join(', ')}`, {
      field: 'table',
    });
  const { titles, rows } = readTable(request.text);
  const fields = fieldsOf(request.table);
  const map = new Map(Object.entries(request.map ?? {}));
  for (const [from, to] of map) {
    if (!titles.includes(from))
      throw userError('import-map', `there is no column ${from}: the file has ${titles.join(', ')}`, { field: 'map' });
    if (to !== '' && !fields.includes(to))
      throw userError('import-map', `${to} is no field of ${request.table}: there are ${fields.join(', ')}`, {
        field: 'map',
      });
  }
  const taken = new Set(map.values());
  const at = new Map<string, number>();
  titles.forEach((title, i) => {
    const field = map.get(title) ?? (fields.includes(title) && !taken.has(title) ? title : '');
    if (field === '') return;
    if (at.has(field))
      throw userError('import-map', `${field} would be read from two columns, ${titles[at.get(field)!]} and ${title}`, {
        field: 'map',
      });
    at.set(field, i);
  });
  const missing = (DATED[request.table]?.needs ?? ['key']).find((field) => !at.has(field));
  if (missing !== undefined)
    throw userError(
      missing === 'key' ? 'import-key' : 'import-column',
      `no column is read as ${missing}: choose one (on the command line --map "TITLE=${missing}"); the file has ${titles.join(', ')}`,
      { field: 'map' },
    );
  const skip = new Set(request.skip ?? []);
  const problems: { row: number; message: string }[] = [];
  const deeds: Deed[] = [];
  const preview: Record<string, unknown>[] = [];
  const read = DATED[request.table]?.begin(state) ?? keyedReader(state, TABLES[request.table]!);
  let same = 0;
  rows.forEach((cells, i) => {
    const row = i + 2;
    if (skip.has(row)) return;
    try {
      const { preview: shown, deed } = read((field) => cells[at.get(field) ?? -1] ?? '');
      if (preview.length < 5) preview.push(shown);
      if (deed === null) same++;
      else deeds.push(deed);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push({ row, message: error.problems.map((p) => p.message).join('; ') });
    }
  });
  const fresh = deeds.length;
  const mapped = Object.fromEntries([...at].map(([field, i]) => [titles[i]!, field]));
  const verdict =
    problems.length > 0
      ? `${problems.length} of ${rows.length} rows ${problems.length === 1 ? 'is' : 'are'} wrong; nothing is imported. Mend ${problems.length === 1 ? 'it, or skip row' : 'them, or skip rows'} ${problems
          .slice(0, 20)
          .map((p) => p.row)
          .join(',')}.`
      : `${fresh} ${fresh === 1 ? 'row' : 'rows'} for ${request.table}, ${same} there already, ${skip.size} skipped.`;
  return {
    outcome: {
      command: 'stores import',
      verdict,
      table: request.table,
      rows: rows.length,
      fresh,
      same,
      skipped: [...skip],
      mapped,
      unread: titles.filter((t) => mapped[t] === undefined),
      problems,
      preview,
    },
    deeds,
  };
}

/** Reads rows that a key names, each once. */
function keyedReader(state: BenchState, table: Table): (cell: Cell) => DatedRow {
  const seen = new Set<string>();
  return (cell) => {
    const { key, content } = contentOf(table, cell);
    if (seen.has(key)) throw userError('import-twice', `the key ${key} stands twice`);
    seen.add(key);
    const fresh = standingIn(state, table, key, content);
    const deed = fresh === 'same' ? null : { stream: streamOf(table.stream, key), content: fresh };
    return { preview: { key, ...content }, deed };
  };
}

function contentOf(table: Table, cell: Cell): { key: string; content: Content } {
  const key = cell('key').trim();
  if (!/^[a-z0-9](?:[a-z0-9.-]{0,62}[a-z0-9])?$/.test(key))
    throw userError('import-key', `key "${key}": 1 to 64 small letters, digits, dots and hyphens are wanted`);
  const raw: Record<string, unknown> = { kind: table.kind };
  for (const [name, { to, as }] of Object.entries(table.columns)) {
    const value = cell(name);
    if (value === '') continue;
    if (as === 'text') raw[to] = value;
    else if (as === 'number') raw[to] = numberOf(value) ?? value;
    else raw[to] = parseAmount(value.trim().replace(/^(-?\d+),(\d+)$/, '$1.$2'), cell('currency').trim()).minor;
  }
  const read = contentSchema.safeParse(raw);
  if (!read.success)
    throw userError(
      'import-row',
      read.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '),
    );
  return { key, content: read.data };
}

/** 'same' when it stands there so already; else what is to be written. */
function standingIn(state: BenchState, table: Table, key: string, content: Content): Content | 'same' {
  const known = { part: state.parts, lot: state.lots, order: state.orders }[
    table.stream as 'part' | 'lot' | 'order'
  ].get(key);
  if (content.kind === 'lot-received' && !state.parts.has(content.part))
    throw userError('no-such-part', `there is no part ${content.part}: import the parts first`);
  if (content.kind === 'order-placed' && !state.plans.has(content.plan))
    throw userError('no-such-plan', `there is no plan ${content.plan}`);
  if (known === undefined) return content;
  // A table of parts has no offers and no inspection: those that stand there are kept.
  const { kind: _, offers: __, ...told } = content as Content & { offers?: unknown };
  const held = known as unknown as Readonly<Record<string, unknown>>;
  if (Object.entries(told).every(([field, value]) => JSON.stringify(held[field]) === JSON.stringify(value)))
    return 'same';
  if (content.kind !== 'part-saved') throw userError('import-exists', `${key} is there already with other values`);
  const { key: _k, number: _n, savedAt: _s, ...kept } = state.parts.get(key)!;
  return { ...kept, ...content, offers: kept.offers };
}

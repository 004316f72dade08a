/** How batches, units and stores are printed. */
import type { BatchOutcome, BenchOverview, OrderRow } from '../../app/bench/looks.ts';
import type { OrderingOutcome } from '../../app/bench/ordering.ts';
import type { LedgerOutcome, RecallOutcome, StoresOutcome } from '../../app/bench/stores.ts';
import type { UnitOutcome } from '../../app/bench/unit-look.ts';
import { say, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

/** To the minute, in the time of this machine. */
export function time(iso: string): string {
  const at = new Date(iso);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** A sum of a currency's smallest unit in its usual one. */
export function sum(minor: number, currency: string): string {
  const digits =
    new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2;
  return `${(minor / 10 ** digits).toFixed(digits)} ${currency}`;
}

const value = (v: number | boolean | string | null) =>
  v === true ? 'yes' : v === false ? 'no' : v === null ? '' : String(v);

function lines(titles: readonly string[], rows: readonly (readonly string[])[], left: readonly number[] = [0]): void {
  if (rows.length === 0) return;
  say();
  for (const line of table(titles, rows, left)) say(line);
}

export function sayUnit(unit: UnitOutcome): void {
  sayFolded(unit.verdict);
  say();
  say(`Kit ${unit.kit} ${unit.kitRevision}, batch ${unit.batch}, begun ${time(unit.madeAt)}`);
  if (unit.order !== null) say(`Order ${unit.order} (${unit.customer})`);
  lines(
    ['step', 'done', 'by'],
    unit.steps.map((s) => [`${s.key}: ${s.name}`, s.done === null ? 'open' : time(s.done.at), s.done?.by ?? '']),
    [0, 1, 2],
  );
  lines(
    ['gate', 'limit', 'value', 'state', 'tries'],
    unit.gates.map((g) => [
      `${g.gate}: ${g.name}`,
      g.limit,
      value(g.value),
      g.override === null ? g.state : `overridden by ${g.override.name}: ${g.override.reason}`,
      String(g.tries.length),
    ]),
    [0, 1, 3],
  );
  lines(
    ['part', 'lot', 'count'],
    unit.fitted.map((f) => [f.part, f.quarantined ? `${f.lot} (quarantined)` : f.lot, String(f.count)]),
    [0, 1],
  );
  lines(
    ['measured', 'value', 'how'],
    Object.entries(unit.measured).map(([field, m]) => [field, String(m.value), m.how]),
    [0, 2],
  );
  if (unit.standing !== 'shipped') sayNotes(unit.whyNotToShip, 'Before it may leave');
}

/** What was measured just now, with its verdict and the mend. */
export function sayMeasured(
  unit: UnitOutcome,
  { gate, value, verdict }: { readonly gate: string; readonly value: unknown; readonly verdict: string },
): void {
  const row = unit.gates.find((g) => g.gate === gate)!;
  const shown = typeof value === 'boolean' ? (value ? 'yes' : 'no') : `${value} ${row.unit}`.trim();
  const why =
    verdict === 'undecided'
      ? `: too close to the limit for this meter (passes: ${row.limit}); measure again, or with a better one`
      : verdict === 'failed'
        ? `: wanted ${row.limit}`
        : '';
  sayFolded(`${row.name}: ${shown}, ${verdict}${why}.`);
}

export function sayBatch(batch: BatchOutcome): void {
  sayFolded(batch.verdict);
  say();
  const due = batch.due === null ? '' : `, due ${batch.due}`;
  say(`Kit ${batch.kit} ${batch.kitRevision}, plan ${batch.plan} number ${batch.planNumber}, ${batch.region}${due}`);
  lines(
    ['step', 'done'],
    batch.steps.map((s) => [`${s.key}: ${s.name}`, String(s.done)]),
  );
  lines(
    ['gate', 'passed', 'failed', 'undecided', 'overridden', 'open'],
    batch.gates.map((g) => [
      `${g.key}: ${g.name}`,
      ...[g.passed, g.failed, g.undecided, g.overridden, g.open].map(String),
    ]),
  );
  lines(
    ['serial', 'stands', 'steps', 'open gates', 'order'],
    batch.units.map((u) => [
      u.serial,
      u.standing,
      String(u.stepsDone),
      u.failedGates.length > 0 ? `failed: ${u.failedGates.join(', ')}` : u.openGates.join(', '),
      u.order ?? '',
    ]),
    [0, 1, 3, 4],
  );
  if (batch.keptBackBy.length > 0) sayNotes(batch.keptBackBy, 'Quarantined lots in it');
}

export function sayOverview(overview: BenchOverview): void {
  sayFolded(overview.verdict);
  lines(
    ['batch', 'plan', 'region', 'units', 'ready', 'stopped', 'shipped', 'due'],
    overview.batches.map((b) => [
      b.batch,
      b.plan,
      b.region,
      String(b.count),
      String(b.counts.ready),
      String(b.counts.stopped),
      String(b.counts.shipped),
      b.due ?? '',
    ]),
    [0, 1, 2, 7],
  );
}

export function sayOrders(orders: readonly OrderRow[]): void {
  if (orders.length === 0) say('No order has been placed yet.');
  lines(
    ['order', 'customer', 'plan', 'region', 'wanted', 'reserved', 'shipped', 'waits for', 'due'],
    orders.map((o) => [
      o.order,
      o.cancelled ? `${o.customer} (cancelled)` : o.customer,
      o.plan,
      o.region,
      ...[o.count, o.reserved.length, o.shipped.length, o.waits].map(String),
      o.due ?? '',
    ]),
    [0, 1, 2, 3, 8],
  );
}

export function sayStores(stores: StoresOutcome): void {
  sayFolded(stores.verdict);
  lines(
    ['part', 'lot', 'supplier', 'left', 'inspection', 'state'],
    stores.parts.flatMap((part) =>
      part.lots.length === 0
        ? [[part.part, '', '', '0', '', '']]
        : part.lots.map((lot) => [
            part.part,
            lot.key,
            lot.supplier,
            String(lot.left),
            lot.inspection,
            lot.quarantined === null ? '' : `quarantined: ${lot.quarantined}`,
          ]),
    ),
    [0, 1, 2, 4, 5],
  );
}

export function sayRecall(outcome: RecallOutcome): void {
  sayFolded(outcome.verdict);
  lines(
    ['serial', 'batch', 'pieces', 'stands', 'shipped', 'order', 'customer'],
    outcome.units.map((u) => [
      ...[u.serial, u.batch, String(u.count), u.stage],
      u.shippedAt === null ? '' : time(u.shippedAt).slice(0, 10),
      ...[u.order ?? '', u.customer ?? ''],
    ]),
    [0, 1, 3, 4, 5, 6],
  );
}

export function sayLedger(outcome: LedgerOutcome): void {
  sayFolded(outcome.verdict);
  lines(
    ['when', 'what', 'change', 'left', 'unit', 'by'],
    outcome.movements.map((m) => [
      time(m.at),
      m.note === null ? m.why : `${m.why}: ${m.note}`,
      m.change > 0 ? `+${m.change}` : String(m.change),
      String(m.left),
      m.unit ?? '',
      m.by,
    ]),
    [0, 1, 4, 5],
  );
}

export function sayOrdering(outcome: OrderingOutcome): void {
  sayFolded(outcome.verdict);
  lines(
    ['part', 'need', 'free', 'wanted by batches', 'missing', 'order', 'from', 'goods', 'order by'],
    outcome.lines.map((l) => [
      l.part,
      ...[l.need, l.free, l.spokenFor, l.missing].map(String),
      l.order === null ? '' : `${l.order.count} ${l.order.part === l.part ? '' : l.order.part}`.trim(),
      l.order?.supplier ?? '',
      l.order === null ? '' : sum(l.order.goods_minor, l.order.currency),
      l.order?.orderBy ?? '',
    ]),
    [0, 6, 8],
  );
  lines(
    ['supplier', 'goods', 'freight', 'duty', 'fees', 'total'],
    outcome.suppliers.map((s) => [
      s.supplier,
      ...[s.goods_minor, s.freight_minor, s.duty_minor, s.fees_minor, s.total_minor].map((m) => sum(m, s.currency)),
    ]),
  );
  sayNotes(outcome.assumptions, 'Assumed');
}

/**
 * What happened to units, row by row in its order: out as it stands, in by the same rules as at the bench. A unit's rows go on
 * from what stands here, or begin with it.
 */
import { type Problem, type UserError, userError } from '../../core/units/index.ts';
import {
  asItHappened,
  type Content,
  type Entry,
  streamKey,
  streamKind,
  streamOf,
  type UnitState,
} from '../../records/bench/index.ts';
import { formatInstant, parseInstant } from '../instant.ts';
import type { Deed } from './act.ts';
import { gateIn, lotIn, orderIn, planOfUnit } from './find.ts';
import { freeUnit, installUnit, scrapUnit, shipUnit, swapUnit, takeBack } from './leaving.ts';
import { publishPassport } from './passport.ts';
import type { BenchState } from './state.ts';
import { gateValue, unitNamed } from './tables-dated.ts';
import { type Cells, happened, momentOf, sound, type TableIn, told, wordsOf } from './tables-read.ts';
import * as units from './units.ts';

export type Value = string | number | null;

export const HISTORY = [
  ...[
    'serial',
    'at',
    'by',
    'what',
    'gate',
    'value',
    'verdict',
    'low',
    'high',
    'uncertainty',
    'instrument',
    'step',
    'time_s',
  ],
  ...['part', 'lot', 'count', 'to', 'order', 'rested_V', 'temperature_degC', 'charge_pct', 'carrier', 'field'],
  ...['name', 'reason', 'cause', 'perch', 'other', 'file', 'sha256', 'show', 'short'],
] as const;
type Column = (typeof HISTORY)[number];
type Row = Partial<Record<Column, Value>>;

/** One entry as a row; undefined for what is told elsewhere (that the unit was made) or never (keys). */
export function historyRow(entry: Entry): Row | undefined {
  const { stream, at, by, content } = asItHappened(entry);
  const happenedAt = content.kind === 'gate-measured' ? (content.measuredAt ?? at) : at;
  const cells = cellsOfContent(content, entry.corrects !== null);
  if (streamKind(stream) !== 'unit' || cells === undefined) return undefined;
  return { serial: streamKey(stream), at: utc(happenedAt), by, ...cells };
}

const utc = (text: string) => formatInstant({ ...parseInstant(text), utcOffset_min: 0 });
const words = (list: readonly string[]) => list.join(' ');
const yesNo = (value: boolean | number | string) => (typeof value === 'boolean' ? (value ? 'yes' : 'no') : value);

function cellsOfContent(c: Content, corrects: boolean): Row | undefined {
  switch (c.kind) {
    case 'part-fitted':
      return { what: 'fitted', part: c.part, lot: c.lot, count: c.count };
    case 'part-taken-out':
      return { what: 'taken out', part: c.part, lot: c.lot, count: c.count, to: c.to };
    case 'step-ticked':
      return { what: 'ticked', step: c.step, time_s: c.time_s ?? null };
    case 'step-unticked':
      return { what: 'unticked', step: c.step };
    case 'gate-measured':
      return {
        ...{ what: corrects ? 'corrected' : 'measured', gate: c.gate, value: yesNo(c.value), verdict: c.verdict },
        ...{
          low: c.low ?? null,
          high: c.high ?? null,
          uncertainty: c.uncertainty ?? null,
          instrument: c.instrument ?? null,
          reason: c.note ?? null,
        },
        ...{ file: c.file?.name ?? null, sha256: c.file?.sha256 ?? null },
      };
    case 'gate-overridden':
      return { what: 'overridden', gate: c.gate, name: c.name, reason: c.reason };
    case 'rework-begun':
      return { what: 'rework', gate: words(c.gates), step: words(c.steps), reason: c.reason };
    case 'unit-reserved':
      return { what: 'reserved', order: c.order };
    case 'unit-freed':
      return { what: 'freed' };
    case 'unit-shipped':
      return {
        ...{ what: 'shipped', order: c.order ?? null, rested_V: c.rested_V ?? null },
        ...{
          temperature_degC: c.temperature_degC ?? null,
          charge_pct: c.charge_pct ?? null,
          carrier: c.carrier ?? null,
        },
      };
    case 'unit-returned':
      return { what: 'returned', reason: c.reason, cause: c.cause ?? null };
    case 'unit-repaired':
      return { what: 'repaired', reason: c.what, cause: c.cause ?? null, time_s: c.time_s ?? null };
    case 'unit-swapped':
      return { what: 'swapped', other: c.for };
    case 'unit-installed':
      return { what: 'installed', perch: c.perch };
    case 'unit-scrapped':
      return { what: 'scrapped', reason: c.reason };
    case 'unit-measured':
      return {
        ...{ what: 'value noted', field: c.field, value: c.value, low: c.low ?? null, high: c.high ?? null },
        ...{ reason: c.how, file: c.file?.name ?? null, sha256: c.file?.sha256 ?? null },
      };
    case 'passport-published':
      return { what: 'passport', show: words(c.show) };
    default:
      // A new kind of entry of a unit does not pass here unseen.
      c.kind satisfies Elsewhere;
      return undefined;
  }
}

/** What is no row of the history: made (the table units), a key (never leaves), and what is no entry of a unit. */
type Elsewhere =
  | ('unit-made' | 'secret-kept' | 'part-saved' | 'plan-saved' | 'drawing-kept' | 'inspection-drawn' | 'stock-moved')
  | 'paper-noted'
  | `${'lot' | 'batch' | 'order' | 'evidence'}-${string}`;

/** What rows may tell, and what it needs. */
const NEEDS: Readonly<Record<string, readonly Column[]>> = {
  fitted: ['lot', 'count'],
  'taken out': ['lot', 'count', 'to'],
  ticked: ['step'],
  unticked: ['step'],
  measured: ['gate', 'value'],
  corrected: ['gate', 'value'],
  overridden: ['gate', 'name', 'reason'],
  rework: ['gate', 'reason'],
  reserved: ['order'],
  freed: [],
  shipped: [],
  returned: ['reason'],
  repaired: ['reason'],
  swapped: ['other'],
  installed: ['perch'],
  scrapped: ['reason'],
  'value noted': ['field', 'value', 'reason'],
  passport: [],
};

/** What one row writes, by the rules of the bench. */
function decide(state: BenchState, unit: UnitState, what: string, cells: Cells, at: string): readonly Deed[] {
  const { serial } = unit;
  const [part, lot, gate, step, reason] = ['part', 'lot', 'gate', 'step', 'reason'].map(cells.text) as [
    string,
    string,
    string,
    string,
    string,
  ];
  const file = cells.text('sha256') === '' ? undefined : { name: cells.text('file'), sha256: cells.text('sha256') };
  const count = cells.number('count');
  const time_s = cells.number('time_s');
  switch (what) {
    case 'fitted':
      // Whether the lot goes below none is looked at when all rows are in.
      return units.fitPart(state, serial, { part: part || lotIn(state, lot).part, lot, count, short: true });
    case 'taken out':
      return units.takeOutPart(state, serial, {
        part: part || lotIn(state, lot).part,
        lot,
        count,
        to: cells.text('to') as 'scrap',
      });
    case 'ticked':
      return units.tickStep(state, serial, step, time_s);
    case 'unticked':
      return units.untickStep(state, serial, step);
    case 'measured':
    case 'corrected': {
      const { measures } = gateIn(planOfUnit(state, unit), gate);
      const uncertainty = cells.number('uncertainty');
      const more = told<unknown>({ instrument: cells.text('instrument'), note: reason, file, uncertainty });
      const value = gateValue(cells, measures);
      return units.measureGate(state, serial, { gate, value, measuredAt: at, correct: what === 'corrected', ...more });
    }
    case 'overridden':
      return units.overrideGate(state, serial, { gate, name: cells.text('name'), reason });
    case 'rework':
      return units.beginRework(state, serial, { reason, gates: wordsOf(gate), steps: wordsOf(step) });
    case 'reserved': {
      const order = orderIn(state, cells.text('order'));
      if (unit.order !== null)
        throw userError('not-free', `${serial} is kept for order ${unit.order}: a row that frees it comes first`);
      return [{ stream: streamOf('unit', serial), content: { kind: 'unit-reserved', order: order.key } }];
    }
    case 'freed':
      return freeUnit(state, serial);
    case 'shipped': {
      const shipping = told<unknown>({
        ...{ order: cells.text('order'), rested_V: cells.number('rested_V') },
        ...{ temperature_degC: cells.number('temperature_degC'), charge_pct: cells.number('charge_pct') },
        carrier: cells.text('carrier'),
      });
      if (unit.order === null && shipping['order'] !== undefined) orderIn(state, String(shipping['order']));
      return shipUnit(state, serial, shipping);
    }
    case 'returned':
      return takeBack(state, serial, reason, (cells.text('cause') || undefined) as Parameters<typeof takeBack>[3]);
    case 'repaired': {
      if (unit.stage !== 'returned') throw userError('not-returned', `${serial} has not come back`);
      const content = { kind: 'unit-repaired', what: reason, ...told<unknown>({ time_s, cause: cells.text('cause') }) };
      return [{ stream: streamOf('unit', serial), content: sound(content) }];
    }
    case 'swapped':
      // That the other one leaves is a row of its own.
      return swapUnit(state, serial, cells.text('other')).slice(0, 1);
    case 'installed':
      return installUnit(state, serial, cells.text('perch'));
    case 'scrapped':
      return scrapUnit(state, serial, reason);
    case 'value noted': {
      const more = told<unknown>({ low: cells.number('low'), high: cells.number('high'), file });
      const content = {
        kind: 'unit-measured',
        field: cells.text('field'),
        value: cells.number('value'),
        how: reason,
        ...more,
      };
      return [{ stream: streamOf('unit', serial), content: sound(content) }];
    }
    default:
      return publishPassport(state, serial, wordsOf(cells.text('show')) as never);
  }
}

export const history: TableIn = {
  fields: HISTORY.filter((column) => column !== 'by'),
  needs: ['serial', 'at', 'what'],
  wantsEntries: true,
  begin(reading) {
    const { state, take, entries } = reading;
    const unitOf = unitNamed(reading);
    const standing = rowsByUnit(entries);
    const met = new Map<string, number>();
    const shortAt = new Map<string, { row: number; told: boolean }>();
    return {
      row(cells, row) {
        const unit = unitOf(cells.text('serial'));
        const at = momentOf(cells, 'at');
        const what = cells.text('what');
        const needs = NEEDS[what];
        if (needs === undefined)
          throw userError('import-row', `what "${what}": one of ${Object.keys(NEEDS).join(', ')} is wanted`);
        for (const field of needs)
          if (cells.text(field) === '') throw userError('import-row', `${field} is empty: ${what} needs it`);
        const mine = standing.get(unit.serial) ?? [];
        const place = met.get(unit.serial) ?? 0;
        const known = mine[place];
        const preview = told<unknown>(Object.fromEntries(HISTORY.map((c) => [c, cells.text(c)])));
        if (known !== undefined) {
          const other = differing(known, cells, at);
          if (other === undefined) {
            met.set(unit.serial, place + 1);
            return { preview, deeds: [] };
          }
          if (place > 0 || at < String(mine.at(-1)!.at))
            throw userError(
              'history-parted',
              `${unit.serial}: ${other} is ${cells.text(other) || 'empty'} here; in the workshop ${known.what} at ${known.at} stands at this place: a unit's rows begin with all that stands here, or come after it`,
            );
        }
        const decided = decide(state, unit, what, cells, at);
        const deeds = decided.map((deed) => {
          const content = sound(deed.content);
          return content.kind === 'gate-measured' ? { ...deed, content } : happened({ ...deed, content }, at);
        });
        const [first] = deeds;
        const verdict = cells.text('verdict');
        if (first?.content.kind === 'gate-measured' && verdict !== '' && verdict !== first.content.verdict)
          throw userError(
            'verdict-parted',
            `${unit.serial} has ${verdict} at ${first.content.gate} in the table, by the limits of the plan here it has ${first.content.verdict}: was the plan another one?`,
          );
        take(deeds);
        if (what === 'fitted' && state.lots.get(cells.text('lot'))!.left < 0)
          shortAt.set(cells.text('lot'), { row, told: cells.yes('short') });
        met.set(unit.serial, mine.length);
        return { preview, deeds };
      },
      end() {
        const problems = [...shortAt]
          .filter(([lot, seen]) => !seen.told && state.lots.get(lot)!.left < 0)
          .map(([lot, { row }]) => ({
            row,
            message: `lot ${lot} shows ${state.lots.get(lot)!.left} after all rows: import its movements first, count it, or say yes in the column short`,
          }));
        return { deeds: [], same: 0, problems };
      },
    };
  },
};

/** Rows of each unit as they stand. */
function rowsByUnit(entries: readonly Entry[]): Map<string, Row[]> {
  const rows = new Map<string, Row[]>();
  for (const entry of entries) {
    const row = historyRow(entry);
    if (row === undefined) continue;
    const serial = String(row.serial);
    const mine = rows.get(serial) ?? [];
    if (mine.length === 0) rows.set(serial, mine);
    mine.push(row);
  }
  return rows;
}

/** Judged here, or said by the record itself. */
const NOT_COMPARED = new Set<string>(['serial', 'by', 'verdict', 'short', 'show']);

/** The first column in which a row tells something else than what stands; undefined when none does. */
function differing(known: Row, cells: Cells, at: string): Column | undefined {
  return HISTORY.find((column) => {
    if (NOT_COMPARED.has(column)) return false;
    if (column === 'at') return known.at !== at;
    const judged = (column === 'low' || column === 'high') && known.field === undefined;
    if (judged || cells.text(column) === '') return false;
    return (
      String(known[column] ?? '') !== (typeof known[column] === 'number' ? cells.plain(column) : cells.text(column))
    );
  });
}

/** What went wrong with a row, in one sentence. */
export const sentenceOf = (error: UserError): string => error.problems.map((p: Problem) => p.message).join('; ');

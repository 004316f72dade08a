/**
 * Tables that come in as things that happened: movements of lots and measurements at gates, each with its moment. A row whose moment
 * and values stand in the workshop is there already, so that a table can be read twice.
 */
import { userError } from '../../core/units/index.ts';
import { numberOf } from '../../formats/csv-table.ts';
import { contentSchema, type UnitState } from '../../records/bench/index.ts';
import { formatInstant, parseInstant } from '../instant.ts';
import type { Deed } from './act.ts';
import { gateIn, lotIn, planOfUnit, unitIn } from './find.ts';
import { judge } from './gates.ts';
import type { BenchState } from './state.ts';
import { moveStock } from './stores.ts';
import { measureGate } from './units.ts';

/** The text of a row's field; empty where the file has no such column. */
export type Cell = (field: string) => string;

export interface DatedRow {
  readonly preview: Readonly<Record<string, unknown>>;
  /** Null where it stands there so already. */
  readonly deed: Deed | null;
}

export interface DatedTable {
  readonly fields: readonly string[];
  /** Fields that a column must be read for. */
  readonly needs: readonly string[];
  /** Reads one row after the other; what earlier rows bring counts for later ones. Throws UserError on a wrong row. */
  begin(state: BenchState): (cell: Cell) => DatedRow;
}

/** The moment of a row in UTC, from a local time with its offset; a space may stand for the T. */
function momentOf(cell: Cell): string {
  const text = cell('at').trim();
  if (text === '') throw userError('import-at', 'at is empty: when it happened, such as 2026-10-01T08:30+02:00');
  return formatInstant({
    ...parseInstant(text.replace(/^(\d{4}-\d{2}-\d{2}) +/, '$1T').replace(' ', '')),
    utcOffset_min: 0,
  });
}
const sameMoment = (kept: string, at: string) => formatInstant({ ...parseInstant(kept), utcOffset_min: 0 }) === at;

const optional = (cell: Cell, ...fields: readonly string[]) =>
  Object.fromEntries(fields.flatMap((field) => (cell(field).trim() === '' ? [] : [[field, cell(field).trim()]])));

/** What the schema of the records has against it, in one sentence. */
function sound(deed: Deed | undefined): Deed {
  const read = contentSchema.safeParse(deed!.content);
  if (read.success) return { ...deed!, content: read.data };
  throw userError(
    'import-row',
    read.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '),
  );
}

const movements: DatedTable = {
  fields: ['lot', 'at', 'change', 'why', 'note'],
  needs: ['lot', 'at', 'change', 'why'],
  begin(state) {
    const brought = new Map<string, number>();
    return (cell) => {
      const lot = lotIn(state, cell('lot').trim());
      const movedAt = momentOf(cell);
      const why = cell('why').trim();
      const change = numberOf(cell('change'));
      if (change === undefined) throw userError('import-row', `change "${cell('change')}" is no number`);
      const preview = { lot: lot.key, at: movedAt, change, why, ...optional(cell, 'note') };
      const known = lot.movements.some((m) => m.change === change && m.why === why && sameMoment(m.at, movedAt));
      if (known) return { preview, deed: null };
      const content = { change, why, movedAt, ...optional(cell, 'note') } as Parameters<typeof moveStock>[2];
      const [deed] = moveStock(state, lot.key, content, true);
      const written = sound(deed);
      const left = lot.left + (brought.get(lot.key) ?? 0) + change;
      if (left < 0 && change < 0)
        throw userError('too-few', `lot ${lot.key} would show ${left} after this row: count the lot first`);
      brought.set(lot.key, (brought.get(lot.key) ?? 0) + change);
      return { preview, deed: written };
    };
  },
};

/** Serials that are looked up with their likely slips; that takes long, and more wrong ones are another table. */
const MOST_SLIPS = 50;

const gates: DatedTable = {
  fields: ['serial', 'gate', 'value', 'at', 'instrument', 'note'],
  needs: ['serial', 'gate', 'value', 'at'],
  begin(state) {
    const stopped = new Map<string, string>();
    let slips = 0;
    const unitNamed = (typed: string): UnitState => {
      const direct = state.units.get(typed);
      if (direct !== undefined) return direct;
      if (++slips <= MOST_SLIPS) return unitIn(state, typed);
      throw userError('no-such-unit', `no unit of this workshop has the serial ${typed}`);
    };
    return (cell) => {
      const unit = unitNamed(cell('serial').trim());
      const gate = gateIn(planOfUnit(state, unit), cell('gate').trim());
      const measuredAt = momentOf(cell);
      const { value, verdict } = judge(gate, cell('value'));
      const preview = { serial: unit.serial, gate: gate.key, value, verdict, at: measuredAt };
      const tries = unit.gates.get(gate.key) ?? [];
      if (tries.some((t) => t.measured.value === value && sameMoment(t.at, measuredAt))) return { preview, deed: null };
      const before = stopped.get(unit.serial);
      if (before !== undefined)
        throw userError('unit-stopped', `${unit.serial} fails at ${before} in an earlier row and is stopped by it`);
      const [deed] = measureGate(state, unit.serial, {
        ...{ gate: gate.key, value, measuredAt },
        ...optional(cell, 'instrument', 'note'),
      });
      const written = sound(deed);
      if (verdict === 'failed') stopped.set(unit.serial, gate.name);
      return { preview, deed: written };
    };
  },
};

export const DATED: Readonly<Record<string, DatedTable>> = { movements, gates };

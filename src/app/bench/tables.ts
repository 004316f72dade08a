/** The bench as tables: all of it out as CSV; what can be read comes in, all rows or none. */
import { UserError, userError } from '../../core/units/index.ts';
import { type CsvTable, readTable, rowProblem } from '../../formats/csv-table.ts';
import type { Entry } from '../../records/bench/index.ts';
import { act, type Bench, type Deed, refresh, type Signed } from './act.ts';
import type { BenchState } from './state.ts';
import * as dated from './tables-dated.ts';
import { history, sentenceOf } from './tables-history.ts';
import * as keyed from './tables-keyed.ts';
import * as made from './tables-made.ts';
import * as grouped from './tables-parts.ts';
import { cellsOf, type TableIn } from './tables-read.ts';
import { scratchOf } from './tables-scratch.ts';
import { clockOf, momentIn } from './tables-zone.ts';

export { exportTables } from './tables-out.ts';

/** Tables that are read. An empty workshop takes them in this order, up to `papers`; the rest are looks at those. */
const TABLES: Readonly<Record<string, TableIn>> = {
  ...{ parts: keyed.parts, approvals: grouped.approvals, offers: grouped.offers, plans: grouped.plans },
  ...{ orders: keyed.orders, lots: keyed.lots, movements: dated.movements },
  ...{ batches: made.batches, units: made.units, history },
  ...{ inspections: dated.inspections, quarantine: dated.quarantine, papers: dated.papers },
  ...{ bom: grouped.bom, fitted: dated.fitted, steps: dated.steps, gates: dated.gates },
  measurements: dated.measurements,
};
export const IMPORTED: readonly string[] = Object.keys(TABLES);
/** The order in which an empty workshop takes the tables of another. */
export const IMPORT_ORDER: readonly string[] = IMPORTED.slice(0, IMPORTED.indexOf('papers') + 1);

/** Tables that go out and are not read, and what is read in their place. */
const NOT_READ: Readonly<Record<string, string>> = {
  'plan-steps': 'the steps of a plan come with the table plans, or with its file: `sunperch batch plan`',
  'plan-gates': 'the gates of a plan come with the table plans, or with its file: `sunperch batch plan`',
  reworks: 'a rework opens gates that were measured before it, so its place among them matters: read history',
  overrides: 'an override lies between measurements, so its place among them matters: read history',
  reservations: 'which units are kept for an order comes with history',
  shipments: 'no unit ships with an open gate, so what was measured has to come first: read history',
  returns: 'a unit comes back only after it was shipped: read history',
  drawings: 'files are not in a table: `sunperch workshop import` takes them with their digests',
  evidence: 'files are not in a table: `sunperch workshop import` takes them with their digests',
  keys: 'keys never leave the workshop that keeps them; `sunperch unit keep-key` keeps one',
};

/** Fields of a table that is read, what names a row first. */
export const fieldsOf = (table: string): readonly string[] => TABLES[table]?.fields ?? [];
/** Fields that a column must be read as. */
export const needsOf = (table: string): readonly string[] => TABLES[table]?.needs ?? [];

export interface ImportOutcome {
  readonly command: 'stores import';
  readonly verdict: string;
  readonly table: string;
  readonly rows: number;
  readonly fresh: number;
  /** Rows that stand in the workshop as they are here. */
  readonly same: number;
  /** Rows that come with another table. */
  readonly elsewhere: number;
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
  /** Time zone (IANA) by whose clock times without an offset are read; without one they are refused. */
  readonly zone?: string | undefined;
}

/** Does something with a bench and all that stands in it, both at the same moment. */
export async function withEntries<T>(bench: Bench, work: (entries: readonly Entry[]) => T): Promise<T> {
  for (;;) {
    const entries = await bench.store.after(0);
    await refresh(bench);
    // Others may have written between the two.
    if (entries.length === bench.state.head) return work(entries);
  }
}

/** Whether planImport has to be given every entry. */
export const wantsEntries = (table: string): boolean => TABLES[table]?.wantsEntries === true;

/**
 * What an import would do; the deeds hold only when there is no problem.
 *
 * @param entries all that stands in the workshop, for tables of which `wantsEntries` says so
 * @throws UserError for a table, a column or a zone that is none; what is wrong with rows is told in the outcome
 */
export function planImport(
  state: BenchState,
  request: ImportRequest,
  entries: readonly Entry[] = [],
): { outcome: ImportOutcome; deeds: Deed[] } {
  const table = tableNamed(request.table);
  if (table.wantsEntries && entries.length !== state.head)
    throw userError('bench-busy', 'others have written at the bench meanwhile: look again');
  const file = readTable(request.text);
  const at = columnsOf(request, table, file);
  const clock = request.zone === undefined ? undefined : { zone: request.zone, offsetAt: clockOf(request.zone) };
  const skip = new Set(request.skip ?? []);
  const problems: { row: number; message: string }[] = [];
  const deeds: Deed[] = [];
  const preview: Readonly<Record<string, unknown>>[] = [];
  const counts = { fresh: 0, same: 0, elsewhere: 0 };
  let row: readonly string[] = [];
  const cells = cellsOf(
    (field) => row[at.get(field) ?? -1] ?? '',
    file.style,
    (text, field) => momentIn(text, field, clock),
  );
  const reader = table.begin({ ...scratchOf(state), entries });
  file.rows.forEach((own, i) => {
    const number = file.numbers[i]!;
    if (skip.has(number)) return;
    row = own;
    try {
      const wrong = rowProblem(own, file.titles);
      if (wrong !== undefined) throw userError('import-row', wrong);
      const read = reader.row(cells, number);
      if (preview.length < 5) preview.push(read.preview);
      counts[read.elsewhere ? 'elsewhere' : read.deeds.length > 0 || read.grouped ? 'fresh' : 'same']++;
      for (const deed of read.deeds) deeds.push(deed);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push({ row: number, message: sentenceOf(error) });
    }
  });
  const ended = reader.end?.();
  if (ended !== undefined) {
    for (const deed of ended.deeds) deeds.push(deed);
    problems.push(...ended.problems);
    problems.sort((a, b) => a.row - b.row);
    counts.fresh -= ended.same;
    counts.same += ended.same;
  }
  const mapped = Object.fromEntries([...at].map(([field, i]) => [file.titles[i]!, field]));
  return {
    outcome: {
      command: 'stores import',
      verdict: verdictOf(request.table, file.rows.length, counts, skip.size, problems),
      table: request.table,
      rows: file.rows.length,
      ...counts,
      skipped: [...skip],
      mapped,
      unread: file.titles.filter((t) => mapped[t] === undefined),
      problems,
      preview,
    },
    deeds,
  };
}

/**
 * Looks at a table, and keeps it where that is wanted and no row is wrong.
 *
 * @param keep who signs; absent: nothing is kept. `stopped` is asked once before anything is written
 * @returns what was found, and whether it is kept now
 */
export async function importTable(
  bench: Bench,
  request: ImportRequest,
  keep?: { readonly signed: Signed; readonly stopped?: () => Promise<boolean> },
): Promise<ImportOutcome & { readonly kept: boolean }> {
  const look = (entries?: readonly Entry[]) => ({
    entries,
    head: bench.state.head,
    planned: planImport(bench.state, request, entries),
  });
  await refresh(bench);
  const { entries, head, planned } = wantsEntries(request.table) ? await withEntries(bench, look) : look();
  if (keep === undefined || planned.outcome.problems.length > 0) return { ...planned.outcome, kept: false };
  if (await keep.stopped?.()) throw userError('import-stopped', 'stopped: nothing is imported');
  let kept = planned;
  await act(bench, keep.signed, (state) => {
    kept = state.head === head ? planned : planImport(state, request, entries);
    if (kept.outcome.problems.length === 0) return kept.deeds;
    // Others have meanwhile made a row wrong.
    throw userError('import-rows', kept.outcome.verdict, { field: 'text' });
  });
  return { ...kept.outcome, kept: true };
}

function tableNamed(name: string): TableIn {
  const table = Object.hasOwn(TABLES, name) ? TABLES[name] : undefined;
  if (table !== undefined) return table;
  const instead = Object.hasOwn(NOT_READ, name) ? NOT_READ[name] : undefined;
  throw userError('import-table', `${name} is not read: ${instead ?? `there are ${IMPORTED.join(', ')}`}`, {
    field: 'table',
  });
}

/** Column of each field. */
function columnsOf(
  { table, map: asked }: ImportRequest,
  { fields, needs }: TableIn,
  { titles }: CsvTable,
): Map<string, number> {
  const map = new Map(Object.entries(asked ?? {}));
  const wrong = (message: string) => userError('import-map', message, { field: 'map' });
  for (const [from, to] of map) {
    if (!titles.includes(from)) throw wrong(`there is no column ${from}: the file has ${titles.join(', ')}`);
    if (to !== '' && !fields.includes(to)) throw wrong(`${to} is no field of ${table}: there are ${fields.join(', ')}`);
  }
  const taken = new Set(map.values());
  const at = new Map<string, number>();
  titles.forEach((title, i) => {
    const field = map.get(title) ?? (fields.includes(title) && !taken.has(title) ? title : '');
    if (field === '') return;
    if (at.has(field)) throw wrong(`${field} would be read from two columns, ${titles[at.get(field)!]} and ${title}`);
    at.set(field, i);
  });
  const missing = needs.find((field) => !at.has(field));
  if (missing !== undefined)
    throw userError(
      missing === 'key' ? 'import-key' : 'import-column',
      `no column is read as ${missing}: choose one (on the command line --map "TITLE=${missing}"); the file has ${titles.join(', ')}`,
      { field: 'map' },
    );
  return at;
}

function verdictOf(
  table: string,
  rows: number,
  { fresh, same, elsewhere }: Readonly<Record<'fresh' | 'same' | 'elsewhere', number>>,
  skipped: number,
  problems: ImportOutcome['problems'],
): string {
  const count = new Set(problems.map((p) => p.row)).size;
  if (count === 0) {
    const other = elsewhere === 0 ? '' : `, ${elsewhere} that come with other tables`;
    return `${fresh} ${fresh === 1 ? 'row' : 'rows'} for ${table}, ${same} there already${other}, ${skipped} skipped.`;
  }
  const [are, them, row] = count === 1 ? ['is', 'it', 'row'] : ['are', 'them', 'rows'];
  const first = [...new Set(problems.map((p) => p.row))].slice(0, 20);
  return `${count} of ${rows} rows ${are} wrong; nothing is imported. Mend ${them}, or skip ${row} ${first.join(',')}${count > first.length ? ' and the others' : ''}.`;
}

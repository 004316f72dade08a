/** The whole workshop as a folder of readable files, and back. */
import Papa from 'papaparse';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import type { Entry } from '../records/bench/index.ts';
import { fieldChanges, valueText } from './field-changes.ts';
import type { FileContent } from './ports.ts';
import { allOrProblems, isKey, readRecordFile, summaryOf } from './record-file.ts';
import { contentOf, idText } from './stale-save.ts';
import { RECORD_KINDS, type RecordId, type RecordKind, type Revision, type WorkshopStore } from './store-port.ts';
import { benchNotes, freshEntries, keepFilesOf, readBench, writeBench } from './workshop-bench.ts';
import type { WorkshopPorts } from './workshop-save.ts';

const FORMAT = 'sunperch-workshop';
const VERSION = 1;
const FOLDERS: Readonly<Record<RecordKind, string>> = { kit: 'kits', perch: 'perches', net: 'nets' };
const COLUMNS = ['kind', 'key', 'revision', 'saved_at', 'restores', 'note', 'sha256', 'file'] as const;

/** Where a revision stands in the folder: the newest where one looks for it, the others apart. */
const fileOf = ({ kind, key, number }: RecordId & { number: number }, newest: boolean) =>
  newest ? `${FOLDERS[kind]}/${key}.yaml` : `earlier/${FOLDERS[kind]}/${key}/${number}.yaml`;

export interface ExportOutcome {
  readonly command: 'workshop export';
  readonly workshop: string;
  readonly folder: string;
  readonly records: number;
  readonly revisions: number;
  /** Entries of the bench. */
  readonly entries: number;
  readonly notes: readonly string[];
}

/**
 * Writes everything into a new folder: each record as the file that its maker wrote, earlier revisions beside,
 * `history.csv` with one line a revision, the bench's entries without the keys of units, `workshop.json` with what it is. The same workshop gives the same bytes.
 */
export async function exportWorkshop(
  ports: WorkshopPorts,
  store: WorkshopStore,
  folder: string,
): Promise<ExportOutcome> {
  const revisions = await store.everything();
  const newest = new Map(revisions.map((revision) => [idText(revision), revision.number]));
  const files = new Map<string, FileContent>();
  const rows = revisions.map((revision) => {
    const { kind, key, number, savedAt, restores, note, content } = revision;
    const file = content === null ? '' : fileOf(revision, newest.get(idText(revision)) === number);
    if (content !== null) files.set(file, content);
    const sha256 = content === null ? '' : ports.digest(content);
    return { kind, key, revision: number, saved_at: savedAt, restores: restores ?? '', note, sha256, file };
  });
  const counts = { records: newest.size, revisions: revisions.length };
  files.set('history.csv', `${Papa.unparse({ fields: [...COLUMNS], data: rows }, { newline: '\n' })}\n`);
  const entries = await store.bench.after(0);
  const bench = writeBench(ports, entries, store.bench);
  for (const [file, content] of bench?.files ?? []) files.set(file, content);
  const about = { format: FORMAT, version: VERSION, ...counts, ...(bench && { bench: bench.about }) };
  files.set('workshop.json', `${JSON.stringify(about, null, 2)}\n`);
  await ports.writeFolder(folder, files);
  const told = { entries: entries.length, notes: bench?.notes ?? [] };
  return { command: 'workshop export', workshop: store.place, folder, ...counts, ...told };
}

export interface ImportOutcome {
  readonly command: 'workshop import';
  readonly workshop: string;
  readonly folder: string;
  /** Revisions that were added. */
  readonly added: number;
  /** Revisions that were there already, the same. */
  readonly known: number;
  /** The same of the bench's entries. */
  readonly entriesAdded: number;
  readonly entriesKnown: number;
  readonly notes: readonly string[];
}

/**
 * Adds what an exported folder has more than the workshop, with its history: all of it, or nothing when the two have gone
 * different ways.
 *
 * @throws UserError when the folder is no export, is damaged or was edited by hand, or when a revision or an entry of the bench
 * differs from that of the same number in the workshop
 */
export async function importWorkshop(
  ports: WorkshopPorts,
  store: WorkshopStore,
  folder: string,
): Promise<ImportOutcome> {
  const { revisions: imported, entries } = await readFolder(ports, folder);
  const mine = new Map((await store.everything()).map((revision) => [numbered(revision), revision]));
  const fresh: Revision[] = [];
  const diverged = new Map<string, Problem>();
  for (const revision of imported) {
    const there = mine.get(numbered(revision));
    if (there === undefined) fresh.push(revision);
    else if (!sameSave(there, revision) && !diverged.has(idText(revision)))
      diverged.set(idText(revision), divergence(there, revision));
  }
  if (diverged.size > 0) throw new UserError([...diverged.values()]);
  const added = freshEntries(await store.bench.after(0), entries, store.place);
  await keepFilesOf(ports, folder, store.bench, added);
  if (fresh.length + added.length > 0 && !(await store.restore(fresh, added)))
    throw userError('workshop-changed', 'someone saved in the workshop meanwhile: nothing was imported; try again', {
      file: store.place,
    });
  const known = imported.length - fresh.length;
  const notes = [...newestOnly(fresh).flatMap(complaintOf), ...benchNotes(added)];
  const told = { entriesAdded: added.length, entriesKnown: entries.length - added.length, notes };
  return { command: 'workshop import', workshop: store.place, folder, added: fresh.length, known, ...told };
}

const numbered = (revision: Revision) => `${idText(revision)} ${revision.number}`;

const sameSave = (a: Revision, b: Revision) =>
  a.content === b.content && a.savedAt === b.savedAt && a.restores === b.restores && a.note === b.note;

function divergence(there: Revision, here: Revision): Problem {
  const change = fieldChanges(contentOf(there), contentOf(here))[0];
  const what = change ? ` (${change.field}: ${valueText(change.before)} there, ${valueText(change.after)} here)` : '';
  return {
    code: 'histories-differ',
    message: `revision ${here.number} in the workshop is another one than that of the folder${what}: nothing was imported. Import into a new workshop and compare, or save single files with \`workshop add\``,
    place: { field: idText(here) },
  };
}

/** Rules grow stricter with time: what was saved under older ones is kept, and told. */
function complaintOf(revision: Revision): string[] {
  if (revision.content === null) return [];
  try {
    readRecordFile(revision.content, idText(revision));
    return [];
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return [`${idText(revision)} does not pass the checks of this version: ${error.problems[0]?.message}`];
  }
}

const newestOnly = (revisions: readonly Revision[]) => [...new Map(revisions.map((r) => [idText(r), r])).values()];

async function readFolder(ports: WorkshopPorts, folder: string): Promise<{ revisions: Revision[]; entries: Entry[] }> {
  const about = `${folder}/workshop.json`;
  const head = parseYamlRecord(await ports.readText(about), about).value as Record<string, unknown> | null;
  if (head?.['format'] !== FORMAT)
    throw userError('no-export', 'this is no exported workshop; single files are saved with `sunperch workshop add`', {
      file: about,
    });
  if (head['version'] !== VERSION)
    throw userError(
      'newer-export',
      `its version is ${String(head['version'])}, this sunperch knows ${VERSION}: update it`,
      {
        file: about,
      },
    );
  const history = `${folder}/history.csv`;
  const lines = parseHistory(await ports.readText(history), history);
  if (lines.length !== head['revisions'])
    throw userError('damaged-export', `${lines.length} revisions found, ${String(head['revisions'])} were exported`, {
      file: history,
    });
  const revisions = await allOrProblems(lines.map((line) => () => readRevision(ports, folder, line)));
  return { revisions, entries: await readBench(ports, folder, head['bench']) };
}

interface HistoryLine extends RecordId {
  readonly number: number;
  readonly newest: boolean;
  readonly savedAt: string;
  readonly restores: number | null;
  readonly note: string;
  /** Absent for a revision that takes the record away. */
  readonly sha256: string | undefined;
}

async function readRevision(ports: WorkshopPorts, folder: string, line: HistoryLine): Promise<Revision> {
  const { newest, sha256, ...rest } = line;
  // The place follows from kind, key and number, never from the table: no line can point outside the folder.
  const file = `${folder}/${fileOf(line, newest)}`;
  if (sha256 === undefined) {
    // A removed record keeps the name that it had; its former revision is read for that.
    const former = line.number > 1 ? `${folder}/${fileOf({ ...line, number: line.number - 1 }, false)}` : file;
    const summary = summaryOf(parseYamlRecord(await ports.readText(former), former).value, line.key);
    return { ...rest, ...summary, removed: true, content: null };
  }
  const content = await ports.readText(file);
  if (ports.digest(content) !== sha256)
    throw userError(
      'edited-export',
      `the file is not as it was exported: undo the edit and import again, or save it with \`sunperch workshop add\` and --from ${line.number}`,
      { file },
    );
  return { ...rest, ...summaryOf(parseYamlRecord(content, file).value, line.key), removed: false, content };
}

/** The lines of history.csv, each record's from 1 without a gap. */
function parseHistory(text: string, file: string): HistoryLine[] {
  const { data, meta } = Papa.parse<Record<string, string | undefined>>(text, { header: true, skipEmptyLines: true });
  const missing = COLUMNS.filter((column) => !meta.fields?.includes(column));
  if (missing.length > 0)
    throw userError('damaged-export', `the column ${missing[0]} is missing: wanted ${COLUMNS.join(',')}`, {
      file,
      line: 1,
    });
  const counts = new Map<string, number>();
  const lines = data.map((row, i) => {
    const line = historyLine(row, { file, line: i + 2 });
    const before = counts.get(idText(line)) ?? 0;
    if (line.number !== before + 1)
      throw userError('damaged-export', `revision ${line.number} of ${idText(line)} follows ${before}`, {
        file,
        line: i + 2,
      });
    counts.set(idText(line), line.number);
    return line;
  });
  return lines.map((line) => ({ ...line, newest: counts.get(idText(line)) === line.number }));
}

function historyLine(row: Record<string, string | undefined>, place: { file: string; line: number }): HistoryLine {
  const wrong = (column: string, wanted: string) =>
    userError('damaged-export', `${column} is '${(row[column] ?? '').slice(0, 90)}': wanted ${wanted}`, place);
  const kind = RECORD_KINDS.find((name) => name === row['kind']);
  if (kind === undefined) throw wrong('kind', RECORD_KINDS.join(', '));
  const { key = '', revision = '', saved_at: savedAt = '', restores = '', note = '', sha256 = '' } = row;
  if (!isKey(key)) throw wrong('key', 'lower-case letters, digits and single hyphens');
  const number = whole(revision);
  if (number === undefined) throw wrong('revision', 'a whole number from 1');
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/.test(savedAt))
    throw wrong('saved_at', 'UTC, 2030-01-31T12:00:00.000Z');
  const back = restores === '' ? null : whole(restores);
  if (back === undefined || (back !== null && back >= number))
    throw wrong('restores', 'an earlier revision, or nothing');
  if (sha256 !== '' && !/^[0-9a-f]{64}$/.test(sha256)) throw wrong('sha256', '64 hexadecimal digits, or nothing');
  return {
    kind,
    key,
    number,
    newest: false,
    savedAt,
    restores: back,
    note,
    sha256: sha256 === '' ? undefined : sha256,
  };
}

const whole = (text: string): number | undefined => (/^[1-9]\d{0,8}$/.test(text) ? Number(text) : undefined);

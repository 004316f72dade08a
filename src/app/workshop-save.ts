/** Saving kits, perches and nets into the workshop: each save names the revision that it was made from. */
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { isMapping } from '../records/index.ts';
import type { FileContent, Ports } from './ports.ts';
import { allOrProblems, checkKey, type RecordFile, readRecordFile } from './record-file.ts';
import { idText, staleProblems, unsaidProblem } from './stale-save.ts';
import type { Listing, RecordId, Revision, WorkshopStore } from './store-port.ts';

/** What the use cases of the workshop need besides the store. */
export interface WorkshopPorts extends Pick<Ports, 'readText'> {
  /** Now, UTC, ISO 8601. */
  now(): string;
  /** Bytes of a file; UserError when it cannot be read. */
  readBytes(path: string): Promise<Uint8Array>;
  /** SHA-256 of bytes, or of a text in UTF-8, 64 hexadecimal digits. */
  digest(content: string | Uint8Array): string;
  /** Writes a new folder with these files (names with `/`) whole or not at all; UserError when something is there. */
  writeFolder(path: string, files: ReadonlyMap<string, FileContent>): Promise<void>;
}

export interface SaveRequest {
  readonly text: string;
  /** Name of the file, for messages. */
  readonly file: string;
  /** Key of the record; absent: from its name. */
  readonly key?: string | undefined;
  /** Revision that the text was made from; needed when the record is there and differs. */
  readonly from?: number | undefined;
  readonly note?: string | undefined;
}

export interface SaveOutcome {
  readonly saved: readonly Listing[];
  /** Already there, letter by letter. */
  readonly unchanged: readonly Listing[];
  /** Worth knowing, no hindrance. */
  readonly notes: readonly string[];
}

/** `sunperch workshop add`. */
export interface AddRequest extends Pick<SaveRequest, 'key' | 'from' | 'note'> {
  readonly files: readonly string[];
}

export async function addFiles(
  ports: Pick<WorkshopPorts, 'readText' | 'now'>,
  store: WorkshopStore,
  { files, ...rest }: AddRequest,
): Promise<SaveOutcome & { readonly command: 'workshop add'; readonly workshop: string }> {
  const requests = await allOrProblems(
    files.map((file) => async (): Promise<SaveRequest> => ({ ...rest, file, text: await ports.readText(file) })),
  );
  return { command: 'workshop add', workshop: store.place, ...(await saveRecords(store, ports, requests)) };
}

interface Save extends RecordId {
  readonly request: SaveRequest;
  readonly record: RecordFile;
}

/**
 * Saves all of the texts or none of them.
 *
 * @throws UserError when a text is no valid record; when a record is there, differs, and no `from` is given
 * (`revision-unsaid`); when others have saved since `from` (`stale-save`, then one problem for each changed field)
 */
export async function saveRecords(
  store: WorkshopStore,
  ports: Pick<WorkshopPorts, 'now'>,
  requests: readonly SaveRequest[],
): Promise<SaveOutcome> {
  const saves = await allOrProblems(requests.map((request) => async () => saveOf(request)));
  refuseTwice(saves);
  const decided = await allOrProblems(saves.map((save) => () => decide(store, save, ports.now())));
  const fresh = decided.filter(({ stands }) => !stands).map(({ revision }) => revision);
  if (fresh.length > 0) {
    const outcome = await store.append(fresh);
    // Someone saved between the look and the save: look again, and tell what is there now.
    if (!outcome.saved) await tellStale(store, saves, outcome.stale);
  }
  return {
    saved: fresh.map(listed),
    unchanged: decided.filter(({ stands }) => stands).map(({ revision }) => listed(revision)),
    notes: [...saves.flatMap(weatherNotes), ...(await memberNotes(store, saves))],
  };
}

function saveOf(request: SaveRequest): Save {
  checkNote(request.note);
  if (request.key !== undefined) checkKey(request.key, '--key');
  const record = readRecordFile(request.text, request.file, request.key);
  return { request, record, kind: record.kind, key: record.key };
}

/** The revision to save, or the one that stands already. */
async function decide(store: WorkshopStore, save: Save, now: string): Promise<{ stands: boolean; revision: Revision }> {
  const { kind, key, record, request } = save;
  const newest = await store.newest({ kind, key });
  const { from } = request;
  if (from !== undefined && from > (newest?.number ?? 0)) {
    const there =
      newest === undefined ? `there is no ${kind} ${key}` : `the newest of ${kind} ${key} is ${newest.number}`;
    throw userError('no-such-revision', `--from is ${from}, but ${there}`, { file: request.file });
  }
  if (newest !== undefined) {
    if (newest.content === request.text && (from === undefined || from === newest.number))
      return { stands: true, revision: newest };
    if (from !== undefined && from < newest.number) throw new UserError(await staleOf(store, save, newest));
    if (from === undefined && !newest.removed) throw new UserError(unsaidProblem(newest, record.value, request.file));
  }
  const { name, latitude_deg, longitude_deg, elevation_m } = record;
  const revision: Revision = {
    kind,
    key,
    number: (newest?.number ?? 0) + 1,
    name,
    latitude_deg,
    longitude_deg,
    elevation_m,
    restores: null,
    note: request.note ?? '',
    savedAt: now,
    removed: false,
    content: request.text,
  };
  return { stands: false, revision };
}

async function staleOf(store: WorkshopStore, save: Save, newest: Revision): Promise<Problem[]> {
  const base = (await store.history(save)).find(({ number }) => number === save.request.from);
  if (base === undefined) return [unsaidProblem(newest, save.record.value, save.request.file)];
  return staleProblems(base, newest, save.record.value);
}

async function tellStale(store: WorkshopStore, saves: readonly Save[], stale: readonly Listing[]): Promise<never> {
  const told = stale.map(async (head) => {
    const save = saves.find((s) => s.kind === head.kind && s.key === head.key);
    const newest = await store.newest(head);
    return save === undefined || newest === undefined ? [] : staleOf(store, save, newest);
  });
  throw new UserError((await Promise.all(told)).flat());
}

function refuseTwice(saves: readonly Save[]): void {
  const first = new Map<string, Save>();
  const problems = saves.flatMap((save): Problem[] => {
    const before = first.get(idText(save));
    if (before === undefined) {
      first.set(idText(save), save);
      return [];
    }
    const message = `${idText(save)} is in ${before.request.file} too: give one of the two another name or --key`;
    return [{ code: 'record-twice', message, place: { file: save.request.file } }];
  });
  if (problems.length > 0) throw new UserError(problems);
}

export function checkNote(note: string | undefined): void {
  if (note === undefined || (note.length <= 500 && !/[\u0000-\u001f\u007f]/.test(note))) return;
  throw userError('bad-note', '--note is one line of 500 characters at most', { field: '--note' });
}

export function listed(revision: Revision): Listing {
  const { content: _, ...listing } = revision;
  return listing;
}

/** A file that a perch names is not in the workshop. */
function weatherNotes({ kind, key, record }: Save): string[] {
  const climate = isMapping(record.value) ? record.value['climate'] : undefined;
  const file = isMapping(climate) ? climate['weather'] : undefined;
  return typeof file === 'string'
    ? [`${kind} ${key} names the weather file ${file}, which stays outside the workshop`]
    : [];
}

async function memberNotes(store: WorkshopStore, saves: readonly Save[]): Promise<string[]> {
  const nets = saves.filter(({ kind }) => kind === 'net');
  if (nets.length === 0) return [];
  const there = new Set((await store.list()).filter(({ removed }) => !removed).map(idText));
  return nets.flatMap(({ key, record }) => {
    const { members } = record.value as { members: { perch: string; kit: string }[] };
    const wanted = members.flatMap(({ perch, kit }) => [`perch ${perch}`, `kit ${kit}`]);
    const missing = [...new Set(wanted)].filter((id) => !there.has(id));
    return missing.map((id) => `net ${key} names ${id}, which is not in the workshop yet`);
  });
}

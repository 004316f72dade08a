/** Looking into the workshop, undoing and removing. */
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { nearestWord } from '../records/index.ts';
import { type FieldChange, fieldChanges } from './field-changes.ts';
import { contentOf, idText, staleProblems } from './stale-save.ts';
import type { Listing, RecordId, RecordKind, Revision, WorkshopStore } from './store-port.ts';
import { checkNote, listed, type WorkshopPorts } from './workshop-save.ts';

interface InWorkshop<C extends string> {
  readonly command: C;
  readonly workshop: string;
}

export interface ListOutcome extends InWorkshop<'workshop list'> {
  readonly records: readonly Listing[];
}

/** The newest revision of each record; removed ones only on demand. */
export async function listRecords(
  store: WorkshopStore,
  request: { readonly kind?: RecordKind | undefined; readonly removed?: boolean | undefined } = {},
): Promise<ListOutcome> {
  const all = await store.list(request.kind);
  const records = all.filter(({ removed }) => request.removed === true || !removed);
  return { command: 'workshop list', workshop: store.place, records };
}

export interface ShowOutcome extends InWorkshop<'workshop show'> {
  readonly record: Revision & { readonly content: string };
}

/** One revision with its content, the newest unless told. */
export async function showRecord(store: WorkshopStore, id: RecordId, number?: number): Promise<ShowOutcome> {
  const history = await historyOf(store, id);
  const record = number === undefined ? history[history.length - 1]! : revisionIn(history, number, '--revision');
  const { content } = record;
  if (content === null) throw removedAlready(record);
  return { command: 'workshop show', workshop: store.place, record: { ...record, content } };
}

export interface HistoryOutcome extends InWorkshop<'workshop history'> {
  /** Oldest first, each with what it changes of the one before. */
  readonly revisions: readonly (Listing & { readonly changes: readonly FieldChange[] })[];
}

export async function recordHistory(store: WorkshopStore, id: RecordId): Promise<HistoryOutcome> {
  const history = await historyOf(store, id);
  const values = history.map(contentOf);
  const revisions = history.map((revision, i) => ({
    ...listed(revision),
    // The first one and a return after a removal change nothing: they begin.
    changes: i === 0 || values[i - 1] === undefined || revision.removed ? [] : fieldChanges(values[i - 1], values[i]),
  }));
  return { command: 'workshop history', workshop: store.place, revisions };
}

export interface ChangeRequest extends RecordId {
  /** Revision that must be the newest; absent: whichever is. */
  readonly from?: number | undefined;
  readonly note?: string | undefined;
}

export interface UndoOutcome extends InWorkshop<'workshop undo'> {
  readonly record: Listing;
  /** What changes with respect to the revision before. */
  readonly changes: readonly FieldChange[];
}

/**
 * A new revision equal to the one before the newest; undone again, to the one before that. With `to`, equal to that one, so
 * that an undo can be undone as well.
 *
 * @throws UserError when there is nothing before, or when others have saved since `from`
 */
export async function undoRecord(
  store: WorkshopStore,
  ports: Pick<WorkshopPorts, 'now'>,
  request: ChangeRequest & { readonly to?: number | undefined },
): Promise<UndoOutcome> {
  const history = await historyOf(store, request);
  const newest = history[history.length - 1]!;
  const source = request.to === undefined ? formerIn(history) : revisionIn(history, request.to, '--to');
  if (source === undefined)
    throw userError(
      'nothing-before',
      `${request.kind} ${request.key} has nothing before revision 1: \`sunperch workshop remove\` takes the record away`,
    );
  if (source.removed && newest.removed) throw removedAlready(newest);
  // A record that goes keeps the name and the place that it had last.
  const whole = source.removed ? { ...newest, content: null, removed: true } : source;
  const record: Revision = { ...whole, restores: source.number, ...stamp(history, request, ports) };
  await appendOne(store, record, newest);
  return {
    command: 'workshop undo',
    workshop: store.place,
    record: listed(record),
    changes: record.removed || newest.removed ? [] : fieldChanges(contentOf(newest), contentOf(record)),
  };
}

export interface RemoveOutcome extends InWorkshop<'workshop remove'> {
  readonly record: Listing;
}

/** A new revision without content: the record leaves the lists, its history stays, and undo brings it back. */
export async function removeRecord(
  store: WorkshopStore,
  ports: Pick<WorkshopPorts, 'now'>,
  request: ChangeRequest,
): Promise<RemoveOutcome> {
  const history = await historyOf(store, request);
  const newest = history[history.length - 1]!;
  if (newest.removed) throw removedAlready(newest);
  const stamped = stamp(history, request, ports);
  const record: Revision = { ...newest, restores: null, ...stamped, content: null, removed: true };
  await appendOne(store, record, newest);
  return { command: 'workshop remove', workshop: store.place, record: listed(record) };
}

const removedAlready = ({ kind, key, number }: Revision) =>
  userError('removed', `${kind} ${key} was removed in revision ${number}: \`sunperch workshop undo\` brings it back`);

/** What an undo goes back to: the one before the newest, where revisions that only bring others back stand for those. */
function formerIn(history: readonly Revision[]): Revision | undefined {
  let number = history.length;
  for (let restores = history[number - 1]!.restores; restores !== null; restores = history[number - 1]!.restores)
    number = restores;
  return history[number - 2];
}

async function historyOf(store: WorkshopStore, { kind, key }: RecordId): Promise<Revision[]> {
  const history = await store.history({ kind, key });
  if (history.length > 0) return history;
  const keys = (await store.list(kind)).map((record) => record.key);
  const near = nearestWord(key, keys);
  const mend = near === undefined ? '`sunperch workshop list` tells what there is' : `did you mean ${near}?`;
  throw userError('no-such-record', `there is no ${kind} with the key '${key}' in the workshop: ${mend}`, {
    file: store.place,
  });
}

function revisionIn(history: readonly Revision[], number: number, option: string): Revision {
  const found = history[number - 1];
  if (found !== undefined) return found;
  throw userError('no-such-revision', `${option} is ${number}: the revisions are 1 to ${history.length}`, {
    field: option,
  });
}

/** Number, time and note of the next revision, after a look at whether it is made from the newest. */
function stamp(history: readonly Revision[], request: ChangeRequest, ports: Pick<WorkshopPorts, 'now'>) {
  checkNote(request.note);
  const newest = history[history.length - 1]!;
  if (request.from !== undefined && request.from !== newest.number) {
    const base = revisionIn(history, request.from, '--from');
    throw new UserError(staleProblems(base, newest, contentOf(base)));
  }
  return { number: newest.number + 1, savedAt: ports.now(), note: request.note ?? '' };
}

async function appendOne(store: WorkshopStore, record: Revision, base: Revision): Promise<void> {
  if ((await store.append([record])).saved) return;
  const newest = await store.newest(record);
  throw new UserError(staleProblems(base, newest ?? base, contentOf(record)));
}

export interface CheckOutcome extends InWorkshop<'workshop check'> {
  readonly records: number;
  readonly revisions: number;
  /** Entries of the bench. */
  readonly entries: number;
}

/**
 * Reads everything: the database's own check of its pages, then each record's content.
 *
 * @throws UserError with all that is damaged
 */
export async function checkWorkshop(store: WorkshopStore): Promise<CheckOutcome> {
  const place = { file: store.place };
  const problems: Problem[] = (await store.check()).map((message) => ({ code: 'workshop-damaged', message, place }));
  const revisions = problems.length > 0 ? [] : await store.everything();
  for (const revision of revisions) {
    try {
      contentOf(revision);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push(...error.problems);
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  const records = new Set(revisions.map(idText)).size;
  const entries = await store.bench.head();
  return { command: 'workshop check', workshop: store.place, records, revisions: revisions.length, entries };
}

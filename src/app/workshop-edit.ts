/** Editing one record from a window: a save that came too late is not an error but an outcome, with what differs. */
import { userError } from '../core/units/index.ts';
import { writeYamlRecord } from '../formats/yaml-write.ts';
import { type CheckedRecord, checkRecord } from './check-record.ts';
import { fieldChanges } from './field-changes.ts';
import { keyFrom, summaryOf } from './record-file.ts';
import { contentOf } from './stale-save.ts';
import type { RecordId, Revision, WorkshopStore } from './store-port.ts';
import { checkNote } from './workshop-save.ts';

/** A record as a window has it: value, text, or both, which then say the same. */
export interface Edited {
  readonly value?: unknown;
  readonly text?: string | undefined;
  readonly note?: string | undefined;
}

/** A field that others have changed since, with the value of the refused save. */
export interface ForeignChange {
  readonly field: string;
  readonly theirs: unknown;
  readonly yours: unknown;
}

/** Others have saved since: nothing was saved. */
export interface Stale {
  readonly newest: Revision;
  readonly changed: readonly ForeignChange[];
}

export type EditOutcome =
  | { readonly saved: Revision; readonly stale?: never }
  | { readonly saved?: never; readonly stale: Stale };

type Kind = RecordId['kind'];
interface Clock {
  now(): string;
}

/** Keys tried for a new record: its name, then with a number. */
const KEYS_TRIED = 1000;

/** Saves a new record under a key of its own, made from its name. UserError when it does not hold. */
export async function createRecord(
  store: WorkshopStore,
  { now }: Clock,
  kind: Kind,
  edited: Edited,
): Promise<Revision> {
  const { record, text } = readEdited(kind, edited);
  const base = keyFrom(record.name, kind);
  const taken = new Set((await store.list(kind)).map(({ key }) => key));
  for (let n = 1; n <= KEYS_TRIED; n++) {
    const end = n === 1 ? '' : `-${n}`;
    const key = base.slice(0, 80 - end.length).replace(/[-.]+$/, '') + end;
    if (taken.has(key)) continue;
    const revision = revisionOf({ kind, key }, 1, record, text, edited.note, now());
    if ((await store.append([revision])).saved) return revision;
  }
  throw userError('no-key-left', `${KEYS_TRIED} records are called ${record.name} already: give it another name`);
}

/** Saves a change that was made from revision `from`. */
export async function saveRecord(
  store: WorkshopStore,
  { now }: Clock,
  id: RecordId & { readonly kind: Kind },
  from: number,
  edited: Edited,
): Promise<EditOutcome> {
  const history = await store.history(id);
  const newest = history[history.length - 1];
  const base = history[from - 1];
  if (newest === undefined || base === undefined)
    throw userError('no-such-revision', `from is ${from}: the revisions are 1 to ${history.length}`, { field: 'from' });
  const { record, text } = readEdited(id.kind, edited, base.content ?? undefined);
  if (from !== newest.number) return { stale: staleOf(base, newest, record.value) };
  if (text === newest.content) return { saved: newest };
  const revision = revisionOf(id, newest.number + 1, record, text, edited.note, now());
  if ((await store.append([revision])).saved) return { saved: revision };
  return { stale: staleOf(base, (await store.newest(id)) ?? newest, record.value) };
}

/** What differs for one whose change was made from `base`; `mine` absent: as `base` has it. */
export function staleOf(base: Revision, newest: Revision, mine: unknown = contentOf(base)): Stale {
  if (base.removed || newest.removed) return { newest, changed: [] };
  const before = contentOf(base);
  const own = new Map(fieldChanges(before, mine).map((change) => [change.field, change]));
  const changed = fieldChanges(before, contentOf(newest)).map((change) => ({
    field: change.field,
    theirs: change.after ?? null,
    yours: (own.get(change.field) ?? { after: change.before }).after ?? null,
  }));
  return { newest, changed };
}

function readEdited(kind: Kind, { value, text, note }: Edited, before?: string) {
  checkNote(note);
  const record = checkRecord(kind, text === undefined ? { value } : { text });
  if (text !== undefined && value !== undefined && fieldChanges(record.value, value).length > 0)
    throw userError('text-and-value', 'text and value do not say the same: give one of them, or mend the other');
  // Neither database keeps a zero byte or half of a surrogate pair.
  if (/\0|\p{Surrogate}/u.test(record.name))
    throw userError('bad-name', 'the name holds a sign that is none: write it anew', { field: `${kind}.name` });
  return { record, text: text ?? writeYamlRecord(value, before) };
}

function revisionOf(
  { kind, key }: RecordId,
  number: number,
  record: CheckedRecord,
  content: string,
  note: string | undefined,
  savedAt: string,
): Revision {
  const summary = summaryOf(record.value, record.name);
  return {
    kind,
    key,
    number,
    ...summary,
    name: record.name,
    restores: null,
    note: note ?? '',
    savedAt,
    removed: false,
    content,
  };
}

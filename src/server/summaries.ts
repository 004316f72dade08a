/** From the store's revisions to what the pages show. */
import { judgeRecord } from '../app/check-record.ts';
import { contentOf } from '../app/stale-save.ts';
import type { Listing, RecordId, Revision } from '../app/store-port.ts';
import type { YearStrip } from '../core/energy/index.ts';
import type { RecordKind, RecordSummary, RevisionSummary, StoredRecord, WorkshopOverview } from './api.ts';
import { Refusal } from './problems.ts';
import type { ResultNote } from './results.ts';
import { RECORD_ID } from './schemas.ts';

export interface ServedId extends RecordId {
  readonly kind: RecordKind;
}

export const idOf = ({ kind, key }: RecordId): string => `${kind}:${key}`;

export function readId(id: string): ServedId {
  const [, kind, key] = RECORD_ID.exec(id) ?? [];
  if (kind === undefined || key === undefined) throw new RangeError(`readId: '${id}' passed its schema`);
  return { kind: kind as RecordKind, key };
}

export function summaryOf(listing: Listing, notes: readonly ResultNote[]): RecordSummary {
  const { latitude_deg, longitude_deg } = listing;
  return {
    id: idOf(listing),
    kind: listing.kind as RecordKind,
    name: listing.name,
    revision: listing.number,
    saved: listing.savedAt,
    strip: stripOf(listing, notes),
    ...(latitude_deg === null || longitude_deg === null ? {} : { place: { latitude_deg, longitude_deg } }),
  };
}

/** The strip of the last result of this very revision. */
function stripOf(listing: Listing, notes: readonly ResultNote[]): YearStrip | null {
  if (listing.kind === 'net') return null;
  const id = idOf(listing);
  const last = notes.findLast((note) => {
    const mine = listing.kind === 'kit' ? note.kit : note.perch;
    return mine?.id === id && mine.revision === listing.number;
  });
  return last?.strip ?? null;
}

export function storedOf(revision: Revision, notes: readonly ResultNote[]): StoredRecord {
  const summary = summaryOf(revision, notes);
  if (revision.content === null) return { ...summary, value: null, text: '', assumptions: [], removed: true };
  const { assumptions } = judgeRecord(summary.kind, { text: revision.content });
  return { ...summary, value: contentOf(revision), text: revision.content, assumptions };
}

export const revisionSummaryOf = (revision: Listing): RevisionSummary => ({
  revision: revision.number,
  name: revision.name,
  saved: revision.savedAt,
  note: revision.note,
  removed: revision.removed,
  restores: revision.restores,
});

export function noSuchRecord(id: string, removed = false): Refusal {
  return removed
    ? new Refusal(404, 'record-removed', `${id} was taken away: undo brings it back`)
    : new Refusal(404, 'no-such-record', `there is no ${id} in this workshop`);
}

const ATTENTION = 20;
const WEIGHT = { 'goes dark': 0, 'on the edge': 1, 'stays up': 9 } as const;

/** What wants a look: what goes dark, what is on the edge, what has changed since, what nobody has computed. */
export function attentionOf(records: readonly Listing[], notes: readonly ResultNote[]): WorkshopOverview['attention'] {
  const now = new Map(records.map((record) => [idOf(record), record]));
  const found: { weight: number; text: string; kit?: string; perch?: string }[] = [];
  const computed = new Set<string>();
  for (const { kit, perch, state, verdict } of notes) {
    const itsKit = now.get(kit?.id ?? '');
    const itsPerch = now.get(perch?.id ?? '');
    if (kit === undefined || perch === undefined || itsKit === undefined || itsPerch === undefined) continue;
    computed.add(kit.id).add(perch.id);
    const pair = { kit: kit.id, perch: perch.id };
    if (itsKit.number !== kit.revision || itsPerch.number !== perch.revision)
      found.push({ weight: 2, text: `${itsKit.name} at ${itsPerch.name} has changed since it was computed.`, ...pair });
    else if (state !== undefined && state !== 'stays up')
      found.push({ weight: WEIGHT[state], text: verdict ?? `${itsKit.name} at ${itsPerch.name}: ${state}.`, ...pair });
  }
  for (const record of records) {
    if (record.kind === 'net' || computed.has(idOf(record))) continue;
    const what = record.kind === 'kit' ? 'at any perch' : 'with any kit';
    found.push({ weight: 3, text: `${record.name} has not been computed ${what} yet.`, [record.kind]: idOf(record) });
  }
  found.sort((a, b) => a.weight - b.weight);
  return found.slice(0, ATTENTION).map(({ weight: _, ...rest }) => rest);
}

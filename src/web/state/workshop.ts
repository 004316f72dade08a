/** The workshop as the pages know it: the list, the records read so far, and whether the server answers. */
import { computed, signal } from '@preact/signals';
import type { Problem } from '../../core/units/index.ts';
import type { RecordKind, RecordSummary, SaveRequest, StoredRecord, WorkshopOverview } from '../../server/api.ts';
import * as api from '../api/client.ts';
import { problemsOf } from '../compute/engine.ts';
import { notify } from './notices.ts';

export const overview = signal<WorkshopOverview | null>(null);
export const records = signal<ReadonlyMap<string, StoredRecord>>(new Map());
/** False once a call has found nobody. */
export const reachable = signal(true);
export const loadProblems = signal<readonly Problem[]>([]);

const ofKind = <K extends RecordKind>(kind: K) =>
  computed(() =>
    (overview.value?.records ?? []).filter((r): r is RecordSummary & { readonly kind: K } => r.kind === kind),
  );
export const kits = ofKind('kit');
export const perches = ofKind('perch');
export const nets = ofKind('net');
export const byId = computed(() => new Map((overview.value?.records ?? []).map((r) => [r.id, r])));

/** Problems to show for whatever a call threw; notes when the server is away. */
export function callProblems(error: unknown): readonly Problem[] {
  if (error instanceof api.Refused) return error.problems;
  if (error instanceof api.Unreachable) {
    reachable.value = false;
    return [{ code: 'unreachable', message: error.message }];
  }
  return problemsOf(error);
}

export async function loadWorkshop(): Promise<void> {
  try {
    overview.value = await api.getWorkshop();
    reachable.value = api.fresh.value;
    loadProblems.value = [];
  } catch (error) {
    loadProblems.value = callProblems(error);
  }
}

const asked = new Map<string, Promise<StoredRecord>>();

function keep(record: StoredRecord): void {
  records.value = new Map(records.value).set(record.id, record);
}

/** A record, from memory when it is there. */
export function loadRecord(id: string, again = false): Promise<StoredRecord> {
  const known = records.value.get(id);
  if (known !== undefined && !again) return Promise.resolve(known);
  const running = asked.get(id);
  if (running !== undefined) return running;
  const fresh = api
    .getRecord(id)
    .then((record) => {
      keep(record);
      return record;
    })
    .finally(() => asked.delete(id));
  asked.set(id, fresh);
  return fresh;
}

/** Saves a record, new or changed. Throws `Refused` with problems or with the save that came in between. */
export async function save(id: string | undefined, request: SaveRequest): Promise<StoredRecord> {
  const saved = id === undefined ? await api.createRecord(request) : await api.saveRecord(id, request);
  keep(saved);
  await loadWorkshop();
  return saved;
}

/** Takes a record out of the workshop, with the way back beside the news. */
export async function remove(record: Pick<RecordSummary, 'id' | 'kind' | 'name'>): Promise<void> {
  await api.removeRecord(record.id);
  records.value = new Map([...records.value].filter(([id]) => id !== record.id));
  await loadWorkshop();
  notify(`${record.name} was taken out of the workshop.`, {
    label: 'Put it back',
    act: async () => {
      keep(await api.undoRecord(record.kind, record.id));
      await loadWorkshop();
    },
  });
}

/** Brings the revision before back, as a new one. */
export async function undoSave(record: Pick<RecordSummary, 'id' | 'kind'>): Promise<StoredRecord> {
  const back = await api.undoRecord(record.kind, record.id);
  keep(back);
  await loadWorkshop();
  return back;
}

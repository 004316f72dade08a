import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import type { Listing, Revision } from '../../app/store-port.ts';
import { removeRecord, undoRecord } from '../../app/workshop.ts';
import { createRecord, type Stale, saveRecord, staleOf } from '../../app/workshop-edit.ts';
import { UserError } from '../../core/units/index.ts';
import type { RecordSummary, RevisionSummary, StaleSave, StoredRecord, WorkshopOverview } from '../api.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { Refusal } from '../problems.ts';
import * as s from '../schemas.ts';
import {
  attentionOf,
  idOf,
  noSuchRecord,
  readId,
  revisionSummaryOf,
  type ServedId,
  storedOf,
  summaryOf,
} from '../summaries.ts';

const tags = ['Records'];
const stale = { 409: json(s.staleSave, 'Others have saved since: nothing was saved') };

/** Kits, perches and nets: lists, single ones, saves that name what they were made from, removal and undo. */
export function recordRoutes(api: OpenAPIHono, { store, name, results, now }: ServerParts): void {
  const clock = { now };
  const mine = async (): Promise<Listing[]> => (await store.list()).filter(({ removed }) => !removed);
  const newestOf = async (id: ServedId): Promise<Revision> => {
    const newest = await store.newest(id);
    if (newest === undefined) throw noSuchRecord(idOf(id));
    return newest;
  };
  const stored = (c: Context, revision: Revision, status: 200 | 201 = 200) =>
    answer<StoredRecord>(c, storedOf(revision, results.latest()), status);
  const refuse = (c: Context, { newest, changed }: Stale) =>
    answer<StaleSave>(
      c,
      { code: 'stale', message: staleSentence(newest, changed.length), revision: newest.number, changed },
      409,
    );

  /** Runs a change that is made from `from`, or from whatever is newest; the stale outcome where others came first. */
  const change = async (id: ServedId, from: number | undefined, work: (from: number) => Promise<unknown>) => {
    const newest = await newestOf(id);
    if (from !== undefined && from !== newest.number) {
      const base = (await store.history(id))[from - 1];
      if (base === undefined)
        throw new Refusal(422, 'no-such-revision', `from is ${from}: the newest is ${newest.number}`);
      return staleOf(base, newest);
    }
    try {
      await work(newest.number);
    } catch (error) {
      // Others saved between the look and the change.
      if (error instanceof UserError && error.problems[0]?.code === 'stale-save')
        return staleOf(newest, await newestOf(id));
      throw error;
    }
    return undefined;
  };

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/workshop',
      tags,
      summary: 'The workshop at a glance',
      responses: { 200: json(s.overview, 'Records and what wants a look'), ...problems() },
    }),
    async (c) => {
      const records = await mine();
      const notes = results.latest();
      return answer<WorkshopOverview>(c, {
        name,
        records: records.map((record) => summaryOf(record, notes)),
        attention: attentionOf(records, notes),
      });
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/records',
      tags,
      summary: 'All records, of one kind or of all',
      request: { query: s.kindQuery },
      responses: { 200: json(z.array(s.recordSummary), 'Sorted by kind and key'), ...problems() },
    }),
    async (c) => {
      const { kind } = c.req.valid('query');
      const records = (await mine()).filter((record) => kind === undefined || record.kind === kind);
      const notes = results.latest();
      return answer<RecordSummary[]>(
        c,
        records.map((record) => summaryOf(record, notes)),
      );
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/records',
      tags,
      summary: 'Saves a new record; its key is made from its name',
      request: { body: body(s.saveRequest) },
      responses: { 201: json(s.storedRecord, 'As it stands now'), ...problems(413, 415, 422) },
    }),
    async (c) => {
      const { kind, value, text, note, from } = c.req.valid('json');
      if (from !== undefined)
        throw new Refusal(422, 'from-of-new', 'a new record is made from no revision: leave out from');
      return stored(c, await createRecord(store, clock, kind, { value, text, note }), 201);
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/records/{id}',
      tags,
      summary: 'One record with its file and what it takes for granted',
      request: { params: s.idParam },
      responses: { 200: json(s.storedRecord, 'The newest revision'), ...problems(404) },
    }),
    async (c) => {
      const id = readId(c.req.valid('param').id);
      const newest = await newestOf(id);
      if (newest.removed) throw noSuchRecord(idOf(id), true);
      return stored(c, newest);
    },
  );

  api.openapi(
    createRoute({
      method: 'put',
      path: '/api/records/{id}',
      tags,
      summary: 'Saves a change that was made from the revision `from`',
      request: { params: s.idParam, body: body(s.saveRequest) },
      responses: { 200: json(s.storedRecord, 'As it stands now'), ...stale, ...problems(404, 413, 415, 422) },
    }),
    async (c) => {
      const id = readId(c.req.valid('param').id);
      const { kind, from, value, text, note } = c.req.valid('json');
      if (kind !== id.kind) throw new Refusal(422, 'kind-changed', `${idOf(id)} cannot become a ${kind}`);
      if (from === undefined)
        throw new Refusal(422, 'revision-unsaid', 'from is missing: name the revision that the change was made from');
      await newestOf(id);
      const outcome = await saveRecord(store, clock, id, from, { value, text, note });
      return outcome.stale === undefined ? stored(c, outcome.saved) : refuse(c, outcome.stale);
    },
  );

  api.openapi(
    createRoute({
      method: 'delete',
      path: '/api/records/{id}',
      tags,
      summary: 'Takes a record away; its history stays, and undo brings it back',
      request: { params: s.idParam, query: s.fromQuery },
      responses: { 200: json(s.storedRecord, 'The record, marked as removed'), ...stale, ...problems(404, 422) },
    }),
    async (c) => {
      const id = readId(c.req.valid('param').id);
      if ((await newestOf(id)).removed) throw noSuchRecord(idOf(id), true);
      const late = await change(id, c.req.valid('query').from, (from) => removeRecord(store, clock, { ...id, from }));
      return late === undefined ? stored(c, await newestOf(id)) : refuse(c, late);
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/records/{id}/history',
      tags,
      summary: 'All revisions of a record',
      request: { params: s.idParam },
      responses: { 200: json(z.array(s.revisionSummary), 'Oldest first'), ...problems(404) },
    }),
    async (c) => {
      const id = readId(c.req.valid('param').id);
      await newestOf(id);
      return answer<RevisionSummary[]>(c, (await store.history(id)).map(revisionSummaryOf));
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/undo',
      tags,
      summary: 'The record as it was before its newest revision; as a new revision, so that nothing is lost',
      request: { body: body(s.undoRequest) },
      responses: { 200: json(s.storedRecord, 'As it stands now'), ...stale, ...problems(404, 413, 415, 422) },
    }),
    async (c) => {
      const request = c.req.valid('json');
      const id = readId(request.id);
      if (request.kind !== undefined && request.kind !== id.kind)
        throw new Refusal(422, 'kind-changed', `${idOf(id)} is no ${request.kind}`);
      const { number } = await newestOf(id);
      if (number === 1)
        throw new Refusal(422, 'nothing-before', `${idOf(id)} has nothing before revision 1: it can be taken away`);
      const late = await change(id, request.from, (from) => undoRecord(store, clock, { ...id, from }));
      return late === undefined ? stored(c, await newestOf(id)) : refuse(c, late);
    },
  );
}

function staleSentence(newest: Revision, fields: number): string {
  const what = newest.removed
    ? 'took the record away'
    : fields === 0
      ? 'changed its comments or layout'
      : `changed ${fields} field${fields === 1 ? '' : 's'}`;
  return `somebody has saved revision ${newest.number} meanwhile and ${what}: nothing of yours was saved. Look at the changes and save again from there`;
}

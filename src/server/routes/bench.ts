import { createHash, randomInt } from 'node:crypto';
import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { act, type Bench, refresh } from '../../app/bench/act.ts';
import { aboutOf, decide, fromStanding } from '../../app/bench/deeds.ts';
import { batchIn, lotIn, planOfUnit, unitIn } from '../../app/bench/find.ts';
import { batchPage, benchFront } from '../../app/bench/front.ts';
import { severityFor } from '../../app/bench/inspection.ts';
import { kitOfPlan } from '../../app/bench/kit-of-plan.ts';
import { whatToOrder } from '../../app/bench/ordering.ts';
import { batchQuality } from '../../app/bench/quality.ts';
import { findInBench } from '../../app/bench/search.ts';
import { chargeLook, chargeNotes, placeNotes } from '../../app/bench/ship-check.ts';
import type { BenchState } from '../../app/bench/state.ts';
import { ledger, recall, storesList } from '../../app/bench/stores.ts';
import { perchThere } from '../../app/bench/unit-forecast.ts';
import { unitLook } from '../../app/bench/unit-look.ts';
import { unitPage } from '../../app/bench/unit-page.ts';
import { UserError } from '../../core/units/index.ts';
import { type DeedRequest, streamOf } from '../../records/bench/index.ts';
import type { Kit } from '../../records/index.ts';
import type { BenchDeedAnswer, BenchDeedConflict } from '../api.ts';
import type { Places } from '../bench-places.ts';
import * as s from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { there } from '../there.ts';

const tags = ['Bench'];

/** Batches, units, stores and orders; and the one place where something is done at the bench. */
export function benchRoutes(api: OpenAPIHono, { now, store }: ServerParts, bench: Bench, places: Places): void {
  const looked = createMemory(bench.state);
  const read = async <T extends object>(c: Context, key: string, look: (state: BenchState) => T) => {
    await refresh(bench);
    return there(c, () => answer<T>(c, looked(key, look)));
  };

  /** The serial of the unit that leaves by a request. */
  const leaves = (request: DeedRequest) =>
    request.deed === 'ship' ? request.unit : request.deed === 'swap' ? request.for : undefined;
  const kitToShip = async (request: DeedRequest) => {
    const serial = leaves(request);
    if (serial === undefined || (request as { rested_V?: number }).rested_V === undefined) return undefined;
    await refresh(bench);
    const unit = unitIn(bench.state, serial);
    return (await kitOfPlan(store, planOfUnit(bench.state, unit), batchIn(bench.state, unit.batch).region))?.kit;
  };
  /** What is told of a unit that has left; a place that nobody has checked is not computed now. */
  const notesOf = async (request: DeedRequest, kit: Kit | undefined): Promise<readonly string[]> => {
    const serial = leaves(request);
    if (serial === undefined || (request.deed !== 'ship' && request.deed !== 'swap')) return [];
    const unit = unitIn(bench.state, serial);
    const order = unit.shipped?.order;
    const notes = chargeNotes(chargeLook(unit.serial, kit, request));
    return [...notes, ...(order === undefined ? [] : placeNotes(await places.look(order)))];
  };

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench',
      tags,
      summary: 'The bench at a glance: batches, orders, what wants a hand',
      responses: { 200: json(s.front, 'Batches in the order in which they were opened'), ...problems() },
    }),
    (c) => read(c, 'front', benchFront) as never,
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/batches/{batch}',
      tags,
      summary: 'A batch with a row for each unit',
      request: { params: s.batchParam },
      responses: { 200: json(s.batchPage, 'Counts, steps, gates, units'), ...problems(404) },
    }),
    (c) => {
      const { batch } = c.req.valid('param');
      return read(c, `batch ${batch}`, (state) => batchPage(state, batch)) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/units/{serial}',
      tags,
      summary: 'A unit: where it stands, what its gates ask for, and everything that happened',
      request: { params: s.serialParam },
      responses: { 200: json(s.unitPage, 'History oldest first'), ...problems(404) },
    }),
    async (c) => {
      const { serial } = c.req.valid('param');
      await refresh(bench);
      return there(c, async () => {
        const { serial: right } = unitIn(bench.state, serial);
        const entries = await bench.store.stream(streamOf('unit', right));
        await refresh(bench);
        return answer(c, unitPage(bench.state, right, entries));
      }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/stores',
      tags,
      summary: 'Parts with their lots',
      request: { query: s.allQuery },
      responses: { 200: json(s.stores, 'Lots that are empty only when asked for'), ...problems() },
    }),
    (c) => {
      const all = c.req.valid('query').all === '1';
      return read(c, `stores ${all}`, (state) => storesList(state, all)) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/lots/{lot}',
      tags,
      summary: 'A lot: every movement, its inspections, and every unit that holds a part of it',
      request: { params: s.lotParam },
      responses: { 200: json(s.lotPage, 'Units at customers’ first'), ...problems(404) },
    }),
    (c) => {
      const { lot } = c.req.valid('param');
      return read(c, `lot ${lot}`, (state) => ({
        recall: recall(state, lot),
        movements: ledger(state, lot).movements,
        inspections: lotIn(state, lot).inspections,
        next: severityFor(state, lotIn(state, lot).part, lotIn(state, lot).supplier),
      })) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/orders/{plan}',
      tags,
      summary: 'What to order for a number of units, given what the stores hold and running batches want',
      request: { params: s.planParam, query: s.orderingQuery },
      responses: { 200: json(s.ordering, 'By line of the bill of materials, and by supplier'), ...problems(404) },
    }),
    (c) => {
      const { plan } = c.req.valid('param');
      const { units, due, region } = c.req.valid('query');
      const today = now().slice(0, 10);
      return read(c, `order ${plan} ${units} ${due} ${region} ${today}`, (state) =>
        whatToOrder(state, { plan, units, due, region, today }),
      ) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/quality/{batch}',
      tags,
      summary: 'Yields with their intervals, failures by gate, control charts and capability of a batch',
      request: { params: s.batchParam },
      responses: { 200: json(s.quality, 'By gate'), ...problems(404) },
    }),
    (c) => {
      const { batch } = c.req.valid('param');
      return read(c, `quality ${batch}`, (state) => batchQuality(state, batch)) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/find',
      tags,
      summary: 'Units, lots, parts, batches and orders by a few letters of what names them',
      request: { query: s.findQuery },
      responses: { 200: json(s.found, 'The nearest first'), ...problems() },
    }),
    (c) => {
      const { text } = c.req.valid('query');
      return read(c, `find ${text}`, (state) => findInBench(state, text)) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/deeds',
      tags,
      summary: 'Does one thing at the bench: a tick, a measurement, a lot received, a unit shipped …',
      description:
        'What is written stays. The same token a second time writes nothing and is answered as before. Times are the server’s own; that of the hand stands beside.',
      request: { body: body(s.deedBody) },
      responses: {
        200: json(s.deedAnswer, 'What was written, and the unit as it stands'),
        409: json(s.deedConflict, 'As things stand this cannot be done: others may have come first'),
        ...problems(404, 413, 415, 422),
      },
    }),
    async (c) => {
      const request = c.req.valid('json') as DeedRequest;
      const seed = randomInt(2 ** 31);
      const unitNow = () => {
        const { unit } = aboutOf(request);
        return unit === undefined ? null : unitLook(bench.state, unit);
      };
      return there(c, async () => {
        try {
          if (request.deed === 'install') await perchThere(store, request.perch);
          const { by, token, notedAt } = request;
          const kit = await kitToShip(request);
          const entries = await act(bench, { by, at: now(), token, notedAt }, (state) =>
            decide(state, request, { seed, digest, kit }),
          );
          const unit = unitNow();
          return answer<BenchDeedAnswer>(c, {
            written: entries.map(({ seq, stream, number, at, by: who, content }) => ({
              ...{ seq, stream, number, at, by: who, kind: content.kind },
            })),
            again: entries.length === 0 && bench.state.tokens.has(token),
            unit,
            said: unit?.verdict ?? '',
            notes: entries.length === 0 ? [] : await notesOf(request, kit),
          });
        } catch (error) {
          if (!(error instanceof UserError) || !fromStanding(error.problems.map((p) => p.code))) throw error;
          return answer<BenchDeedConflict>(c, { problems: error.problems, unit: unitNow() }, 409);
        }
      }) as never;
    },
  );
}

const digest = (text: string): string => createHash('sha256').update(text).digest('hex');

/** Most looks that are kept. */
const MOST_LOOKS = 50;

/** What was looked up since the newest entry, so that pages that ask again cost nothing. */
function createMemory(state: BenchState) {
  let head = -1;
  const kept = new Map<string, object>();
  return <T extends object>(key: string, look: (state: BenchState) => T): T => {
    if (head !== state.head) {
      kept.clear();
      head = state.head;
    }
    const known = kept.get(key);
    if (known !== undefined) return known as T;
    const made = look(state);
    if (kept.size >= MOST_LOOKS) kept.clear();
    kept.set(key, made);
    return made;
  };
}

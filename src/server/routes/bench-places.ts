import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import type { Bench } from '../../app/bench/act.ts';
import { refresh } from '../../app/bench/act.ts';
import { batchIn, planOfUnit, unitIn } from '../../app/bench/find.ts';
import { kitOfPlan } from '../../app/bench/kit-of-plan.ts';
import { type ShipCheck, shipCheck } from '../../app/bench/ship-check.ts';
import type { JobStatus, OrderPlaceAnswer, OrderPlaces } from '../api.ts';
import * as s from '../bench-place-schemas.ts';
import type { Places } from '../bench-places.ts';
import { serialParam } from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { jobStatus } from '../schemas.ts';
import { there } from '../there.ts';

const tags = ['Bench'];

/** Where units of orders will stand, and what is to be known before one leaves. */
export function benchPlaceRoutes(api: OpenAPIHono, { store }: ServerParts, bench: Bench, places: Places): void {
  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/places',
      tags,
      summary:
        'For each order that is not cancelled: does its kit stay up where it will stand, as far as that was computed',
      responses: { 200: json(s.places, 'Nothing is computed by asking'), ...problems() },
    }),
    async (c) => answer<OrderPlaces>(c, { places: await places.all() }) as never,
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/orders/{order}/place',
      tags,
      summary:
        'The place of an order: the sentence with the smallest change that holds, and the whole answer where there is one',
      request: { params: s.orderParam },
      responses: { 200: json(s.placeAnswer, 'outcome is null until it was computed'), ...problems(404) },
    }),
    (c) => {
      const { order } = c.req.valid('param');
      return there(c, async () =>
        answer<OrderPlaceAnswer>(c, { ...(await places.look(order)), outcome: await places.outcome(order) }),
      ) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/orders/{order}/place',
      tags,
      summary: 'Begins the check of an order’s place as a job; what was computed before counts as done at once',
      request: { params: s.orderParam, body: body(s.placeRequest) },
      responses: { 202: json(jobStatus, 'The job; its result is kept under its key'), ...problems(404, 413, 415, 422) },
    }),
    (c) => {
      const { order } = c.req.valid('param');
      return there(c, async () => answer<JobStatus>(c, await places.begin(order), 202)) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/units/{serial}/leaving',
      tags,
      summary: 'What is to be known before a unit leaves: its charge against the rule of air transport, and its place',
      request: { params: serialParam, query: s.leavingQuery },
      responses: { 200: json(s.shipCheck, 'Nothing is written by asking'), ...problems(404, 422) },
    }),
    (c) => {
      const { serial } = c.req.valid('param');
      const request = c.req.valid('query');
      return there(c, async () => {
        await refresh(bench);
        const unit = unitIn(bench.state, serial);
        const plan = planOfUnit(bench.state, unit);
        const kit = (await kitOfPlan(store, plan, batchIn(bench.state, unit.batch).region))?.kit;
        return answer<ShipCheck>(c, await shipCheck(bench.state, serial, request, kit, places.look));
      }) as never;
    },
  );
}

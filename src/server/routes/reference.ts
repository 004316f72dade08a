import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { judgeRecord } from '../../app/check-record.ts';
import { REFERENCE_CLIMATES, type ReferenceClimate, rankedClimates } from '../../core/weather/index.ts';
import { CELLS, CHARGERS, jsonSchemas, LOAD_STATES, PANELS, TRANSMIT_STATES } from '../../records/index.ts';
import type { CheckAnswer, CheckRequest, ClimateAnswer, PartsAnswer } from '../api.ts';
import { answer, body, json, problems } from '../describe.ts';
import * as s from '../schemas.ts';

const tags = ['Reference'];

/** What comes with the program: schemas, checks, generic parts, built-in climates. */
export function referenceRoutes(api: OpenAPIHono): void {
  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/check/{kind}',
      tags,
      summary: 'What is wrong with a record, or what it takes for granted; nothing is saved',
      request: { params: s.kindParam, body: body(s.checkRequest) },
      responses: { 200: json(s.checkAnswer, 'All problems at once'), ...problems(413, 415, 422) },
    }),
    (c) => {
      const given = c.req.valid('json') as CheckRequest;
      const { kind } = c.req.valid('param');
      return answer<CheckAnswer>(c, judgeRecord(kind, 'text' in given ? { text: given.text } : given));
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/schema/{kind}',
      tags,
      summary: 'JSON Schema of a record',
      request: { params: s.kindParam },
      responses: { 200: json(s.jsonSchema, 'Draft 7'), ...problems() },
    }),
    (c) => answer(c, jsonSchemas()[c.req.valid('param').kind]),
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/parts',
      tags,
      summary: 'Generic parts to start from',
      responses: { 200: json(s.partsAnswer, 'By kind'), ...problems() },
    }),
    (c) =>
      answer<PartsAnswer>(c, {
        panels: PANELS,
        cells: CELLS,
        chargers: CHARGERS,
        loads: [...LOAD_STATES, ...TRANSMIT_STATES],
      }),
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/climates',
      tags,
      summary: 'Built-in climates; with a place the nearest first',
      request: { query: s.placeQuery },
      responses: { 200: json(z.array(s.climate), 'Monthly means with their sources'), ...problems() },
    }),
    (c) => {
      const { latitude_deg, longitude_deg } = c.req.valid('query');
      const climates =
        latitude_deg === undefined || longitude_deg === undefined
          ? REFERENCE_CLIMATES.map((climate) => climateAnswer(climate))
          : rankedClimates(latitude_deg, longitude_deg).map((near) => climateAnswer(near.climate, near.distance_km));
      return answer<ClimateAnswer[]>(c, climates);
    },
  );
}

function climateAnswer(climate: ReferenceClimate, distance_km?: number): ClimateAnswer {
  const { name, country, latitude_deg, longitude_deg, elevation_m, dataset, source } = climate;
  return {
    name,
    country,
    latitude_deg,
    longitude_deg,
    elevation_m,
    dataset,
    ghi_kWh_m2_day: climate.ghi_kWh_m2_day,
    temperature_degC: climate.temperature_degC,
    source,
    ...(distance_km === undefined ? {} : { distance_km }),
  };
}

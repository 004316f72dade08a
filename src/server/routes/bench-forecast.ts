import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { unitIn } from '../../app/bench/find.ts';
import { type UnitForecastAsked, unitForecastAsked } from '../../app/bench/unit-forecast.ts';
import type { YearResult } from '../../app/year.ts';
import { UserError } from '../../core/units/index.ts';
import type { BenchForecast, JobStatus } from '../api.ts';
import { serialParam } from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { keyOf } from '../results.ts';
import { jobStatus, strip } from '../schemas.ts';
import { there } from '../there.ts';

const tags = ['Bench'];

const usedValue = z.looseObject({
  field: z.string(),
  value: z.number(),
  how: z.string(),
  at: z.iso.datetime(),
  set: z.array(z.string()),
  unused: z.string().nullable(),
});
const forecast = z
  .strictObject({
    serial: z.string(),
    /** Why there can be none, in words. */
    why: z.string().nullable(),
    placed: z.boolean().openapi({ description: 'It is kept for an order, is with one, or stands at a perch' }),
    place: z
      .strictObject({
        name: z.string(),
        perch: z.string().nullable(),
        order: z.string().nullable(),
        notes: z.array(z.string()),
      })
      .nullable(),
    values: z.array(usedValue),
    fromKit: z.array(z.string()),
    notes: z.array(z.string()),
    asked: z
      .strictObject({ kit: z.unknown(), perch: z.unknown() })
      .nullable()
      .openapi({ description: 'Kit and perch as a job of the kind year takes them' }),
    kept: z
      .strictObject({ state: z.enum(['stays up', 'on the edge', 'goes dark']), verdict: z.string(), strip })
      .nullable()
      .openapi({ description: 'What was computed of the unit as it is now; null until somebody asks for it' }),
  })
  .openapi('BenchForecast');

/** Whether a unit stays up where it stands: a job of the kind `year`, whose answer is kept. */
export function benchForecastRoutes(api: OpenAPIHono, { store, jobs, results, version }: ServerParts, bench: Bench) {
  const path = '/api/bench/units/{serial}/forecast' as const;

  api.openapi(
    createRoute({
      method: 'get',
      path,
      tags,
      summary: 'The forecast of a unit by its own values, at the perch where it was put up or the place of its order',
      request: { params: serialParam },
      responses: { 200: json(forecast, 'As far as it is known'), ...problems(404) },
    }),
    (c) =>
      there(c, async () => {
        await refresh(bench);
        const { serial } = unitIn(bench.state, c.req.valid('param').serial);
        try {
          const { told, place, input } = await unitForecastAsked(store, bench.state, serial);
          const { values, fromKit, notes } = told;
          const { kit, perch } = input;
          return answer<BenchForecast>(c, {
            ...{ serial, why: null, placed: true, place, values, fromKit, notes },
            asked: { kit, perch },
            kept: await keptOf(serial, input),
          });
        } catch (error) {
          if (!(error instanceof UserError)) throw error;
          const why = error.problems.map((p) => p.message).join('; ');
          const nothing = { place: null, values: [], fromKit: [], notes: [], asked: null, kept: null };
          const placed = error.problems.every((p) => p.code !== 'unit-no-place');
          return answer<BenchForecast>(c, { serial, why, placed, ...nothing });
        }
      }) as never,
  );

  api.openapi(
    createRoute({
      method: 'post',
      path,
      tags,
      summary: 'Begins the forecast of a unit; done at once where it is known',
      request: { params: serialParam, body: body(z.strictObject({})) },
      responses: { 202: json(jobStatus, 'The job'), ...problems(404, 413, 415, 422) },
    }),
    (c) =>
      there(c, async () => {
        await refresh(bench);
        const { serial } = unitIn(bench.state, c.req.valid('param').serial);
        const { input } = await unitForecastAsked(store, bench.state, serial);
        const key = keyOf(input, version);
        const note = { key, command: input.command, unit: serial };
        return answer<JobStatus>(c, await jobs.submit({ input, key, note }), 202);
      }) as never,
  );

  async function keptOf(serial: string, input: UnitForecastAsked['input']): Promise<BenchForecast['kept']> {
    const key = keyOf(input, version);
    const last = results.ofUnit(serial);
    if (last?.key === key && last.state && last.verdict !== undefined && last.strip)
      return { state: last.state, verdict: last.verdict, strip: last.strip };
    const text = await results.get(key);
    if (text === undefined) return null;
    const { state, verdict, strip: band } = (JSON.parse(text) as YearResult).outcome;
    results.note({ key, command: 'year', unit: serial, state, verdict, strip: band });
    return { state, verdict, strip: band };
  }
}

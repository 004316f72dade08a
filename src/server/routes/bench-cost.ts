import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { askCost } from '../../app/bench/cost-ask.ts';
import { batchIn } from '../../app/bench/find.ts';
import { kitOfPlan } from '../../app/bench/kit-of-plan.ts';
import { batchPapers } from '../../app/bench/market-papers.ts';
import { planOfBatch } from '../../app/bench/state.ts';
import { UserError } from '../../core/units/index.ts';
import { costRequest } from '../../records/bench/cost-request.ts';
import { batchParam, keptEvidence } from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { problemAnswer } from '../problems.ts';

const tags = ['Bench'];

// Made anew here: only schemas made by this package's zod can be named in the document.
const asked = z.strictObject(costRequest.shape).openapi('BenchCostRequest');

const outcome = (command: string, fields: z.ZodRawShape) =>
  z.looseObject({ command: z.literal(command), verdict: z.string(), currency: z.string(), ...fields });
const sum = z.int();
const unitsOrNull = () => z.union([z.int(), z.null()]);
const notes = z.array(z.string());
const unitCost = outcome('cost unit', {
  name: z.string(),
  lines: z.array(
    z.looseObject({
      what: z.string(),
      kind: z.enum(['part', 'labour', 'lost units', 'returns']),
      cost_minor: sum,
      basis: z.enum(['measured', 'lot in the stores', 'offer', 'plan', 'guess', 'not known']),
    }),
  ),
  cost_minor: sum,
  measuredShare: z.number(),
  lostShare: z.number(),
  spread_minor: z.strictObject({ low: sum, middle: sum, high: sum }),
  seed: z.int(),
  notes,
});
const price = outcome('cost price', {
  cost_minor: sum,
  price_minor: sum,
  gross_minor: sum,
  fees_minor: sum,
  profit_minor: sum,
  margin: z.number(),
  marginLow: z.number(),
  marginHigh: z.number(),
  notes,
});
const breakEven = outcome('cost break-even', {
  fixed_minor: sum,
  target_minor: sum,
  contribution_minor: sum,
  costLow_minor: sum,
  costHigh_minor: sum,
  units: unitsOrNull(),
  unitsLow: unitsOrNull(),
  unitsHigh: unitsOrNull(),
  sales_minor: unitsOrNull(),
  planned: z.int(),
  notes,
});
const yearsOrNull = () => z.union([z.number(), z.null()]);
const crossover = outcome('cost crossover', {
  unitsLow: unitsOrNull(),
  unitsMiddle: unitsOrNull(),
  unitsHigh: unitsOrNull(),
  pays: z.number(),
  years: z.int(),
  worth_minor: sum,
  worth: z.strictObject({ low_minor: sum, middle_minor: sum, high_minor: sum }),
  payback_years: yearsOrNull(),
  paybackLow_years: yearsOrNull(),
  paybackMiddle_years: yearsOrNull(),
  paybackHigh_years: yearsOrNull(),
  savings: z.array(z.strictObject({ quantity: z.int(), low_minor: sum, middle_minor: sum, high_minor: sum })),
  notes,
});
const next = outcome('cost next', {
  months: z.array(z.number()),
  stock: z.int(),
  inHand: z.int(),
  waited: z.int(),
  begin: z.int(),
  beginSure: z.int(),
  reorderPoint: z.int(),
  profit: z.looseObject({ lossChance: z.number(), quantiles_minor: z.array(sum) }),
  notes,
});
const ways = outcome('cost ways', {
  ways: z.array(z.looseObject({ way: z.string(), name: z.string(), cost_minor: sum, price_minor: sum })),
  notes,
});
const order = outcome('cost order', {
  quantity: z.int(),
  exact: z.number(),
  orders_year: z.number(),
  between_days: z.number(),
  keeping_minor: sum,
  total_minor: sum,
  sizes: z.array(z.looseObject({ from: z.int(), price_minor: z.number(), quantity: z.number(), total_minor: sum })),
  reorderPoint: yearsOrNull(),
  safety: yearsOrNull(),
  notes,
});
const starts = z.looseObject({
  command: z.literal('cost starts'),
  verdict: z.string(),
  good: z.int(),
  yieldShare: z.number(),
  onAverage: z.int(),
  starts: z.int(),
  chance: z.number(),
  asked: z.union([z.strictObject({ starts: z.int(), chance: z.number() }), z.null()]),
  notes,
});
const spares = z.looseObject({
  command: z.literal('cost spares'),
  verdict: z.string(),
  units: z.int(),
  years: z.number(),
  mean: z.number(),
  spares: z.int(),
  currency: z.union([z.string(), z.null()]),
  cost_minor: unitsOrNull(),
  notes,
});
const lacks = z.array(z.looseObject({ code: z.string(), message: z.string() })).optional();
const orNone = <S extends z.ZodType>(part: S) => z.union([part, z.null()]);
const all = outcome('cost overview', {
  name: z.string(),
  unit: unitCost,
  price: orNone(price),
  breakEven: orNone(breakEven),
  next: orNone(next),
  crossover: orNone(crossover),
  ways: orNone(ways),
  lacking: z.strictObject({ price: lacks, breakEven: lacks, next: lacks, crossover: lacks, ways: lacks }),
  change: z.looseObject({}),
  draws: z.int(),
  seed: z.int(),
  notes,
});
const cost = z
  .union([all, unitCost, price, breakEven, crossover, next, ways, order, starts, spares])
  .openapi('BenchCost');

const papers = z
  .strictObject({
    command: z.literal('batch papers'),
    verdict: z.string(),
    batch: z.string(),
    region: z.string(),
    read: z.iso.date(),
    day: z.iso.date(),
    papers: z.array(
      z.strictObject({
        paper: z.string(),
        name: z.string(),
        wants: z.string(),
        source: z.string(),
        of: z.string(),
        proof: z.string(),
        seen: z.enum(['read', 'partly read', 'from memory']),
        where: z.array(z.url()),
        asOf: z.iso.date(),
        doubt: z.string().optional(),
        from: z.iso.date().optional(),
        state: z.enum(['there', 'asked for', 'not needed', 'missing']),
        asked: z.boolean(),
        evidence: z.union([z.string(), z.null()]),
        by: z.union([z.string(), z.null()]),
        at: z.union([z.iso.datetime(), z.null()]),
        files: z.array(keptEvidence),
      }),
    ),
    missing: z.array(z.string()),
    antenna: z.strictObject({
      gain_dBi: z.number(),
      gainFrom: z.enum(['plan', 'kit', 'taken for a dipole']),
      grant: z.union([z.string(), z.null()]),
      permits: z.union([z.string(), z.null()]),
      permits_dBi: z.union([z.number(), z.null()]),
      withinGrant: z.union([z.boolean(), z.null()]),
      power_dBm: z.union([z.number(), z.null()]),
      frequency_MHz: z.union([z.number(), z.null()]),
      mostGain_dBi: z.union([z.number(), z.null()]),
      withinLimits: z.union([z.boolean(), z.null()]),
      said: z.string(),
    }),
    notes,
  })
  .openapi('BenchMarketPapers');

/** What things cost, and the papers that a market asks for. */
export function benchCostRoutes(api: OpenAPIHono, { now, store }: ServerParts, bench: Bench): void {
  const look = async <T extends object>(c: Context, of: () => T | Promise<T>) => {
    await refresh(bench);
    try {
      return answer<T>(c, await of());
    } catch (error) {
      if (error instanceof UserError && error.problems.every((p) => p.code.startsWith('no-such-')))
        return problemAnswer(c, 404, error.problems) as never;
      throw error;
    }
  };

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/cost',
      tags,
      summary: 'What a unit costs, its price, the next batch, own tool or bought in, ways to sell',
      description:
        'Answers as `sunperch cost … --json` does. Nothing is kept: the assumptions come with each question. Problems in their text tell line and column.',
      request: { body: body(asked) },
      responses: { 200: json(cost, 'By what was asked'), ...problems(404, 413, 415, 422) },
    }),
    (c) => {
      const request = c.req.valid('json');
      return look(c, () => askCost(bench.state, request, now())) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/market/{batch}',
      tags,
      summary: 'Papers that the market of a batch asks for, with what is noted of each',
      description: 'Noted by the deed `note-paper`; files by `POST /api/bench/evidence`.',
      request: { params: batchParam },
      responses: { 200: json(papers, 'In the order of the list of that market'), ...problems(404) },
    }),
    (c) => {
      const { batch } = c.req.valid('param');
      return look(c, async () => {
        const found = await kitOfPlan(store, planOfBatch(bench.state, batchIn(bench.state, batch)));
        return batchPapers(bench.state, batch, { day: now().slice(0, 10), found });
      }) as never;
    },
  );
}

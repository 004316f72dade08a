import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import type { BenchStore } from '../../src/app/bench-port.ts';
import { tileOf } from '../../src/formats/terrain-png.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import type { RunJob } from '../../src/server/jobs.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge, operations } from './document.ts';
import { bent, fromSchema } from './from-schema.ts';
import { type Bench, bench, HOST, json, KIT_TEXT, PERCH_TEXT } from './make.ts';
import { smallTerrain } from './small-terrain.ts';

/** Requests in all; each part takes its share. */
const REQUESTS = 10_500;

let b: Bench;
// A coarse terrain: what is computed is real, and quick.
const ground = smallTerrain((lat, lon) => 1000 + 500 * Math.sin(90 * lat) * Math.cos(70 * lon), 0.01);
afterAll(async () => {
  await b.end();
  ground.remove();
});

const value = (text: string) => parseYamlRecord(text, 'f').value;
const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8');
const KITS = [KIT_TEXT, example('bare-board.yaml')];
const NETS = [example('ossel.yaml')];
const PERCHES = [PERCH_TEXT, example('rescue-post.yaml'), example('tarnwick-shed.yaml')];

/** A bench to do deeds at: three units and two lots of cells. */
async function startBench(store: BenchStore): Promise<string[]> {
  const own = await openBench(store);
  const signed = { by: 'A.', at: '2030-01-01T00:00:00Z' };
  await act(own, signed, (state) => savePlan(state, 'alder-3', PLAN));
  await act(own, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 3, prefix: 'A07' }));
  return [...own.state.units.keys()];
}

/** A request with the fields that it has set to things that are there. */
function fitted(request: unknown, its: Readonly<Record<string, unknown>>): unknown {
  const known = Object.entries(its).filter(([key]) => key in (request as object));
  return { ...(request as object), ...Object.fromEntries(known) };
}

/** Ends at once, well or not: what is computed is not the matter here. */
const run: RunJob = async (input) => {
  if ((input.seed ?? 0) % 5 === 4) throw new Error('a fault of the computation');
  return { command: input.command };
};

describe('random requests', () => {
  it('10,000 and more, made from the schemas and bent: no fault, and each answer is what the document says', async () => {
    b = await bench({ run, inMemory: true, terrain: ground.desk });
    await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
    const serials = await startBench(b.store.bench);
    const document = await json<ApiDocument>(b.ask('GET', '/api/openapi.json'));
    const judge = answerJudge(document);
    const job = await json<{ id: string; key: string }>(
      b.ask('POST', '/api/jobs', { command: 'spells', perch: 'perch:hut-kaldra' }),
    );

    const good = fc.oneof(
      fc.constantFrom('kit:alder-3', 'perch:hut-kaldra', job.id, job.key, 'kit', 'perch', 'net', '9', '270', '181'),
      fc.constantFrom('a-07', 'alder-3', 'cells-1', ...serials),
      fc.stringMatching(/^(kit|perch):alder-3(-[2-9])?$/),
    );
    const segment = fc.oneof(
      { arbitrary: good, weight: 4 },
      { arbitrary: fc.string({ minLength: 1 }), weight: 1 },
      {
        arbitrary: fc.constantFrom('..', '%2e%2e', 'kit:', ':', 'net:valley', '__proto__', 'kit:constructor'),
        weight: 1,
      },
    );
    // Real records, so that deep code is reached; then bent ones.
    const record = fc.oneof(
      fc.constantFrom(...[...KITS, ...PERCHES].map(value)),
      bent(fc.constantFrom(...[...KITS, ...PERCHES].map(value))),
      fromSchema({ $ref: '#/components/schemas/Kit' }, document.components.schemas),
      fromSchema({ $ref: '#/components/schemas/Perch' }, document.components.schemas),
      fromSchema({ $ref: '#/components/schemas/Net' }, document.components.schemas),
    );
    const text = fc.oneof(
      fc.constantFrom(...KITS, ...PERCHES),
      fc
        .tuple(fc.constantFrom(...KITS, ...PERCHES), fc.nat(), fc.nat({ max: 40 }), fc.string())
        .map(([whole, at, cut, put]) => {
          const from = at % whole.length;
          return whole.slice(0, from) + put + whole.slice(from + cut);
        }),
    );
    const filled = (body: fc.Arbitrary<unknown>) =>
      fc.tuple(body, record, text, good, fc.nat({ max: 7 })).map(([it, its, words, id, which]) => {
        if (typeof it !== 'object' || it === null || Array.isArray(it)) return it;
        const copy = { ...(it as Record<string, unknown>) };
        if (which & 1 && 'value' in copy) copy['value'] = its;
        if (which & 2 && 'text' in copy) copy['text'] = words;
        if (which & 4)
          for (const key of ['id', 'kit', 'perch', 'year']) if (typeof copy[key] === 'string') copy[key] = id;
        if ('text' in copy && 'value' in copy && which > 3) delete copy[which & 1 ? 'text' : 'value'];
        return copy;
      });

    const request = fc.oneof(
      ...operations(document).map(({ method, path, operation }) => {
        const schema = operation.requestBody?.content['application/json']?.schema;
        const body =
          schema === undefined
            ? fc.constant(undefined)
            : filled(fromSchema(schema as Record<string, unknown>, document.components.schemas));
        const query = fc.oneof(
          fc.constant(''),
          fc
            .array(
              fc.tuple(
                fc.constantFrom('from', 'kind', 'latitude_deg', 'longitude_deg', 'x'),
                fc.oneof(fc.string(), fc.constantFrom('1', 'kit', '46.4')),
              ),
            )
            .map((pairs) => `?${new URLSearchParams(pairs)}`),
        );
        const params = (path.match(/\{[a-z]+\}/g) ?? []).length;
        return fc.record({
          method: fc.oneof(
            { arbitrary: fc.constant(method), weight: 12 },
            { arbitrary: fc.constantFrom('GET', 'POST', 'PUT', 'DELETE'), weight: 1 },
          ),
          path: fc.array(segment, { minLength: params, maxLength: params }).map((parts) => {
            let i = 0;
            return path.replace(/\{[a-z]+\}/g, () => encodeURIComponent(parts[i++]!));
          }),
          query,
          body: fc.oneof(
            { arbitrary: body, weight: 6 },
            { arbitrary: bent(body), weight: 3 },
            { arbitrary: fc.string(), weight: 1 },
          ),
        });
      }),
    );

    // Whole stories need requests that fit each other: records of their kind, revisions that may be there.
    const ofKind = (kind: 'kit' | 'perch' | 'net') => {
      const values = { kit: KITS, perch: PERCHES, net: NETS }[kind].map(value);
      return fc.record({
        kind: fc.constant(kind),
        value: fc.oneof(fc.constantFrom(...values), bent(fc.constantFrom(...values))),
      });
    };
    const saved = fc.oneof(ofKind('kit'), ofKind('perch'), ofKind('net'));
    const from = fc.integer({ min: 1, max: 40 });
    const id = fc.constantFrom('kit:alder-3', 'perch:hut-kaldra', 'perch:rescue-post', 'kit:bare-board');
    const kitId = fc.constantFrom('kit:alder-3', 'kit:bare-board');
    const perchId = fc.constantFrom('perch:hut-kaldra', 'perch:rescue-post');
    const point = fc.record({
      latitude_deg: fc.double({ min: 46.2, max: 46.6, noNaN: true }),
      longitude_deg: fc.double({ min: 10, max: 10.4, noNaN: true }),
    });
    const place = fc.oneof(
      point.chain((at) => fc.string({ minLength: 1 }).map((name) => ({ name, ...at }))),
      perchId,
    );
    const places = fc.array(place, { maxLength: 4 });
    const none = fc.constant('');
    const call = (
      method: string,
      path: fc.Arbitrary<string>,
      body: fc.Arbitrary<unknown>,
      query = none as fc.Arbitrary<string>,
    ) => fc.record({ method: fc.constant(method), path, query, body });
    const lively = fc.oneof(
      call('POST', fc.constant('/api/records'), saved),
      call(
        'PUT',
        id.map((it) => `/api/records/${it}`),
        fc.tuple(saved, from).map(([it, n]) => ({ ...it, from: n })),
      ),
      call(
        'DELETE',
        id.map((it) => `/api/records/${it}`),
        fc.constant(undefined),
        fc.oneof(
          none,
          from.map((n) => `?from=${n}`),
        ),
      ),
      call('POST', fc.constant('/api/undo'), fc.record({ id, from }, { requiredKeys: ['id'] })),
      call(
        'POST',
        fc.constant('/api/jobs'),
        fc.record(
          {
            command: fc.constantFrom('reach', 'rank', 'horizon'),
            ...{ kit: kitId, to: fc.oneof(kitId, fc.constant('hand-held')), at: point, perch: perchId },
            ...{ places, candidates: places, perches: places, region: fc.constantFrom('EU', 'US', 'XX') },
            area: point.map((at) => ({ ...at, radius_km: 3 })),
            detail: fc.constantFrom('coarse', 'full'),
            radius_km: fc.integer({ min: 0, max: 41 }),
          },
          { requiredKeys: ['command'] },
        ),
      ),
      call('POST', fc.constant('/api/terrain/rays'), point),
      call('POST', fc.constant('/api/terrain/profile'), fc.record({ from: point, to: point })),
      call(
        'GET',
        fc.tuple(fc.integer({ min: 6, max: 16 }), point).map(([zoom, at]) => {
          const { x, y } = tileOf(at.latitude_deg, at.longitude_deg, zoom);
          return `/api/terrain/shade/${zoom}/${Math.floor(x)}/${Math.floor(y)}`;
        }),
        fc.constant(undefined),
      ),
      call(
        'GET',
        fc.constant('/api/terrain/height'),
        fc.constant(undefined),
        point.map((at) => `?latitude_deg=${at.latitude_deg.toFixed(5)}&longitude_deg=${at.longitude_deg.toFixed(5)}`),
      ),
      call(
        'POST',
        fc.constant('/api/jobs'),
        fc.record(
          {
            command: fc.constantFrom('year', 'size', 'where', 'thresholds', 'spells'),
            kit: kitId,
            perch: perchId,
            seed: fc.nat({ max: 50 }),
          },
          { requiredKeys: ['command', 'kit', 'perch'] },
        ),
      ),
    );

    // Deeds on units and lots that are there; bent ones among them.
    const done = fromSchema({ $ref: '#/components/schemas/BenchDeed' }, document.components.schemas);
    const named = fc.record({
      unit: fc.constantFrom(...serials),
      step: fc.constantFrom('cells', 'close'),
      gate: fc.constantFrom('sleep', 'ceiling', 'spray'),
      lot: fc.constantFrom('cells-1', 'cells-2'),
      part: fc.constantFrom('cell', 'screw'),
      ...{ order: fc.constant('hut'), plan: fc.constant('alder-3'), by: fc.constant('M.') },
    });
    const sensible = fc.tuple(done, named, fc.uuid()).map(([it, its, token]) => fitted(it, { ...its, token }));
    const atBench = fc.oneof({ arbitrary: sensible, weight: 4 }, { arbitrary: bent(sensible), weight: 1 });
    // Papers of what is there, few, for setting them takes its time.
    const paper = fromSchema({ $ref: '#/components/schemas/BenchPaper' }, document.components.schemas);
    const about = fc.record({
      things: fc.subarray(['a-07', ...serials], { minLength: 1 }),
      ...{ order: fc.constant('hut'), plan: fc.constant('alder-3'), units: fc.integer({ min: 1, max: 9 }) },
    });
    const papers = fc.tuple(paper, about).map(([it, its]) => fitted(it, its));
    // Questions about cost, from an example that is well or bent.
    const guesses = parseYamlRecord(example('bench/cost.yaml'), 'f').value;
    const costs = fc
      .tuple(
        fromSchema({ $ref: '#/components/schemas/BenchCostRequest' }, document.components.schemas),
        fc.oneof(fc.constant(guesses), bent(fc.constant(guesses))),
        fc.constantFrom('a-07', 'alder-3'),
      )
      .map(([it, file, what]) => fitted(it, { assumptions: JSON.stringify(file), what }));
    const deeds = fc.oneof(
      { arbitrary: call('POST', fc.constant('/api/bench/deeds'), atBench), weight: 40 },
      { arbitrary: call('POST', fc.constant('/api/bench/papers'), papers), weight: 1 },
      { arbitrary: call('POST', fc.constant('/api/bench/cost'), costs), weight: 2 },
    );
    const tally = new Map<number, number>();
    await fc.assert(
      fc.asyncProperty(
        fc.oneof({ arbitrary: request, weight: 4 }, { arbitrary: lively, weight: 1 }, { arbitrary: deeds, weight: 1 }),
        async ({ method, path, query, body }) => {
          const carries = method === 'POST' || method === 'PUT';
          const sent = body === undefined ? '{}' : typeof body === 'string' ? body : JSON.stringify(body);
          const answer = await b.app.request(`${HOST}${path}${query}`, {
            method,
            ...(carries ? { headers: { 'content-type': 'application/json' }, body: sent } : {}),
          });
          tally.set(answer.status, (tally.get(answer.status) ?? 0) + 1);
          expect(answer.status, b.logged.at(-1)).toBeLessThan(500);
          expect(answer.headers.get('x-content-type-options')).toBe('nosniff');
          const { pathname } = new URL(`${HOST}${path}`);
          const described = await judge(method, pathname, answer);
          if (described.operation === '') expect(answer.status).toBeGreaterThanOrEqual(400);
          else expect(described.problems).toEqual([]);
          if (answer.body && !answer.bodyUsed) await answer.body.cancel();
        },
      ),
      { seed: 1, numRuns: REQUESTS },
    );
    // It reached the deep ends too: saves, jobs, stale saves, refusals of every kind.
    for (const status of [200, 201, 202, 400, 404, 409, 422])
      expect([status, (tally.get(status) ?? 0) > 20]).toEqual([status, true]);
    expect(await b.store.bench.head()).toBeGreaterThan(60);
    // Only the faults of the computation that the test makes are in the log.
    expect(b.logged.filter((line) => !line.includes('a fault of the computation'))).toEqual([]);
    expect(await b.store.check()).toEqual([]);
  }, 180_000);
});

// source: the issue "The bench", Service: the history of a serial with its forecast; The unit's own measured values replace the data sheet's
import { afterAll, beforeAll, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import { placeOrder, reserveUnits } from '../../src/app/bench/leaving.ts';
import { measureGate, noteMeasured } from '../../src/app/bench/units.ts';
import { runJob } from '../../src/app/job.ts';
import type { YearResult } from '../../src/app/year.ts';
import type { BenchForecast, JobStatus } from '../../src/server/api.ts';
import type { RunJob } from '../../src/server/jobs.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, json, KIT_TEXT, PERCH_TEXT } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
let unit = '';
let other = '';
let runs = 0;
/** The job itself, in this process, over few winters. */
const run: RunJob = (input) => {
  runs++;
  const ports = { progress: () => undefined, runTasks: () => Promise.reject(new Error('no tasks')) };
  return runJob(ports, { ...input, years: 4 });
};

async function ask(method: string, path: string, body?: unknown): Promise<Response> {
  const answer = await b.ask(method, path, body);
  const judged = await judge(method, path.split('?')[0]!, answer.clone());
  expect(judged.problems, `${method} ${path} ${answer.status}`).toEqual([]);
  return answer;
}
const forecast = (serial: string) => json<BenchForecast>(ask('GET', `/api/bench/units/${serial}/forecast`));
const compute = async (serial: string) => {
  const begun = await json<JobStatus>(ask('POST', `/api/bench/units/${serial}/forecast`, {}));
  for (;;) {
    const now = await json<JobStatus>(b.ask('GET', `/api/jobs/${begun.id}`));
    if (now.state === 'done' || now.state === 'failed') return now;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
};
let own: Awaited<ReturnType<typeof openBench>>;
const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
const deed = (request: Record<string, unknown>, token: string) =>
  ask('POST', '/api/bench/deeds', { by: 'A. Lund', token, ...request });

beforeAll(async () => {
  b = await bench({ run });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
  await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
  own = await openBench(b.store.bench);
  const place = { name: 'The hut', latitude_deg: 46.42, longitude_deg: 10.19 };
  await act(own, signed, (s) => savePlan(s, 'alder-3', PLAN));
  await act(own, signed, (s) => openBatch(s, { key: 'a-07', plan: 'alder-3', count: 2, prefix: 'A07' }));
  await act(own, signed, (s) =>
    placeOrder(s, 'hut', { customer: 'One', plan: 'alder-3', count: 1, region: 'EU', place }),
  );
  [unit, other] = own.state.batches.get('a-07')!.serials as [string, string];
  for (const [gate, value] of [
    ['sleep', 20],
    ['ceiling', 4.1],
    ['spray', true],
  ] as const)
    await act(own, signed, (s) => measureGate(s, unit, { gate, value }));
});
afterAll(() => b.end());

it('says why there is none while nobody knows where a unit goes', async () => {
  expect(await forecast(unit)).toMatchObject({ kept: null, asked: null, place: null, placed: false });
  expect((await forecast(unit)).why).toContain('keep it for an order that has a place');
  expect((await ask('POST', `/api/bench/units/${unit}/forecast`, {})).status).toBe(422);
  expect((await ask('GET', '/api/bench/units/A07-999/forecast')).status).toBe(404);
});

it('is computed once for the unit as it is, by its own values, and asked for again when one changes', async () => {
  await act(own, signed, (s) => reserveUnits(s, 'hut', [unit]));
  const before = await forecast(unit);
  expect(before).toMatchObject({ why: null, kept: null, place: { name: 'The hut', order: 'hut', perch: null } });
  expect(before.values.map((v) => v.field)).toContain('sleepCurrent_uA');
  expect((await compute(unit)).state).toBe('done');
  const after = await forecast(unit.toLowerCase());
  expect(after.kept!.verdict).toContain(`Alder 3 ${unit} at The hut`);
  expect(after.kept!.strip.darkShare).toHaveLength(12);
  await compute(unit);
  expect(runs).toBe(1);
  await act(own, signed, (s) => noteMeasured(s, unit, { field: 'panel_W', value: 2.1, how: 'in the sun' }));
  expect((await forecast(unit)).kept).toBeNull();
  await compute(unit);
  const key = (await compute(unit)).key;
  const { outcome } = await json<YearResult>(b.ask('GET', `/api/results/${key}`));
  // The weaker panel of this very unit is in the kit that was computed.
  expect((await forecast(unit)).asked!.kit).toMatchObject({ panel: { measuredPower_W: 2.1 } });
  expect(outcome.kit).toContain(unit);
});

it('is made for the perch where the unit was put up, and for none that is not there', async () => {
  await deed({ deed: 'ship', unit }, 'token-ship-1');
  expect((await deed({ deed: 'install', unit: other, perch: 'hut-kaldra' }, 'token-install-0')).status).toBe(409);
  expect((await deed({ deed: 'install', unit, perch: 'nowhere' }, 'token-install-1')).status).toBe(404);
  expect((await deed({ deed: 'install', unit, perch: 'hut-kaldra' }, 'token-install-2')).status).toBe(200);
  const { place, asked } = await forecast(unit);
  expect(place).toMatchObject({ name: 'Hut Kaldra', perch: 'hut-kaldra', order: 'hut' });
  expect(asked!.perch).toMatchObject({ name: 'Hut Kaldra' });
});

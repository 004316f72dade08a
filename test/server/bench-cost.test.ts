// source: the issue "The bench": costs, prices and the papers of a market, over the net as on the command line
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import type { BatchPapersOutcome } from '../../src/app/bench/market-papers.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, json } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
const TEXT = readFileSync(new URL('../../examples/bench/cost.yaml', import.meta.url), 'utf8');

async function ask<T = { verdict: string }>(method: 'GET' | 'POST', path: string, body?: object) {
  const answer = await b.ask(method, path, body);
  expect((await judge(method, path, answer.clone())).problems).toEqual([]);
  return { status: answer.status, value: (await answer.clone().json()) as T, answer };
}
const cost = (body: object) => ask<Record<string, unknown>>('POST', '/api/bench/cost', body);

beforeAll(async () => {
  b = await bench({ inMemory: true });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  const own = await openBench(b.store.bench);
  const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
  await act(own, signed, (state) => savePlan(state, 'alder-3', PLAN));
  await act(own, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 3, prefix: 'A07' }));
});
afterAll(() => b.end());

describe('cost over the net', () => {
  it('answers every question of the example, the same twice', async () => {
    for (const question of ['unit', 'price', 'break-even', 'crossover', 'next', 'ways']) {
      const first = await cost({ ask: question, assumptions: TEXT });
      expect([first.status, first.value['command']]).toEqual([200, `cost ${question}`]);
      expect((await cost({ ask: question, assumptions: TEXT })).value).toEqual(first.value);
    }
  });

  it('answers all at once, tells what is lacking, and takes what is tried out and a seed', async () => {
    const all = await cost({ ask: 'overview', what: 'a-07', assumptions: TEXT });
    expect(all.value).toMatchObject({ command: 'cost overview', name: 'a-07', draws: 4000, lacking: {} });
    const few = await cost({ ask: 'overview', assumptions: TEXT, change: { lost_pct: 30 }, seed: 7, draws: 200 });
    expect(few.value).toMatchObject({ seed: 7, draws: 200, change: { lost_pct: 30 }, unit: { lostShare: 0.3 } });
    const bare = await cost({ ask: 'overview', what: 'a-07' });
    expect([bare.status, bare.value['price'], bare.value['breakEven']]).toEqual([200, null, null]);
    expect(bare.value['lacking']).toMatchObject({ price: [{ code: 'price-or-margin' }] });
    expect((await cost({ ask: 'overview', assumptions: TEXT, draws: 50 })).status).toBe(400);
    const sizes = await cost({ ask: 'starts', good: 100, yields: [0.95], starts: 108 });
    expect(sizes.value).toMatchObject({ starts: 109, asked: { starts: 108 } });
    expect((await cost({ ask: 'spares', units: 100, rate_pct: 4, years: 2 })).value).toMatchObject({ spares: 13 });
    expect((await cost({ ask: 'order', assumptions: TEXT, part: 'celll' })).status).toBe(404);
  });

  it('a price gives the margin that gives the price', async () => {
    const there = await cost({ ask: 'price', assumptions: TEXT, price_minor: 13_000 });
    const back = await cost({ ask: 'price', assumptions: TEXT, margin_pct: 100 * (there.value['margin'] as number) });
    expect(Math.abs((back.value['price_minor'] as number) - 13_000)).toBeLessThanOrEqual(1);
  });

  it('a batch of the bench needs no file; what is wrong in one is told by line and column', async () => {
    expect((await cost({ ask: 'unit', what: 'a-07' })).value['name']).toBe('a-07');
    expect((await cost({ ask: 'unit', what: 'a-99' })).status).toBe(404);
    const wrong = await cost({ ask: 'unit', assumptions: 'currency: EUR\nbatch: -3\n' });
    expect(wrong.status).toBe(422);
    expect(wrong.value['problems']).toEqual([
      expect.objectContaining({ place: expect.objectContaining({ line: 2, column: 8, field: 'cost.batch' }) }),
    ]);
    const many = TEXT.replace('[4, 7, 5, 9, 6, 8]', '[1000000]');
    expect(await codes((await cost({ ask: 'next', assumptions: many })).answer)).toEqual(['too-many']);
    expect(await codes((await cost({ ask: 'ways' })).answer)).toEqual(['cost-no-file']);
  });
});

it('a paper of the market is noted by a deed and read back; one that the market does not ask for is refused', async () => {
  const note = (paper: string) => ({
    ...{ deed: 'note-paper', by: 'A. Lund', batch: 'a-07', token: `paper-of-${paper}` },
    ...{ paper, state: 'there', evidence: 'DoC-3.pdf' },
  });
  expect((await ask('POST', '/api/bench/deeds', note('declaration'))).status).toBe(200);
  const { value } = await ask<BatchPapersOutcome>('GET', '/api/bench/market/a-07');
  expect(value.missing).toHaveLength(value.papers.length - 1);
  expect(value.papers.find((p) => p.paper === 'declaration')).toMatchObject({ evidence: 'DoC-3.pdf', by: 'A. Lund' });
  expect((await ask('POST', '/api/bench/deeds', note('declaraton'))).status).toBe(404);
  expect((await ask('GET', '/api/bench/market/a-99')).status).toBe(404);
});

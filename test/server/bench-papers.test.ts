// source: the issue "The bench": labels and certificates from the workshop, no key on any of them
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import { PLAN } from '../app/bench/bench.ts';
import { hasPoppler, textIn } from '../papers/tools.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, json, KIT_TEXT } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
const LAYOUT = { kind: 'roll', labelWidth_mm: 70, labelHeight_mm: 40 };

async function ask(body: object): Promise<Response> {
  const answer = await b.ask('POST', '/api/bench/papers', body);
  expect((await judge('POST', '/api/bench/papers', answer.clone())).problems).toEqual([]);
  return answer;
}
const notesOf = (answer: Response) =>
  JSON.parse(decodeURIComponent(answer.headers.get('paper-notes') ?? '%5B%5D')) as string[];

beforeAll(async () => {
  b = await bench({ inMemory: true });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  const own = await openBench(b.store.bench);
  const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
  await act(own, signed, (state) => savePlan(state, 'alder-3', PLAN));
  await act(own, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 3, prefix: 'A07' }));
  await act(own, signed, (state) => openBatch(state, { key: 'a-08', plan: 'alder-3', count: 501, prefix: 'A08' }));
  await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
});
afterAll(() => b.end());

describe('papers over the net', () => {
  it('labels and certificates are PDF with a name of their own and their notes', async () => {
    const labels = await ask({ paper: 'labels', things: ['a-07'], layout: LAYOUT });
    expect(labels.headers.get('content-type')).toBe('application/pdf');
    expect(labels.headers.get('content-disposition')).toBe('attachment; filename="labels-a-07.pdf"');
    expect(notesOf(labels)).toEqual([]);
    const certificate = await ask({ paper: 'certificate', things: ['a-07'], size: 'letter' });
    expect(notesOf(certificate)).toEqual([expect.stringContaining('names no maker')]);
    const bytes = new Uint8Array(await certificate.arrayBuffer());
    expect(new TextDecoder('latin1').decode(bytes.slice(0, 5))).toBe('%PDF-');
    if (hasPoppler) expect(textIn(bytes)).toContain('has 3 of 3 gates open: it must not be shipped');
  });

  it('a card takes the kit of the workshop', async () => {
    const card = await ask({ paper: 'card', plan: 'alder-3', region: 'EU' });
    expect(card.status).toBe(200);
    expect(notesOf(card)).toContainEqual(expect.stringContaining('builds revision C of alder-3'));
  });

  it('what is not there is 404, what is too much or does not fit 422, what is not understood 400', async () => {
    expect((await ask({ paper: 'packing', order: 'hut' })).status).toBe(404);
    expect((await ask({ paper: 'labels', things: ['A07-999'], layout: LAYOUT })).status).toBe(404);
    const many = await ask({ paper: 'labels', things: ['a-08'], layout: LAYOUT });
    expect([many.status, await codes(many)]).toEqual([422, ['too-many']]);
    const grid = { ...LAYOUT, kind: 'sheet', paper: 'A4', rows: 8, columns: 3, marginLeft_mm: 7, marginTop_mm: 5 };
    const wide = await ask({ paper: 'labels', things: ['a-07'], layout: grid });
    expect([wide.status, await codes(wide)]).toEqual([422, ['label-grid', 'label-grid']]);
    expect((await ask({ paper: 'labels', things: ['a-07'], layout: {} })).status).toBe(400);
  });
});

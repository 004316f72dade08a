// source: the issue "The bench": papers by market as a checklist per batch with the evidence attached; headers by RFC 6266 and 8187
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import type { BatchPapersOutcome } from '../../src/app/bench/market-papers.ts';
import type { KeptEvidence } from '../../src/app/bench/state.ts';
import { disposition } from '../../src/server/kept-files.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, json } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
const base64 = (content: string | Uint8Array) => Buffer.from(content).toString('base64');
const ask = async (method: 'GET' | 'POST', path: string, body?: object) => {
  const answer = await b.ask(method, path, body);
  expect((await judge(method, path, answer.clone())).problems).toEqual([]);
  return answer;
};
const bring = (more: object = {}) =>
  ask('POST', '/api/bench/evidence', {
    ...{ batch: 'a-07', paper: 'declaration', name: 'Erklärung.pdf', base64: base64('%PDF-1.7 it conforms') },
    ...{ by: 'A. Lund', token: 'evidence-1', ...more },
  });

beforeAll(async () => {
  b = await bench({ inMemory: true });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  const own = await openBench(b.store.bench);
  const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
  await act(own, signed, (state) => savePlan(state, 'alder-3', PLAN));
  for (const key of ['a-07', 'a-08'])
    await act(own, signed, (state) =>
      openBatch(state, { key, plan: 'alder-3', count: 1, prefix: key.toUpperCase().replace('-', '') }),
    );
});
afterAll(() => b.end());

describe('evidence over the net', () => {
  it('is kept, listed with the row, saved again as it came, and never shown', async () => {
    const kept = await bring();
    expect(kept.status).toBe(200);
    const { evidence } = await json<{ evidence: KeptEvidence }>(kept);
    expect((await json<{ again: boolean }>(bring())).again).toBe(true);
    const { papers } = await json<BatchPapersOutcome>(ask('GET', '/api/bench/market/a-07'));
    expect(papers.find((p) => p.paper === 'declaration')).toMatchObject({ state: 'there', files: [evidence] });
    const saved = await ask('GET', `/api/bench/evidence/a-07/${evidence.sha256}`);
    expect(await saved.text()).toBe('%PDF-1.7 it conforms');
    expect(saved.headers.get('content-type')).toBe('application/pdf');
    expect(saved.headers.get('content-disposition')).toBe(
      `attachment; filename="Erklarung.pdf"; filename*=UTF-8''Erkl%C3%A4rung.pdf`,
    );
    expect(saved.headers.get('x-content-type-options')).toBe('nosniff');
    expect(saved.headers.get('content-security-policy')).toBe("default-src 'none'; sandbox");
    // A batch gives its own files only.
    expect((await ask('GET', `/api/bench/evidence/a-08/${evidence.sha256}`)).status).toBe(404);
    expect((await ask('GET', `/api/bench/evidence/a-07/${'0'.repeat(64)}`)).status).toBe(404);
    expect((await ask('GET', '/api/bench/evidence/a-07/..%2F..%2Fetc')).status).toBe(400);
  });

  it('a page of script comes back as text to be saved', async () => {
    const kept = await bring({ name: 'x.html', base64: base64('<script>alert(1)</script>'), token: 'evidence-2' });
    const { evidence } = await json<{ evidence: KeptEvidence }>(kept);
    const saved = await ask('GET', `/api/bench/evidence/a-07/${evidence.sha256}`);
    expect(saved.headers.get('content-type')).toBe('text/plain; charset=utf-8');
    expect(saved.headers.get('content-disposition')).toMatch(/^attachment;/);
  });

  it('takes ten megabytes and not one byte more, nothing of another kind, no row that is none', async () => {
    const large = new Uint8Array(10_000_000).fill(0x20);
    expect((await bring({ base64: base64(large), name: 'large.txt', token: 'evidence-3' })).status).toBe(200);
    // One byte more has the same length in base 64: the file itself is measured.
    const over = await bring({ base64: base64(new Uint8Array(10_000_001).fill(0x20)), token: 'evidence-4' });
    expect([over.status, await codes(over)]).toEqual([422, ['evidence-large']]);
    const far = await b.ask('POST', '/api/bench/evidence', { base64: 'A'.repeat(14_000_000) });
    expect(far.status).toBe(413);
    const zip = await bring({ base64: base64(Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0xff)), token: 'evidence-5' });
    expect([zip.status, await codes(zip)]).toEqual([422, ['evidence-kind']]);
    expect(await codes(await bring({ base64: 'A'.repeat(7), token: 'evidence-6' }))).toEqual(['no-base64']);
    expect((await bring({ paper: 'declaraton', token: 'evidence-7' })).status).toBe(404);
    expect((await bring({ batch: 'a-99', token: 'evidence-8' })).status).toBe(404);
  });

  it('is set aside by a deed with a reason', async () => {
    const { papers } = await json<BatchPapersOutcome>(ask('GET', '/api/bench/market/a-07'));
    const [file] = papers.find((p) => p.paper === 'declaration')!.files;
    const deed = {
      ...{ deed: 'set-evidence-aside', batch: 'a-07', paper: 'declaration', sha256: file!.sha256 },
      ...{ reason: 'of another batch', by: 'A. Lund', token: 'aside-000001' },
    };
    expect((await ask('POST', '/api/bench/deeds', deed)).status).toBe(200);
    const after = await json<BatchPapersOutcome>(ask('GET', '/api/bench/market/a-07'));
    expect(after.papers.find((p) => p.paper === 'declaration')!.files[0]).toMatchObject({
      setAside: { reason: 'of another batch', by: 'A. Lund' },
    });
  });

  it('names of files cannot break out of their header', () => {
    const said = disposition('a"; filename="b\\%41\r\nx: y.pdf');
    expect(said).not.toMatch(/[\r\n\\]/);
    expect(said.match(/"/g)).toHaveLength(2);
    expect(disposition('日本.pdf')).toBe(`attachment; filename=".pdf"; filename*=UTF-8''%E6%97%A5%E6%9C%AC.pdf`);
  });
});

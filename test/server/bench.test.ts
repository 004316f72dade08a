// source: the issue "The bench": two at one unit, sent twice and kept once, no secret leaves, no unit ships with an open gate
import { createHash } from 'node:crypto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import type { UnitPage } from '../../src/app/bench/unit-page.ts';
import type { BenchDeedAnswer, BenchDeedConflict } from '../../src/server/api.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, json } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
let tokens = 0;
const SERIAL = 'A07-001';
let serial = '';

/** Asks, and holds the answer against the served document. */
async function ask(method: string, path: string, body?: unknown): Promise<Response> {
  const answer = await b.ask(method, path, body);
  const judged = await judge(method, path.split('?')[0]!, answer.clone());
  expect(judged.problems, `${method} ${path} ${answer.status}`).toEqual([]);
  return answer;
}
const deed = (request: Record<string, unknown>) =>
  ask('POST', '/api/bench/deeds', { by: 'M. Berg', token: `token-${++tokens}-of-the-test`, ...request });

beforeEach(async () => {
  b = await bench();
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  const own = await openBench(b.store.bench);
  const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
  const gates = [
    ...PLAN.gates,
    { key: 'match', name: 'Antenna match', measures: 'antenna match' as const, high: 1.8, required: false },
  ];
  await act(own, signed, (state) => savePlan(state, 'alder-3', { ...PLAN, gates }));
  await act(own, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 5, prefix: 'A07' }));
  serial = [...own.state.units.keys()].find((key) => key.startsWith(SERIAL))!;
});
afterEach(() => b.end());

/** A reflection of one size over the band, as an instrument writes it. */
const sweep = (reflection: number) =>
  ['# MHZ S MA R 50', ...[850, 863, 868, 870, 880].map((f) => `${f} ${reflection} 0`)].join('\n');

describe('the bench over the net', () => {
  it('tells of batches, units, stores and hits as the document says', async () => {
    expect(await json(ask('GET', '/api/bench'))).toMatchObject({
      batches: [{ batch: 'a-07', count: 5 }],
      plans: [{ plan: 'alder-3' }],
    });
    const page = await json<{ said: string; look: { units: unknown[] } }>(ask('GET', '/api/bench/batches/a-07'));
    expect(page.look.units).toHaveLength(5);
    expect(page.said).toBe('A-07: 0 of 5 are through every gate; 5 wait for cell and 1 other part.');
    expect(await json(ask('GET', '/api/bench/find?text=a07002'))).toMatchObject({ hits: [{ kind: 'unit' }], more: 0 });
    expect(await json(ask('GET', '/api/bench/stores'))).toMatchObject({ parts: [] });
    expect(await json(ask('GET', '/api/bench/orders/alder-3?units=10'))).toMatchObject({ units: 10 });
    expect((await ask('GET', '/api/bench/batches/a-08')).status).toBe(404);
    expect((await ask('GET', '/api/bench/units/A07-0021')).status).toBe(404);
    expect((await ask('GET', '/api/bench/lots/cells-9')).status).toBe(404);
    expect((await ask('GET', '/api/bench/orders/alder-3?units=0')).status).toBe(400);
  });

  it('tells the second who ticks what the first did, and keeps what is sent twice once', async () => {
    const first = await deed({ deed: 'tick', unit: serial, step: 'cells', by: 'A. Lund', token: 'the-same-token' });
    expect((await json<BenchDeedAnswer>(first)).written).toMatchObject([{ kind: 'step-ticked', by: 'A. Lund' }]);
    const again = await deed({ deed: 'tick', unit: serial, step: 'cells', by: 'A. Lund', token: 'the-same-token' });
    expect(await json<BenchDeedAnswer>(again)).toMatchObject({ written: [], again: true });
    const second = await deed({ deed: 'tick', unit: serial.toLowerCase(), step: 'cells' });
    expect(second.status).toBe(409);
    const conflict = await json<BenchDeedConflict>(second);
    expect(conflict.problems[0]!.message).toContain('A. Lund has ticked Fit the cells already');
    expect(conflict.unit!.steps[0]!.done).toMatchObject({ by: 'A. Lund' });
    await deed({ deed: 'untick', unit: serial, step: 'cells' });
    const { history } = await json<UnitPage>(ask('GET', `/api/bench/units/${serial}`));
    expect(history.map((row) => row.what).slice(1)).toEqual([
      'ticked Fit the cells',
      'took the tick of Fit the cells back',
    ]);
  });

  it('keeps when the hand did it beside the time of writing, which alone gives the order; no clock may be a day ahead', async () => {
    const at = async (hours: number) => {
      const notedAt = new Date(Date.parse(await written()) + hours * 3_600_000).toISOString();
      return [
        notedAt,
        await deed({ deed: hours < 0 ? 'tick' : 'untick', unit: serial, step: 'cells', notedAt }),
      ] as const;
    };
    const history = async () => (await json<UnitPage>(ask('GET', `/api/bench/units/${serial}`))).history;
    const written = async () =>
      (await json<BenchDeedAnswer>(deed({ deed: 'measure', unit: serial, gate: 'ceiling', value: 4.1 }))).written[0]!
        .at;
    const [late] = await at(-30);
    const [, ahead] = await at(25);
    expect([ahead.status, await codes(ahead)]).toEqual([422, ['noted-ahead']]);
    const [early] = await at(23);
    expect((await history()).filter((row) => row.notedAt !== null).map((row) => [row.what, row.notedAt])).toEqual([
      ['ticked Fit the cells', late],
      ['took the tick of Fit the cells back', early],
    ]);
    expect((await history()).map((row) => row.number)).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it('of two who tick at one moment one is told no, and one entry stands', async () => {
    const both = await Promise.all([1, 2].map(() => deed({ deed: 'tick', unit: serial, step: 'cells' })));
    expect(both.map((a) => a.status).sort()).toEqual([200, 409]);
    expect(await b.store.bench.stream(`unit:${serial}`)).toHaveLength(2);
  });

  it('ships no unit with an open gate, and takes no value of the wrong kind', async () => {
    const shipping = await deed({ deed: 'ship', unit: serial });
    expect(shipping.status).toBe(409);
    expect(await codes(shipping)).toEqual(['not-to-ship']);
    const wrong = await deed({ deed: 'measure', unit: serial, gate: 'sleep', value: 'blue' });
    expect([wrong.status, await codes(wrong)]).toEqual([422, ['not-a-number']]);
    const neither = await deed({ deed: 'measure', unit: serial, gate: 'sleep' });
    expect([neither.status, await codes(neither)]).toEqual([422, ['value-or-file']]);
    expect((await deed({ deed: 'measure', unit: serial, gate: 'slep', value: 1 })).status).toBe(404);
    expect((await deed({ deed: 'dance', unit: serial })).status).toBe(400);
    const failed = await json<BenchDeedAnswer>(deed({ deed: 'measure', unit: serial, gate: 'sleep', value: 55 }));
    expect(failed.unit).toMatchObject({ standing: 'stopped' });
  });

  it('reads a sweep on the spot and keeps its name and digest', async () => {
    // A reflection of a third is a standing-wave ratio of (1 + 1/3) / (1 - 1/3) = 2.
    const text = sweep(1 / 3);
    const answer = await deed({ deed: 'measure', unit: serial, gate: 'match', file: { name: 'C:\\s\\a.s1p', text } });
    const { unit } = await json<BenchDeedAnswer>(answer);
    expect(unit!.gates.find((gate) => gate.gate === 'match')).toMatchObject({ value: 2, state: 'failed' });
    const { history } = await json<UnitPage>(ask('GET', `/api/bench/units/${serial}`));
    const sha256 = createHash('sha256').update(text).digest('hex');
    expect(history.at(-1)!.file).toEqual({ name: 'a.s1p', sha256 });
    const broken = await deed({ deed: 'measure', unit: serial, gate: 'match', file: { name: 'a.s1p', text: 'what' } });
    expect([broken.status, (await codes(broken)).length]).toEqual([422, 1]);
  });

  it('keeps stores: a lot in, quarantined, its units told, released, counted', async () => {
    await deed({ deed: 'save-part', part: 'cell', name: 'Cell' });
    const lot = {
      deed: 'receive',
      part: 'cell',
      lot: 'cells-1',
      count: 20,
      supplier: 'one',
      currency: 'EUR',
      goods_minor: 4000,
    };
    expect((await deed(lot)).status).toBe(200);
    expect((await deed(lot)).status).toBe(409);
    await deed({ deed: 'fit', unit: serial });
    await deed({ deed: 'quarantine', lot: 'cells-1', reason: 'swollen' });
    const page = await json<{ recall: object; movements: object[] }>(ask('GET', '/api/bench/lots/cells-1'));
    expect(page.recall).toMatchObject({ quarantined: 'swollen', units: [{ serial, count: 3 }], left: 17 });
    expect((await deed({ deed: 'fit', unit: serial, part: 'cell', lot: 'cells-1' })).status).toBe(409);
    expect(await json(ask('GET', '/api/bench'))).toMatchObject({
      attention: expect.arrayContaining([
        { text: 'lot cells-1 of Cell is quarantined (swollen); 1 unit holds parts of it', lot: 'cells-1' },
      ]),
    });
    await deed({ deed: 'release', lot: 'cells-1', reason: 'it was the tape' });
    await deed({ deed: 'count', lot: 'cells-1', counted: 16 });
    expect(await json(ask('GET', '/api/bench/lots/cells-1'))).toMatchObject({
      movements: [{ left: 20 }, { left: 17 }, { left: 16, why: 'counted' }],
    });
  });

  it('takes a plan, and tells what is wrong in one', async () => {
    const save = (value: object, from?: number) =>
      deed({ deed: 'save-plan', plan: 'birch', value, ...(from === undefined ? {} : { from }) });
    expect((await save({ ...PLAN, name: 'Birch' }, 0)).status).toBe(200);
    expect((await save({ ...PLAN, name: 'Birch' }, 0)).status).toBe(409);
    const shut = { ...PLAN, gates: [{ ...PLAN.gates[1]!, low: 5, high: 4 }], steps: [] };
    const refused = await save(shut, 1);
    expect([refused.status, await codes(refused)]).toEqual([422, ['shut-gate']]);
  });

  it('says what a prefix is, where one has signs that no serial takes', async () => {
    // Found by random requests: the check character of such a serial cannot be computed.
    const opened = await deed({ deed: 'open-batch', batch: 'b-1', plan: 'alder-3', count: 2, prefix: 'ev`(D' });
    expect(opened.status).toBe(422);
    expect(await json(opened)).toMatchObject({ problems: [{ place: { field: 'prefix' } }] });
    expect((await ask('GET', '/api/bench/batches/b-1')).status).toBe(404);
  });

  it('lets no key of a unit out of any answer', async () => {
    const KEY = 'a1b2c3-never-shown';
    expect((await deed({ deed: 'keep-key', unit: serial, name: 'channel key', value: KEY })).status).toBe(200);
    for (const path of ['', '/batches/a-07', `/units/${serial}`, '/stores', `/find?text=${KEY}`])
      expect(await (await ask('GET', `/api/bench${path}`)).text()).not.toContain(
        path.includes('find') ? 'channel' : KEY,
      );
    expect(await json<UnitPage>(ask('GET', `/api/bench/units/${serial}`))).toMatchObject({
      unit: { secrets: ['channel key'] },
    });
  });

  it('sees at once what others have written, such as the command line', async () => {
    await ask('GET', '/api/bench');
    const other = await openBench(b.store.bench);
    await act(other, { by: 'cli', at: '2030-01-02T00:00:00Z' }, (state) =>
      openBatch(state, { key: 'a-08', plan: 'alder-3', count: 2, prefix: 'A08' }),
    );
    expect((await ask('GET', '/api/bench/batches/a-08')).status).toBe(200);
  });
});

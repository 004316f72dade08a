// source: the issue "The bench": logs, tables and the passport over the net; nothing imported until it is all right; no key leaves
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench } from '../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../src/app/bench/batches.ts';
import { keepSecret } from '../../src/app/bench/units.ts';
import type { BenchImport, BenchMeasured, BenchPassport, BenchTables } from '../../src/server/api.ts';
import { PLAN } from '../app/bench/bench.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, HOST, json } from './make.ts';

let b: Bench;
let judge: ReturnType<typeof answerJudge>;
let serial = '';
let second = '';
async function ask(method: string, path: string, body?: object): Promise<Response> {
  const answer = await b.ask(method, path, body);
  expect((await judge(method, path, answer.clone())).problems).toEqual([]);
  return answer;
}
const bringIn = async (request: object) =>
  json<BenchImport>(ask('POST', '/api/bench/import', { table: 'parts', by: 'M. Berg', ...request }));

beforeAll(async () => {
  b = await bench({ inMemory: true });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
  const own = await openBench(b.store.bench);
  const signed = { by: 'A. Lund', at: '2030-01-01T00:00:00Z' };
  await act(own, signed, (state) => savePlan(state, 'alder-3', PLAN));
  await act(own, signed, (state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 2, prefix: 'A07' }));
  [serial, second] = [...own.state.units.keys()] as [string, string];
  await act(own, signed, (state) => keepSecret(state, serial, 'admin', 'the-key-itself'));
});
afterAll(() => b.end());

/** 600 mA out of a cell for two hours, from 4.1 V to 2.4 V in a straight line: to 2.5 V it gives 600 · 2 · 16/17 mAh. */
const LOG = [
  'time_s,voltage_V,current_mA',
  ...Array.from({ length: 241 }, (_, i) => `${30 * i},${(4.1 - (1.7 * i) / 240).toFixed(5)},600`),
].join('\n');

describe('files at the bench over the net', () => {
  it('says what a log holds, and keeps its values with the digest of the file', async () => {
    const body = { unit: serial.toLowerCase(), what: 'cells', name: 'logs/a.csv', text: LOG, temperature_degC: 23 };
    const found = await json<BenchMeasured>(ask('POST', '/api/bench/measure', body));
    const [value] = found.values;
    expect(value).toMatchObject({ field: 'cellCapacity_mAh', file: { name: 'a.csv' } });
    expect(value!.file!.sha256).toBe(createHash('sha256').update(LOG).digest('hex'));
    expect(Math.abs(value!.value - (1200 * 16) / 17)).toBeLessThan(1);
    expect(found.verdict).toContain('One cell holds');
    const kept = await ask('POST', '/api/bench/deeds', {
      ...{ deed: 'note-measured', by: 'M. Berg', token: 'measured-once', unit: serial, ...value },
    });
    expect(await json(kept)).toMatchObject({ unit: { measured: { cellCapacity_mAh: { value: value!.value } } } });
    expect((await ask('POST', '/api/bench/measure', { ...body, unit: 'A07-999' })).status).toBe(404);
    expect((await ask('POST', '/api/bench/measure', { ...body, text: 'no log' })).status).toBe(422);
  });

  it('previews a table, keeps all rows or none, or all but those that are named', async () => {
    const text = 'Part no;name;is\ncell-x;Cell, new;cell\nBad Key;Nut;other\nnut;=cmd;other\n';
    const map = { 'Part no': 'key' };
    const seen = await bringIn({ text, map });
    expect(seen).toMatchObject({ rows: 3, fresh: 2, kept: false, problems: [{ row: 3 }] });
    expect((await bringIn({ text, map, keep: true })).kept).toBe(false);
    expect((await json<BenchTables>(ask('GET', '/api/bench/tables'))).tables['parts']).not.toContain('cell-x');
    expect(
      await codes(await b.ask('POST', '/api/bench/import', { table: 'parts', text, map, skip: [3], keep: true })),
    ).toEqual(['unsigned']);
    expect(await bringIn({ text, map, skip: [3], keep: true })).toMatchObject({ kept: true, fresh: 2 });
    const { tables } = await json<BenchTables>(ask('GET', '/api/bench/tables'));
    expect(tables['parts']).toContain('cell-x,"Cell, new"');
    expect(tables['parts']).toContain("'=cmd");
    expect(JSON.stringify(tables)).not.toContain('the-key-itself');
    // A column that is called as a field may be left out; two columns for one field are told.
    expect(await bringIn({ text, map: { 'Part no': 'key', is: '' } })).toMatchObject({ unread: ['is'] });
    const twice = await b.ask('POST', '/api/bench/import', { table: 'parts', text, map: { ...map, is: 'name' } });
    expect(twice.status).toBe(200);
    const both = await b.ask('POST', '/api/bench/import', { table: 'parts', text, map: { ...map, is: 'key' } });
    expect([both.status, await codes(both)]).toEqual([422, ['import-map']]);
  });

  it('reads the history of units, times by the clock of a zone, and says what is not read', async () => {
    const text = `serial;at;what;gate;value\n${second};2029-07-01 08:00;measured;sleep;22,5\n`;
    expect((await bringIn({ table: 'history', text })).problems).toMatchObject([{ row: 2 }]);
    const request = { table: 'history', text, zone: 'Europe/Zurich', keep: true };
    expect(await bringIn(request)).toMatchObject({ kept: true, fresh: 1, same: 0, elsewhere: 0 });
    expect(await bringIn(request)).toMatchObject({ kept: true, fresh: 0, same: 1 });
    const { tables } = await json<BenchTables>(ask('GET', '/api/bench/tables'));
    expect(tables['history']).toContain(`${second},2029-07-01T06:00:00Z,M. Berg,measured,sleep,22.5,passed`);
    const wrongZone = await b.ask('POST', '/api/bench/import', { ...request, by: 'M. Berg', zone: 'Nowhere' });
    expect([wrongZone.status, await codes(wrongZone)]).toEqual([422, ['import-zone']]);
    expect((await b.ask('POST', '/api/bench/import', { table: 'shipments', text })).status).toBe(400);
  });

  it('takes 20,000 rows in one request, and keeps none of them when whoever sent them has gone', async () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => `p-${i};Part number ${i}, of the long list;other;piece`);
    const body = { table: 'parts', by: 'M. Berg', keep: true, text: `key;name;is;measured\n${rows.join('\n')}\n` };
    const stop = new AbortController();
    const sent = b.app.request('/api/bench/import', {
      method: 'POST',
      headers: { 'content-type': 'application/json', host: new URL(HOST).host },
      body: JSON.stringify(body),
      signal: stop.signal,
    });
    stop.abort();
    expect(await codes(await sent)).toEqual(['import-stopped']);
    expect(await bringIn({ ...body, keep: false })).toMatchObject({ fresh: 20_000, problems: [] });
  });

  it('lays out the passport that was chosen', async () => {
    const deed = { deed: 'publish-passport', by: 'M. Berg', token: 'passport-once', unit: serial };
    expect((await ask('POST', '/api/bench/deeds', { ...deed, show: ['kit', 'gates'] })).status).toBe(200);
    const { show, page } = await json<BenchPassport>(ask('GET', `/api/bench/passports/${serial}`));
    expect(show).toEqual(['kit', 'gates']);
    expect(page).toContain(`Alder 3, unit ${serial}, passed 0 of 3 gates.`);
    expect(page).not.toMatch(/the-key-itself|M\. Berg|A\. Lund/);
    expect((await ask('GET', '/api/bench/passports/A07-999')).status).toBe(404);
  });
});

import { Validator } from '@seriousme/openapi-schema-validator';
import { afterEach, describe, expect, it } from 'vitest';
import { type ApiDocument, answerJudge, operations } from './document.ts';
import { type Bench, bench, heldRunner, json, KIT_TEXT, PERCH_TEXT, settle } from './make.ts';
import { smallTerrain } from './small-terrain.ts';

let b: Bench;
afterEach(() => b.end());

describe('the OpenAPI document', () => {
  it('is valid OpenAPI 3.1, by the published schema of that standard', async () => {
    b = await bench();
    const answer = await b.ask('GET', '/api/openapi.json');
    expect(answer.headers.get('content-type')).toBe('application/json');
    const document = await json<ApiDocument>(answer);
    const verdict = await new Validator().validate(structuredClone(document) as unknown as Record<string, unknown>);
    expect(verdict.errors).toBeUndefined();
    expect(verdict.valid).toBe(true);
    expect(document.openapi).toBe('3.1.0');
    // The judge sees what is wrong.
    const broken = structuredClone(document) as unknown as Record<string, unknown>;
    delete broken['info'];
    expect((await new Validator().validate(broken)).valid).toBe(false);
  });

  it('has every route of the server, and no other', async () => {
    b = await bench();
    const document = await json<ApiDocument>(b.ask('GET', '/api/openapi.json'));
    const served = b.app.routes
      .filter(({ method, path }) => method !== 'ALL' && path.startsWith('/api'))
      .map(({ method, path }) => `${method} ${path.replace(/:([a-z]+)/g, '{$1}')}`);
    const described = operations(document).map(({ method, path }) => `${method} ${path}`);
    expect(described.sort()).toEqual([...new Set(served)].sort());
    expect(described.length).toBeGreaterThanOrEqual(20);
    for (const { method, path, operation } of operations(document))
      expect([method, path, (operation.summary ?? '').length > 5, Object.keys(operation.responses).length > 0]).toEqual(
        [method, path, true, true],
      );
  });

  it('tells what a kit and a perch are, and every reference leads somewhere', async () => {
    b = await bench();
    const document = await json<ApiDocument>(b.ask('GET', '/api/openapi.json'));
    const names = Object.keys(document.components.schemas);
    expect(names).toEqual(expect.arrayContaining(['Kit', 'Perch', 'SaveRequest', 'StaleSave', 'JobStatus', 'Problem']));
    const references = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)];
    for (const [, name] of references) expect(names).toContain(name);
  });
});

describe('answers', () => {
  it('are what the document says, each route once at least', async () => {
    const held = heldRunner();
    const ground = smallTerrain(() => 500, 0.01);
    b = await bench({ run: held.run, terrain: ground.desk });
    const document = await json<ApiDocument>(b.ask('GET', '/api/openapi.json'));
    const judge = answerJudge(document);
    const seen = new Set<string>();
    const ask = async (method: string, path: string, body?: unknown) => {
      const answer = await b.ask(method, path, body);
      const { operation, problems } = await judge(method, path.split('?')[0]!, answer.clone());
      expect([method, path, answer.status, problems]).toEqual([method, path, answer.status, []]);
      seen.add(operation);
      return answer;
    };
    await ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    await ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
    await ask('POST', '/api/records', { kind: 'perch', text: '' });
    await ask('POST', '/api/records', 'no json');
    const kit = await json<{ value: object }>(ask('GET', '/api/records/kit:alder-3'));
    await ask('GET', '/api/records?kind=kit');
    await ask('GET', '/api/records/kit:none');
    await ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: { ...kit.value, revision: 'C' }, from: 1 });
    await ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: { ...kit.value, revision: 'D' }, from: 1 });
    await ask('POST', '/api/undo', { id: 'kit:alder-3' });
    const job = await json<{ id: string; key: string }>(
      ask('POST', '/api/jobs', { command: 'spells', perch: 'perch:hut-kaldra' }),
    );
    await ask('GET', `/api/jobs/${job.id}`);
    held.calls[0]!.finish({ command: 'spells', verdict: 'dark' });
    await settle();
    await ask('GET', `/api/jobs/${job.id}/events`);
    await ask('GET', `/api/results/${job.key}`);
    await ask('POST', '/api/report', { year: job.key });
    await ask('DELETE', `/api/jobs/${job.id}`);
    await ask('GET', '/api/records/kit:alder-3/history');
    await ask('DELETE', '/api/records/kit:alder-3');
    await ask('GET', '/api/workshop');
    await ask('POST', '/api/check/kit', { text: 'name: x' });
    for (const path of [
      'schema/kit',
      'parts',
      'climates',
      'climates?latitude_deg=1&longitude_deg=2',
      'session',
      'openapi.json',
      'terrain',
      'terrain/height?latitude_deg=46.4&longitude_deg=10.2',
      'terrain/shade/9/270/181',
      'terrain/shade/9/999/181',
    ])
      await ask('GET', `/api/${path}`);
    await ask('POST', '/api/session', { passphrase: 'whatever it is' });
    await ask('DELETE', '/api/session');
    const at = { latitude_deg: 46.4, longitude_deg: 10.2 };
    await ask('POST', '/api/terrain/rays', { ...at, radius_km: 2 });
    await ask('POST', '/api/terrain/profile', { from: at, to: { ...at, latitude_deg: 46.45 } });
    await ask('POST', '/api/terrain/profile', { from: at, to: at });
    for (const path of [
      '',
      '/stores',
      '/find?text=a',
      '/batches/a-07',
      '/units/A07-001X',
      '/lots/c-1',
      '/orders/p?units=1',
      '/quality/a-07',
      '/market/a-07',
      '/tables',
      '/passports/A07-001X',
      '/units/A07-001X/forecast',
      `/drawings/p/cells/${'0'.repeat(64)}`,
    ])
      await ask('GET', `/api/bench${path}`);
    await ask('POST', '/api/bench/deeds', { deed: 'draw', lot: 'c-1', by: 'one', token: 'a-token-of-1' });
    await ask('POST', '/api/bench/measure', { unit: 'A07-001X', what: 'ramp', name: 'a.csv', text: 'a' });
    await ask('POST', '/api/bench/import', { table: 'parts', text: 'key,name' });
    await ask('POST', '/api/bench/papers', { paper: 'packing', order: 'hut' });
    await ask('POST', '/api/bench/cost', { ask: 'ways' });
    await ask('POST', '/api/bench/evidence', {
      ...{ batch: 'a-07', paper: 'declaration', name: 'a.txt', base64: 'YQ==', by: 'one', token: 'a-token-of-2' },
    });
    await ask('GET', `/api/bench/evidence/a-07/${'0'.repeat(64)}`);
    await ask('POST', '/api/bench/units/A07-001X/forecast', {});
    await ask('GET', '/api/bench/units/A07-001X/leaving?rested_V=3.5');
    await ask('GET', '/api/bench/places');
    await ask('GET', '/api/bench/orders/hut/place');
    await ask('POST', '/api/bench/orders/hut/place', {});
    await ask('POST', '/api/bench/drawings', {
      ...{ plan: 'p', step: 'cells', name: 'a.png', base64: 'YQ==', by: 'one', token: 'a-token-of-3' },
    });
    ground.remove();
    expect([...seen].sort()).toEqual(
      operations(document)
        .map(({ method, path }) => `${method} ${path}`)
        .sort(),
    );
  });
});

import { afterEach, describe, expect, it } from 'vitest';
import { createAccess } from '../../src/server/access.ts';
import { BODY_LIMITS } from '../../src/server/body.ts';
import { makeLock } from '../../src/server/passphrase.ts';
import { COOKIE } from '../../src/server/sessions.ts';
import { type Bench, bench, codes, HOST, json, KIT_TEXT } from './make.ts';

// Each test names the item of OWASP ASVS 5.0.0 that it holds, where there is one.
let b: Bench;
afterEach(() => b.end());
const START = new TextEncoder().encode('<!doctype html><title>start</title>');
const PAGES = new Map([
  ['/index.html', { bytes: START, type: 'text/html; charset=utf-8', tag: 'a' }],
  ['/assets/main-Ab3dEf9_.js', { bytes: new Uint8Array([59]), type: 'text/javascript; charset=utf-8', tag: 'b' }],
  ['/sw.js', { bytes: new Uint8Array([59]), type: 'text/javascript; charset=utf-8', tag: 'c' }],
]);

describe('headers', () => {
  it('every answer has them: pages, API, refusals and faults (V3.4.3, V3.4.4, V3.4.6)', async () => {
    b = await bench({ pages: PAGES, store: (real) => ({ ...real, list: () => Promise.reject(new Error('a fault')) }) });
    const answers = await Promise.all([
      b.ask('GET', '/'),
      b.ask('GET', '/assets/main-Ab3dEf9_.js'),
      b.ask('GET', '/api/parts'),
      b.ask('GET', '/api/none'),
      b.ask('POST', '/api/records', 'no json'),
      b.ask('GET', '/api/workshop'),
      b.ask('GET', '/', undefined, { host: 'evil.example' }),
    ]);
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 404, 400, 500, 403]);
    for (const { headers } of answers) {
      const policy = headers.get('content-security-policy') ?? '';
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("script-src 'self'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).toContain("base-uri 'none'");
      expect(policy).not.toContain('unsafe');
      expect(headers.get('x-content-type-options')).toBe('nosniff');
      expect(headers.get('x-frame-options')).toBe('DENY');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
      expect(headers.get('cross-origin-opener-policy')).toBe('same-origin');
      expect(headers.get('cross-origin-resource-policy')).toBe('same-origin');
      expect(headers.get('access-control-allow-origin')).toBeNull();
      expect(headers.get('x-powered-by')).toBeNull();
      expect(headers.get('content-type')).toMatch(/^(application\/json|text\/(html|javascript); charset=utf-8)$/i);
    }
  });
});

describe('pages', () => {
  it('names with a hash may be kept for ever, all others are asked for again', async () => {
    b = await bench({ pages: PAGES });
    const cached = async (path: string) => (await b.ask('GET', path)).headers.get('cache-control');
    expect(await cached('/assets/main-Ab3dEf9_.js')).toBe('public, max-age=31536000, immutable');
    expect(await cached('/sw.js')).toBe('no-cache');
    expect(await cached('/')).toBe('no-cache');
    expect(await cached('/api/parts')).toBe('no-store');
    const again = await b.ask('GET', '/sw.js', undefined, { 'if-none-match': '"c"' });
    expect([again.status, await again.text()]).toEqual([304, '']);
  });

  it('an unknown path is the start page, an unknown file or route is told', async () => {
    b = await bench({ pages: PAGES });
    expect(await (await b.ask('GET', '/energy')).text()).toBe('<!doctype html><title>start</title>');
    expect(await codes(b.ask('GET', '/assets/other.js'))).toEqual(['no-such-page']);
    expect(await codes(b.ask('GET', '/api/'))).toEqual(['no-such-route']);
    expect(await codes(b.ask('GET', '/api'))).toEqual(['no-such-route']);
    expect((await b.ask('POST', '/energy', {})).status).toBe(405);
  });

  it('no path leads out of the pages, no folder is listed (V5.3.2, V13.4.3)', async () => {
    b = await bench({ pages: PAGES });
    for (const path of [
      '/../package.json',
      '/..%2fpackage.json',
      '/%2e%2e/%2e%2e/etc/passwd',
      '/assets/../../package.json',
      '//etc/passwd',
      '/assets/',
      '/assets',
      '/\\..\\package.json',
      '/etc/passwd%00.html',
    ]) {
      const answer = await b.ask('GET', path);
      const text = await answer.text();
      expect([path, [404, 200].includes(answer.status)]).toEqual([path, true]);
      if (answer.status === 200) expect([path, text]).toEqual([path, '<!doctype html><title>start</title>']);
    }
  });

  it('where the pages are not built, that is said', async () => {
    b = await bench();
    const answer = await b.ask('GET', '/');
    expect([answer.status, (await answer.text()).includes('npm run build')]).toEqual([503, true]);
  });
});

describe('who may ask', () => {
  it('a foreign name is refused, pages and API alike (DNS rebinding)', async () => {
    b = await bench({ pages: PAGES });
    for (const path of ['/', '/api/workshop', '/api/session'])
      expect(await codes(b.ask('GET', path, undefined, { host: 'evil.example:7468' }))).toEqual(['foreign-host']);
  });

  it('a foreign page may neither change nor read (V3.5.1)', async () => {
    b = await bench({ pages: PAGES });
    const foreign = [{ origin: 'https://evil.example' }, { 'sec-fetch-site': 'cross-site' }, { origin: 'null' }];
    for (const headers of foreign) {
      expect(await codes(b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT }, headers))).toEqual([
        'foreign-page',
      ]);
      expect(await codes(b.ask('DELETE', '/api/records/kit:x', undefined, headers))).toEqual(['foreign-page']);
      expect(await codes(b.ask('GET', '/api/workshop', undefined, headers))).toEqual(['foreign-page']);
      expect(await codes(b.ask('OPTIONS', '/api/records', undefined, headers))).toEqual(['foreign-page']);
    }
    expect(await b.store.list()).toEqual([]);
    // A link from elsewhere opens the start page.
    expect((await b.ask('GET', '/', undefined, { 'sec-fetch-site': 'cross-site' })).status).toBe(200);
  });

  it('what a form of any page could send is no JSON and is refused (V3.5.1)', async () => {
    b = await bench();
    for (const type of [
      'text/plain',
      'application/x-www-form-urlencoded',
      'multipart/form-data; boundary=x',
      '',
      'application/json; charset=utf-16',
    ]) {
      const answer = b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT }, { 'content-type': type });
      expect([type, await codes(answer)]).toEqual([type, ['not-json']]);
    }
    expect(await b.store.list()).toEqual([]);
  });

  it('nothing changes by GET (V3.5.3)', async () => {
    b = await bench();
    await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    const before = await b.store.everything();
    const document = await json<{ paths: Record<string, Record<string, unknown>> }>(b.ask('GET', '/api/openapi.json'));
    for (const path of Object.keys(document.paths))
      for (const method of ['GET', 'HEAD'])
        await b.ask(
          method,
          path.replace('{id}', 'kit:alder-3').replace('{kind}', 'kit').replace('{key}', 'f'.repeat(64)),
        );
    expect(await b.store.everything()).toEqual(before);
  });
});

describe('what may come in', () => {
  it('1 MB is the most, told before it is read whole (V5.1.1, V5.2.1)', async () => {
    b = await bench();
    const big = { kind: 'kit', text: 'x'.repeat(BODY_LIMITS.bytes) };
    const told = await b.ask('POST', '/api/records', big, { 'content-length': String(BODY_LIMITS.bytes + 40) });
    expect([told.status, await codes(told)]).toEqual([413, ['too-large']]);
    // Without a told length it is counted while it comes.
    const untold = await b.ask('POST', '/api/records', big);
    expect([untold.status, await codes(untold)]).toEqual([413, ['too-large']]);
    // Just inside: read, and refused for what it is.
    const inside = await b.ask('POST', '/api/check/kit', `{"text":"${'x'.repeat(BODY_LIMITS.bytes - 11)}"}`);
    expect(inside.status).toBe(200);
  });

  it('depth and entries have limits (V1.5.2, V15.2.2)', async () => {
    b = await bench();
    const nested = (depth: number) => `{"value":${'['.repeat(depth)}${']'.repeat(depth)}}`;
    expect(await codes(b.ask('POST', '/api/check/kit', nested(400_000)))).toEqual(['bad-shape']);
    // The body itself is the first level.
    expect((await b.ask('POST', '/api/check/kit', nested(BODY_LIMITS.depth - 1))).status).toBe(200);
    expect((await b.ask('POST', '/api/check/kit', nested(BODY_LIMITS.depth))).status).toBe(400);
    expect((await b.ask('POST', '/api/check/kit', nested(BODY_LIMITS.depth + 1))).status).toBe(400);
    const many = (n: number) => `{"value":[${Array(n).fill('0').join(',')}]}`;
    // Body, list and its entries.
    expect((await b.ask('POST', '/api/check/kit', many(BODY_LIMITS.entries - 2))).status).toBe(200);
    expect((await b.ask('POST', '/api/check/kit', many(BODY_LIMITS.entries - 1))).status).toBe(400);
  });

  it('the prototype of objects is out of reach (V15.3.6)', async () => {
    b = await bench();
    for (const text of [
      '{"__proto__":{"polluted":1},"kind":"kit","value":{}}',
      '{"kind":"kit","value":{"panel":{"__proto__":{"polluted":1}}}}',
    ])
      expect(await codes(b.ask('POST', '/api/records', text))).toEqual(['bad-shape']);
    for (const key of ['constructor', 'prototype', 'toString', 'hasOwnProperty'])
      expect((await b.ask('POST', '/api/check/kit', { value: { [key]: { polluted: 1 } } })).status).toBe(200);
    expect((await b.ask('POST', '/api/check/perch', { text: '__proto__: {polluted: 1}' })).status).toBe(200);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
    expect((await b.ask('GET', '/api/records/kit:constructor')).status).toBe(404);
    expect((await b.ask('GET', '/api/schema/constructor')).status).toBe(400);
  });

  it('fields beyond the schema are refused, not taken over (V15.3.3)', async () => {
    b = await bench();
    const answer = await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT, revision: 7, savedAt: 'x' });
    expect([answer.status, await codes(answer)]).toEqual([400, ['bad-request']]);
    expect(await b.store.list()).toEqual([]);
  });

  it('half of a sign, zero bytes and what is no UTF-8 are no text', async () => {
    b = await bench();
    const bytes = await b.app.request(`${HOST}/api/check/kit`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: Uint8Array.of(0x22, 0xff, 0x22),
    });
    expect([bytes.status, await codes(bytes)]).toEqual([400, ['not-json']]);
    for (const text of ['{"text":"\\ud800"}', '{"text":"a\\u0000b"}'])
      expect(await codes(b.ask('POST', '/api/check/kit', text))).toEqual(['bad-shape']);
  });
});

describe('faults', () => {
  it('are told in a sentence with a number; stack and message stay in the log (V16.5.1)', async () => {
    b = await bench({ store: (real) => ({ ...real, list: () => Promise.reject(new Error('secret detail')) }) });
    const answer = await b.ask('GET', '/api/workshop');
    const text = await answer.text();
    expect(answer.status).toBe(500);
    expect(text).not.toMatch(/secret|\bat \S+ \(|\.ts|node_modules/);
    const number = /under ([0-9a-f]{8})/.exec(text)?.[1] ?? '';
    expect(b.logged.join('\n')).toContain(`fault ${number}`);
    expect(b.logged.join('\n')).toContain('secret detail');
  });

  it('nothing of a request breaks the lines of the log (V16.4.1)', async () => {
    b = await bench({
      store: (real) => ({
        ...real,
        newest: () => Promise.reject(new Error('one\nfault 00000000: forged\r\u001b[31m\u2028x')),
      }),
    });
    await b.ask('GET', '/api/records/kit:alder-3');
    expect(b.logged).toHaveLength(1);
    expect(b.logged[0]).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]/);
  });

  it('a database that does not answer is told as such, and nothing counts as saved (V16.5.3)', async () => {
    const { userError } = await import('../../src/core/units/index.ts');
    b = await bench({
      store: (real) => ({
        ...real,
        append: () => Promise.reject(userError('disk-full', 'the disk is full: nothing of this save was kept')),
      }),
    });
    const answer = await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    expect([answer.status, await codes(answer)]).toEqual([503, ['disk-full']]);
    expect(await b.store.list()).toEqual([]);
  });
});

describe('on a network', () => {
  const WORDS = 'four huts above the lake';
  const network = { network: true, origins: [] };
  const from = (address: string) => ({ incoming: { socket: { remoteAddress: address } } });
  const logIn = (passphrase: unknown, address = '10.0.0.9') =>
    b.app.request(
      `${HOST}/api/session`,
      { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ passphrase }) },
      from(address),
    );

  it('there is no server without a lock (V16.5.3)', async () => {
    b = await bench();
    expect(() => createAccess(undefined, network, () => 0)).toThrow(/needs a passphrase/);
  });

  it('no route answers before the log-in, but the log-in itself and the pages (V8.2.2)', async () => {
    b = await bench({ exposure: network, lock: await makeLock(WORDS), pages: PAGES });
    const document = b.app.getOpenAPI31Document({ openapi: '3.1.0', info: { title: '', version: '' } });
    let asked = 0;
    for (const [path, methods] of Object.entries(document.paths ?? {}))
      for (const method of Object.keys(methods)) {
        if (path === '/api/session') continue;
        const url = path.replace('{id}', 'kit:alder-3').replace('{kind}', 'kit').replace('{key}', 'f'.repeat(64));
        const answer = await b.ask(method.toUpperCase(), url, /post|put/.test(method) ? {} : undefined);
        expect([method, path, answer.status, await codes(answer)]).toEqual([method, path, 401, ['log-in']]);
        asked++;
      }
    expect(asked).toBeGreaterThan(15);
    expect((await b.ask('GET', '/api/none')).status).toBe(401);
    expect((await b.ask('GET', '/')).status).toBe(200);
    expect(await json(b.ask('GET', '/api/session'))).toEqual({ passphrase: true, open: false });
  });

  it('the cookie is for this server only, out of reach of scripts, and ends at log-out (V3.3.4)', async () => {
    b = await bench({ exposure: network, lock: await makeLock(WORDS) });
    const answer = await logIn(WORDS);
    expect(await json(answer)).toEqual({ passphrase: true, open: true });
    const set = answer.headers.get('set-cookie') ?? '';
    expect(set).toMatch(new RegExp(`^${COOKIE}=[A-Za-z0-9_.%-]+; Max-Age=604800; Path=/; HttpOnly; SameSite=Strict$`));
    const cookie = set.split(';')[0]!;
    expect((await b.ask('GET', '/api/workshop', undefined, { cookie })).status).toBe(200);
    expect((await b.ask('GET', '/api/workshop', undefined, { cookie: `${cookie}x` })).status).toBe(401);
    const out = await b.ask('DELETE', '/api/session', undefined, { cookie });
    expect(await json(out)).toEqual({ passphrase: true, open: false });
    expect(out.headers.get('set-cookie')).toMatch(/Max-Age=0/);
    expect((await b.ask('GET', '/api/workshop', undefined, { cookie })).status).toBe(401);
  });

  it('behind TLS the cookie keeps to encrypted ways', async () => {
    b = await bench({
      exposure: { network: true, origins: ['https://mesh.example.org'] },
      lock: await makeLock(WORDS),
    });
    expect((await logIn(WORDS)).headers.get('set-cookie')).toMatch(/; Secure/);
  });

  it('guessing is slowed down, also for the right one; others are not shut out', async () => {
    b = await bench({ exposure: network, lock: await makeLock(WORDS) });
    const tries = [];
    for (let i = 0; i < 7; i++) tries.push((await logIn(`wrong guess number ${i}`)).status);
    expect(tries).toEqual([401, 401, 401, 401, 401, 429, 429]);
    const late = await logIn(WORDS);
    expect([late.status, Number(late.headers.get('retry-after')) > 0]).toEqual([429, true]);
    expect((await logIn(WORDS, '10.0.0.10')).status).toBe(200);
    b.clock.ms += 30_000;
    expect((await logIn(WORDS)).status).toBe(200);
  });

  it('what is no passphrase is told without a try', async () => {
    b = await bench({ exposure: network, lock: await makeLock(WORDS) });
    for (const bad of [7, null, ['x'], 'x'.repeat(1001)]) expect((await logIn(bad)).status).toBe(400);
  });
});

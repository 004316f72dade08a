import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { osselHeight_m } from '../../src/core/terrain/index.ts';
import type {
  HeightAnswer,
  JobStatus,
  ReachAnswer,
  StoredRecord,
  TerrainAnswer,
  WorkshopOverview,
  YearAnswer,
} from '../../src/server/api.ts';
import { KIT_TEXT, PERCH_TEXT } from './make.ts';

// The program as it is built (`npm test` builds it first), in a process of its own, spoken to over the network.
const PROGRAM = fileURLToPath(new URL('../../bin/sunperch', import.meta.url));
const WORDS = 'four huts above the lake';

let folder: string;
let running: Served[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'serve-'));
});
afterEach(async () => {
  await Promise.all(running.map((served) => served.end('SIGKILL')));
  running = [];
  rmSync(folder, { recursive: true, force: true });
});

interface Served {
  readonly url: string;
  readonly child: ChildProcess;
  readonly err: () => string;
  /** Sends a signal and waits for the end; gives the exit code. */
  end(signal: NodeJS.Signals): Promise<number | null>;
}

async function serve(args: readonly string[] = [], env: Record<string, string> = {}): Promise<Served> {
  const child = spawn(process.execPath, [PROGRAM, 'serve', '--port', '0', '--json', ...args], {
    cwd: folder,
    env: { ...process.env, SUNPERCH_PASSPHRASE: '', SUNPERCH_DATABASE: '', ...env },
  });
  let out = '';
  let err = '';
  child.stderr.on('data', (part) => (err += part));
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  const url = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (part) => {
      out += part;
      const found = /"url": "([^"]+)"/.exec(out)?.[1];
      if (found !== undefined && out.includes('}')) resolve(found);
    });
    void ended.then(() => reject(new Error(`the server did not start: ${out}${err}`)));
  });
  const served: Served = {
    url,
    child,
    err: () => err,
    end: (signal) => {
      if (child.exitCode === null && child.signalCode === null) child.kill(signal);
      return ended;
    },
  };
  running.push(served);
  return served;
}

const perch = (key: string) => `perch:${key}`;

const once = (args: readonly string[], options: { input?: string; env?: Record<string, string> } = {}) => {
  const env = { ...process.env, SUNPERCH_PASSPHRASE: '', SUNPERCH_DATABASE: '', ...options.env };
  return spawnSync(process.execPath, [PROGRAM, 'serve', ...args], {
    cwd: folder,
    env,
    encoding: 'utf8',
    input: options.input ?? '',
  });
};

async function call<T>(served: Served, method: string, path: string, body?: unknown): Promise<T> {
  const answer = await fetch(`${served.url}${path}`, {
    method,
    ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
  return (await answer.json()) as T;
}

describe('sunperch serve', () => {
  it('opens the demo on this machine, computes in a thread, answers again after a restart', async () => {
    const served = await serve(['--demo']);
    expect(served.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/);
    const { records } = await call<WorkshopOverview>(served, 'GET', '/api/workshop');
    expect(records.map(({ id }) => id)).toEqual([
      'kit:alder-3',
      'kit:bare-board',
      'net:ossel',
      ...['alp-fenna', 'alp-orla', 'alp-sutt', 'hut-brenk', 'hut-ilva', 'hut-kaldra', 'hut-moldur'].map(perch),
      ...['hut-serin', 'hut-tessel', 'hut-varn', 'rescue-post', 'tarnwick-shed', 'village-ossel'].map(perch),
    ]);
    const order = { command: 'year', kit: 'kit:alder-3', perch: 'perch:rescue-post', years: 5 };
    const job = await call<JobStatus>(served, 'POST', '/api/jobs', order);
    const told = await (await fetch(`${served.url}/api/jobs/${job.id}/events`)).text();
    expect(told.match(/"state":"[a-z]+"/g)!.at(-1)).toBe('"state":"done"');
    expect(told).toContain('"what":"weather"');
    const year = await call<YearAnswer>(served, 'GET', `/api/results/${job.key}`);
    expect(year.outcome).toMatchObject({ command: 'year', kit: 'Alder 3', perch: 'Rescue post', years: 5 });
    expect(year.pictures.carpet).toHaveLength(8760);
    // The very same that the command line computes from the same files.
    const files = ['alder-3.yaml', 'rescue-post.yaml'].map((name) =>
      fileURLToPath(new URL(`../../examples/${name}`, import.meta.url)),
    );
    const printed = spawnSync(process.execPath, [PROGRAM, 'year', ...files, '--years', '5', '--json'], {
      encoding: 'utf8',
    });
    expect(year.outcome).toEqual(JSON.parse(printed.stdout));
    const page = await fetch(`${served.url}/api/report`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ year: job.key }),
    });
    expect(page.headers.get('content-disposition')).toBe('attachment; filename="alder-3-at-rescue-post.html"');
    expect(await page.text()).toContain(year.outcome.verdict.replaceAll("'", '&#39;'));
    expect(await served.end('SIGINT')).toBe(0);
    // Strips, verdicts and results outlive the server.
    const again = await serve(['--demo']);
    const after = await call<WorkshopOverview>(again, 'GET', '/api/workshop');
    expect(after.records).toHaveLength(16);
    expect(after.records[0]!.strip).toEqual(year.outcome.strip);
    expect(await call<JobStatus>(again, 'POST', '/api/jobs', order)).toMatchObject({ state: 'done', key: job.key });
  });

  it('answers for the ground, in a thread that keeps it; a wrong folder is told before it starts', async () => {
    const cache = { XDG_CACHE_HOME: join(folder, 'cache') };
    const served = await serve(['--demo'], cache);
    const about = await call<TerrainAnswer>(served, 'GET', '/api/terrain');
    expect(about).toMatchObject({ available: true, name: 'Ossel valley (invented)' });
    // Nothing is made before it is wanted.
    expect(existsSync(cache.XDG_CACHE_HOME)).toBe(false);
    const where = 'latitude_deg=46.425&longitude_deg=10.195';
    const { height_m } = await call<HeightAnswer>(served, 'GET', `/api/terrain/height?${where}`);
    expect(Math.abs(height_m! - osselHeight_m(46.425, 10.195, 1))).toBeLessThan(0.6);
    expect(readdirSync(join(cache.XDG_CACHE_HOME, 'sunperch'))).toHaveLength(1);
    // Beside a first look, and given up by one that comes later: the thread goes on.
    const at = { latitude_deg: 46.425, longitude_deg: 10.195, height_m: 5 };
    const look = { command: 'reach', kit: 'kit:alder-3', at, detail: 'coarse', radius_km: 5 };
    const first = await call<JobStatus>(served, 'POST', '/api/jobs', look);
    await call(served, 'DELETE', `/api/jobs/${first.id}`);
    const order = { ...look, detail: 'full', perches: [] };
    const jobs = await Promise.all(
      [{ ...look, height_m: 8 }, order].map((one) => call<JobStatus>(served, 'POST', '/api/jobs', one)),
    );
    for (const job of jobs) {
      const told = await (await fetch(`${served.url}/api/jobs/${job.id}/events`)).text();
      expect(told.match(/"state":"[a-z]+"/g)!.at(-1)).toBe('"state":"done"');
      const { outcome } = await call<ReachAnswer>(served, 'GET', `/api/results/${job.key}`);
      expect(outcome).toMatchObject({ command: 'reach', kit: 'Alder 3', radius_km: 5 });
    }
    // Only what lasts is on the disk.
    expect(readdirSync(join(folder, 'workshop.sunperch.results'))).toEqual(
      [`${jobs[1]!.key}.json`, `${jobs[1]!.key}.note.json`].sort(),
    );
    const wrong = once(['--terrain', join(folder, 'nowhere')]);
    expect(wrong.status).toBe(1);
    expect(wrong.stderr).toContain('the terrain cannot be read: there is no such file');
  });

  it('a job that is stopped ends its thread; one that fails says why', async () => {
    const served = await serve(['--demo']);
    const threads = () => /Threads:\s+(\d+)/.exec(readFileSync(`/proc/${served.child.pid}/status`, 'utf8'))?.[1];
    const before = process.platform === 'linux' ? threads() : undefined;
    const job = await call<JobStatus>(served, 'POST', '/api/jobs', { command: 'where', kit: 'kit:alder-3' });
    const told = fetch(`${served.url}/api/jobs/${job.id}/events`).then((answer) => answer.text());
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(await call(served, 'DELETE', `/api/jobs/${job.id}`)).toMatchObject({ state: 'stopped' });
    expect((await told).match(/"state":"[a-z]+"/g)!.at(-1)).toBe('"state":"stopped"');
    if (before !== undefined) await expect.poll(threads, { timeout: 10_000 }).toBe(before);
    const order = { command: 'size', kit: 'kit:alder-3', perch: 'perch:hut-kaldra', years: 3 };
    const failed = await call<JobStatus>(served, 'POST', '/api/jobs', order);
    await (await fetch(`${served.url}/api/jobs/${failed.id}/events`)).text();
    expect(await call(served, 'GET', `/api/jobs/${failed.id}`)).toMatchObject({
      state: 'failed',
      problems: [{ code: 'too-few-years' }],
    });
  });

  it('killed while saving, it has everything that was acknowledged', async () => {
    let acknowledged: { id: string; revision: number; text: string }[] = [];
    let served = await serve();
    await call(served, 'POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    for (let round = 0; round < 4; round++) {
      const { revision } = await call<StoredRecord>(served, 'GET', '/api/records/kit:alder-3');
      let from = revision;
      const saving = (async () => {
        for (let i = 0; ; i++) {
          const text = KIT_TEXT.replace('revision: B', `revision: R${round}-${i}`);
          const saved = await call<StoredRecord>(served, 'PUT', '/api/records/kit:alder-3', {
            kind: 'kit',
            text,
            from,
          });
          from = saved.revision;
          acknowledged = [...acknowledged, { id: saved.id, revision: saved.revision, text }];
          const perch = PERCH_TEXT.replace('name: Hut Kaldra', `name: Hut ${round} ${i}`);
          const made = await call<StoredRecord>(served, 'POST', '/api/records', { kind: 'perch', text: perch });
          acknowledged = [...acknowledged, { id: made.id, revision: 1, text: perch }];
        }
      })().catch(() => undefined);
      const before = acknowledged.length;
      while (acknowledged.length < before + 3) await new Promise((resolve) => setTimeout(resolve, 5 + 3 * round));
      await served.end('SIGKILL');
      await saving;
      served = await serve();
      const newest = await call<StoredRecord>(served, 'GET', '/api/records/kit:alder-3');
      const last = acknowledged.findLast(({ id }) => id === 'kit:alder-3');
      // What was acknowledged is there; at most the one save at hand may have come after it.
      if (last !== undefined)
        expect(newest.revision - last.revision === 0 || newest.revision - last.revision === 1).toBe(true);
      for (const { id, revision: at, text } of acknowledged.slice(-6)) {
        const record = await call<StoredRecord>(served, 'GET', `/api/records/${encodeURIComponent(id)}`);
        if (record.revision === at) expect(record.text).toBe(text);
        else expect(record.revision).toBeGreaterThan(at);
      }
    }
    expect(acknowledged.length).toBeGreaterThan(8);
    const { records } = await call<WorkshopOverview>(served, 'GET', '/api/workshop');
    const there = new Set(records.map(({ id }) => id));
    for (const { id } of acknowledged) expect(there.has(id)).toBe(true);
  });

  it('ends in order: no new requests, watchers hear of it, the file is closed', async () => {
    const served = await serve(['--demo']);
    const job = await call<JobStatus>(served, 'POST', '/api/jobs', { command: 'where', kit: 'kit:alder-3' });
    const told = fetch(`${served.url}/api/jobs/${job.id}/events`).then((answer) => answer.text());
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(await served.end('SIGTERM')).toBe(0);
    expect((await told).match(/"state":"[a-z]+"/g)!.at(-1)).toBe('"state":"stopped"');
    await expect(fetch(served.url)).rejects.toThrow();
    expect(() => statSync(join(folder, 'workshop.sunperch-wal'))).toThrow();
  });

  it('a port that is taken, a wrong address and a wrong origin are told', async () => {
    const served = await serve();
    const port = new URL(served.url).port;
    const taken = once(['--port', port, '--workshop', 'other.sunperch']);
    expect([taken.status, taken.stderr]).toEqual([1, expect.stringMatching(/is taken: does the server run already/)]);
    expect(once(['--port', '0', '--host', '203.0.113.7'], { env: { SUNPERCH_PASSPHRASE: WORDS } }).stderr).toMatch(
      /has no address/,
    );
    expect(once(['--origin', 'mesh.example.org']).stderr).toMatch(/scheme and host are wanted/);
    expect(once(['--port', 'x']).status).toBe(2);
  });
});

describe('over the wire', () => {
  // One server for all: nothing that is sent here may change it.
  let served: Served;
  let home = '';
  beforeAll(async () => {
    home = mkdtempSync(join(tmpdir(), 'serve-'));
    folder = home;
    served = await serve(['--demo']);
    running = [];
  });
  afterAll(async () => {
    expect(await served.end('SIGINT')).toBe(0);
    expect(served.err()).toBe('');
    rmSync(home, { recursive: true, force: true });
  });

  /** The raw answer to raw bytes. */
  const raw = (served: Served, text: string) =>
    new Promise<string>((resolve, reject) => {
      const socket = connect(Number(new URL(served.url).port), '127.0.0.1');
      let got = '';
      socket.setEncoding('utf8');
      socket.on('data', (part) => (got += part));
      socket.on('close', () => resolve(got));
      socket.on('error', reject);
      socket.write(text);
    });

  it('only this machine is listened to (no other address answers)', async () => {
    const others = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter(({ internal, family }) => !internal && family === 'IPv4');
    for (const { address } of others)
      await expect(fetch(`http://${address}:${new URL(served.url).port}/`)).rejects.toThrow();
  });

  it('hosts, long heads, wrong lines and a body longer than told do no harm', async () => {
    const head = 'Connection: close\r\n';
    expect(await raw(served, `GET / HTTP/1.1\r\nHost: evil.example\r\n${head}\r\n`)).toMatch(/^HTTP\/1.1 403/);
    expect(await raw(served, `GET /api/workshop HTTP/1.1\r\n${head}\r\n`)).toMatch(/^HTTP\/1.1 400/);
    expect(
      await raw(served, `GET http://evil.example/api/workshop HTTP/1.1\r\nHost: localhost\r\n${head}\r\n`),
    ).toMatch(/^HTTP\/1.1 403/);
    expect(await raw(served, `GET /${'a'.repeat(20_000)} HTTP/1.1\r\nHost: localhost\r\n${head}\r\n`)).toMatch(
      /^HTTP\/1.1 4(31|14)/,
    );
    expect(await raw(served, 'no http at all\r\n\r\n')).toMatch(/^HTTP\/1.1 400/);
    expect(await raw(served, `GET /../../../etc/passwd HTTP/1.1\r\nHost: localhost\r\n${head}\r\n`)).not.toContain(
      'root:',
    );
    const body = 'POST /api/records HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n';
    expect(await raw(served, `${body}${head}Content-Length: 99999999\r\n\r\n{`)).toMatch(/^HTTP\/1.1 413/);
    const chunk = `${(200_000).toString(16)}\r\n${'x'.repeat(200_000)}\r\n`;
    expect(await raw(served, `${body}${head}Transfer-Encoding: chunked\r\n\r\n${chunk.repeat(6)}0\r\n\r\n`)).toMatch(
      /^HTTP\/1.1 413/,
    );
    expect((await call<WorkshopOverview>(served, 'GET', '/api/workshop')).records).toHaveLength(16);
    expect(served.err()).toBe('');
  });

  it('there is no way to another protocol (V4.4.2)', async () => {
    const upgrade =
      'Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n';
    const socket = connect(Number(new URL(served.url).port), '127.0.0.1');
    socket.write(`GET /api/workshop HTTP/1.1\r\nHost: localhost\r\n${upgrade}\r\n`);
    const first = await new Promise<string>((resolve) => socket.once('data', (part) => resolve(part.toString())));
    socket.destroy();
    expect(first).toMatch(/^HTTP\/1.1 200/);
  });

  it('pages come from memory as they were built', async () => {
    const answer = await fetch(`${served.url}/`);
    const text = await answer.text();
    expect([200, 503]).toContain(answer.status);
    expect(text).toContain('<!doctype html>');
  });
});

describe('on a network', () => {
  it('without a passphrase it does not start; a short one is refused', () => {
    const bare = once(['--host', '0.0.0.0', '--port', '0']);
    expect([bare.status, bare.stderr]).toEqual([1, expect.stringMatching(/set a passphrase first/)]);
    const proxied = once(['--origin', 'https://mesh.example.org', '--port', '0']);
    expect([proxied.status, proxied.stderr]).toEqual([1, expect.stringMatching(/set a passphrase first/)]);
    const short = once(['--host', '0.0.0.0', '--port', '0'], { env: { SUNPERCH_PASSPHRASE: 'short' } });
    expect([short.status, short.stderr]).toEqual([1, expect.stringMatching(/has 5 characters/)]);
    expect(once(['--set-passphrase'], { input: 'short\n' }).status).toBe(1);
  });

  it('the passphrase is kept hashed, for its owner only, opens the server, and a new one ends the sessions', async () => {
    expect(once(['--set-passphrase'], { input: `${WORDS}\n` }).status).toBe(0);
    const file = join(folder, 'workshop.sunperch.passphrase');
    expect(readFileSync(file, 'utf8')).not.toContain('huts');
    if (process.platform !== 'win32') expect(statSync(file).mode & 0o777).toBe(0o600);
    const served = await serve(['--host', '0.0.0.0']);
    const port = new URL(served.url).port;
    const ask = (path: string, options: RequestInit = {}, on = port) => fetch(`http://127.0.0.1:${on}${path}`, options);
    expect((await ask('/api/workshop')).status).toBe(401);
    const logIn = (on = port) =>
      ask(
        '/api/session',
        {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ passphrase: WORDS }),
        },
        on,
      );
    const cookie = (await logIn()).headers.get('set-cookie')!.split(';')[0]!;
    expect((await ask('/api/workshop', { headers: { cookie } })).status).toBe(200);
    // The session outlives a restart, but not a new passphrase.
    await served.end('SIGINT');
    const again = await serve(['--host', '0.0.0.0']);
    expect((await ask('/api/workshop', { headers: { cookie } }, new URL(again.url).port)).status).toBe(200);
    await again.end('SIGINT');
    expect(once(['--set-passphrase'], { input: 'another one, just as long\n' }).status).toBe(0);
    const third = await serve(['--host', '0.0.0.0']);
    const last = new URL(third.url).port;
    expect((await ask('/api/workshop', { headers: { cookie } }, last)).status).toBe(401);
    expect((await logIn(last)).status).toBe(401);
  });

  it('names of the network are refused unless they are told', async () => {
    const served = await serve(['--origin', 'https://mesh.example.org'], { SUNPERCH_PASSPHRASE: WORDS });
    expect(served.url).toBe('https://mesh.example.org');
  });
});

import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BenchRow } from './rows.ts';

const MOST = { start_ms: 1000, tile_ms: 30, rays_ms: 200, look_ms: 150 } as const;
const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

interface Served {
  readonly child: ChildProcess;
  readonly url: string;
}

async function serve(folder: string, name: string): Promise<Served> {
  const child = spawn(
    process.execPath,
    ['bin/sunperch', 'serve', '--demo', '--json', '--port', '0', '--workshop', join(folder, `${name}.sunperch`)],
    { env: { ...process.env, XDG_CACHE_HOME: join(folder, 'cache') } },
  );
  const url = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stdout.on('data', (data: Buffer) => {
      text += data.toString();
      const found = /"url":\s*"([^"]+)"/.exec(text);
      if (found) resolve(found[1]!);
    });
    child.on('exit', (code) => reject(new Error(`the server ended with ${code}`)));
  });
  return { child, url };
}

async function ask<T>(url: string, path: string, body?: unknown): Promise<T> {
  const answer = await fetch(`${url}${path}`, {
    ...(body === undefined
      ? {}
      : { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
  });
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
  const type = answer.headers.get('content-type') ?? '';
  return (type.startsWith('application/json') ? await answer.json() : await answer.arrayBuffer()) as T;
}

const timed = async (work: () => Promise<unknown>): Promise<number> => {
  const begin = performance.now();
  await work();
  return performance.now() - begin;
};

/** The built server in a process of its own: from its start to the first answer, and answers about the ground of the demo. */
export async function benchServer(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-perf-'));
  const running: ChildProcess[] = [];
  try {
    const starts: number[] = [];
    let url = '';
    for (let i = 0; i < 5; i++)
      starts.push(
        await timed(async () => {
          const served = await serve(folder, `start-${i}`);
          running.push(served.child);
          url = served.url;
          await ask(url, '/api/workshop');
        }),
      );
    const at = (i: number) => ({ latitude_deg: 46.425 + i / 5000, longitude_deg: 10.195 });
    // The ground is made and loaded first: what follows is about answers out of memory.
    await ask(url, '/api/terrain/shade/10/541/362');
    const tiles: number[] = [];
    for (let x = 4322; x < 4335; x++) tiles.push(await timed(() => ask(url, `/api/terrain/shade/13/${x}/2900`)));
    const rays: number[] = [];
    for (let i = 0; i < 7; i++) rays.push(await timed(() => ask(url, '/api/terrain/rays', at(i))));
    const looks: number[] = [];
    const look = async (i: number) => {
      const order = { command: 'reach', kit: 'kit:alder-3', at: at(i), detail: 'coarse' };
      const { id, key } = await ask<{ id: string; key: string }>(url, '/api/jobs', order);
      await ask(url, `/api/jobs/${id}/events`);
      await ask(url, `/api/results/${key}`);
    };
    // The first ones warm the program up, as a drag's do.
    for (let i = 0; i < 20; i++) {
      const time = await timed(() => look(i));
      if (i >= 9) looks.push(time);
    }
    const row = (name: string, value: number, most: number): BenchRow => ({
      name,
      value,
      unit: 'ms',
      ratio: most / value,
      against: `of room under ${most} ms`,
    });
    return [
      row('start with the demo to the first answer, median of 5', median(starts), MOST.start_ms),
      row('hillshade tile that was not asked for before, median of 13', median(tiles), MOST.tile_ms),
      row('720 rays of 20 km, median of 7', median(rays), MOST.rays_ms),
      row('first look at a reach of 15 km, order to result, median of 11', median(looks), MOST.look_ms),
    ];
  } finally {
    for (const child of running) child.kill();
    await Promise.all(
      running.map(
        (child) => new Promise((resolve) => (child.exitCode === null ? child.on('exit', resolve) : resolve(0))),
      ),
    );
    rmSync(folder, { recursive: true, force: true });
  }
}

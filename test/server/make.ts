import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { JobInput } from '../../src/app/job-kinds.ts';
import type { WorkshopStore } from '../../src/app/store-port.ts';
import type { TerrainDesk } from '../../src/app/terrain-desk.ts';
import { createAccess } from '../../src/server/access.ts';
import { createApp, type ServerApp } from '../../src/server/app.ts';
import type { Exposure } from '../../src/server/exposure.ts';
import { createJobs, type Jobs, type RunJob } from '../../src/server/jobs.ts';
import type { PageFile } from '../../src/server/parts.ts';
import type { Lock } from '../../src/server/passphrase.ts';
import { createResults, type ResultKeeper, type Results } from '../../src/server/results.ts';
import { openStore } from '../../src/store/index.ts';

export const KIT_TEXT = readFileSync(new URL('../../examples/alder-3.yaml', import.meta.url), 'utf8');
export const PERCH_TEXT = readFileSync(new URL('../../examples/hut-kaldra.yaml', import.meta.url), 'utf8');

export const LOCAL: Exposure = { network: false, origins: [] };
export const HOST = 'http://127.0.0.1:7468';

export interface Bench {
  readonly app: ServerApp;
  readonly store: WorkshopStore;
  readonly jobs: Jobs;
  readonly results: Results;
  readonly logged: string[];
  /** Clock of the server, moved by the test. */
  readonly clock: { ms: number };
  /** A request as a page of this server sends it; bodies go as JSON. */
  ask(method: string, path: string, body?: unknown, headers?: Record<string, string>): Promise<Response>;
  end(): Promise<void>;
}

export interface BenchOptions {
  readonly exposure?: Exposure;
  readonly lock?: Lock;
  readonly run?: RunJob;
  readonly atOnce?: number;
  readonly keeper?: ResultKeeper;
  readonly pages?: ReadonlyMap<string, PageFile>;
  readonly terrain?: TerrainDesk;
  /** Where the system has a disk in memory: for tests of thousands of saves, which are not about the disk. */
  readonly inMemory?: boolean;
  /** Stands in for the store where a fault is wanted. */
  readonly store?: (real: WorkshopStore) => WorkshopStore;
}

const noJob: RunJob = () => Promise.reject(new Error('no job is expected in this test'));

/** The whole server in this process on a real SQLite file; only the port and the computing threads are left out. */
export async function bench(options: BenchOptions = {}): Promise<Bench> {
  const shared = options.inMemory === true && existsSync('/dev/shm');
  const folder = mkdtempSync(join(shared ? '/dev/shm' : tmpdir(), 'server-'));
  const clock = { ms: Date.parse('2030-01-01T00:00:00Z') };
  const now = () => new Date(clock.ms++).toISOString();
  const real = await openStore(join(folder, 'valley.sunperch'), { create: true, now });
  const store = options.store?.(real) ?? real;
  const logged: string[] = [];
  const log = (line: string) => void logged.push(line);
  const exposure = options.exposure ?? LOCAL;
  const results = await createResults(options.keeper, log);
  const jobs = createJobs(options.run ?? noJob, results, options.atOnce ?? 2, log);
  const access = createAccess(options.lock, exposure, () => clock.ms);
  const pages = options.pages ?? new Map();
  const app = createApp({
    store,
    name: 'valley',
    jobs,
    results,
    terrain: options.terrain,
    access,
    exposure,
    version: '1.2.3',
    now,
    log,
    pages,
    // Loaded by the few tests that want it.
    setOnPaper: async (page, paper) => {
      const [{ pagePdf }, { testFonts }] = await Promise.all([
        import('../../src/papers/index.ts'),
        import('../papers/fonts.ts'),
      ]);
      return pagePdf(page, { paper, fonts: testFonts(), created: new Date(clock.ms), version: '1.2.3' });
    },
    setBenchPaper: async (outcome) => {
      const [{ setWith }, { testFonts }] = await Promise.all([
        import('../../src/cli/bench-paper.ts'),
        import('../papers/fonts.ts'),
      ]);
      const setting = { paper: outcome.size, fonts: testFonts(), created: new Date(clock.ms), version: '1.2.3' };
      return setWith(outcome, setting);
    },
  });
  return {
    app,
    store,
    jobs,
    results,
    logged,
    clock,
    ask: async (method, path, body, headers = {}) =>
      app.request(`${HOST}${path}`, {
        method,
        headers: { ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
        ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
      }),
    end: async () => {
      jobs.close();
      await real.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export async function json<T = Record<string, unknown>>(answer: Response | Promise<Response>): Promise<T> {
  return (await (await answer).json()) as T;
}

/** Codes of the problems of an answer. */
export async function codes(answer: Response | Promise<Response>): Promise<string[]> {
  const { problems } = await json<{ problems: { code: string }[] }>(answer);
  return problems.map(({ code }) => code);
}

/** A runner that the test lets go, step by step. */
export function heldRunner() {
  const calls: {
    input: JobInput;
    progress: (done: number, total: number, what: string) => void;
    finish: (result: unknown) => void;
    fail: (error: unknown) => void;
    stopped: boolean;
  }[] = [];
  const run: RunJob = (input, progress, signal) =>
    new Promise((resolve, reject) => {
      const call = { input, progress, finish: resolve, fail: reject, stopped: false };
      signal.addEventListener('abort', () => {
        call.stopped = true;
        reject(signal.reason);
      });
      calls.push(call);
    });
  return { calls, run };
}

/** Lets everything that waits on promises go on. */
export const settle = () => new Promise<void>((resolve) => setImmediate(resolve));

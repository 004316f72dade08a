/** Wires the server: database, threads, pages, clock, passphrase; and ends it in order. */
import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { WorkshopStore } from '../app/store-port.ts';
import { addFiles } from '../app/workshop-save.ts';
import { UserError, userError } from '../core/units/index.ts';
import { readText } from '../host/files.ts';
import { runJobInThread } from '../host/job.ts';
import { readPages } from '../host/page-files.ts';
import { resultFiles } from '../host/result-files.ts';
import { writeSecret } from '../host/secret-file.ts';
import { createAccess } from '../server/access.ts';
import { createApp } from '../server/app.ts';
import { type Exposure, isLoopback, readOrigin } from '../server/exposure.ts';
import { createJobs, isPassing } from '../server/jobs.ts';
import { listen } from '../server/listen.ts';
import { type Lock, makeLock, readLock } from '../server/passphrase.ts';
import { oneLine } from '../server/problems.ts';
import { createResults } from '../server/results.ts';
import { openStore } from '../store/index.ts';
import { setBenchPaper } from './bench-paper.ts';
import type { JobOrder } from './job.ts';
import { setOnPaper } from './report-file.ts';
import { queueAddress } from './spread.ts';
import { DEMO_TERRAIN, demoPlace, type TerrainPlace } from './terrain-place.ts';
import { createTerrainService, type TerrainService } from './terrain-service.ts';
import { VERSION } from './version.ts';
import { pageFonts } from './wiring.ts';

export interface ServeRequest {
  /** File or postgres:// address of the workshop; made when there is none. */
  readonly workshop: string;
  readonly host: string;
  readonly port: number;
  readonly origins: readonly string[];
  readonly demo: boolean;
  /** Heights for reach and horizon; with the demo and without one the demo's own. */
  readonly terrain?: TerrainPlace | undefined;
  /** Jobs run on other machines, through the queue of SUNPERCH_DATABASE. */
  readonly spread: boolean;
  /** SUNPERCH_PASSPHRASE, when it is set. */
  readonly passphrase: string | undefined;
}

export interface Serving {
  readonly url: string;
  readonly workshop: string;
  readonly locked: boolean;
  readonly exposure: Exposure;
  stop(): Promise<void>;
}

/** A job that is stopped has so long to take its parts off the queue. */
const TAKING_BACK_ms = 2000;
const now = () => new Date().toISOString();
/** What stands beside the workshop's file, or in the folder at hand when the workshop is on a database server. */
const beside = (workshop: string, end: string) =>
  /^postgres(ql)?:/.test(workshop) ? `./sunperch.${end}` : `${workshop}.${end}`;

/** Keeps the hash of a new passphrase beside the workshop; all sessions end with the old one. */
export async function setPassphrase(workshop: string, passphrase: string): Promise<string> {
  const file = beside(workshop, 'passphrase');
  await writeSecret(file, `${JSON.stringify(await makeLock(passphrase), null, 2)}\n`);
  return file;
}

export async function serve(request: ServeRequest): Promise<Serving> {
  const origins = request.origins.map(readOrigin);
  const exposure: Exposure = { network: !isLoopback(request.host) || origins.length > 0, origins };
  const lock = await lockOf(request, exposure);
  if (request.spread) queueAddress();
  const terrain = await terrainService(request);
  const place = terrain?.place;
  const store = await openOrMake(request.workshop);
  const log = (line: string) => void process.stderr.write(`${now()} ${oneLine(line)}\n`);
  try {
    if (request.demo) await addDemo(store);
    const results = await createResults(resultFiles(beside(request.workshop, 'results')), log);
    const entry = new URL('./job.mjs', import.meta.url);
    const jobs = createJobs(
      (input, onProgress, signal) =>
        terrain !== undefined && isPassing(input)
          ? terrain.service.quick(input, signal)
          : runJobInThread(
              entry,
              {
                input,
                spread: request.spread,
                terrain: input.radio === undefined ? undefined : place,
              } satisfies JobOrder,
              onProgress,
              signal,
              request.spread ? TAKING_BACK_ms : 0,
            ),
      results,
      availableParallelism(),
      log,
    );
    const app = createApp({
      store,
      name: basename(store.place).replace(/\.sunperch$/, ''),
      jobs,
      results,
      terrain: terrain?.service,
      access: createAccess(lock, exposure, Date.now),
      exposure,
      version: VERSION,
      now,
      log,
      pages: await readPages(fileURLToPath(new URL('./web/', import.meta.url))),
      ...(await pageFonts()),
      setOnPaper,
      setBenchPaper,
    });
    const listening = await listen(app, request.host, request.port);
    const shown = request.host.includes(':') ? `[${request.host}]` : request.host;
    return {
      url: origins[0] ?? `http://${shown}:${listening.port}`,
      workshop: store.place,
      locked: lock !== undefined,
      exposure,
      async stop() {
        // First the jobs, so that those who watch them hear of their end; then what is being answered; the database last.
        jobs.close();
        await listening.stop();
        await terrain?.service.close();
        await store.close();
      },
    };
  } catch (error) {
    await terrain?.service.close();
    await store.close();
    throw error;
  }
}

/** The terrain that was named is opened at once, so that a wrong name is told here; the demo's when it is first wanted. */
async function terrainService(
  request: ServeRequest,
): Promise<{ readonly place: TerrainPlace; readonly service: TerrainService } | undefined> {
  if (request.terrain !== undefined) {
    const service = createTerrainService(request.terrain);
    try {
      await service.about();
    } catch (error) {
      await service.close();
      throw error;
    }
    return { place: request.terrain, service };
  }
  if (!request.demo) return undefined;
  const place = demoPlace();
  return { place, service: createTerrainService(place, DEMO_TERRAIN) };
}

/** On a network a passphrase is demanded; on the machine itself only when it is given by name. Damaged: no start. */
async function lockOf(request: ServeRequest, exposure: Exposure): Promise<Lock | undefined> {
  if (request.passphrase !== undefined) return makeLock(request.passphrase);
  if (!exposure.network) return undefined;
  const file = beside(request.workshop, 'passphrase');
  if (existsSync(file)) return readLock(await readText(file), file);
  throw userError(
    'passphrase-wanted',
    'the workshop would be open to everyone on the network: set a passphrase first with `sunperch serve --set-passphrase`, or give one in SUNPERCH_PASSPHRASE',
  );
}

async function openOrMake(workshop: string): Promise<WorkshopStore> {
  try {
    return await openStore(workshop, { now });
  } catch (error) {
    const absent = error instanceof UserError && error.problems[0]?.code === 'no-workshop';
    if (!absent) throw error;
    return openStore(workshop, { create: true, now });
  }
}

/** The examples that are kits, perches and nets; others beside them are lists of candidates and the like. */
const DEMO = [
  ...['alder-3', 'bare-board', 'hut-kaldra', 'rescue-post', 'tarnwick-shed'],
  ...['village-ossel', 'hut-varn', 'hut-tessel', 'hut-serin', 'hut-brenk', 'hut-moldur', 'hut-ilva'],
  ...['alp-orla', 'alp-fenna', 'alp-sutt', 'ossel'],
];

/** The examples as first kits and perches, and a batch half-way at the bench, when there is nothing yet. */
async function addDemo(store: WorkshopStore): Promise<void> {
  if ((await store.list()).length > 0) return;
  const folder = fileURLToPath(new URL('../examples/', import.meta.url));
  const files = DEMO.map((name) => `${folder}${name}.yaml`);
  await addFiles({ readText, now }, store, { files, note: 'demo' });
  if ((await store.bench.head()) > 0) return;
  const [{ demoEntries }, { parseYamlRecord }, { readParts, readPlan }] = await Promise.all([
    import('../app/bench/demo.ts'),
    import('../formats/yaml-record.ts'),
    import('../records/bench/index.ts'),
  ]);
  const read = async (file: string) => parseYamlRecord(await readText(file), file);
  const parts = readParts(await read(`${folder}bench/parts.yaml`));
  const plan = readPlan(await read(`${folder}bench/plan-alder-3.yaml`));
  await store.bench.append(demoEntries({ parts, plan }), 0);
}

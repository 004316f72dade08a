import { execFileSync, type SpawnSyncOptionsWithStringEncoding, spawnSync } from 'node:child_process';
import {
  closeSync,
  cpSync,
  existsSync,
  mkdtempSync,
  openSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect } from 'vitest';
import { FULL_KIT, HUT } from '../app/records.ts';
import { type Ask, type Ended, startWarm } from './warm.ts';

/** Root of the checkout. */
export const ROOT = fileURLToPath(new URL('../../', import.meta.url));

const BUNDLE = join(ROOT, 'dist/sunperch.mjs');
const LOCK = join(ROOT, 'node_modules/.sunperch-test-build');
/** A copy of the built program, so that a build while the tests run changes nothing under them. */
const COPY = mkdtempSync(join(tmpdir(), 'sunperch-built-'));
export const PROGRAM = join(COPY, 'bin/sunperch');
/** A kit and a perch for the tests, apart from the examples. */
export const KIT = join(COPY, 'ash.yaml');
export const PERCH = join(COPY, 'hut.yaml');
writeFileSync(KIT, FULL_KIT);
writeFileSync(PERCH, HUT);

function newest_ms(folder: string): number {
  let newest = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true, recursive: true }))
    if (entry.isFile()) newest = Math.max(newest, statSync(join(entry.parentPath, entry.name)).mtimeMs);
  return newest;
}
const isFresh = () => existsSync(BUNDLE) && statSync(BUNDLE).mtimeMs >= newest_ms(join(ROOT, 'src'));

/** Takes a copy and says whether it is a whole one, not from the middle of a build. */
function copyRuns(): boolean {
  rmSync(join(COPY, 'dist'), { recursive: true, force: true });
  try {
    for (const part of ['bin', 'dist', 'schema', 'migrations', 'examples'])
      cpSync(join(ROOT, part), join(COPY, part), { recursive: true });
  } catch {
    return false;
  }
  const run = (...args: string[]) => spawnSync(process.execPath, [PROGRAM, ...args]).status === 0;
  return run('--version') && run('year', KIT, PERCH, '--years', '1');
}

/**
 * Builds the program once where the bundle is older than the source (`npm test` has built it before), and takes the copy
 * that the tests run.
 */
export function ensureBuilt(): void {
  if (!ready) makeReady();
  ready = true;
}
/** Once a process, however many test files it runs. */
let ready = false;

const wait = (time_ms: number) => void Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, time_ms);

function makeReady(): void {
  if (!existsSync(join(COPY, 'node_modules'))) symlinkSync(join(ROOT, 'node_modules'), join(COPY, 'node_modules'));
  process.on('exit', () => rmSync(COPY, { recursive: true, force: true }));
  for (let tries = 0; tries < 100; tries++) {
    if (isFresh() && copyRuns()) return;
    try {
      closeSync(openSync(LOCK, 'wx'));
    } catch {
      // Another test file builds; a lock that is left over from a killed run is old.
      if (existsSync(LOCK) && Date.now() - statSync(LOCK).mtimeMs > 60_000) rmSync(LOCK, { force: true });
      wait(500);
      continue;
    }
    try {
      if (!isFresh()) execFileSync(process.execPath, ['tools/build.mjs'], { cwd: ROOT, stdio: 'ignore' });
      // Source that is written to while it is built looks old again: what was built just now will do.
      if (copyRuns()) return;
    } finally {
      rmSync(LOCK, { force: true });
    }
  }
  throw new Error('the program could not be built for the tests: run `npm run build`');
}

export interface Told extends Ended {
  /** Standard output as JSON. */
  readonly json: () => Record<string, unknown>;
}

/** A line of a stack trace: `    at name (file:1:2)`. */
export const STACK = /^\s+at .+:\d+:\d+\)?$/m;

/** Runs the built program in a process of its own, as a user does. */
export function runAlone(args: readonly string[], options: Partial<SpawnSyncOptionsWithStringEncoding> = {}): Ended {
  ensureBuilt();
  const { status, stdout, stderr, error } = spawnSync(process.execPath, [PROGRAM, ...args], {
    cwd: ROOT,
    maxBuffer: 1 << 28,
    timeout: 60_000,
    ...options,
    encoding: 'utf8',
  });
  if (error) throw error;
  return { code: status, out: stdout, err: stderr };
}

let warm: Ask | undefined;
/** Commands that have had a process of their own, by test file. */
const alone = new Set<string>();

/**
 * Runs the built program. The first time that a test file asks for a command it has a process of its own, as a user's has;
 * after that one process runs all, since starting takes longer than most commands.
 */
export function run(args: readonly string[], cwd = ROOT): Ended {
  const command = `${expect.getState().testPath} ${args[0]}`;
  if (!alone.has(command)) {
    alone.add(command);
    return runAlone(args, { cwd });
  }
  warm ??= startWarm(join(COPY, 'dist/sunperch.mjs'), PROGRAM);
  return warm(args, cwd);
}

/** The same, and whatever the outcome: no stack trace, nothing unexpected. */
export function cli(args: readonly string[], options: { readonly cwd?: string } = {}): Told {
  const ended = run(args, options.cwd);
  expect(ended.err).not.toMatch(STACK);
  expect(ended.err).not.toMatch(/Unexpected:|undefined|\[object/);
  return { ...ended, json: () => JSON.parse(ended.out) as Record<string, unknown> };
}

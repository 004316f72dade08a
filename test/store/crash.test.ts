import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createRandom } from '../../src/core/math/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { openStore } from '../../src/store/index.ts';
import { contentOf, GATED_UNITS, noteOf } from './crash-content.ts';
import { now, places } from './places.ts';

// Method: a child works and is killed at a chance moment, the parent keeps a ledger of what was acknowledged and compares
// (How SQLite Is Tested, section 3; Pillai et al., OSDI 2014). A killed process loses nothing that it gave to the system:
// the loss of power is not tried here, against it stands the sync at each commit, which is checked as a setting.
const KILLS = 200;
const KILLS_A_FILE = 8;

let folder = '';
let writer = '';
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunperch-crash-'));
  // Two levels below the root, as the source is: from there it finds migrations/ and the packages.
  mkdirSync('out/crash', { recursive: true });
  writer = 'out/crash/writer.mjs';
  await build({
    entryPoints: ['test/store/crash-writer.ts'],
    outfile: writer,
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    external: ['better-sqlite3', 'pg'],
    logLevel: 'warning',
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const start = (...args: string[]) => spawn(process.execPath, [writer, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });

/** Lines that came out whole, and the end of a child. */
function ending(child: ChildProcess, onLine: (lines: number) => void = () => undefined) {
  let out = '';
  let err = '';
  child.stdout!.setEncoding('utf8').on('data', (text: string) => {
    out += text;
    onLine(out.split('\n').length - 1);
  });
  child.stderr!.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  return new Promise<{ lines: string[]; err: string; signal: string | null; code: number | null }>((resolve) =>
    child.on('close', (code, signal) => resolve({ lines: out.split('\n').slice(0, -1), err, signal, code })),
  );
}

/** Everything in the file is whole and all of the ledger is there; gives what stands, undefined before the first table does. */
async function audit(file: string, ledger: ReadonlySet<string>): Promise<Set<string> | undefined> {
  let store: Awaited<ReturnType<typeof openStore>>;
  try {
    store = await openStore(file, { now });
  } catch (error) {
    // Killed before the first table stood.
    if (!(error instanceof UserError) || error.problems[0]?.code !== 'no-workshop') throw error;
    expect(ledger.size).toBe(0);
    return undefined;
  }
  expect(await store.check()).toEqual([]);
  const rows = await store.everything();
  const entries = await store.bench.after(0);
  await store.close();
  for (const { key, number, note, content, latitude_deg } of rows) {
    if (content !== contentOf(key, number, note)) expect.fail(`${key} ${number} is not whole`);
    if (latitude_deg !== number) expect.fail(`${key} ${number} has the place of another`);
  }
  const there = new Set(rows.map(({ key, number, note }) => `${note} ${key}:${number}`));
  // Two gates in one append: entries come in pairs, numbered over all and within each unit without a gap.
  for (const [i, { seq, stream, number, by, content }] of entries.entries()) {
    const head = i - (i % 2);
    expect({ seq, stream, number }).toEqual({ seq: i + 1, stream: GATED_UNITS[i % 2], number: 1 + head / 2 });
    expect(content).toMatchObject({ kind: 'gate-measured', value: head, note: noteOf(head, by) });
    there.add(`${by} gate:${seq}`);
  }
  expect(entries.length % 2).toBe(0);
  for (const save of ledger) if (!there.has(save)) expect.fail(`${save} was acknowledged and is lost`);
  const count = (key: string) => rows.filter((row) => row.key === key).length;
  expect(count('left')).toBe(count('right'));
  return there;
}

describe('a process killed at any moment', () => {
  it(`keeps what it acknowledged, whole, ${KILLS} times`, { timeout: 300_000 }, async () => {
    const seen = { kills: 0, saves: 0, unsaid: 0, gates: 0, unsaidGates: 0, beforeTables: 0, copies: 0 };
    const lane = async (seed: number) => {
      const random = createRandom(seed);
      for (let f = 0; seen.kills < KILLS; f++) {
        const file = join(folder, `${seed}-${f}.sunperch`);
        const ledger = new Set<string>();
        const copies = new Set<string>();
        for (let k = 0; k < KILLS_A_FILE && seen.kills < KILLS; k++) {
          seen.kills++;
          const run = `r${seed}-${f}-${k}`;
          const child = start(file, run);
          const kill = () => void child.kill('SIGKILL');
          // A third die at any time from the start (opening, making tables), the others a little after one of their saves.
          const early = random.next() < 1 / 3;
          const after = 1 + random.below(12);
          const delay_ms = random.next() * (early ? 160 : 4);
          if (early) setTimeout(kill, delay_ms);
          let armed = early;
          const { lines, err, signal } = await ending(child, (count) => {
            if (armed || count < after) return;
            armed = true;
            setTimeout(kill, delay_ms);
          });
          expect(err).toBe('');
          expect(signal).toBe('SIGKILL');
          for (const line of lines) {
            const [what, by, ...saves] = line.split(' ');
            if (what === 'copied') copies.add(`${file}.${by}.copy`);
            else for (const save of saves) ledger.add(`${by} ${save}`);
          }
          const there = await audit(file, ledger);
          if (there === undefined) seen.beforeTables++;
          // What stands without having been said is the one save that was under way, and it stays from now on.
          const unsaid = [...(there ?? [])].filter((save) => !ledger.has(save));
          expect(unsaid.length === 0 || unsaid.length === 1 || /left.*right|gate.*gate/.test(unsaid.join())).toBe(true);
          expect(unsaid.length).toBeLessThan(3);
          for (const save of unsaid) ledger.add(save);
          if (unsaid.length > 0) seen.unsaid++;
          if (unsaid.some((save) => save.includes('gate:'))) seen.unsaidGates++;
        }
        for (const copy of copies) expect(existsSync(copy)).toBe(true);
        for (const name of readdirSync(folder)) {
          if (!name.startsWith(`${seed}-${f}.`) || !name.endsWith('.copy')) continue;
          seen.copies++;
          await audit(join(folder, name), new Set());
        }
        seen.saves += ledger.size;
        seen.gates += [...ledger].filter((save) => save.includes('gate:')).length;
      }
    };
    await Promise.all([lane(1), lane(2)]);
    expect(seen.kills).toBe(KILLS);
    // The moments are spread: before the tables stood, between save and acknowledgement, after many saves.
    expect(seen.beforeTables).toBeGreaterThan(0);
    expect(seen.unsaid).toBeGreaterThan(0);
    expect(seen.unsaidGates).toBeGreaterThan(0);
    expect(seen.gates).toBeGreaterThan(KILLS);
    expect(seen.copies).toBeGreaterThan(10);
    expect(seen.saves).toBeGreaterThan(KILLS * 3);
  });
});

for (const place of places())
  describe.skipIf(place.absent !== undefined)(
    `three processes on one record, ${place.name}${place.absent ? ` (${place.absent})` : ''}`,
    () => {
      beforeAll(() => place.start());
      afterAll(() => place.stop());

      it('save one after the other, none over another', { timeout: 120_000 }, async () => {
        const target = await place.fresh();
        const store = await openStore(target, { create: true, now });
        const ends = await Promise.all(['a', 'b', 'c'].map((run) => ending(start(target, run, '60'))));
        for (const { err, code } of ends) expect({ err, code }).toEqual({ err: '', code: 0 });
        const said = ends.flatMap(({ lines }) => lines.map((line) => line.replace('saved ', '')));
        const rows = await store.history({ kind: 'kit', key: 'shared' });
        await store.close();
        expect(rows.map(({ number }) => number)).toEqual(Array.from({ length: 180 }, (_, i) => i + 1));
        expect(new Set(rows.map(({ note, key, number }) => `${note} ${key}:${number}`))).toEqual(new Set(said));
        for (const { key, number, note, content } of rows) expect(content).toBe(contentOf(key, number, note));
      });
    },
  );

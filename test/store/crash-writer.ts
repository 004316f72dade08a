/**
 * A program that is made to be killed. `crash-writer FILE RUN` opens or makes the workshop and saves without end: single
 * records, a gate of two units at once, pairs in one save, backups. `crash-writer TARGET RUN COUNT` saves COUNT times on one record, against others.
 * What is done is said on standard output only after it is done.
 */
import { writeSync } from 'node:fs';
import type { Revision, WorkshopStore } from '../../src/app/store-port.ts';
import { openStore } from '../../src/store/index.ts';
import { contentOf, GATED_UNITS, noteOf } from './crash-content.ts';

const now = () => new Date().toISOString();
const say = (line: string) => void writeSync(1, `${line}\n`);
const [target = '', run = '', count] = process.argv.slice(2);

async function open(): Promise<WorkshopStore> {
  try {
    return await openStore(target, { now });
  } catch (error) {
    if ((error as { problems?: { code: string }[] }).problems?.[0]?.code !== 'no-workshop') throw error;
    return openStore(target, { create: true, now });
  }
}

const store = await open();
let head = await store.bench.head();
const numbers = new Map((await store.list()).map(({ key, number }) => [key, number]));

function next(key: string): Revision {
  const number = (numbers.get(key) ?? 0) + 1;
  const place = { latitude_deg: number, longitude_deg: null, elevation_m: null };
  const content = contentOf(key, number, run);
  return {
    kind: 'kit',
    key,
    number,
    name: key,
    ...place,
    restores: null,
    note: run,
    savedAt: now(),
    removed: false,
    content,
  };
}

async function save(keys: readonly string[]): Promise<boolean> {
  const revisions = keys.map(next);
  const { saved } = await store.append(revisions);
  if (!saved) return false;
  for (const { key, number } of revisions) numbers.set(key, number);
  say(`saved ${run} ${revisions.map(({ key, number }) => `${key}:${number}`).join(' ')}`);
  return true;
}

/** One gate of two units, in one append. */
async function measure(): Promise<void> {
  const entries = GATED_UNITS.map((stream) => ({
    ...{ stream, at: now(), by: run, token: null, corrects: null },
    content: { kind: 'gate-measured', gate: 'sleep', value: head, verdict: 'passed', note: noteOf(head, run) } as const,
  }));
  const outcome = await store.bench.append(entries, head);
  if (!outcome.added) throw new Error(`entry ${head + 1}: ${outcome.reason}`);
  head += entries.length;
  say(`saved ${run} ${outcome.entries.map(({ seq }) => `gate:${seq}`).join(' ')}`);
}

if (count === undefined) {
  for (let i = 0; ; i++) {
    if (i % 3 === 2) await save(['left', 'right']);
    else if (i % 3 === 1) await measure();
    else await save([`single-${i % 5}`]);
    if (i % 6 === 5) {
      await store.backup(`${target}.${run}-${i}.copy`);
      say(`copied ${run}-${i}`);
    }
  }
}
for (let done = 0; done < Number(count); ) {
  if (await save(['shared'])) done++;
  else numbers.set('shared', (await store.newest({ kind: 'kit', key: 'shared' }))!.number);
}
await store.close();

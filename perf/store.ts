import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Revision } from '../src/app/store-port.ts';
import { openStore } from '../src/store/index.ts';
import type { BenchRow } from './rows.ts';

const now = () => '2030-01-31T12:00:00.000Z';
const PERCHES = 10_000;
/** The list must stay fluent. */
const LIST_AT_MOST_ms = 100;
/** One in so many has been saved again, so that the newest has to be found. */
const SAVED_AGAIN = 3;

function perch(i: number, number: number, text: string): Revision {
  const key = `perch-${String(i).padStart(5, '0')}`;
  const [latitude_deg, longitude_deg] = [44 + (i % 100) / 50, 9 + Math.floor(i / 100) / 50];
  const place = { latitude_deg, longitude_deg, elevation_m: 1500 };
  const content = text.replace(/^name:.*$/m, `name: ${key}`);
  const rest = { restores: null, note: '', savedAt: now(), removed: false };
  return { kind: 'perch', key, number, name: key, ...place, ...rest, content };
}

async function median_ms(runs: number, work: () => Promise<unknown>): Promise<number> {
  const times: number[] = [];
  for (let r = 0; r < runs; r++) {
    const from = performance.now();
    await work();
    times.push(performance.now() - from);
  }
  return times.sort((a, b) => a - b)[Math.floor(runs / 2)]!;
}

/** A workshop of 10,000 perches on the disk, each the example's 1.4 kB. */
export async function benchStore(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-perf-'));
  const file = join(folder, 'many.sunperch');
  const text = readFileSync(new URL('../examples/hut-kaldra.yaml', import.meta.url), 'utf8');
  try {
    let store = await openStore(file, { create: true, now });
    const all = Array.from({ length: PERCHES }, (_, i) => perch(i, 1, text));
    const fill = await median_ms(1, () => store.append(all));
    await store.append(all.filter((_, i) => i % SAVED_AGAIN === 0).map((_, i) => perch(i * SAVED_AGAIN, 2, text)));
    const save = await median_ms(51, async () => {
      const { number } = (await store.newest({ kind: 'perch', key: 'perch-00000' }))!;
      await store.append([perch(0, number + 1, text)]);
    });
    await store.close();
    const open = await median_ms(5, async () => {
      store = await openStore(file, { now });
      await store.close();
    });
    store = await openStore(file, { now });
    const list = await median_ms(11, async () => {
      if ((await store.list('perch')).length !== PERCHES) throw new Error('the list is not whole');
    });
    const before = process.cpuUsage();
    for (let k = 0; k < 5; k++) await store.list('perch');
    const used = process.cpuUsage(before);
    const listCpu = (used.user + used.system) / 5000;
    const newest = await median_ms(101, () => store.newest({ kind: 'perch', key: 'perch-05000' }));
    const everything = await median_ms(5, () => store.everything());
    const raw = new Database(file, { readonly: true });
    const reading = raw.prepare('select kind, key, name, latitude_deg, longitude_deg, elevation_m, note from revision');
    const bare = await median_ms(11, async () => reading.all());
    raw.close();
    await store.close();
    return [
      {
        name: 'list of 10,000 perches',
        value: list,
        unit: 'ms',
        ratio: list / bare,
        against: 'the bare rows of the table',
      },
      // What the machine is busy with besides does not count here.
      { name: 'list, processor time', value: listCpu, unit: 'ms' },
      { name: 'list, share of the 100 ms allowed', value: list / LIST_AT_MOST_ms, unit: '' },
      { name: 'opening with its check', value: open, unit: 'ms' },
      { name: 'one perch with its content', value: newest, unit: 'ms' },
      { name: 'one save, synced to the disk', value: save, unit: 'ms' },
      { name: '10,000 saves at once', value: fill, unit: 'ms' },
      { name: 'everything, each digest checked', value: everything, unit: 'ms' },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

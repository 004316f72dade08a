import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { act, openBench, refresh } from '../../src/app/bench/act.ts';
import type { BenchState } from '../../src/app/bench/state.ts';
import { moveStock } from '../../src/app/bench/stores.ts';
import type { Content, NewEntry } from '../../src/records/bench/index.ts';
import { openStore } from '../../src/store/index.ts';
import { problemsOf } from '../app/real-ports.ts';
import { now, places } from './places.ts';

const entry = (stream: string, content: Content, more: Partial<NewEntry> = {}): NewEntry => ({
  stream,
  at: '2030-01-31T12:00:00Z',
  by: 'someone at the bench',
  token: null,
  corrects: null,
  content,
  ...more,
});

const PLAN: Content = {
  kind: 'plan-saved',
  name: 'Alder 3',
  kit: 'alder-3',
  kitRevision: 'C',
  bom: [],
  subassemblies: [],
  steps: [],
  gates: [
    { key: 'sleep', name: 'Sleep current', measures: 'sleep current', high: 40, required: true },
    { key: 'spray', name: 'Spray test', measures: 'spray test', required: true },
  ],
  variants: [],
};
const passed = (gate: string, value: number | boolean): Content => ({
  kind: 'gate-measured',
  gate,
  value,
  verdict: 'passed',
});

/** A batch with one unit that has passed one of two gates. */
const BEGUN: NewEntry[] = [
  entry('plan:alder-3', PLAN),
  entry('batch:a-07', {
    kind: 'batch-opened',
    name: 'A-07',
    plan: 'alder-3',
    planNumber: 1,
    count: 60,
    region: 'EU',
    prefix: 'A07',
  }),
  entry('lot:cells-1', {
    kind: 'lot-received',
    part: 'cell',
    count: 10,
    supplier: 'one',
    currency: 'EUR',
    goods_minor: 4500,
    freight_minor: 0,
    duty_minor: 0,
    fees_minor: 0,
  }),
  entry('unit:A07-1', { kind: 'unit-made', batch: 'a-07', position: 1 }),
  entry('unit:A07-1', { kind: 'part-fitted', part: 'cell', lot: 'cells-1', count: 3 }),
  entry('unit:A07-1', passed('sleep', 22)),
];
const shipped = entry('unit:A07-1', { kind: 'unit-shipped' });

describe.each(places())('the bench on $name', (place) => {
  beforeAll(place.start);
  afterAll(() => place.stop());
  const skip = place.absent !== undefined;
  const open = async () => (await openStore(await place.fresh(), { create: true, now })).bench;

  it.skipIf(skip)('numbers entries over all and within their stream, and gives them back as they were', async () => {
    const bench = await open();
    const { added } = await bench.append(BEGUN, 0);
    expect(added).toBe(true);
    const all = await bench.after(0);
    expect(all.map(({ seq, number }) => [seq, number])).toEqual([
      [1, 1],
      [2, 1],
      [3, 1],
      [4, 1],
      [5, 2],
      [6, 3],
    ]);
    expect(all.map(({ seq: _, number: __, ...rest }) => rest)).toEqual(BEGUN);
    expect(await bench.after(4)).toEqual(all.slice(4));
    expect(await bench.stream('unit:A07-1')).toEqual(all.slice(3));
    expect(await bench.head()).toBe(6);
  });

  it.skipIf(skip)('adds nothing when others came first, nor a token twice', async () => {
    const bench = await open();
    await bench.append(BEGUN, 0);
    expect((await bench.append([entry('unit:A07-1', passed('spray', true))], 5)).added).toBe(false);
    const once = entry('unit:A07-1', passed('spray', true), { token: 'sent-from-a-phone' });
    expect((await bench.append([once], 6)).added).toBe(true);
    expect((await bench.append([once], 7)).added).toBe(false);
    expect(await bench.head()).toBe(7);
  });

  it.skipIf(skip)('lets one win of many who add at once', async () => {
    const bench = await open();
    await bench.append(BEGUN, 0);
    const tries = await Promise.all(
      Array.from({ length: 8 }, (_, i) =>
        bench.append([entry('unit:A07-1', passed('spray', true), { by: `${i}` })], 6),
      ),
    );
    expect(tries.filter((t) => t.added)).toHaveLength(1);
    expect(await bench.head()).toBe(7);
  });

  it.skipIf(skip)(
    'lets two programs that take from one lot at the same moment not take more than there is',
    async () => {
      const target = await place.fresh();
      const first = await openStore(target, { create: true, now });
      await first.bench.append(BEGUN, 0);
      const second = await openStore(target, { now });
      const benches = await Promise.all([first, second].map((store) => openBench(store.bench)));
      const signed = { by: 'someone', at: '2030-01-31T12:00:00Z' };
      const take = (state: BenchState) => moveStock(state, 'cells-1', { change: -3, why: 'scrapped' });
      const tries = await Promise.allSettled(Array.from({ length: 6 }, (_, i) => act(benches[i % 2]!, signed, take)));
      // Seven lie there: three go twice, the others are told what is left.
      expect(tries.filter((t) => t.status === 'fulfilled')).toHaveLength(2);
      for (const t of tries) if (t.status === 'rejected') expect(String(t.reason)).toContain('has 1 left, 3 are to go');
      for (const bench of benches) await refresh(bench);
      expect(benches.map((bench) => bench.state.lots.get('cells-1')!.left)).toEqual([1, 1]);
      await second.close();
      await first.close();
    },
  );

  it.skipIf(skip)('ships no unit with an open gate or a quarantined lot, whoever asks', async () => {
    const bench = await open();
    await bench.append(BEGUN, 0);
    expect((await problemsOf(() => bench.append([shipped], 6)))[0]?.message).toBe(
      'A07-1 has not passed Spray test: measure it first',
    );
    await bench.append([entry('unit:A07-1', passed('spray', true))], 6);
    const quarantined = entry('lot:cells-1', { kind: 'lot-quarantined', reason: 'two leaked' });
    expect((await problemsOf(() => bench.append([quarantined, shipped], 7)))[0]?.message).toContain('quarantined');
    const refused = entry('lot:cells-1', { kind: 'lot-inspected', defective: [], verdict: 'refused' });
    expect((await problemsOf(() => bench.append([refused, shipped], 7)))[0]?.message).toContain('quarantined');
    // A gate that fails at the same moment: either the failure stands first and the unit stays, or the unit is gone.
    const failed = entry('unit:A07-1', { kind: 'gate-measured', gate: 'spray', value: false, verdict: 'failed' });
    const both = await Promise.allSettled([bench.append([failed], 7), bench.append([shipped], 7)]);
    expect(both.filter((t) => t.status === 'fulfilled' && t.value.added)).toHaveLength(1);
    expect(await bench.head()).toBe(8);
  });

  it.skipIf(skip)('keeps a file once, byte for byte, and before the entry that names it', async () => {
    const target = await place.fresh();
    const store = await openStore(target, { create: true, now });
    const { bench } = store;
    const content = Uint8Array.from({ length: 70_000 }, (_, i) => (i * 7919) % 256);
    const sha256 = createHash('sha256').update(content).digest('hex');
    const evidence = entry('batch:a-07', {
      ...{ kind: 'evidence-kept', paper: 'declaration', name: 'r.pdf', type: 'application/pdf' },
      ...{ bytes: content.length, sha256 },
    });
    await bench.append(BEGUN, 0);
    await expect(bench.append([evidence], 6)).rejects.toThrow('named before it is kept');
    expect(await Promise.all([1, 2, 3].map(() => bench.keepFile(content)))).toEqual([sha256, sha256, sha256]);
    expect((await bench.append([evidence], 6)).added).toBe(true);
    expect(await bench.files()).toEqual([{ sha256, size: content.length }]);
    expect(await bench.file(sha256)).toEqual(content);
    expect(await bench.file('0'.repeat(64))).toBeUndefined();
    expect(await store.check()).toEqual([]);
    // The copy of a file in use, or of a server, has it too.
    const copy = join(mkdtempSync(join(tmpdir(), 'kept-')), 'copy.sunperch');
    await store.backup(copy);
    const other = await openStore(copy, { now });
    expect(await other.bench.file(sha256)).toEqual(content);
    await other.close();
    rmSync(dirname(copy), { recursive: true });
    await expect(place.raw(target, 'update kept_file set size = 1')).rejects.toThrow('never changed');
    await expect(place.raw(target, 'delete from kept_file')).rejects.toThrow('deleted');
    await store.close();
  });

  it.skipIf(skip)('tells a file that is not as it was kept', async () => {
    const target = await place.fresh();
    const store = await openStore(target, { create: true, now });
    const sha256 = await store.bench.keepFile(new Uint8Array(64).fill(7));
    await place.raw(
      target,
      place.name === 'SQLite' ? 'drop trigger kept_file_unchanged' : 'drop trigger kept_file_unchanged on kept_file',
    );
    await place.raw(target, 'update kept_file set content = content || content, size = 128');
    expect(await problemsOf(() => store.bench.file(sha256))).toMatchObject([{ code: 'workshop-damaged' }]);
    expect(await store.check()).toEqual([expect.stringMatching(/^file 0?.* is not as it was kept$/)]);
    await store.close();
  });

  it.skipIf(skip)('lets no program change or delete an entry', async () => {
    const target = await place.fresh();
    const { bench } = await openStore(target, { create: true, now });
    await bench.append(BEGUN, 0);
    await expect(place.raw(target, "update entry set signed = 'me'")).rejects.toThrow('never changed');
    await expect(place.raw(target, 'delete from entry')).rejects.toThrow('deleted');
  });
});

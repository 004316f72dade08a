/** A bench in memory for tests of the rules, and the plan of a small kit. The stores on disk have tests of their own. */

import { act, type Bench, type Deed, openBench } from '../../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../../src/app/bench/batches.ts';
import type { BenchState } from '../../../src/app/bench/state.ts';
import type { BenchStore } from '../../../src/app/bench-port.ts';
import { digest } from '../../../src/host/folders.ts';
import type { Content, Entry, Plan } from '../../../src/records/bench/index.ts';

/** A list that takes entries as the databases do. */
export function listStore(): BenchStore & { readonly entries: Entry[] } {
  const entries: Entry[] = [];
  const files = new Map<string, Uint8Array>();
  return {
    entries,
    head: async () => entries.length,
    after: async (seq) => entries.slice(seq),
    stream: async (stream) => entries.filter((e) => e.stream === stream),
    append: async (fresh, head) => {
      if (head !== entries.length) return { added: false, reason: 'others came first' };
      const added = fresh.map((entry, i): Entry => {
        const number = [...entries, ...fresh.slice(0, i)].filter((e) => e.stream === entry.stream).length + 1;
        return { ...entry, seq: head + 1 + i, number };
      });
      entries.push(...added);
      return { added: true, entries: added };
    },
    keepFile: async (content) => {
      const sha256 = digest(content);
      files.set(sha256, content);
      return sha256;
    },
    file: async (sha256) => files.get(sha256),
    files: async () => [...files].map(([sha256, { length }]) => ({ sha256, size: length })),
  };
}

export const PLAN: Omit<Plan, 'kind'> = {
  name: 'Alder 3',
  kit: 'alder-3',
  kitRevision: 'C',
  bom: [
    { part: 'cell', count: 3, scrap_pct: 2, alternates: ['cell-b'] },
    { part: 'screw', count: 4, scrap_pct: 5, alternates: [] },
  ],
  subassemblies: [
    { key: 'lid', name: 'Lid', count: 1, bom: [{ part: 'screw', count: 2, scrap_pct: 0, alternates: [] }] },
  ],
  steps: [
    { key: 'cells', name: 'Fit the cells', time_min: 4, parts: ['cell'], gates: ['sleep'] },
    { key: 'close', name: 'Close the lid', time_min: 6, parts: [], gates: ['spray'] },
  ],
  gates: [
    { key: 'sleep', name: 'Sleep current', measures: 'sleep current', high: 40, uncertainty: 2, required: true },
    { key: 'ceiling', name: 'Ceiling', measures: 'ceiling voltage', low: 4.05, high: 4.12, required: true },
    { key: 'spray', name: 'Spray test', measures: 'spray test', required: true },
  ],
  variants: [],
};

const stock = (part: string, count: number): Content => ({
  kind: 'lot-received',
  part,
  count,
  supplier: 'one',
  currency: 'EUR',
  goods_minor: 100 * count,
  freight_minor: 0,
  duty_minor: 0,
  fees_minor: 0,
});
const part = (name: string): Content => ({ kind: 'part-saved', name, is: 'other', measured: 'piece', offers: [] });

export interface TestBench extends Bench {
  readonly entries: Entry[];
  /** Does something as one person at one time. */
  do(decide: (state: BenchState) => readonly Deed[], token?: string): Promise<readonly Entry[]>;
}

export async function emptyTestBench(): Promise<TestBench> {
  const store = listStore();
  const bench = await openBench(store);
  return {
    ...bench,
    entries: store.entries,
    do: (decide, token) => act(bench, { by: 'M. at the bench', at: '2030-01-31T12:00:00Z', token }, decide),
  };
}

/** Batch a-07 of five units, ten cells and a hundred screws in the stores. */
export async function testBench(): Promise<TestBench> {
  const bench = await emptyTestBench();
  await bench.do((state) => savePlan(state, 'alder-3', PLAN));
  await bench.do((state) => openBatch(state, { key: 'a-07', plan: 'alder-3', count: 5, prefix: 'A07' }));
  await bench.do(() => [
    { stream: 'part:cell', content: part('Cell') },
    { stream: 'part:screw', content: part('Screw') },
    { stream: 'lot:cells-1', content: stock('cell', 10) },
    { stream: 'lot:screws-1', content: stock('screw', 100) },
  ]);
  return bench;
}

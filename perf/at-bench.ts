import { serialOf } from '../src/app/bench/batches.ts';
import type { Content, NewEntry, Plan } from '../src/records/bench/index.ts';
import { bench, HOST } from '../test/server/make.ts';
import type { BenchRow } from './rows.ts';

const UNITS = 2000;
const GATES = 30;
const MOST = { page_ms: 200, find_ms: 50 } as const;
const at = '2030-01-31T12:00:00Z';

const plan: Plan = {
  ...{
    kind: 'plan-saved',
    name: 'Alder 3',
    kit: 'alder-3',
    kitRevision: 'C',
    bom: [],
    subassemblies: [],
    variants: [],
  },
  steps: Array.from({ length: 10 }, (_, s) => ({
    ...{ key: `step-${s}`, name: `Step ${s}`, time_min: 2, parts: [] },
    gates: Array.from({ length: 3 }, (__, g) => `gate-${3 * s + g}`),
  })),
  gates: Array.from({ length: GATES }, (_, g) => ({
    ...{ key: `gate-${g}`, name: `Gate ${g}`, measures: 'sleep current' as const, high: 40, required: true },
  })),
};

/** A batch of 2,000 units, each measured at 30 gates, some failed: 84,001 entries. */
function entries(): NewEntry[] {
  const list: NewEntry[] = [];
  const add = (stream: string, content: Content) =>
    list.push({ stream, at, by: 'A. Lund', token: null, corrects: null, content });
  add('plan:p', plan);
  const batch = { name: 'A-07', plan: 'p', planNumber: 1, count: UNITS, region: 'EU' as const, prefix: 'A07' };
  add('batch:a-07', { kind: 'batch-opened', ...batch });
  for (let i = 1; i <= UNITS; i++) {
    const unit = `unit:${serialOf('A07', i, UNITS)}`;
    add(unit, { kind: 'unit-made', batch: 'a-07', position: i });
    for (let g = 0; g < GATES; g++) {
      const value = 20 + ((i * 7 + g * 3) % 19) / 2;
      add(unit, { kind: 'gate-measured', gate: `gate-${g}`, value, verdict: 'passed', high: 40 });
    }
    for (let s = 0; s < 10; s++) add(unit, { kind: 'step-ticked', step: `step-${s}` });
  }
  return list;
}

/** The bench at the size that an issue of it names: what the routes take, as a page asks for it after somebody has written. */
export async function benchAtBench(): Promise<BenchRow[]> {
  const b = await bench();
  try {
    const all = entries();
    for (let head = 0; head < all.length; head += 5000) await b.store.bench.append(all.slice(head, head + 5000), head);
    let n = 0;
    const median = async (runs: number, path: string, changed: boolean): Promise<number> => {
      const times: number[] = [];
      for (let r = 0; r < runs; r++) {
        if (changed) {
          const token = `perf-${String(++n).padStart(8, '0')}`;
          const body = { deed: 'save-part', part: 'cell', name: `Cell ${n}`, by: 'A.', token };
          const kept = await b.ask('POST', '/api/bench/deeds', body);
          if (kept.status !== 200) throw new Error(await kept.text());
        }
        const from = performance.now();
        const answer = await b.app.request(`${HOST}/api/bench${path}`);
        await answer.text();
        times.push(performance.now() - from);
        if (answer.status !== 200) throw new Error(`${path}: ${answer.status}`);
      }
      return times.sort((x, y) => x - y)[Math.floor(runs / 2)]!;
    };
    const first = await median(1, '', false);
    const rows: BenchRow[] = [
      { name: `first look at ${all.length.toLocaleString('en')} entries`, value: first, unit: 'ms' },
    ];
    for (const [name, path, most] of [
      ['overview', '', MOST.page_ms],
      ['batch with its 2,000 rows', '/batches/a-07', MOST.page_ms],
      ['unit with its history', `/units/${serialOf('A07', 1234, UNITS)}`, MOST.page_ms],
      ['quality, 30 charts', '/quality/a-07', MOST.page_ms],
      ['stores', '/stores', MOST.page_ms],
      ['search', '/find?text=a071234', MOST.find_ms],
      ['search that finds all', '/find?text=a07', MOST.find_ms],
    ] as const) {
      const value = await median(9, path, true);
      rows.push({ name, value, unit: 'ms', ratio: most / value, against: `of room under ${most} ms` });
    }
    return rows;
  } finally {
    await b.end();
  }
}

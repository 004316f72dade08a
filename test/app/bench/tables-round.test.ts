// source: the issue "The bench": all tables out and in; nothing lost on the way. Asserts follow from its words, no published values.
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoEntries } from '../../../src/app/bench/demo.ts';
import {
  installUnit,
  placeOrder,
  repairUnit,
  scrapUnit,
  shipUnit,
  swapUnit,
  takeBack,
} from '../../../src/app/bench/leaving.ts';
import { quarantineLot, releaseLot } from '../../../src/app/bench/stores.ts';
import { exportTables, IMPORT_ORDER, IMPORTED, planImport } from '../../../src/app/bench/tables.ts';
import { beginRework, fitPart, keepSecret, measureGate, takeOutPart } from '../../../src/app/bench/units.ts';
import { readTable } from '../../../src/formats/csv-table.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readParts, readPlan } from '../../../src/records/bench/index.ts';
import { emptyTestBench, type TestBench, testBench } from './bench.ts';

const file = (name: string) => {
  const path = `examples/bench/${name}`;
  return parseYamlRecord(readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8'), path);
};

/** What the record itself tells of its entries, in whatever workshop they are written: who wrote them, when a plan or part was saved; keys never leave. */
const ITS_OWN = ['by', 'saved', 'keys'];
function withoutOwn(text: string): string[][] {
  const { titles, rows } = readTable(text);
  const kept = titles.flatMap((title, i) => (ITS_OWN.includes(title) ? [] : [i]));
  return [titles, ...rows].map((row) => kept.map((i) => row[i] ?? ''));
}

async function intoEmpty(tables: Readonly<Record<string, string>>): Promise<TestBench> {
  const bench = await emptyTestBench();
  for (const table of IMPORT_ORDER) {
    const seen = planImport(bench.state, { table, text: tables[table]! }, bench.entries);
    expect([table, seen.outcome.problems.slice(0, 3)]).toEqual([table, []]);
    await bench.do(() => seen.deeds);
  }
  return bench;
}

describe('the demo as tables', () => {
  let tables: Readonly<Record<string, string>>;
  let second: TestBench;
  beforeAll(async () => {
    const first = await emptyTestBench();
    const entries = demoEntries({ parts: readParts(file('parts.yaml')), plan: readPlan(file('plan-alder-3.yaml')) });
    await first.store.append(entries, 0);
    await first.do(() => []);
    tables = exportTables(first.state, first.entries);
    second = await intoEmpty(tables);
  });

  it('comes back the same out of an empty workshop', () => {
    const again = exportTables(second.state, second.entries);
    expect(Object.keys(again)).toEqual(Object.keys(tables));
    for (const [name, text] of Object.entries(tables))
      expect([name, withoutOwn(again[name]!)]).toEqual([name, withoutOwn(text)]);
    expect(Object.values(tables).join()).not.toContain('channel key');
  });

  it('every table that is read stands there then, each row of it', () => {
    for (const table of IMPORTED) {
      const { outcome } = planImport(second.state, { table, text: tables[table]! }, second.entries);
      expect([table, outcome.fresh, outcome.problems]).toEqual([table, 0, []]);
    }
  });

  it('a unit that came back, was repaired, swapped and put up keeps all of that', async () => {
    const first = await testBench();
    const [a, b] = first.state.batches.get('a-07')!.serials as [string, string];
    const pass = (serial: string) => async () => {
      for (const [gate, value, uncertainty] of [
        ['sleep', 22, 1],
        ['ceiling', 4.09, undefined],
        ['spray', true, undefined],
      ] as const)
        await first.do((s) => measureGate(s, serial, { gate, value, uncertainty }));
    };
    await first.do((s) => placeOrder(s, 'hut', { customer: 'Hut', plan: 'alder-3', count: 2, region: 'EU' }));
    await first.do((s) => fitPart(s, a, { part: 'cell', lot: 'cells-1', count: 12, short: true }));
    await first.do((s) => measureGate(s, a, { gate: 'sleep', value: 55 }));
    await first.do((s) => beginRework(s, a, { reason: 'flux' }));
    await pass(a)();
    await first.do((s) => shipUnit(s, a, { order: 'hut', carrier: 'by hand' }));
    await first.do((s) => installUnit(s, a, 'hut-perch'));
    await first.do((s) => takeBack(s, a, 'dark since Monday', 'water'));
    await pass(b)();
    await first.do((s) => swapUnit(s, a, b));
    await first.do((s) => repairUnit(s, a, { what: 'new seal', gates: ['spray'], time_s: 600 }));
    await first.do((s) => measureGate(s, a, { gate: 'spray', value: false, note: 'still wet' }));
    await first.do((s) => measureGate(s, a, { gate: 'spray', value: true, correct: true }));
    await first.do((s) => takeOutPart(s, a, { part: 'cell', lot: 'cells-1', count: 1, to: 'stores' }));
    await first.do((s) => scrapUnit(s, a, 'lid cracked'));
    await first.do((s) => quarantineLot(s, 'cells-1', 'swollen'));
    await first.do((s) => releaseLot(s, 'cells-1', 'only one of them'));
    await first.do((s) => keepSecret(s, a, 'admin', 'c2VjcmV0'));
    const out = exportTables(first.state, first.entries);
    const again = await intoEmpty(out);
    for (const [name, text] of Object.entries(exportTables(again.state, again.entries)))
      expect([name, withoutOwn(text)]).toEqual([name, withoutOwn(out[name]!)]);
    expect(again.state.lots.get('cells-1')).toMatchObject({ left: -1, quarantined: null });
    expect(again.state.units.get(b)).toMatchObject({ stage: 'shipped' });
  });

  it('says of each table that is not read what is read in its place', () => {
    const others = Object.keys(tables).filter((table) => !IMPORTED.includes(table));
    expect(others.sort()).toEqual([
      'drawings',
      'evidence',
      'overrides',
      'plan-gates',
      'plan-steps',
      'reservations',
      'returns',
      'reworks',
      'shipments',
    ]);
    for (const table of [...others, 'keys'])
      expect(() => planImport(second.state, { table, text: tables[table] ?? 'a' })).toThrow(
        /is not read: .*(history|plans|sunperch|order)/,
      );
  });
});

// source: the issue "The bench": all tables out and in; nothing lost on the way. Asserts follow from its words, no published values.
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoEntries } from '../../../src/app/bench/demo.ts';
import { exportTables, IMPORT_ORDER, IMPORTED, planImport } from '../../../src/app/bench/tables.ts';
import { readTable } from '../../../src/formats/csv-table.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readParts, readPlan } from '../../../src/records/bench/index.ts';
import { emptyTestBench, type TestBench } from './bench.ts';

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

  it('says of each table that is not read what is read in its place', () => {
    const others = Object.keys(tables).filter((table) => !IMPORTED.includes(table));
    expect(others.sort()).toEqual([
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

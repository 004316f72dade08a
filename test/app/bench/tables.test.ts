import { describe, expect, it } from 'vitest';
import { exportTables, planImport } from '../../../src/app/bench/tables.ts';
import { keepSecret } from '../../../src/app/bench/units.ts';
import { readTable } from '../../../src/formats/csv-table.ts';
import { emptyTestBench, testBench } from './bench.ts';

describe('import', () => {
  it('keeps nothing while a row is wrong, and says which', async () => {
    const bench = await emptyTestBench();
    const text = 'Part no;Name;is\ncell-a;Cell A;cell\nBAD KEY;x;cell\ncell-b;Cell B;cheese\n';
    const map = { 'Part no': 'key', Name: 'name' };
    const wrong = planImport(bench.state, { table: 'parts', text, map }).outcome;
    expect(wrong.problems.map((p) => p.row)).toEqual([3, 4]);
    const right = planImport(bench.state, { table: 'parts', text, map, skip: [3, 4] });
    expect(right.outcome).toMatchObject({ fresh: 1, problems: [] });
    await bench.do((s) => planImport(s, { table: 'parts', text, map, skip: [3, 4] }).deeds);
    expect(planImport(bench.state, { table: 'parts', text, map, skip: [3, 4] }).outcome).toMatchObject({
      fresh: 0,
      same: 1,
    });
    const lots = 'key;part;count;supplier;currency;goods\nl-1;cell-a;10;=cmd;EUR;12,50\n';
    await bench.do((s) => planImport(s, { table: 'lots', text: lots }).deeds);
    expect(bench.state.lots.get('l-1')).toMatchObject({ goods_minor: 1250, supplier: '=cmd' });
    const { lots: out } = exportTables(bench.state, bench.entries);
    expect(out).toContain("'=cmd");
    expect(planImport(bench.state, { table: 'lots', text: out! }).outcome).toMatchObject({
      same: 1,
      fresh: 0,
      problems: [],
    });
  });

  it('reads measurements with local time into UTC, judges them, and takes each once', async () => {
    const bench = await testBench();
    const [one, two] = bench.state.batches.get('a-07')!.serials as [string, string];
    const text = [
      'serial;gate;value;at;instrument',
      `${one};sleep;22,5;2026-10-01 01:30+02:00;meter 2`,
      `${one};spray;yes;2026-10-01T09:00-05:00;`,
      `${two};sleep;55;2026-10-01T09:00Z;`,
      `${two};spray;yes;2026-10-01T09:10Z;`,
      `${one};spray;yes;2026-10-01 09:00;`,
      `${one};spray;maybe;2026-10-01T09:00Z;`,
    ].join('\n');
    const seen = planImport(bench.state, { table: 'gates', text }).outcome;
    expect(seen.problems.map((p) => p.row)).toEqual([5, 6, 7]);
    expect(seen.problems[0]!.message).toContain('in an earlier row');
    expect(seen.problems[1]!.message).toContain('offset from UTC');
    const request = { table: 'gates', text, skip: [5, 6, 7] };
    await bench.do((s) => planImport(s, request).deeds);
    const unit = bench.state.units.get(one)!;
    expect(unit.gates.get('sleep')!.map((t) => [t.at, t.measured.value, t.measured.verdict])).toEqual([
      ['2026-09-30T23:30:00Z', 22.5, 'passed'],
    ]);
    expect(unit.gates.get('spray')![0]!.at).toBe('2026-10-01T14:00:00Z');
    expect(bench.state.units.get(two)!.stage).toBe('stopped');
    expect(planImport(bench.state, request).outcome).toMatchObject({ fresh: 0, same: 3, problems: [] });
    // The bench's own table is read back as what stands there.
    const own = planImport(bench.state, { table: 'gates', text: exportTables(bench.state, bench.entries)['gates']! });
    expect(own.outcome).toMatchObject({ fresh: 0, same: 3, problems: [] });
  });

  it('reads movements, never below none, and takes each once', async () => {
    const bench = await testBench();
    const text =
      'lot,at,change,why\ncells-1,2026-10-01T08:00+02:00,-6,scrapped\ncells-1,2026-10-01T08:01+02:00,-6,scrapped\ncells-1,2026-10-02T08:00Z,2,fitted\n';
    const seen = planImport(bench.state, { table: 'movements', text }).outcome;
    expect(seen.problems.map((p) => p.row)).toEqual([3, 4]);
    expect(seen.problems[0]!.message).toContain('would show -2');
    const request = { table: 'movements', text, skip: [3, 4] };
    await bench.do((s) => planImport(s, request).deeds);
    expect(bench.state.lots.get('cells-1')).toMatchObject({ left: 4 });
    expect(bench.state.lots.get('cells-1')!.movements.at(-1)!.at).toBe('2026-10-01T06:00:00Z');
    expect(planImport(bench.state, request).outcome).toMatchObject({ fresh: 0, same: 1 });
    const own = planImport(bench.state, {
      table: 'movements',
      text: exportTables(bench.state, bench.entries)['movements']!,
    });
    expect(own.outcome).toMatchObject({ fresh: 0, problems: [] });
  });

  it('exports all tables and no key of a radio', async () => {
    const bench = await testBench();
    const [serial] = bench.state.batches.get('a-07')!.serials;
    await bench.do((s) => keepSecret(s, serial!, 'admin', 'c2VjcmV0'));
    const tables = exportTables(bench.state, bench.entries);
    expect(Object.keys(tables)).toEqual(
      'parts approvals offers plans orders lots movements batches units history inspections quarantine papers evidence drawings bom plan-steps plan-gates fitted steps gates measurements reworks overrides reservations shipments returns'.split(
        ' ',
      ),
    );
    const { titles, rows } = readTable(tables['units']!);
    expect([titles.at(-1), rows[0]!.at(-1), rows[1]!.at(-1)]).toEqual(['keys', '1', '0']);
    expect(Object.values(tables).join()).not.toContain('c2VjcmV0');
    expect(readTable(tables['units']!).rows).toHaveLength(5);
  });

  it('bears 20,000 rows, and thousands of wrong ones', async () => {
    const bench = await emptyTestBench();
    const rows = (count: number, row: (i: number) => string) =>
      Array.from({ length: count }, (_, i) => row(i)).join('\n');
    const parts = `key,name\n${rows(20_000, (i) => `p-${i},Part ${i}`)}\n`;
    expect(planImport(bench.state, { table: 'parts', text: parts }).deeds).toHaveLength(20_000);
    const lots = `key,part,count,supplier,currency,goods\n${rows(2000, (i) => `l-${i},q-${i},1,one,EUR,2`)}\n`;
    const { outcome } = planImport(bench.state, { table: 'lots', text: lots });
    expect([outcome.problems.length, outcome.verdict.length < 400]).toEqual([2000, true]);
  });
});

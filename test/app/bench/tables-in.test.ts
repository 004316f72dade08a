import { describe, expect, it } from 'vitest';
import { serialOf } from '../../../src/app/bench/batches.ts';
import { drawInspection } from '../../../src/app/bench/inspection.ts';
import { planImport } from '../../../src/app/bench/tables.ts';
import { clockOf, momentIn } from '../../../src/app/bench/tables-zone.ts';
import { testBench } from './bench.ts';

describe('tables that come in', () => {
  it('offers are prices by quantity: those of the file take the place of the supplier’s own, others stay', async () => {
    const bench = await testBench();
    const titles = 'part;supplier;currency;from;price;per;leadTime_d';
    const offer = (text: string) => planImport(bench.state, { table: 'offers', text: `${titles}\n${text}` });
    await bench.do(() => offer('cell;one;EUR;1;2,75;1;14\ncell;two;EUR;1;3,10;1;2\n').deeds);
    const text = 'cell;one;EUR;100;210,00;100;14\ncell;one;EUR;1;2,60;1;14\n';
    expect(offer(text).outcome).toMatchObject({ fresh: 2, problems: [] });
    await bench.do(() => offer(text).deeds);
    const offers = bench.state.parts.get('cell')!.offers;
    expect(offers.map((o) => [o.supplier, o.breaks])).toEqual([
      ['two', [{ from: 1, price_minor: 310, per: 1 }]],
      [
        'one',
        [
          { from: 1, price_minor: 260, per: 1 },
          { from: 100, price_minor: 21_000, per: 100 },
        ],
      ],
    ]);
    expect(offer(text).outcome).toMatchObject({ fresh: 0, same: 2 });
    const wrong = offer(
      'cell;one;EUR;1;2,75;1;14\ncell;one;EUR;1;2,70;1;14\ncell;one;EUR;9;2,60;1;10\nnut;one;EUR;1;1;1;1\ncell;one;EUR;5;1,234;1;14\n',
    );
    expect(wrong.outcome.problems.map((p) => [p.row, p.message.slice(0, 24)])).toEqual([
      [3, 'one has two prices for c'],
      [4, 'leadTime_d is 10 here an'],
      [5, 'there is no part nut: th'],
      [6, 'price: "1.234" has 3 dec'],
    ]);
  });

  it('a batch is opened for units made elsewhere, each with a check character that fits', async () => {
    const bench = await testBench();
    const batch = 'key,plan,count,made,opened\nb-1,alder-3,3,0,2025-03-30T08:00+02:00\n';
    await bench.do((s) => planImport(s, { table: 'batches', text: batch }).deeds);
    const opened = { openedAt: '2025-03-30T06:00:00Z', serials: [], prefix: 'B1' };
    expect(bench.state.batches.get('b-1')).toMatchObject(opened);
    // ISO 7064, mod 37-36: published identifier of test/golden/quality-check-characters.csv.
    const own = 'A12425GABC1234002M';
    const units = `serial,batch,position,made\n${own},b-1,2,2025-04-01T10:00Z\n${own.slice(0, -1)}N,b-1,1,\n${own.toLowerCase()},b-1,3,\n`;
    const seen = planImport(bench.state, { table: 'units', text: units });
    expect(seen.outcome.problems.map((p) => [p.row, /check character|twice/.exec(p.message)?.[0]])).toEqual([
      [3, 'check character'],
      [4, 'twice'],
    ]);
    await bench.do((s) => planImport(s, { table: 'units', text: units, skip: [3, 4] }).deeds);
    expect(bench.state.units.get(own)).toMatchObject({ position: 2, madeAt: '2025-04-01T10:00:00Z' });
    const refused = (text: string) => planImport(bench.state, { table: 'units', text }).outcome.problems[0]!.message;
    const free = serialOf('B1', 9, 3);
    expect(refused(`serial,batch,position\n${free},b-1,2\n`)).toContain('is taken');
    expect(refused(`serial,batch,position\n${free},b-1,4\n`)).toContain('positions 1 to 3');
    expect(refused(`serial,batch\n${free},c-1\n`)).toContain('no batch c-1');
  });

  it('the history of a unit goes on by the rules of the bench', async () => {
    const bench = await testBench();
    const [one] = bench.state.batches.get('a-07')!.serials as [string];
    const rows = [
      `${one},2030-01-01T08:00Z,fitted,,,cells-1,3,`,
      `${one},2030-01-01T08:01Z,measured,sleep,55,,,`,
      `${one},2030-01-01T08:02Z,rework,sleep,,,,flux`,
      `${one},2030-01-01T08:03Z,measured,sleep,22,,,`,
      `${one},2030-01-01T08:04Z,measured,ceiling,4.1,,,`,
    ];
    const titles = 'serial,at,what,gate,value,lot,count,reason';
    const look = (...more: string[]) =>
      planImport(bench.state, { table: 'history', text: [titles, ...rows, ...more].join('\n') }, bench.entries);
    expect(look(`${one},2030-01-02T08:00Z,shipped,,,,,`).outcome.problems).toEqual([
      { row: 7, message: `${one} has not passed Spray test: measure it first` },
    ]);
    await bench.do(() => look().deeds);
    expect(look().outcome).toMatchObject({ fresh: 0, same: 5 });
    const unit = bench.state.units.get(one)!;
    expect(unit).toMatchObject({ stage: 'at the bench', reworks: 1 });
    expect(unit.fitted[0]).toMatchObject({ at: '2030-01-01T08:00:00Z', by: 'M. at the bench' });
    rows.push(`${one},2030-01-02T08:00Z,measured,spray,yes,,,`, `${one},2030-01-02T08:01Z,shipped,,,,,`);
    expect(look().outcome).toMatchObject({ fresh: 2, same: 5, problems: [] });
    await bench.do(() => look().deeds);
    expect(unit).toMatchObject({ stage: 'shipped', shipped: { at: '2030-01-02T08:01:00Z' } });
    rows[1] = rows[1]!.replace('55', '56');
    expect(look().outcome.problems[0]!.message).toContain('value is 56 here');
    // Rows that come after all that stands need not begin with it.
    rows.splice(0, 9, `${one},2030-02-01T08:00Z,returned,,,,,lid cracked`);
    expect(look().outcome).toMatchObject({ fresh: 1, problems: [] });
  });

  it('a bill of materials becomes a new number of its plan; steps and gates stay', async () => {
    const bench = await testBench();
    const text = 'plan,subassembly,part,count,alternates\nalder-3,,cell,4,\nalder-3,lid,screw,3,\n';
    await bench.do((s) => planImport(s, { table: 'bom', text }).deeds);
    const plan = bench.state.plans.get('alder-3')![1]!.plan;
    expect([plan.bom, plan.subassemblies]).toMatchObject([
      [{ part: 'cell', count: 4 }],
      [{ name: 'Lid', bom: [{ count: 3 }] }],
    ]);
    expect([plan.steps.length, plan.gates.length]).toEqual([2, 3]);
    expect(planImport(bench.state, { table: 'bom', text }).outcome).toMatchObject({ fresh: 0, same: 2 });
    expect(bench.state.batches.get('a-07')!.planNumber).toBe(1);
  });

  it('what is fitted comes from its lot, and never more than there is unless it is said', async () => {
    const bench = await testBench();
    const [a, b, c, d] = bench.state.batches.get('a-07')!.serials as [string, string, string, string];
    const rows = (last: string) =>
      `serial,lot,count,at,short\n${[a, b, c].map((u) => `${u},cells-1,3,2030-01-01T08:00Z,\n`).join('')}${d},cells-1,3,,${last}\n`;
    const seen = planImport(bench.state, { table: 'fitted', text: rows('') });
    expect(seen.outcome.problems).toMatchObject([
      { row: 5, message: expect.stringContaining('has 1 left, 3 are wanted') },
    ]);
    await bench.do((s) => planImport(s, { table: 'fitted', text: rows('yes') }).deeds);
    expect(bench.state.lots.get('cells-1')!.left).toBe(-2);
    expect(planImport(bench.state, { table: 'fitted', text: rows('yes') }).outcome).toMatchObject({
      same: 4,
      fresh: 0,
    });
  });

  it('an inspection comes only with the draw that its seed gives', async () => {
    const bench = await testBench();
    const draw = drawInspection(bench.state, { lot: 'screws-1', seed: 5, level: 'II', aql_pct: 2.5 })[0]!.content;
    const drawn = draw.kind === 'inspection-drawn' ? draw.drawn : [];
    const text = (positions: readonly number[]) =>
      `lot,level,aql_pct,severity,seed,positions,drawn,found,defective\nscrews-1,II,2.5,normal,5,${positions.join(' ')},2030-01-01T08:00Z,2030-01-01T09:00Z,"${drawn[0]} bent\n${drawn[1]} no thread"\n`;
    const look = (positions: readonly number[]) =>
      planImport(bench.state, { table: 'inspections', text: text(positions) });
    expect(look(drawn.map((p) => 101 - p)).outcome.problems[0]!.message).toContain('seed 5 draws the positions');
    await bench.do(() => look(drawn).deeds);
    const times = { drawnAt: '2030-01-01T08:00:00Z', found: { at: '2030-01-01T09:00:00Z' } };
    expect(bench.state.lots.get('screws-1')!.inspections[0]).toMatchObject(times);
    expect(look(drawn).outcome).toMatchObject({ same: 1, fresh: 0 });
  });

  it('rows that are cut off, too long or the titles once more are told with their number', async () => {
    const bench = await testBench();
    const text = 'key,name\nnut,Nut\n\nbolt\nkey,name\nclip,Clip,1,2\n';
    const { outcome } = planImport(bench.state, { table: 'parts', text });
    expect(outcome.problems.map((p) => [p.row, p.message.slice(0, 15)])).toEqual([
      [4, 'the row has 1 c'],
      [5, 'the line of tit'],
      [6, 'the row has 4 c'],
    ]);
    expect(planImport(bench.state, { table: 'parts', text, skip: [4, 5, 6] }).outcome).toMatchObject({
      fresh: 1,
      rows: 4,
    });
  });
});

// Changes of clocks in Zurich and on Lord Howe (half an hour): IANA time zone database, from memory.
describe('times without an offset', () => {
  const read = (text: string, zone?: string) =>
    momentIn(text, 'at', zone === undefined ? undefined : { zone, offsetAt: clockOf(zone) });
  it('are read by the clock of a zone that is told, and refused without one', () => {
    expect(read('2026-07-01 08:30', 'Europe/Zurich')).toBe('2026-07-01T06:30:00Z');
    expect(read('2026-01-01T08:30:15', 'Europe/Zurich')).toBe('2026-01-01T07:30:15Z');
    expect(read('2026-07-01T08:30-05:00', 'Europe/Zurich')).toBe('2026-07-01T13:30:00Z');
    expect(() => read('2026-07-01 08:30')).toThrow('offset from UTC');
    expect(() => clockOf('Europe/Nowhere')).toThrow('no time zone');
  });
  it('are refused where the clocks skip them or show them twice', () => {
    expect(read('2026-03-29 01:59', 'Europe/Zurich')).toBe('2026-03-29T00:59:00Z');
    expect(read('2026-03-29 03:00', 'Europe/Zurich')).toBe('2026-03-29T01:00:00Z');
    expect(() => read('2026-03-29 02:30', 'Europe/Zurich')).toThrow('put forward');
    expect(read('2026-10-25 01:59', 'Europe/Zurich')).toBe('2026-10-24T23:59:00Z');
    expect(() => read('2026-10-25 02:30', 'Europe/Zurich')).toThrow('+02:00 or +01:00');
    expect(read('2026-10-25 03:00', 'Europe/Zurich')).toBe('2026-10-25T02:00:00Z');
    expect(() => read('2026-04-05 01:45', 'Australia/Lord_Howe')).toThrow('twice');
    expect(read('2026-04-05 02:00', 'Australia/Lord_Howe')).toBe('2026-04-04T15:30:00Z');
  });
});

import { readFileSync } from 'node:fs';
// source: the issue "The bench": returns, repairs and swaps, the recall of a lot, serials as people type them
import { describe, expect, it } from 'vitest';
import { historyOf } from '../../../src/app/bench/history.ts';
import {
  installUnit,
  placeOrder,
  repairUnit,
  reserveUnits,
  shipUnit,
  swapUnit,
  takeBack,
  waitsFor,
} from '../../../src/app/bench/leaving.ts';
import { batchQuality } from '../../../src/app/bench/quality.ts';
import { findInBench } from '../../../src/app/bench/search.ts';
import { recall } from '../../../src/app/bench/stores.ts';
import { unitForecastAsked } from '../../../src/app/bench/unit-forecast.ts';
import { unitLook } from '../../../src/app/bench/unit-look.ts';
import { fitPart, measureGate, takeOutPart, tickStep } from '../../../src/app/bench/units.ts';
import type { Revision } from '../../../src/app/store-port.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { PLAN, type TestBench, testBench } from './bench.ts';

async function said(work: () => Promise<unknown>): Promise<string[]> {
  try {
    await work();
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((p) => p.message);
    throw error;
  }
  return [];
}

async function measured(bench: TestBench, serial: string): Promise<void> {
  for (const [gate, value] of [
    ['sleep', 22],
    ['ceiling', 4.1],
    ['spray', true],
  ] as const)
    await bench.do((s) => measureGate(s, serial, { gate, value }));
}

async function through(bench: TestBench, serial: string): Promise<void> {
  await measured(bench, serial);
  for (const { key } of PLAN.steps) await bench.do((s) => tickStep(s, serial, key));
}

const ORDER = { customer: 'Hut Kaldra', plan: 'alder-3', count: 1, region: 'EU' as const };

/** Two units through all gates, the first at Hut Kaldra with three cells in it. */
async function shipped() {
  const bench = await testBench();
  const [first, second, third] = bench.state.batches.get('a-07')!.serials as [string, string, string];
  await bench.do((s) =>
    placeOrder(s, 'hut-kaldra', { ...ORDER, place: { name: 'Hut Kaldra', latitude_deg: 46.4, longitude_deg: 10.2 } }),
  );
  await bench.do((s) => fitPart(s, first, { part: 'cell', lot: 'cells-1' }));
  await through(bench, first);
  await through(bench, second);
  await bench.do((s) => shipUnit(s, first, { order: 'hut-kaldra' }));
  return { bench, first, second, third, order: () => bench.state.orders.get('hut-kaldra')! };
}

describe('a unit that comes back', () => {
  it('is looked at, gets other parts, goes through its gates again and is ready; its order waits meanwhile', async () => {
    const { bench, first, order } = await shipped();
    await bench.do((s) => takeBack(s, first, 'dark since November', 'went dark'));
    expect(unitLook(bench.state, first)).toMatchObject({
      standing: 'returned',
      order: 'hut-kaldra',
      customer: 'Hut Kaldra',
    });
    expect(waitsFor(order())).toBe(1);
    await bench.do((s) => repairUnit(s, first, { what: 'one cell was dead', cause: 'cells' }));
    await bench.do((s) => takeOutPart(s, first, { part: 'cell', lot: 'cells-1', to: 'scrap' }));
    await bench.do((s) => fitPart(s, first, { part: 'cell', lot: 'cells-1' }));
    // At the bench it is kept for nobody until somebody says so: it would be shipped for no order, unseen.
    expect(unitLook(bench.state, first)).toMatchObject({ standing: 'at the bench', order: null, customer: null });
    await measured(bench, first);
    expect(unitLook(bench.state, first).standing).toBe('ready');
    expect(bench.state.lots.get('cells-1')!.left).toBe(4);
    expect(unitLook(bench.state, first).returned).toMatchObject([
      { reason: 'dark since November', cause: 'cells', repaired: 'one cell was dead' },
    ]);
    await bench.do((s) => reserveUnits(s, 'hut-kaldra', [first]));
    expect(waitsFor(order())).toBe(0);
    const { returns } = batchQuality(bench.state, 'a-07');
    expect(returns).toMatchObject({ shipped: 1, returned: 1, times: 1, causes: [{ cause: 'cells', count: 1 }] });
    // Clopper & Pearson 1934: one of one gives a lower bound of (alpha / 2)^(1/n) = 0.025.
    expect(returns.share!.low).toBeCloseTo(0.025, 6);
    const what = historyOf(await bench.store.stream(`unit:${first}`), PLAN as never).map((row) => row.what);
    expect(what).toContain('came back (went dark): dark since November');
    expect(what).toContain('repaired (it was: cells): one cell was dead');
  });

  it('is swapped: the other goes out under the same order, and the first one is the maker’s', async () => {
    for (const back of [true, false]) {
      const { bench, first, second, order } = await shipped();
      if (back) await bench.do((s) => takeBack(s, first, 'lid cracked', 'housing'));
      await bench.do((s) => swapUnit(s, first, second, { carrier: 'by hand' }));
      expect([...order().shipped]).toEqual([second]);
      expect([...order().reserved]).toEqual([]);
      expect(waitsFor(order())).toBe(0);
      expect(unitLook(bench.state, second)).toMatchObject({ standing: 'shipped', order: 'hut-kaldra' });
      expect(unitLook(bench.state, first).verdict).toContain(`swapped for ${second}`);
      if (!back) await bench.do((s) => takeBack(s, first, 'on its way since'));
      expect([...order().shipped]).toEqual([second]);
      expect(await said(() => bench.do((s) => swapUnit(s, first, second)))).toEqual([
        `${first} was swapped for ${second} already`,
      ]);
    }
  });

  it('tells in a sentence what cannot be', async () => {
    const { bench, first, second, third } = await shipped();
    expect(await said(() => bench.do((s) => takeBack(s, second, 'x')))).toEqual([
      `${second} is not shipped: it cannot come back`,
    ]);
    expect(await said(() => bench.do((s) => repairUnit(s, first, { what: 'x' })))).toEqual([
      `${first} is at its customer's: note first that it has come back`,
    ]);
    expect((await said(() => bench.do((s) => repairUnit(s, third, { what: 'x' }))))[0]).toContain('is a rework');
    await bench.do((s) => measureGate(s, third, { gate: 'sleep', value: 90 }));
    expect((await said(() => bench.do((s) => swapUnit(s, first, third))))[0]).toContain(
      `${third} failed at Sleep current`,
    );
    expect((await said(() => bench.do((s) => swapUnit(s, second, first))))[0]).toContain('there is nothing to swap');
    expect((await said(() => bench.do((s) => swapUnit(s, first, first.toLowerCase()))))[0]).toContain('for itself');
    await bench.do((s) => placeOrder(s, 'hut-varn', { ...ORDER, customer: 'Hut Varn' }));
    await bench.do((s) => reserveUnits(s, 'hut-varn', [second]));
    expect((await said(() => bench.do((s) => swapUnit(s, first, second))))[0]).toContain('kept for order hut-varn');
    expect((await said(() => bench.do((s) => installUnit(s, second, 'p'))))[0]).toContain('has not left');
    await bench.do((s) => takeBack(s, first, 'x'));
    expect((await said(() => bench.do((s) => repairUnit(s, first, { what: 'x', gates: ['spry'] }))))[0]).toContain(
      'did you mean spray',
    );
  });
});

describe('the recall of a lot', () => {
  it('names those at customers first, and counts who must be told', async () => {
    const { bench, first, second, third } = await shipped();
    await bench.do((s) => fitPart(s, third, { part: 'cell', lot: 'cells-1' }));
    const outcome = recall(bench.state, 'cells-1');
    expect(outcome.units.map((u) => u.serial)).toEqual([first, third]);
    expect(outcome.customers).toEqual([{ customer: 'Hut Kaldra', orders: ['hut-kaldra'], serials: [first] }]);
    expect(outcome.verdict).toBe('2 units hold parts of lot cells-1: 1 shipped, 1 here. 1 customer must be told.');
    await bench.do((s) => fitPart(s, second, { part: 'screw', lot: 'screws-1' }));
    await bench.do((s) => shipUnit(s, second, {}));
    expect(recall(bench.state, 'screws-1')).toMatchObject({ customers: [], unknown: [second] });
  });
});

describe('finding a serial', () => {
  it('takes O for 0, I for 1, small letters and no hyphens, and tells prefixes that are alike apart', async () => {
    const { bench, first } = await shipped();
    const bare = first.replaceAll('-', '').toLowerCase();
    for (const typed of [first, bare, bare.replaceAll('0', 'o'), bare.replaceAll('1', 'l'), ` ${first} `])
      expect(findInBench(bench.state, typed).hits[0]).toMatchObject({ kind: 'unit', key: first });
    expect((await said(() => bench.do((s) => takeBack(s, first.slice(0, -1), 'x'))))[0]).toContain(
      `did you mean ${first}?`,
    );
    const { openBatch } = await import('../../../src/app/bench/batches.ts');
    await bench.do((s) => openBatch(s, { key: 'ao7', plan: 'alder-3', count: 3, prefix: 'AO7' }));
    const serials = bench.state.batches.get('ao7')!.serials;
    expect(findInBench(bench.state, serials[0]!).hits[0]!.key).toBe(serials[0]);
    expect(findInBench(bench.state, first).hits[0]!.key).toBe(first);
  });
});

describe('where the forecast of a unit is made', () => {
  const kit = readFileSync(new URL('../../../examples/alder-3.yaml', import.meta.url), 'utf8');
  const revision = (content: string) => ({ content, number: 1 }) as unknown as Revision;
  const store = {
    history: async () => [revision(kit)],
    newest: async ({ key }: { key: string }) => (key === 'kaldra' ? revision('name: Kaldra mast\n') : undefined),
  };

  it('is at the perch that has name and position of the order’s place, not at one of that name elsewhere', async () => {
    const { bench, first } = await shipped();
    const key = bench.state.units.get(first)!.shipped!.order!;
    const order = bench.state.orders.get(key)!;
    const at = { latitude_deg: 46.42, longitude_deg: 10.19 };
    // The order as it was placed, now with its place.
    const placed = { kind: 'order-placed', customer: order.customer, plan: order.plan, count: order.count } as const;
    const place = { name: 'Hut Kaldra', ...at };
    await bench.do(() => [{ stream: `order:${key}`, content: { ...placed, region: order.region, place } }]);
    const perches = (latitude_deg: number) => ({
      ...store,
      newest: async (ref: { key: string }) =>
        ref.key === 'hut-kaldra'
          ? revision(`name: Hut Kaldra\nlatitude_deg: ${latitude_deg}\nlongitude_deg: 10.19\n`)
          : undefined,
    });
    const near = await unitForecastAsked(perches(46.421), bench.state, first);
    expect(near.place).toMatchObject({ name: 'Hut Kaldra', perch: 'hut-kaldra', notes: [] });
    expect(near.input).toMatchObject({ perch: { latitude_deg: 46.421 } });
    const far = await unitForecastAsked(perches(46.5), bench.state, first);
    expect(far.place.perch).toBeNull();
    expect(far.place.notes[0]).toContain('weather of');
  });

  it('says why there is none: no place, no perch', async () => {
    const { bench, second, first } = await shipped();
    expect((await said(() => unitForecastAsked(store, bench.state, second)))[0]).toContain('stands at no perch');
    await bench.do((s) => installUnit(s, first, 'elsewhere'));
    expect((await said(() => unitForecastAsked(store, bench.state, first)))[0]).toContain(
      'there is no perch elsewhere',
    );
  });
});

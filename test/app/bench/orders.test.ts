// source: the issue "The bench", Orders: due date, reserved units, waiting list
import { expect, it } from 'vitest';
import { cancelOrder, placeOrder, reserveUnits, shipUnit, takeBack } from '../../../src/app/bench/leaving.ts';
import { orderRows } from '../../../src/app/bench/looks.ts';
import { measureGate } from '../../../src/app/bench/units.ts';
import { type TestBench, testBench } from './bench.ts';

const ORDER = { customer: 'One', plan: 'alder-3', count: 2, region: 'EU' as const };
const list = ({ state }: TestBench) => orderRows(state).map((row) => `${row.order} ${row.waits}`);

/** A bench whose first units have passed every gate. */
async function withReady(count: number): Promise<TestBench & { readonly units: readonly string[] }> {
  const bench = await testBench();
  const units = bench.state.batches.get('a-07')!.serials.slice(0, count);
  for (const unit of units)
    for (const [gate, value] of [
      ['sleep', 20],
      ['ceiling', 4.1],
      ['spray', true],
    ] as const)
      await bench.do((s) => measureGate(s, unit, { gate, value }));
  return { ...bench, units };
}

it('wait by the day on which they are due, then as they were placed; what waits for nothing stands behind', async () => {
  const bench = await withReady(2);
  for (const [key, due] of [
    ['late', '2031-03-01'],
    ['whenever', undefined],
    ['soon', '2031-01-10'],
    ['soon-too', '2031-01-10'],
  ] as const)
    await bench.do((s) => placeOrder(s, key, { ...ORDER, ...(due === undefined ? {} : { due }) }));
  expect(list(bench)).toEqual(['soon 2', 'soon-too 2', 'late 2', 'whenever 2']);
  await bench.do((s) => reserveUnits(s, 'soon', bench.units));
  expect(list(bench)).toEqual(['soon-too 2', 'late 2', 'whenever 2', 'soon 0']);
  await bench.do((s) => cancelOrder(s, 'soon-too'));
  expect(list(bench)).toEqual(['late 2', 'whenever 2', 'soon 0', 'soon-too 0']);
  // Ordered again after a cancellation: behind those of the same day.
  await bench.do((s) => placeOrder(s, 'soon-too', { ...ORDER, due: '2031-03-01' }));
  expect(list(bench).slice(0, 2)).toEqual(['late 2', 'soon-too 2']);
});

it('are shipped in parts; the rest can be cancelled, and what comes back is waited for again', async () => {
  const bench = await withReady(3);
  const [one, two, three] = bench.units as [string, string, string];
  await bench.do((s) => placeOrder(s, 'hut', ORDER));
  await bench.do((s) => reserveUnits(s, 'hut', [one, two]));
  await bench.do((s) => shipUnit(s, one, {}));
  expect(orderRows(bench.state)[0]).toMatchObject({ reserved: [two], shipped: [one], waits: 0 });
  expect(() => shipUnit(bench.state, three, { order: 'hut' })).toThrow(/no more units: 1 of 2 are reserved, 1 shipped/);
  expect(() => placeOrder(bench.state, 'hut', { ...ORDER, count: 1 })).toThrow(/1 is fewer/);
  await bench.do((s) => takeBack(s, one, 'dent'));
  expect(orderRows(bench.state)[0]).toMatchObject({ reserved: [two], shipped: [], waits: 1 });
  await bench.do((s) => shipUnit(s, three, { order: 'hut' }));
  await bench.do((s) => cancelOrder(s, 'hut'));
  expect(bench.state.units.get(two)!.order).toBeNull();
  expect(orderRows(bench.state)[0]).toMatchObject({ reserved: [], shipped: [three], waits: 0, cancelled: true });
  await bench.do((s) => placeOrder(s, 'hut', ORDER));
  await bench.do((s) => shipUnit(s, two, { order: 'hut' }));
  expect(() => cancelOrder(bench.state, 'hut')).toThrow(/all 2 units of order hut are shipped/);
});

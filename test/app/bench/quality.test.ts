import { describe, expect, it } from 'vitest';
import { openBatch, savePlan } from '../../../src/app/bench/batches.ts';
import { batchQuality } from '../../../src/app/bench/quality.ts';
import * as u from '../../../src/app/bench/units.ts';
import { emptyTestBench, PLAN } from './bench.ts';

/** A bench with one gate and a value for each unit, in their order. */
async function measured(values: readonly number[], limits: { low?: number; high?: number }, uncertainty?: number) {
  const bench = await emptyTestBench();
  const gates = [
    { key: 'flow', name: 'Flow', measures: 'number' as const, unit: '', ...limits, uncertainty, required: true },
  ];
  const plan = { ...PLAN, bom: [], subassemblies: [], steps: [], gates };
  await bench.do((state) => savePlan(state, 'p', plan));
  await bench.do((state) => openBatch(state, { key: 'b', plan: 'p', count: values.length, prefix: 'B' }));
  const serials = [...bench.state.units.keys()];
  for (const [i, value] of values.entries())
    await bench.do((state) => u.measureGate(state, serials[i]!, { gate: 'flow', value }));
  return { bench, serials };
}

describe('quality of a batch', () => {
  it('charts the flow rates of the e-Handbook as it does', async () => {
    // source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2, example of ten flow rates: mean 50.81, mean moving
    // range 1.8778, limits 55.8041 and 45.8159; tolerance: of the limits 0.002, because it rounds d2 to 1.128 (test/golden/quality-results.csv)
    const flows = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
    const { bench } = await measured(flows, { low: 40, high: 60 });
    const [chart] = batchQuality(bench.state, 'b').charts;
    expect(chart!.centre).toBeCloseTo(50.81, 2);
    expect(chart!.movingRange.centre).toBeCloseTo(1.8778, 4);
    expect(Math.abs(chart!.upper - 55.8041)).toBeLessThan(0.002);
    expect(Math.abs(chart!.lower - 45.8159)).toBeLessThan(0.002);
    expect(chart!.signals).toEqual([]);
  });

  it('counts what passed at once, after a rework, and where it failed', async () => {
    const { bench, serials } = await measured([1, 2, 9, 3, 9, 2, 1, 2, 3, 2], { high: 5 });
    await bench.do((state) => u.beginRework(state, serials[2]!, { reason: 'cleaned' }));
    await bench.do((state) => u.measureGate(state, serials[2]!, { gate: 'flow', value: 2 }));
    // One was written down wrongly: it has failed nowhere.
    await bench.do((state) => u.measureGate(state, serials[4]!, { gate: 'flow', value: 0.9, correct: true }));
    const quality = batchQuality(bench.state, 'b');
    expect(quality.gates).toMatchObject([{ measured: 10, passedFirst: 9, passedFinally: 10 }]);
    // source: exact interval of 9 in 10: 0.5550 to 0.9975 (Clopper & Pearson 1934; from memory of common tables)
    expect(quality.through.share!.low).toBeCloseTo(0.555, 3);
    expect(quality.through.share!.high).toBeCloseTo(0.9975, 4);
    expect(quality.failures).toEqual([{ gate: 'flow', name: 'Flow', count: 1, share: 1, cumulative: 1 }]);
    expect(quality.verdict).toContain(
      '9 of 10 passed every gate at once, 90 % (55 % to 100 %); most failures at Flow (1)',
    );
    // The first value counts in the chart, not the one after the rework.
    expect(quality.charts[0]!.values[2]).toBe(9);
  });

  it('counts a unit that failed early, though it was never measured at the gates that follow', async () => {
    const bench = await emptyTestBench();
    const gate = (key: string) => ({ key, name: key, measures: 'number' as const, high: 5, required: true });
    const plan = { ...PLAN, bom: [], subassemblies: [], steps: [], gates: [gate('a'), gate('b')] };
    await bench.do((state) => savePlan(state, 'p', plan));
    await bench.do((state) => openBatch(state, { key: 'b', plan: 'p', count: 4, prefix: 'B' }));
    const [first, second, third] = [...bench.state.units.keys()] as [string, string, string];
    const write = (serial: string, at: string, value: number) =>
      bench.do((state) => u.measureGate(state, serial, { gate: at, value }));
    await write(first, 'a', 1);
    await write(first, 'b', 1);
    await write(second, 'a', 9);
    // Of the third it is not known yet, of the fourth nothing is.
    await write(third, 'a', 1);
    expect(batchQuality(bench.state, 'b').through).toMatchObject({ measured: 2, atOnce: 1 });
    expect(batchQuality(bench.state, 'b').rolled).toBeCloseTo((2 / 3) * 1, 12);
  });

  it('names the unit at which the row leaves its limits', async () => {
    const row = [5, 5.1, 4.9, 5, 5.1, 5, 4.9, 5, 5.1, 4.9, 5, 9, 5, 5.1, 4.9];
    const { bench, serials } = await measured(row, { high: 20 });
    const [chart] = batchQuality(bench.state, 'b').charts;
    expect(chart!.signals.find((s) => s.rules.includes('one-beyond-3-sigma'))!.serial).toBe(serials[11]);
  });

  it('says that units are few where the rate stands, and until there are enough', async () => {
    const { bench } = await measured(Array(10).fill(2), { high: 5 });
    // By hand, deviations -7.5 … 7.5: sum of neighbours' products 276.25 over 340
    expect(batchQuality(bench.state, 'b').few).toBe(
      '10 units are few: had none of them failed, up to 26 % of all could still fail (95 %).',
    );
    const all = batchQuality(bench.state, 'b');
    expect(all).toMatchObject({ rolled: 1, defectsPerUnit: 0, failures: [] });
    const none = batchQuality((await measured([7], { high: 5 })).bench.state, 'b');
    expect(none).toMatchObject({ rolled: 0, defectsPerUnit: null, through: { measured: 1, atOnce: 0 } });
    expect(none.few).toMatch(/^1 unit is few: .* 95 %/);
  });

  it('counts what is too close to a limit neither as passed nor as failed', async () => {
    const { bench, serials } = await measured([4.9, 2, 3, 2, 3, 2, 3, 2, 3], { high: 5 }, 0.2);
    const before = batchQuality(bench.state, 'b');
    expect(before.gates).toMatchObject([{ measured: 8, undecided: 1, passedFirst: 8 }]);
    expect(before.failures).toEqual([]);
    expect(before.charts[0]!.values[0]).toBe(4.9);
    expect(before.notes.join()).toContain('1 at Flow');
    await bench.do((state) => u.measureGate(state, serials[0]!, { gate: 'flow', value: 4.9, uncertainty: 0.05 }));
    expect(batchQuality(bench.state, 'b').gates).toMatchObject([{ measured: 9, undecided: 1, passedFirst: 9 }]);
  });

  it('tells neighbours that depend on one another, and bears a gate that passes one value alone', async () => {
    const { bench } = await measured([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16], { high: 20 });
    const found = batchQuality(bench.state, 'b');
    // By hand, deviations -7.5 … 7.5: sum of neighbours' products 276.25 over 340
    expect(found.charts[0]!.lagOne).toBeCloseTo(276.25 / 340, 12);
    expect(found.notes.join()).toMatch(/depend on one another at Flow \(correlation 0\.81\).*too narrow/);
    const one = await measured([5, 5, 5, 5, 5, 5, 5, 5.1, 4.9], { low: 5, high: 5 });
    expect(batchQuality(one.bench.state, 'b').charts[0]!.capability).toBeNull();
  });

  it('says nothing of what has not been measured, and does not stumble over values that are all alike', async () => {
    const { bench } = await measured([], { high: 5 }).catch(async () => measured([1], { high: 5 }));
    expect(batchQuality(bench.state, 'b').charts).toEqual([]);
    const same = await measured(Array(9).fill(2), { high: 5 });
    expect(batchQuality(same.bench.state, 'b').charts[0]).toMatchObject({ sigma: 0, capability: null, signals: [] });
  });
});

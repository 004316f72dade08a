import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openBatch } from '../../../src/app/bench/batches.ts';
import { unitCost, unitCostOutcome } from '../../../src/app/bench/cost.ts';
import { breakEvenOutcome } from '../../../src/app/bench/cost-even.ts';
import { demandByMonth, nextOutcome } from '../../../src/app/bench/cost-next.ts';
import { priceOutcome } from '../../../src/app/bench/cost-price.ts';
import { crossoverOutcome } from '../../../src/app/bench/cost-tool.ts';
import { waysOutcome } from '../../../src/app/bench/cost-ways.ts';
import { placeOrder } from '../../../src/app/bench/leaving.ts';
import { fitPart, measureGate, tickStep } from '../../../src/app/bench/units.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { type CostFile, readCost } from '../../../src/records/bench/cost.ts';
import type { CostChange } from '../../../src/records/bench/cost-request.ts';
import { profitBars, profitChart } from '../../../src/report/profit-chart.ts';
import { parseXml } from '../../report/xml.ts';
import { testBench } from './bench.ts';

const file = (yaml: string): CostFile => readCost(parseYamlRecord(yaml, 'cost.yaml'));
const EXAMPLE = readFileSync('examples/bench/cost.yaml', 'utf8');
const example = () => file(EXAMPLE);

describe('cost from a file', () => {
  it('learns by the average of the first 60 as the textbook curve does', () => {
    // Wright 1936, as computed for Heizer & Render's examples: first 2.5 h, 90 %, mean of 60 is 1.565583802632424 h.
    // That figure sums unit times: the unit model.
    const cost = unitCost(
      null,
      undefined,
      file(
        'currency: EUR\nunit: { material_minor: 0, labour_min: 150 }\nlabour: { rate_minor_h: 1000000, learningRate: 0.9 }\nbatch: 60\n',
      ),
      1,
    );
    expect(cost.labour_minor).toBe(Math.round(1.565583802632424 * 1_000_000));
  });

  it('allows for lost units by the mean of one over their share, inside its own spread, for any file', () => {
    // Mean of 1/y for a triangle (a, c, b), by integrating its density by hand, here a = 0.8, c = b = 1:
    // 2/(b - a)^2 * ((b - a) - a ln(b/a)) = 1.0742622…
    const lossy = file(
      'currency: EUR\nunit: { material_minor: 1000000, labour_min: 0 }\nyieldShare: { low: 0.8, likely: 1, high: 1 }\n',
    );
    const mean = (2 / 0.04) * (0.2 - 0.8 * Math.log(1 / 0.8));
    expect(Math.abs(unitCost(null, undefined, lossy, 1).cost_minor / 1e6 - mean)).toBeLessThan(1e-5);
    const guess = (low: number, high: number) =>
      fc
        .tuple(fc.integer({ min: low, max: high }), fc.nat(high - low), fc.nat(high - low))
        .map(([a, b, c]) => [a, Math.min(high, a + b), Math.min(high, a + b + c)] as const);
    fc.assert(
      fc.property(guess(100, 9000), guess(40, 100), fc.nat(100), fc.nat(5000), (material, share, back, cost_minor) => {
        const [low, likely, high] = material;
        const [least, most, best] = share.map((v) => v / 100);
        const made = file(
          `currency: EUR\nunit: { material_minor: { low: ${low}, likely: ${likely}, high: ${high} }, labour_min: 30 }\nlabour: { rate_minor_h: 2400 }\nyieldShare: { low: ${least}, likely: ${most}, high: ${best} }\nreturns: { share: ${back / 100}, cost_minor: ${cost_minor} }\n`,
        );
        const { cost_minor: cost, spread_minor: spread, ...parts } = unitCost(null, undefined, made, 1);
        expect(cost).toBeGreaterThanOrEqual(spread.low);
        expect(cost).toBeLessThanOrEqual(spread.high);
        // The mean of such figures is near their middle: within half of what lies between the ends.
        expect(Math.abs(cost - spread.middle)).toBeLessThanOrEqual((spread.high - spread.low) / 2 + 1);
        const sum = parts.material_minor + parts.labour_minor + parts.loss_minor + parts.returns_minor;
        expect(sum).toBe(cost);
        expect(parts.lines.reduce((s, l) => s + l.cost_minor, 0)).toBe(cost);
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  it('breaks even where fixed over contribution says', () => {
    // Textbook F/(p - v): 12,000/(95 - 55) is 300 units.
    const cost = unitCost(null, undefined, file('currency: EUR\nunit: { material_minor: 5500, labour_min: 0 }\n'), 1);
    const fixed = file('currency: EUR\nfixed_minor: 1200000\n');
    expect(breakEvenOutcome(cost, fixed, { price_minor: 9500 })).toMatchObject({
      units: 300,
      contribution_minor: 4000,
    });
    expect(breakEvenOutcome(cost, fixed, { price_minor: 5000 }).units).toBeNull();
  });

  it('finds the price of a margin and the margin of that price', () => {
    const assumed = example();
    const cost = unitCost(null, undefined, assumed, 1);
    const priced = priceOutcome(cost, assumed, { margin: 0.35 });
    const back = priceOutcome(cost, assumed, { price_minor: priced.price_minor });
    expect(back.margin).toBeGreaterThanOrEqual(0.35);
    expect(back.margin).toBeLessThan(0.35 + 1e-3);
    expect(priced.fees_minor + priced.profit_minor + priced.cost_minor).toBe(priced.price_minor);
    expect(priced.marginLow).toBeLessThan(priced.margin);
    expect(priced.marginHigh).toBeGreaterThan(priced.margin);
    expect(() => priceOutcome(cost, assumed, { margin: 0.96 })).toThrow(/less than 100 %/);
  });

  it('puts the crossover where the textbook does, and a spread around it', () => {
    // Crossover (F2 - F1)/(v1 - v2): 2,300/(14 - 2.50) is 200 pieces.
    const exact = file(
      'currency: EUR\nhousing:\n  bought: { fixed_minor: 0, unit_minor: 1400 }\n  tool: { fixed_minor: 230000, unit_minor: 250 }\n  demand: 300\n',
    );
    expect(crossoverOutcome(exact, 1, 50)).toMatchObject({ units: 200, unitsLow: 200, unitsHigh: 200, pays: 1 });
    const guessed = crossoverOutcome(example(), 1);
    expect(guessed.unitsLow!).toBeLessThan(guessed.unitsMiddle!);
    expect(guessed.unitsMiddle!).toBeLessThan(guessed.unitsHigh!);
    expect(crossoverOutcome(example(), 1)).toEqual(guessed);
  });

  it('says how many to begin next, more when lost ones must be allowed for', () => {
    const assumed = example();
    const cost = unitCost(null, undefined, assumed, 1);
    const ask = { cost, file: assumed, state: null, plan: null, now: '', seed: 1, runs: 500 };
    const next = nextOutcome(ask);
    expect(next.begin).toBeGreaterThanOrEqual(next.stock);
    expect(next.demand.low).toBeLessThan(next.demandMean);
    expect(next.profit.quantiles_minor).toHaveLength(101);
    expect(next.profit.quantiles_minor).toEqual([...next.profit.quantiles_minor].sort((a, b) => a - b));
    expect(() => nextOutcome({ ...ask, price_minor: 1000 })).toThrow(/in that order/);
  });

  it('sets the ways side by side and keeps the sums', () => {
    const { ways } = waysOutcome(example());
    expect(ways.map((w) => w.way)).toEqual(['housing', 'parts', 'whole']);
    for (const w of ways) {
      expect(w.price_minor - w.fees_minor - w.cost_minor).toBe(w.profit_minor);
      const { parts_minor, labour_minor, support_minor, returns_minor, packing_minor, loss_minor } = w;
      expect(parts_minor + labour_minor + support_minor + returns_minor + packing_minor + loss_minor).toBe(
        w.cost_minor,
      );
    }
    // 12 min of work and 4 of support, five a month: 80 minutes.
    expect(ways[0]!.hours_month).toBeCloseTo(80 / 60, 12);
  });

  it('tells every slip of the file with its place', () => {
    expect(() => file('currency: EUR\nyieldShare: 95\nmargin: 35\n')).toThrow(/margin|share/);
    expect(() => unitCost(null, undefined, file('currency: EUR\n'), 1)).toThrow(/name a batch or a plan/);
  });
});

describe('cost on the bench', () => {
  it('takes pieces from their lots and times from the ticks', async () => {
    const bench = await testBench();
    const serials = bench.state.batches.get('a-07')!.serials.slice(0, 2);
    for (const serial of serials) {
      await bench.do((s) => fitPart(s, serial, { part: 'cell', lot: 'cells-1' }));
      await bench.do((s) => fitPart(s, serial, { part: 'screw', lot: 'screws-1' }));
      await bench.do((s) => measureGate(s, serial, { gate: 'sleep', value: 20 }));
      await bench.do((s) => tickStep(s, serial, 'cells', 300));
    }
    const assumed = file('currency: EUR\nlabour: { rate_minor_h: 3600 }\n');
    const cost = unitCost(bench.state, 'a-07', assumed, 1);
    // A cell and a screw cost 1.00 each: three and six of them. Five minutes seen, six planned, at a cent a second.
    expect(cost.material_minor).toBe(900);
    expect(cost.labour_minor).toBe(300 + 360);
    expect(cost.lines.map((l) => l.basis)).toEqual(['measured', 'measured', 'measured', 'plan', 'guess', 'guess']);
    expect(cost.cost_minor).toBe(1560);
    expect(unitCostOutcome(cost).verdict).toContain('15.60 EUR');
    // A plan without a batch: lots in the stores, with the allowance for scrap (2 % of three cells, 5 % of six screws).
    expect(unitCost(bench.state, 'alder-3', assumed, 1).material_minor).toBe(306 + 630);
    expect(() => unitCost(bench.state, 'a-07', file('currency: USD\n'), 1)).toThrow(/rates/);
    expect(() => unitCost(bench.state, 'a-70', null, 1)).toThrow(/did you mean a-07/);
  });

  it('a coffee break is no work, and what is not made yet follows the curve', async () => {
    const bench = await testBench();
    await bench.do((s) => openBatch(s, { key: 'a-08', plan: 'alder-3', count: 10, prefix: 'A08' }));
    const { serials } = bench.state.batches.get('a-08')!;
    const times = [300, 290, 310, 305, 295, 3900];
    for (const [i, time_s] of times.entries()) {
      await bench.do((s) => measureGate(s, serials[i]!, { gate: 'sleep', value: 20 }));
      await bench.do((s) => tickStep(s, serials[i]!, 'cells', time_s));
    }
    const price = (learning: string) =>
      unitCost(bench.state, 'a-08', file(`currency: EUR\nlabour: { rate_minor_h: 3600${learning} }\n`), 1);
    const cost = price('');
    const line = cost.lines.find((l) => l.basis === 'measured')!;
    // By hand: without the lowest and the highest of six, (295 + 300 + 305 + 310)/4 s at a cent a second.
    expect([line.cost_minor, line.fromUnits]).toEqual([303, 6]);
    expect(cost.notes.join('\n')).toMatch(
      /rests on the times of 6 units; .*middle half .*a break does not count as work; the plain mean would be 198 % more/,
    );
    // Crawford's curve by hand: mean of n^b over the whole batch, over that of the first six.
    const mean = (n: number) =>
      Array.from({ length: n }, (_, i) => (i + 1) ** Math.log2(0.9)).reduce((s, v) => s + v) / n;
    const learnt = price(', learningRate: 0.9').lines.find((l) => l.basis === 'measured')!;
    expect(learnt.quantity).toBeCloseTo((302.5 / 60) * (mean(serials.length) / mean(6)), 9);
    // The next batch, by the plan alone: after the six the curve goes on.
    const plan = unitCost(
      bench.state,
      'alder-3',
      file('currency: EUR\nbatch: 60\nlabour: { rate_minor_h: 3600, learningRate: 0.9 }\n'),
      1,
    ).lines.find((l) => l.basis === 'measured')!;
    expect(plan.quantity).toBeCloseTo((302.5 / 60) * ((66 * mean(66) - 6 * mean(6)) / 60 / mean(6)), 9);
  });

  it('converts at a rate that was told with its day, and withdrawals sum to what the lot cost', async () => {
    const bench = await testBench();
    const serials = bench.state.batches.get('a-07')!.serials.slice(0, 3);
    for (const serial of serials) await bench.do((s) => fitPart(s, serial, { part: 'cell', lot: 'cells-1' }));
    const dollars = file('currency: USD\nrates: { EUR: { rate: 1.1, on: 2030-01-05 } }\n');
    const cost = unitCost(bench.state, 'a-07', dollars, 1);
    expect(cost.lines.find((l) => l.basis === 'measured')!.cost_minor).toBe(330);
    expect(cost.notes).toContain('sums in EUR are converted at 1.1 USD, the rate of 2030-01-05');
    expect(() => unitCost(bench.state, 'a-07', file('currency: USD\n'), 1)).toThrow(/EUR: \{ rate: …, on:/);
  });

  it('what is tried out goes before what is known, and the draws stay', () => {
    const assumed = example();
    const at = (change: CostChange) => unitCost(null, undefined, assumed, undefined, change);
    expect(at({ lost_pct: 50 }).loss_minor).toBeCloseTo(at({}).material_minor + at({}).labour_minor, -1);
    expect(at({ learning_pct: 100 }).labour_minor).toBe((75 * 2400) / 60);
    expect(at({ lost_pct: 10 }).seed).toBe(at({}).seed);
    expect(at({}).seed).not.toBe(
      unitCost(null, undefined, file(`${EXAMPLE}# a remark\nmargin: 0.2\n`.replace('margin: 0.35', '')), undefined)
        .seed,
    );
    const next = (demand_month: number) => {
      const cost = at({});
      return nextOutcome({
        cost,
        file: assumed,
        state: null,
        plan: null,
        now: '',
        change: { demand_month },
        runs: 100,
      });
    };
    expect(next(13).perMonth).toBe(13);
    expect(next(13).begin).toBeGreaterThan(next(6.5).begin);
  });

  it('counts orders by month', async () => {
    const bench = await testBench();
    await bench.do((s) => placeOrder(s, 'one', { customer: 'One', plan: 'alder-3', count: 4, region: 'EU' }));
    expect(demandByMonth(bench.state, 'alder-3', '2030-03-02T00:00:00Z')).toEqual([4, 0, 0]);
    expect(demandByMonth(bench.state, 'other', '2030-03-02T00:00:00Z')).toEqual([]);
  });
});

describe('spread of the profit', () => {
  it('is a picture whose bars sum to one and part losses from gains', () => {
    const quantiles = Array.from({ length: 101 }, (_, i) => -40 + 3 * i);
    const bars = profitBars(quantiles);
    expect(bars.reduce((s, b) => s + b.share, 0)).toBeCloseTo(1, 12);
    expect(bars.some((b) => b.from < -1e-9 && b.to > 1e-9)).toBe(false);
    const svg = profitChart({ name: '<60>', currency: 'EUR', quantiles, lossChance: 0.13 });
    expect(parseXml(svg).name).toBe('svg');
    expect(() => profitChart({ name: 'a', currency: 'EUR', quantiles: [0, 0, 0], lossChance: 0 })).not.toThrow();
  });
});

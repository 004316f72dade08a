import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import type { CostItem, LearningModel } from '../../../src/core/money/index.ts';
import {
  batchProfit,
  breakEvenUnits,
  crossoverQuantity,
  demandAhead,
  demandMean,
  demandQuantile,
  drawUncertain,
  economicOrder,
  economicOrderWithBreaks,
  empiricalDemand,
  fitLearning,
  guessedDemand,
  learningMean,
  learningTotal,
  learningUnit,
  marginAfterFees,
  marginOf,
  marginOfSafety,
  markupOf,
  medianLine,
  newsvendor,
  newsvendorNormal,
  optionCost,
  paybackYears,
  piecesFor,
  poissonDemand,
  presentValue,
  priceForMargin,
  priceToKeep,
  reorderPoint,
  rollUp,
  sparesFor,
  toolOrBought,
  trimmedMean,
  typicalTime,
  withinFences,
  withTax,
} from '../../../src/core/money/index.ts';
import { readGolden } from '../../golden.ts';

const figures = readGolden('money-figures.csv').rows;

/** Compares what was found with every row of a case; a row without a finding fails. */
function meets(name: string, found: Record<string, number>): void {
  const rows = figures.filter((r) => r['case'] === name);
  expect(rows.length).toBeGreaterThan(0);
  for (const { figure, value, tolerance } of rows) {
    const miss = Math.abs((found[figure!] ?? Number.NaN) - Number(value));
    expect(miss, `${name} ${figure}: ${found[figure!]} for ${value}`).toBeLessThanOrEqual(Number(tolerance));
  }
}

describe('learning', () => {
  it('unit and average model, each with its own figures', () => {
    for (const { case: name, figure, value, tolerance } of readGolden('money-learning.csv').rows) {
      const [model, first, rate] = name!.split(' ') as [LearningModel, string, string];
      const [what, count] = figure!.split(' ') as [string, string];
      const curve = { model, first: Number(first), rate: Number(rate) };
      const n = Number(count);
      const found =
        what === 'unit'
          ? learningUnit(curve, n)
          : what === 'total'
            ? learningTotal(curve, n)
            : learningMean(curve, 1, n);
      expect(Math.abs(found - Number(value)), `${name} ${figure}`).toBeLessThanOrEqual(Number(tolerance));
    }
  });

  it('a batch after others, and the curve through measured times', () => {
    const curve = { model: 'unit' as const, first: 2.5, rate: 0.9 };
    expect(learningMean(curve, 11, 60) * 50).toBeCloseTo(learningTotal(curve, 60) - learningTotal(curve, 10), 10);
    const fit = fitLearning(Array.from({ length: 12 }, (_, i) => learningUnit(curve, i + 1)))!;
    expect(fit.first).toBeCloseTo(2.5, 10);
    expect(fit.rate).toBeCloseTo(0.9, 10);
    expect(fitLearning([1, 2])).toBeUndefined();
  });
});

describe('times that bear a coffee', () => {
  it('trimmed mean and median slope as published', () => {
    // R manual, `mean`, from memory: x = 0..10 and 50 has the mean 8.75, trimmed by a tenth 5.5.
    const x = [...Array.from({ length: 11 }, (_, i) => i), 50];
    expect([trimmedMean(x, 0), trimmedMean(x, 0.1)]).toEqual([8.75, 5.5]);
    // Sen 1968, the example of section 6, from memory: the median of the 21 slopes is 4.
    expect(medianLine([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]).slope).toBeCloseTo(4, 12);
  });

  it('a quarter of the times may be anything, and what they say stays among the others', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 240, max: 360 }), { minLength: 4, maxLength: 40 }),
        fc.integer({ min: 360, max: 1e6 }),
        (times, coffee) => {
          const kept = times.slice(Math.floor(times.length / 4));
          const broken = [...kept, ...new Array<number>(times.length - kept.length).fill(coffee)];
          const { value, from } = typicalTime(broken);
          expect(value).toBeGreaterThanOrEqual(Math.min(...kept));
          expect(value).toBeLessThanOrEqual(Math.max(...kept));
          expect(from).toBe(times.length);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
    expect(typicalTime([300, 310, 5000])).toEqual({ value: 310, by: 'median', from: 3 });
    expect(withinFences([300, 310, 290, 305, 5000])).toEqual([300, 310, 290, 305]);
  });

  it('the curve is found though one unit in five was interrupted', () => {
    const curve = { model: 'unit' as const, first: 60, rate: 0.9 };
    const times = Array.from({ length: 40 }, (_, i) => learningUnit(curve, i + 1) * (i % 5 === 3 ? 3 : 1));
    expect(Math.abs(fitLearning(times)!.rate - 0.9)).toBeLessThan(0.01);
    expect(fitLearning(Array.from({ length: 1500 }, (_, i) => learningUnit(curve, i + 1)))!.rate).toBeCloseTo(0.9, 9);
  });
});

describe('what a unit costs', () => {
  const kit: CostItem = {
    key: 'unit',
    quantity: 1,
    yieldShare: 0.95,
    labour_minor: 1000,
    parts: [
      { key: 'housing', quantity: 1, price_minor: 1200 },
      { key: 'cell', quantity: 3, price_minor: 450, scrapShare: 0.1 },
      {
        key: 'lid',
        quantity: 1,
        yieldShare: 0.8,
        labour_minor: 200,
        parts: [
          { key: 'panel', quantity: 1, price_minor: 800 },
          { key: 'seal', quantity: 2, price_minor: 30 },
        ],
      },
    ],
  };

  it('with scrap and yield', () => {
    // By hand: lid (800 + 60 + 200)/0.8 = 1325; unit (1200 + 3 x 450/0.9 + 1325 + 1000)/0.95.
    const found = rollUp(kit);
    expect(found.unit_minor).toBeCloseTo((1200 + 1500 + 1325 + 1000) / 0.95, 9);
    expect(found.loss_minor).toBeCloseTo(found.unit_minor - (1200 + 1350 + 1060 + 1000), 9);
    expect(found.rows.map((r) => r.key)).toEqual(['unit', 'housing', 'cell', 'lid', 'panel', 'seal']);
    expect(found.rows.reduce((s, r) => s + r.material_minor + r.labour_minor, 0)).toBeCloseTo(found.unit_minor, 9);
    // 60/0.95 = 63.2; 3 x 63.16/0.9 = 210.5; 63.16/0.8 = 78.9; twice that.
    expect(Object.fromEntries(piecesFor(kit, 60))).toEqual({ housing: 64, cell: 211, panel: 79, seal: 158 });
    expect(() => rollUp({ key: 'x', quantity: 1, yieldShare: 0 })).toThrow(RangeError);
  });
});

describe('price, break-even, tool', () => {
  it('published figures', () => {
    meets('break-even', { units: breakEvenUnits(12_000, 95, 55) });
    const units = breakEvenUnits(10_000, 4, 2.25);
    meets('break-even-target', {
      units,
      target: breakEvenUnits(10_000, 4, 2.25, 5000),
      safety: marginOfSafety(8000, units),
    });
    meets('tool-200', { units: crossoverQuantity({ fixed: 0, unit: 14 }, { fixed: 2300, unit: 2.5 }) });
    const bought = { fixed: 0, unit: 9.2 };
    meets('tool-560', {
      units: crossoverQuantity(bought, { fixed: 4200, unit: 1.7 }),
      scrap: crossoverQuantity(bought, { fixed: 4200, unit: 1.7, yieldShare: 0.97 }),
    });
    meets('margin', {
      margin: marginOf(60, 100),
      markup: markupOf(60, 100),
      price: priceForMargin(60, 0.55),
      gross: withTax(10_000, 20) / 100,
      keep: priceToKeep(100, { share: 0.05, fixed: 0.3 }),
    });
    const cash = [-1000, 400, 400, 400];
    meets('npv', { value: presentValue(cash, 0.1), payback: paybackYears(cash) });
  });

  it('margin and price are inverse, fees included; what cannot be says so', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 0.7, noNaN: true }),
        fc.double({ min: 0, max: 0.2, noNaN: true }),
        (cost, margin, share) => {
          const fees = { share, fixed: 0.3 };
          expect(marginAfterFees(cost, priceForMargin(cost, margin, fees), fees)).toBeCloseTo(margin, 10);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
    expect(() => priceForMargin(60, 0.95, { share: 0.05 })).toThrow(/leave nothing/);
    expect(breakEvenUnits(100, 5, 5)).toBe(Number.POSITIVE_INFINITY);
    expect(paybackYears([-10, 1])).toBe(Number.POSITIVE_INFINITY);
  });

  it('at the crossover both cost the same', () => {
    const bought = { fixed: 50, unit: 9.2, yieldShare: 0.99 };
    const tool = { fixed: 4200, unit: 1.7, yieldShare: 0.9 };
    const n = crossoverQuantity(bought, tool);
    expect(optionCost(bought, n)).toBeCloseTo(optionCost(tool, n), 9);
    expect(crossoverQuantity(tool, bought)).toBe(Number.POSITIVE_INFINITY);
    expect(crossoverQuantity({ fixed: 10, unit: 5 }, { fixed: 5, unit: 4 })).toBe(0);
  });
});

describe('how many to order', () => {
  it('published figures', () => {
    const eoq = economicOrder(1000, 10, 0.5);
    meets('eoq', { quantity: eoq.quantity, orders: eoq.ordersPerYear, cost: eoq.cost });
    const breaks = [
      { from: 1, price: 5 },
      { from: 1000, price: 4.8 },
      { from: 2000, price: 4.75 },
    ];
    const { candidates, best } = economicOrderWithBreaks(5000, 49, 0.2, breaks);
    meets('eoq-discount', {
      ...Object.fromEntries(
        candidates.flatMap((c, i) => [
          [`quantity ${i}`, c.quantity],
          [`total ${i}`, c.total],
        ]),
      ),
      best: best.quantity,
    });
    meets('rop-96', { point: reorderPoint({ demand: 32, lead: 3 }, 0.95).point });
    meets('rop-15', { ...reorderPoint({ demand: 15, sdDemand: 5, lead: 2 }, 0.97) });
    meets('rop-150', { ...reorderPoint({ demand: 150, sdDemand: 16, lead: 5, sdLead: 1 }, 0.95) });
    meets('rop-350', { ...reorderPoint({ demand: 350, sdDemand: 10, lead: 1 }, 0.95) });
    meets('newsvendor-100', { ...newsvendorNormal(100, 20, { cost: 10, price: 25, salvage: 4 }) });
    meets('newsvendor-120', { ...newsvendorNormal(120, 15, { price: 1.25, cost: 0.7, salvage: 0.3 }) });
    const law = empiricalDemand([
      [60, 0.1],
      [70, 0.25],
      [80, 0.3],
      [90, 0.2],
      [100, 0.15],
    ]);
    meets('newsvendor-discrete', { ...newsvendor(law, { cost: 20, price: 50, salvage: 0 }) });
    meets('spares', { count: sparesFor(100, 0.04, 2, 0.95) });
  });

  it('no quantity beats the one chosen', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 80, noNaN: true }), fc.integer({ min: 1, max: 40 }), (mean, cost) => {
        const law = poissonDemand(mean);
        const terms = { cost, price: 50, salvage: 0.5 };
        const best = newsvendor(law, terms);
        for (const q of [best.quantity - 1, best.quantity + 1, best.quantity + 9])
          if (q >= 0) expect(newsvendor(law, terms, q).profit).toBeLessThanOrEqual(best.profit + 1e-9);
        expect(best.sold + best.lost).toBeCloseTo(mean, 6);
      }),
      { seed: 1, numRuns: 50 },
    );
    // A Poisson law of a large mean is near the normal one.
    const terms = { cost: 10, price: 25, salvage: 4 };
    const normal = newsvendorNormal(400, 20, terms);
    expect(Math.abs(newsvendor(poissonDemand(400), terms).quantity - normal.quantity)).toBeLessThan(1.5);
  });

  it('demand ahead: mean and spread of the gamma-Poisson law', () => {
    // Gelman et al. 2.6: mean (a/b) t, variance (a/b) t (1 + t/b), with a = sold + 1/2, b = periods.
    for (const [sold, periods, ahead] of [
      [0, 3, 2],
      [12, 4, 6],
      [300, 10, 5],
    ] as const) {
      const law = demandAhead(sold, periods, ahead);
      const mean = ((sold + 0.5) * ahead) / periods;
      expect(law.reduce((s, p) => s + p, 0)).toBeCloseTo(1, 9);
      expect(demandMean(law) / mean).toBeCloseTo(1, 8);
      const variance = law.reduce((s, p, k) => s + p * (k - mean) ** 2, 0);
      expect(variance / (mean * (1 + ahead / periods))).toBeCloseTo(1, 6);
      expect(demandQuantile(law, 0.95)).toBeGreaterThanOrEqual(demandQuantile(poissonDemand(mean), 0.95));
    }
    expect(demandQuantile(poissonDemand(0), 0.99)).toBe(0);
  });
});

it('a guess as a demand of whole pieces has its mean and spread', () => {
  // Normal 100 ± 20 and the triangle 10, 20, 60 (mean 30, variance 700/6), each with 1/12 for the rounding (Sheppard).
  for (const [guess, mean, variance] of [
    [{ kind: 'normal', mean: 100, sd: 20 }, 100, 400],
    [{ kind: 'triangle', low: 10, mode: 20, high: 60 }, 30, 700 / 6],
  ] as const) {
    const law = guessedDemand(guess);
    expect(law.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 12);
    expect(demandMean(law)).toBeCloseTo(mean, 1);
    expect(law.reduce((sum, p, k) => sum + p * (k - mean) ** 2, 0)).toBeCloseTo(variance + 1 / 12, 1);
  }
  expect([...guessedDemand({ kind: 'values', values: [0, 2, 2, 2] })]).toEqual([0.25, 0, 0.75]);
});

describe('own tool or bought-in, as a distribution', () => {
  const question = {
    bought: { fixed: 0, unit: 9.2 },
    tool: { fixed: 4200, unit: 1.7 },
    demand: 700,
    runs: 500,
  };

  it('certain figures give the crossover of the textbook in every run', () => {
    const a = toolOrBought({ ...question, quantities: [100, 560, 1000] }, createRandom(1));
    expect([a.low, a.middle, a.high]).toEqual([560, 560, 560].map((n) => expect.closeTo(n, 9)));
    expect(a.pays).toBe(1);
    expect(a.neverPays).toBe(0);
    expect(a.savings.map((s) => s.middle)).toEqual([100 * 7.5 - 4200, 0, 3300].map((n) => expect.closeTo(n, 9)));
    expect(a.profitTool[0]! - a.profitBought[0]!).toBeCloseTo(700 * 7.5 - 4200, 9);
  });

  it('guesses spread about it; a tool that often costs more is told', () => {
    const spread = {
      ...question,
      bought: { fixed: 0, unit: { kind: 'triangle' as const, low: 7, mode: 9.2, high: 11 } },
      tool: {
        fixed: { kind: 'normal' as const, mean: 4200, sd: 400 },
        unit: 1.7,
        yieldShare: { kind: 'triangle' as const, low: 0.8, mode: 0.95, high: 1 },
      },
      demand: { kind: 'poisson' as const, mean: 600 },
      price: { kind: 'values' as const, values: [20, 22, 25] },
    };
    const a = toolOrBought(spread, createRandom(5));
    expect(a.low).toBeLessThan(560);
    expect(a.high).toBeGreaterThan(560);
    expect(a.pays).toBeGreaterThan(0.2);
    expect(a.pays).toBeLessThan(0.8);
    expect(toolOrBought(spread, createRandom(5))).toEqual(a);
    const poor = {
      ...question,
      tool: { fixed: 100, unit: { kind: 'triangle' as const, low: 8, mode: 9.2, high: 10.4 } },
    };
    const b = toolOrBought({ ...poor, runs: 2000 }, createRandom(2));
    expect(Math.abs(b.neverPays - 0.5)).toBeLessThan(4 * Math.sqrt(0.25 / 2000));
    expect(b.high).toBe(Number.POSITIVE_INFINITY);
  });

  it('draws have the mean of their law', () => {
    const random = createRandom(9);
    // Triangle (low + mode + high)/3, variance (sum of squares - products)/18; Poisson mean and variance alike.
    for (const [law, mean, sd] of [
      [{ kind: 'triangle', low: 1, mode: 2, high: 6 }, 3, Math.sqrt((1 + 4 + 36 - 2 - 6 - 12) / 18)],
      [{ kind: 'poisson', mean: 3 }, 3, Math.sqrt(3)],
      [{ kind: 'poisson', mean: 200 }, 200, Math.sqrt(200)],
      [{ kind: 'normal', mean: -1, sd: 2 }, -1, 2],
    ] as const) {
      let sum = 0;
      let square = 0;
      for (let i = 0; i < 20_000; i++) {
        const x = drawUncertain(law, random) - mean;
        sum += x;
        square += x * x;
      }
      expect(Math.abs(sum / 20_000)).toBeLessThan((4 * sd) / Math.sqrt(20_000));
      expect(Math.sqrt(square / 20_000) / sd).toBeCloseTo(1, 1);
    }
  });

  it('profit of a batch against the newsvendor sum', () => {
    const terms = { cost: 30, price: 80, salvage: 10 };
    const starts = 60;
    const exact = newsvendor(poissonDemand(25), terms, starts).profit;
    const a = batchProfit(
      {
        starts,
        yieldShare: 1,
        demand: { kind: 'poisson', mean: 25 },
        price: 80,
        unitCost: 30,
        fixed: 0,
        salvage: 10,
        runs: 4000,
      },
      createRandom(4),
    );
    expect(Math.abs(a.mean - exact)).toBeLessThan((4 * 70 * 5) / Math.sqrt(4000));
    expect(a.low).toBeLessThan(a.middle);
    expect(a.lossChance).toBeGreaterThan(0);
    const half = batchProfit(
      { starts: 100, yieldShare: 0.5, demand: 1000, price: 10, unitCost: 1, fixed: 50, salvage: 0, runs: 2000 },
      createRandom(4),
    );
    // Binomial: 50 good ones on average, 10 each, less 150.
    expect(Math.abs(half.mean - 350)).toBeLessThan((4 * 50) / Math.sqrt(2000));
    expect(half.meanSold).toBeCloseTo(50, 0);
    // Many are drawn by the normal law: 2,700 of 3,000 on average, spread sqrt(270).
    const many = batchProfit(
      { starts: 3000, yieldShare: 0.9, demand: 1e6, price: 1, unitCost: 0, fixed: 0, salvage: 0, runs: 2000 },
      createRandom(4),
    );
    expect(Math.abs(many.mean - 2700)).toBeLessThan((4 * Math.sqrt(270)) / Math.sqrt(2000));
    expect((many.high - many.low) / (2 * 1.645 * Math.sqrt(270))).toBeCloseTo(1, 1);
  });
});

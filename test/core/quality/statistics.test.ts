import fc from 'fast-check';
import { expect, describe as group, it } from 'vitest';
import { clopperPearson, createRandom } from '../../../src/core/math/index.ts';
import type { GaugeStudy } from '../../../src/core/quality/index.ts';
import {
  capability,
  chainYields,
  chanceOfEnough,
  chartFactors,
  cpInterval,
  cpkInterval,
  cpkLower,
  cusum,
  describe,
  ewma,
  fitLine,
  gaugeByAnova,
  gaugeByOne,
  gaugeByRanges,
  guardedLimits,
  individualsChart,
  meanRangeChart,
  pareto,
  runSignals,
  shareChart,
  startsFor,
  unitsWithoutFailure,
  upperLimit,
  wilson,
} from '../../../src/core/quality/index.ts';
import { readGolden } from '../../golden.ts';

const data = readGolden('quality-data.csv').rows;
const results = readGolden('quality-results.csv').rows;
const column = (set: string, key: 'x' | 'y' = 'x') =>
  Float64Array.from(data.filter((r) => r['set'] === set).map((r) => Number(r[key])));

/** Compares what was found with every row of a set; a row without a finding fails. */
function meets(set: string, found: Record<string, number | undefined>): void {
  const rows = results.filter((r) => r['set'] === set);
  expect(rows.length).toBeGreaterThan(0);
  for (const { figure, value, tolerance } of rows) {
    const miss = Math.abs((found[figure!] ?? Number.NaN) - Number(value));
    expect(miss, `${set} ${figure}: ${found[figure!]} for ${value}`).toBeLessThanOrEqual(Number(tolerance));
  }
}

group('certified statistics', () => {
  const numacc = (first: number, low: number, high: number) =>
    Float64Array.from({ length: 1001 }, (_, i) => (i === 0 ? first : i % 2 === 1 ? low : high));
  const sets: [string, Float64Array][] = [
    ['michelso', column('michelso')],
    ['lew', column('lew')],
    ['numacc1', Float64Array.of(10000001, 10000003, 10000002)],
    ['numacc2', numacc(1.2, 1.1, 1.3)],
    ['numacc3', numacc(1000000.2, 1000000.1, 1000000.3)],
    ['numacc4', numacc(10000000.2, 10000000.1, 10000000.3)],
  ];
  it.each(sets)('%s', (set, values) => {
    const { mean, sd, lagOne } = describe(values);
    meets(set, { mean, sd, r1: lagOne });
  });

  it('one value, values all alike, shifted far', () => {
    expect(describe([0.1])).toMatchObject({ mean: 0.1, sd: Number.NaN, lagOne: Number.NaN });
    expect(describe(new Array(9).fill(0.1))).toMatchObject({ mean: 0.1, sd: 0, lagOne: Number.NaN });
    expect(describe(new Array(7).fill(1e15 / 3)).sd).toBe(0);
  });

  it('norris', () => {
    const line = fitLine(column('norris'), column('norris', 'y'));
    meets('norris', {
      B0: line.intercept,
      B1: line.slope,
      sd_B0: line.interceptError,
      sd_B1: line.slopeError,
      residual_sd: line.residual,
      R2: line.explained,
    });
  });
});

group('proportions', () => {
  it('published intervals', () => {
    for (const row of readGolden('quality-proportions.csv').rows) {
      const method = row['method'] === 'wilson' ? wilson : clopperPearson;
      const { low, high } = method(Number(row['events']), Number(row['trials']), Number(row['confidence']));
      expect(Math.abs(low - Number(row['low'])), JSON.stringify(row)).toBeLessThanOrEqual(Number(row['tolerance']));
      expect(Math.abs(high - Number(row['high'])), JSON.stringify(row)).toBeLessThanOrEqual(Number(row['tolerance']));
    }
  });

  it('units without a failure, starts, upper limit', () => {
    // Success-run theorem: NIST/SEMATECH e-Handbook 8.3.1 and textbooks: 22, 59, 299; 45, 230.
    expect(unitsWithoutFailure(0.9, 0.9)).toBe(22);
    expect(unitsWithoutFailure(0.95, 0.95)).toBe(59);
    expect(unitsWithoutFailure(0.99, 0.95)).toBe(299);
    expect(unitsWithoutFailure(0.95, 0.9)).toBe(45);
    expect(unitsWithoutFailure(0.99, 0.9)).toBe(230);
    // Closed form 1 - 0.05^(1/60).
    expect(upperLimit(0, 60)).toBeCloseTo(1 - 0.05 ** (1 / 60), 12);
    // Binomial law, shared reference folder: 108 starts at 95 % give 100 good ones with chance 0.9081; 109 are needed
    // for 95 %.
    expect(chanceOfEnough(108, 0.95, 100)).toBeCloseTo(0.9080687578128407, 10);
    expect(startsFor(100, 0.95, 0.95)).toBe(109);
    expect(startsFor(60, 1, 0.95)).toBe(60);
  });
});

group('yields', () => {
  it('rolled yield of four steps', () => {
    // Breyfogle, Implementing Six Sigma: 0.98 x 0.95 x 0.99 x 0.97 = 0.8940393, per step 0.9723870.
    const first = [98, 95, 99, 97];
    const found = chainYields(first.map((passedFirst) => ({ entered: 100, passedFirst, passedFinally: 100 })));
    expect(found.rolled).toBeCloseTo(0.8940393, 12);
    expect(found.normalised).toBeCloseTo(0.9723870188182865, 12);
    expect(Math.ceil(100 / found.rolled)).toBe(112);
    expect(Math.exp(-found.defectsPerUnit)).toBeCloseTo(found.rolled, 12);
    expect(found.final).toBe(1);
    expect(found.firstPass[0]!.low).toBeLessThan(0.98);
    const waiting = chainYields([
      { entered: 10, passedFirst: 9, passedFinally: 10 },
      { entered: 0, passedFirst: 0, passedFinally: 0 },
    ]);
    expect(waiting.rolled).toBeCloseTo(0.9, 12);
    expect(waiting.normalised).toBeCloseTo(0.9, 12);
    expect(waiting.firstPass[1]!.mean).toBeNaN();
  });

  it('causes of failure by falling count', () => {
    expect(
      pareto([
        ['seal', 2],
        ['antenna', 5],
        ['none', 0],
        ['cell', 3],
      ]),
    ).toEqual([
      { cause: 'antenna', count: 5, share: 0.5, cumulative: 0.5 },
      { cause: 'cell', count: 3, share: 0.3, cumulative: 0.8 },
      { cause: 'seal', count: 2, share: 0.2, cumulative: 1 },
    ]);
  });
});

group('control charts', () => {
  it('factors', () => {
    for (const row of readGolden('quality-chart-factors.csv').rows) {
      const factors = chartFactors(Number(row['n']));
      const name = row['factor']!;
      const found =
        name === 'K1'
          ? 1 / factors.d2
          : name === 'K2' || name === 'K3'
            ? 1 / factors.rmsRange
            : factors[name as keyof typeof factors];
      expect(Math.abs(found - Number(row['value'])), JSON.stringify(row)).toBeLessThanOrEqual(Number(row['tolerance']));
    }
    expect(() => chartFactors(1)).toThrow(RangeError);
    expect(() => chartFactors(26)).toThrow(RangeError);
  });

  it('individuals and moving range', () => {
    const { individuals, movingRange } = individualsChart(column('individuals'));
    meets('individuals', {
      center: individuals.centre,
      MRbar: movingRange.centre,
      UCL: individuals.upper,
      LCL: individuals.lower,
      UCL_MR: movingRange.upper,
    });
    expect(runSignals(individuals)).toEqual([]);
  });

  it('means and ranges, capability of the same process', () => {
    const { means, ranges, withinSigma } = meanRangeChart(column('xbar-r'), 5);
    meets('xbar-r', {
      xbarbar: means.centre,
      Rbar: ranges.centre,
      UCL_x: means.upper,
      LCL_x: means.lower,
      UCL_R: ranges.upper,
      LCL_R: ranges.lower,
      sigma_hat: withinSigma,
      Cp: capability(means.centre, withinSigma, { lower: 1, upper: 2 }).cp,
    });
  });

  it('shares of bad units', () => {
    const counts = column('pchart');
    const { shares, centre, lower, upper } = shareChart(counts, new Float64Array(counts.length).fill(50));
    meets('pchart', { center: centre, LCL: lower[0], UCL: upper[0] });
    const outside = [...shares].flatMap((s, i) => (s > upper[i]! || s < lower[i]! ? [i + 1] : []));
    expect(outside).toEqual([15, 23]); // e-Handbook 6.3.3.2
  });

  it('cumulative sums and moving averages', () => {
    const printed = data.filter((r) => r['set'] === 'cusum').map((r) => r['y']!.split('/').map(Number));
    const sums = cusum(column('cusum'), 325, 0.3175, 4.1959);
    printed.forEach(([high, low], i) => {
      expect(sums.high[i]).toBeCloseTo(high!, 6);
      expect(sums.low[i]).toBeCloseTo(low!, 6);
    });
    expect(sums.first + 1).toBe(14);
    const { average, half, settled } = ewma(column('ewma'), 50, 2.0539, 0.3);
    column('ewma', 'y').forEach((y, i) => {
      expect(Math.abs(average[i]! - y)).toBeLessThan(0.002);
    });
    meets('ewma', { UCL: 50 + settled, LCL: 50 - settled });
    expect(half[0]).toBeCloseTo(3 * 2.0539 * 0.3, 10); // the first average moves by 0.3 of one value
  });

  it('each rule sees its run, and not one value sooner', () => {
    const chart = (values: number[]) => ({ values: Float64Array.from(values), centre: 0, sigma: 1 });
    const rules = (values: number[]) => [...new Set(runSignals(chart(values)).map((s) => s.rule))];
    const nine = [0.1, 0.5, 0.2, 0.9, 0.1, 0.4, 0.3, 0.6, 0.2];
    // Nelson 1984: what each test says, and one value less.
    expect(rules([0.5, 3.01])).toEqual(['one-beyond-3-sigma']);
    expect(rules([0.5, -2.99])).toEqual([]);
    expect(rules(nine)).toEqual(['nine-on-one-side']);
    expect(rules(nine.slice(1))).toEqual([]);
    expect(rules([-0.5, -0.3, -0.1, 0.1, 0.2, 0.9])).toEqual(['six-rising-or-falling']);
    expect(rules([-0.3, -0.1, 0.1, 0.2, 0.9])).toEqual([]);
    expect(rules([-0.3, -0.1, 0.1, 0.1, 0.2, 0.9])).toEqual([]);
    const zigzag = Array.from({ length: 14 }, (_, i) => (i % 2 === 0 ? 1.5 : -0.2));
    expect(rules(zigzag)).toEqual(['fourteen-alternating']);
    expect(rules(zigzag.slice(1))).toEqual([]);
    expect(rules([2.1, -1, 2.1])).toEqual(['two-of-three-beyond-2-sigma']);
    expect(rules([2.1, -1, -2.1])).toEqual([]);
    expect(rules([1.1, 1.2, -0.5, 1.3, 1.1])).toEqual(['four-of-five-beyond-1-sigma']);
    expect(rules([1.1, 1.2, -0.5, 0.9, 1.1])).toEqual([]);
    const calm = [0.5, -0.5, 0.2, 0.1, -0.9, 0.9, 0.3, 0.3, -0.4, 0.6, 0.7, -0.1, -0.3, 0.2, 0.4];
    expect(rules(calm)).toEqual(['fifteen-within-1-sigma']);
    expect(rules(calm.slice(1))).toEqual([]);
    const split = [1.5, -1.5, 1.2, 1.4, -1.2, -1.6, 1.1, -1.2];
    expect(rules(split)).toEqual(['eight-outside-1-sigma']);
    expect(runSignals(chart([0.5, 0.5, 3.5]))).toEqual([{ rule: 'one-beyond-3-sigma', from: 2, to: 2 }]);
  });

  it('a steady process signals once in 370 values', () => {
    // Mean run length of three-sigma limits: 1/0.0027 = 370.4 (Montgomery; e-Handbook 6.3.1).
    const random = createRandom(3);
    const values = Float64Array.from({ length: 100_000 }, () => random.normal());
    const signals = runSignals({ values, centre: 0, sigma: 1 }, ['one-beyond-3-sigma']).length;
    expect(Math.abs(signals - 270)).toBeLessThan(4 * Math.sqrt(270));
  });
});

group('capability', () => {
  it('handbook figures and intervals', () => {
    const c = capability(16, 2, { lower: 8, upper: 20, target: 14 });
    meets('capability', { Cp: c.cp, Cpk: c.cpk, Cpu: c.cpu, Cpl: c.cpl, k: c.offCentre, Cpm: c.cpm });
    const { low, high } = cpkInterval(1.33, 50);
    meets('cpk-ci', { lower: low, upper: high, lower_one_sided: cpkLower(1.33, 50) });
    for (const { figure, value, tolerance } of results.filter((r) => r['set'] === 'ppm')) {
      const { shareOutside } = capability(0, 1, { lower: -3 * Number(figure), upper: 3 * Number(figure) });
      expect(Math.abs(1e6 * shareOutside - Number(value))).toBeLessThanOrEqual(Number(tolerance));
    }
    expect(capability(1, 1, { upper: 4 })).toMatchObject({ cp: undefined, cpk: 1, cpl: undefined });
    expect(guardedLimits({ lower: 0, upper: 10 }, 0.4)).toEqual({ lower: 0.4, upper: 9.6 }); // ISO 14253-1 style, from memory
    expect(guardedLimits({ lower: 0, upper: 1 }, 0.6)).toBeUndefined();
  });

  it('the interval on Cp covers the truth as often as it says', () => {
    const random = createRandom(11);
    let held = 0;
    for (let i = 0; i < 2000; i++) {
      const { sd } = describe(Float64Array.from({ length: 20 }, () => random.normal()));
      const { low, high } = cpInterval(1 / sd, 20);
      if (low <= 1 && high >= 1) held++;
    }
    expect(Math.abs(held / 2000 - 0.95)).toBeLessThan(4 * Math.sqrt((0.95 * 0.05) / 2000));
  });
});

group('gauge studies', () => {
  const rows = readGolden('quality-gauge.csv').rows;
  const study = (name: string, parts: number, trials: number): GaugeStudy => ({
    parts,
    persons: 3,
    trials,
    values: Float64Array.from(rows.filter((r) => r['study'] === name).map((r) => Number(r['value']))),
  });

  it('analysis of variance', () => {
    const a = gaugeByAnova(study('anova', 5, 2));
    meets('gauge-anova', {
      SS_part: a.squares.part,
      SS_operator: a.squares.person,
      SS_interaction: a.squares.interaction,
      SS_error: a.squares.error,
      SS_total: a.squares.total,
      MS_part: a.meanSquares.part,
      MS_operator: a.meanSquares.person,
      MS_interaction: a.meanSquares.interaction,
      MS_error: a.meanSquares.error,
      var_repeatability: a.variance.repeatability,
      var_interaction: a.variance.interaction,
      var_operator: a.variance.person,
      var_part: a.variance.part,
      var_grr: a.gauge ** 2,
      var_total: a.total ** 2,
      pct: a.study_pct,
      ndc: a.classes,
      ndc_exact: a.classesExact,
      p_interaction: a.interactionChance,
    });
  });

  it('averages and ranges', () => {
    const g = gaugeByRanges(study('range', 10, 3));
    meets('gauge-range', {
      Rbarbar: g.meanRange,
      xdiff: g.personRange,
      EV: g.repeatability,
      AV: g.reproducibility,
      GRR: g.gauge,
      PV: g.part,
      TV: g.total,
      pct: g.study_pct,
      ndc: g.classes,
    });
  });

  it('one person: the spread within parts, with its interval', () => {
    const found = gaugeByOne(
      10,
      3,
      study('range', 10, 3).values.filter((_, i) => Math.floor(i / 3) % 3 === 0),
    );
    // By hand: the variances of the ten triples of appraiser A, averaged, and their root.
    const triples = rows.filter((r) => r['study'] === 'range' && r['operator'] === '0').map((r) => Number(r['value']));
    const within = Array.from({ length: 10 }, (_, i) => describe(triples.slice(3 * i, 3 * i + 3)).sd ** 2);
    expect(found.repeatability).toBeCloseTo(Math.sqrt(within.reduce((a, b) => a + b) / 10), 12);
    // source: chi-square table, 20 degrees: 9.591 and 34.170 at 2.5 and 97.5 %; tolerance: four printed digits
    expect(found.degrees).toBe(20);
    expect(found.low / found.repeatability).toBeCloseTo(Math.sqrt(20 / 34.17), 4);
    expect(found.high / found.repeatability).toBeCloseTo(Math.sqrt(20 / 9.591), 4);
    expect(gaugeByOne(1, 3, Float64Array.of(1, 2, 3))).toMatchObject({
      repeatability: 1,
      degrees: 2,
      part: Number.NaN,
    });
    expect(() => gaugeByOne(2, 1, Float64Array.of(1, 2))).toThrow(RangeError);
  });

  it('a gauge without spread: no chance is made up', () => {
    const values = Float64Array.from({ length: 12 }, (_, i) => Math.floor(i / 4));
    const still = gaugeByAnova({ parts: 3, persons: 2, trials: 2, values });
    expect(still).toMatchObject({ gauge: 0, study_pct: 0, classes: Number.POSITIVE_INFINITY });
    expect(still.interactionChance).toBeNaN();
  });

  it('sums of squares add up, and another unit changes no share', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 24, maxLength: 24 }), (list) => {
        const values = Float64Array.from(list, (v, i) => v + i / 7);
        const a = gaugeByAnova({ parts: 4, persons: 3, trials: 2, values });
        const { mean } = describe(values);
        const total = values.reduce((s, v) => s + (v - mean) ** 2, 0);
        expect(Math.abs(a.squares.total - total)).toBeLessThan(1e-9 * (1 + total));
        const b = gaugeByAnova({ parts: 4, persons: 3, trials: 2, values: values.map((v) => 1000 * v + 3) });
        expect(b.study_pct).toBeCloseTo(a.study_pct, 6);
      }),
      { seed: 1, numRuns: 50 },
    );
  });
});

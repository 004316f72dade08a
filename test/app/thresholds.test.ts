import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readInputs } from '../../src/app/inputs.ts';
import { makeWeather } from '../../src/app/site.ts';
import { makeSupply } from '../../src/app/supply.ts';
import { choicesOf, cornerOf, margin_mV, nodeWith } from '../../src/app/threshold-choice.ts';
import { rankRows, type ThresholdRow } from '../../src/app/threshold-row.ts';
import { referenceRun, trialSeasons, tryNode } from '../../src/app/threshold-trial.ts';
import { type ThresholdsOutcome, thresholds, thresholdsOf } from '../../src/app/thresholds.ts';
import { TALLY } from '../../src/core/energy/index.ts';
import { buildNode } from '../../src/core/energy/node.ts';
import { runSeasons, tallyAt } from '../../src/core/energy/seasons.ts';
import { readGolden } from '../golden.ts';
import { PORTS, problemsOf } from './real-ports.ts';

const ALDER = 'examples/alder-3.yaml';
const BARE = 'examples/bare-board.yaml';
const SHED = 'examples/tarnwick-shed.yaml';
/** A valley floor that loses the sun in winter: both kits go dark there. */
const POST = 'examples/rescue-post.yaml';
const NEW = { capacityShare: 1, resistanceFactor: 1 };

const bare = await thresholds(PORTS, { kit: BARE, perch: SHED, years: 30 });
const alder = await thresholds(PORTS, { kit: ALDER, perch: POST, years: 30 });
const both: [string, ThresholdsOutcome][] = [
  ['a bare board at a southern shed', bare],
  ['a kit with a cut-off in a valley', alder],
];
const rowsOf = (o: ThresholdsOutcome) => [o.recommended, ...o.alternatives, ...o.choices];
const gap = (r: ThresholdRow) => r.reconnect_V - r.cutoff_V;

describe('hysteresis', () => {
  it('restarts a node that a bare board does not (common practice, no source)', () => {
    expect(bare.without!.lockUps_per_year).toBeGreaterThan(0);
    expect(bare.recommended.spells_per_year).toBeGreaterThan(0);
    expect(bare.recommended.lockUps_per_year).toBe(0);
    expect(bare.recommended.corner.lockUps_per_year).toBe(0);
    expect(bare.recommended.dark_h_per_year).toBeLessThan(bare.without!.dark_h_per_year / 2);
    expect(bare.verdict).toMatch(/As it stands, without a cut-off, it locks up/);
    expect(alder.without).toBeNull();
  });

  it.each(both)('of a wider gap never means more restarts: %s', (_, o) => {
    let pairs = 0;
    for (const a of o.choices)
      for (const b of o.choices) {
        if (a.ceiling_V !== b.ceiling_V || a.cutoff_V !== b.cutoff_V || gap(b) <= gap(a)) continue;
        pairs++;
        for (const [wide, narrow] of [
          [b, a],
          [b.corner, a.corner],
        ] as const) {
          expect(wide.spells_per_year).toBeLessThanOrEqual(narrow.spells_per_year + 1e-9);
          expect(wide.falseRestarts_per_year).toBeLessThanOrEqual(narrow.falseRestarts_per_year + 1e-9);
        }
      }
    expect(pairs).toBeGreaterThan(500);
    // The law would be empty if nothing ever restarted.
    expect(Math.max(...o.choices.map((c) => c.spells_per_year))).toBeGreaterThan(0);
  });

  it.each(both)('is never better in the worst unit than in a nominal one: %s', (_, o) => {
    for (const r of rowsOf(o)) expect(r.corner.falseRestarts_per_year).toBeGreaterThanOrEqual(r.falseRestarts_per_year);
  });

  it('throws restarts back only where the margin by arithmetic is below zero', () => {
    const thrown = rowsOf(alder).filter((r) => r.corner.falseRestarts_per_year > 0);
    expect(thrown.length).toBeGreaterThan(0);
    for (const r of thrown) expect(r.corner.margin_mV).toBeLessThan(0);
  });
});

describe('the margin of a gap', () => {
  it('loses two millivolts a millivolt of tolerance, and grows with the gap', async () => {
    const { kit } = await readInputs(PORTS, { kit: ALDER, perch: POST });
    const law = fc.property(
      fc.integer({ min: 0, max: 200 }),
      fc.double({ min: 0.05, max: 0.8, noNaN: true }),
      fc.double({ min: -30, max: 20, noNaN: true }),
      (tolerance_mV, gap_V, coldMonth_degC) => {
        const of = (mV: number) =>
          cornerOf({ ...kit, cutoff: { ...kit.cutoff, tolerance_mV: mV } }, NEW, coldMonth_degC, coldMonth_degC - 10);
        const choice = { ceiling_V: 4.1, cutoff_V: 3.2, reconnect_V: 3.2 + gap_V };
        const margin = margin_mV(choice, of(tolerance_mV));
        expect(margin_mV(choice, of(tolerance_mV + 5))).toBeCloseTo(margin - 10, 6);
        expect(margin_mV({ ...choice, reconnect_V: choice.reconnect_V + 0.1 }, of(tolerance_mV))).toBeCloseTo(
          margin + 100,
          6,
        );
        // By hand: drift of 200 µV/K from 25 °C.
        expect(of(tolerance_mV).drift_mV).toBeCloseTo(0.2 * Math.abs(25 - coldMonth_degC), 9);
      },
    );
    fc.assert(law, { seed: 1, numRuns: 60 });
  });

  it('is eaten into by cold and by age', async () => {
    const { kit } = await readInputs(PORTS, { kit: BARE, perch: POST });
    const warm = cornerOf(kit, NEW, 20, 10);
    const cold = cornerOf(kit, NEW, 20, -20);
    const old = cornerOf(kit, { capacityShare: 0.85, resistanceFactor: 1.5 }, 20, -20);
    expect(cold.restartDrop_mV).toBeGreaterThan(warm.restartDrop_mV);
    expect(old.restartDrop_mV).toBeCloseTo(1.5 * cold.restartDrop_mV, 9);
    expect(old.chargeLift_mV).toBeGreaterThan(cold.chargeLift_mV);
  });
});

describe('the recommendation', () => {
  it.each(both)('misses no demand: no false restart, a safe cut-off, room left in the gap: %s', (_, o) => {
    const { recommended: r, corner } = o;
    expect(r.wanting).toEqual([]);
    expect(r.proven).toBe(true);
    expect(r.falseRestarts_per_year + r.corner.falseRestarts_per_year).toBe(0);
    expect(r.corner.margin_mV).toBeGreaterThanOrEqual(50);
    // Cells suffer below 2.8 to 3.0 V (from memory): no unit may switch off below the upper of these.
    expect(r.cutoff_V - (corner.tolerance_mV + corner.drift_mV) / 1000).toBeGreaterThanOrEqual(3 - 1e-9);
    expect(Math.min(r.lowest_V, r.corner.lowest_V)).toBeGreaterThan(2.8);
    expect(o.reasons.length).toBeGreaterThanOrEqual(4);
    expect(o.dark_h_per_year.mean).toBeCloseTo(r.dark_h_per_year, 9);
    expect(o.verdict).toContain(`on again at ${r.reconnect_V.toFixed(2)} V`);
  });

  it.each(both)('has an alternative for each voltage, and what it costs in words: %s', (_, o) => {
    for (const kind of [/^ceiling/, /^cut-off/, /^reconnect/]) {
      const found = o.alternatives.filter((a) => kind.test(a.change));
      expect(found.length).toBeGreaterThan(1);
      for (const a of found) expect(a.cost).not.toBe('');
    }
    expect(o.alternatives.some((a) => a.change === "the kit's own")).toBe(o === alder);
  });

  it.each(both)('a higher ceiling holds longer without sun and ages the cells faster: %s', (_, o) => {
    // Direction by Schmalstieg et al. 2014: calendar ageing rises with the voltage at which a cell stands.
    const tops = [o.recommended, ...o.alternatives.filter((a) => a.change.startsWith('ceiling'))];
    tops.sort((a, b) => a.ceiling_V - b.ceiling_V);
    for (let i = 1; i < tops.length; i++) {
      expect(tops[i]!.autonomy_d).toBeGreaterThan(tops[i - 1]!.autonomy_d);
      expect(tops[i]!.yearsTo80!.low).toBeLessThan(tops[i - 1]!.yearsTo80!.low);
    }
  });

  it('takes the fewest dark hours, then the longest life, among choices without fault', () => {
    const row = (dark: number, life: number, wanting: ThresholdRow['wanting'] = []): ThresholdRow => ({
      ...alder.recommended,
      dark_h_per_year: dark,
      corner: { ...alder.recommended.corner, dark_h_per_year: dark },
      yearsTo80: { low: life, high: life + 5 },
      wanting,
    });
    const bright = row(10, 12);
    const kind = row(10.3, 20);
    const dim = row(40, 30);
    const unsound = row(0, 40, ['gap too small']);
    expect(rankRows([dim, unsound, bright, kind])).toEqual([kind, bright, dim]);
    expect(rankRows([unsound])).toEqual([unsound]);
  });

  it('is the same each time', async () => {
    const inputs = await readInputs(PORTS, { kit: BARE, perch: POST });
    const run = () => thresholdsOf(inputs, { years: 4, seed: 7 });
    expect(run()).toEqual(run());
  });
});

describe('the short way of running choices', () => {
  it('counts what whole seasons count', async () => {
    const { kit, perch, plan } = await readInputs(PORTS, { kit: ALDER, perch: POST });
    const years = 12;
    const site = makeWeather(plan, perch, 3, years + 1);
    const { hours } = makeSupply(kit, perch, plan, site);
    const choices = choicesOf(kit).filter((c) => c.ceiling_V === choicesOf(kit)[2]!.ceiling_V);
    const cutoff_V = Math.max(...choices.map((c) => c.cutoff_V));
    const reconnect_V = Math.max(...choices.map((c) => c.reconnect_V));
    const highest = nodeWith(kit, { ...choices[0]!, cutoff_V, reconnect_V }, NEW);
    const all = runSeasons(buildNode(highest), hours, site.startMonth, years);
    // Every other season, so that the long way too begins each of them full.
    const only = Array.from({ length: years / 2 }, (_, i) => 2 * i);
    const trial = { only, weight: only.map(() => 2), years };
    const reference = referenceRun(highest, hours, site.startMonth, trial);
    let dark = 0;
    for (const choice of choices) {
      const node = nodeWith(kit, choice, NEW);
      const short = tryNode(node, hours, site.startMonth, trial, reference);
      const long = runSeasons(buildNode(node), hours, site.startMonth, years, { only });
      const sum = (field: number) => (2 * long.total[field]!) / years;
      expect(short.dark_h_per_year).toBeCloseTo(sum(TALLY.dark_h), 9);
      expect(short.spells_per_year).toBeCloseTo(sum(TALLY.darkSpells), 9);
      expect(short.falseRestarts_per_year).toBeCloseTo(sum(TALLY.falseRestarts), 9);
      expect(short.minStateOfCharge).toBeCloseTo(long.total[TALLY.minStateOfCharge]!, 9);
      dark += short.dark_h_per_year;
    }
    expect(dark).toBeGreaterThan(0);
    // The seasons picked for the grid: the worst come first, and the weights stand for all dark ones.
    const picked = trialSeasons(all, 2);
    const darkOnes = Array.from({ length: years }, (_, s) => s).filter((s) => tallyAt(all.season, s, TALLY.dark_h) > 0);
    const total = picked.weight.reduce((sum, w) => sum + w, 0);
    expect(total).toBeCloseTo(Math.max(2, darkOnes.length), 9);
    const worst = Math.max(...darkOnes.map((s) => tallyAt(all.season, s, TALLY.dark_h)));
    expect(picked.only.some((s) => tallyAt(all.season, s, TALLY.dark_h) === worst)).toBe(true);
  });
});

describe('the resistors', () => {
  const golden = readGolden('charger-eseries.csv');
  const decade = (series: string) => golden.rows.filter((r) => r['series'] === series).map((r) => Number(r['value']));
  const isIn = (series: string, value_Ohm: number) => {
    const base = value_Ohm / 10 ** Math.floor(Math.log10(value_Ohm) + 1e-9);
    return decade(series).some((v) => Math.abs(v - base) < 1e-6);
  };

  it.each(both)("set the recommended voltages by Ohm's law, with values of their series: %s", (_, o) => {
    expect(o.dividers.map((d) => d.series)).toEqual(['E96', 'E24']);
    for (const d of o.dividers) {
      const whole = d.r1_Ohm + d.r2_Ohm + d.r3_Ohm;
      expect((o.reference_V * whole) / (d.r2_Ohm + d.r3_Ohm)).toBeCloseTo(d.cutOff.nominal_V, 9);
      expect((o.reference_V * whole) / d.r3_Ohm).toBeCloseTo(d.reconnect.nominal_V, 9);
      // 1 % is the tolerance of the parts themselves.
      expect(Math.abs(d.cutOff.nominal_V / o.recommended.cutoff_V - 1)).toBeLessThan(0.01);
      expect(Math.abs(d.reconnect.nominal_V / o.recommended.reconnect_V - 1)).toBeLessThan(0.01);
      for (const value of [d.r1_Ohm, d.r2_Ohm, d.r3_Ohm]) expect(isIn(d.series, value), String(value)).toBe(true);
      expect(d.leastGap_V).toBeLessThan(d.reconnect.nominal_V - d.cutOff.nominal_V);
    }
    for (const d of o.ceilingDividers) {
      expect(o.reference_V * (1 + d.top_Ohm / d.bottom_Ohm)).toBeCloseTo(d.threshold.nominal_V, 9);
      expect(Math.abs(d.threshold.nominal_V / o.recommended.ceiling_V - 1)).toBeLessThan(0.01);
    }
  });

  it('follow another reference and one series', async () => {
    const inputs = await readInputs(PORTS, { kit: BARE, perch: POST });
    const o = thresholdsOf(inputs, { years: 2, reference_V: 0.6, series: 'E24' });
    expect(o.reference_V).toBe(0.6);
    expect(o.dividers.map((d) => d.series)).toEqual(['E24']);
    const [d] = o.dividers;
    expect((0.6 * (d!.r1_Ohm + d!.r2_Ohm + d!.r3_Ohm)) / d!.r3_Ohm).toBeCloseTo(d!.reconnect.nominal_V, 9);
    const [problem] = await problemsOf(() => thresholdsOf(inputs, { years: 2, reference_V: 3.6 }));
    expect(problem).toMatchObject({ code: 'reference-range', field: '--reference' });
  });
});

describe('kits of other kinds', () => {
  it('a plain kit is told that thresholds need voltages', async () => {
    const perch = POST;
    const [problem] = await problemsOf(() =>
      thresholds(PORTS, { kit: 'examples/reference/kit.yaml', perch, years: 2 }),
    );
    expect(problem).toMatchObject({ code: 'thresholds-need-voltages' });
    expect(problem!.message).toMatch(/set mode: full and give cutoff_V and reconnect_V/);
  });

  it('thresholds as states of charge are tried as the rested voltages that they stand for', async () => {
    const set = ['kit.cutoff.cutoff_V=null', 'kit.cutoff.reconnect_V=null'];
    set.push('kit.cutoff.cutoff_soc=0.1', 'kit.cutoff.reconnect_soc=0.3');
    const { kit } = await readInputs(PORTS, { kit: ALDER, perch: POST, set });
    // NMC811 of Chen et al. 2020: 3.2923 V at 10 %, 3.5781 V at 30 %; to 10 mV.
    const own = choicesOf(kit).filter((c) => c.cutoff_V === 3.29);
    expect(own.some((c) => c.reconnect_V === 3.58 && c.ceiling_V === 4.1)).toBe(true);
  });

  it('cells with a table of their own get cut-offs from that table, and no life', async () => {
    const table = [
      [0, 2.6],
      [0.05, 3],
      [0.1, 3.15],
      [0.2, 3.22],
      [0.5, 3.29],
      [0.8, 3.33],
      [1, 3.45],
    ].map(([soc, voltage_V]) => ({ soc, voltage_V }));
    const set = ['kit.cells.chemistry=table', `kit.cells.table=${JSON.stringify(table)}`];
    set.push('kit.charger.ceiling_V=3.5', 'kit.cutoff.cutoff_V=2.9', 'kit.cutoff.reconnect_V=3.25');
    const o = await thresholds(PORTS, { kit: ALDER, perch: POST, set, years: 3 });
    expect(o.recommended.yearsTo80).toBeNull();
    expect(o.recommended.cutoff_V).toBeLessThan(3.25);
    for (const c of o.choices) expect(c.reconnect_V).toBeLessThan(c.ceiling_V);
    // Reconnecting above what the lowest ceiling brings would be for ever.
    const stuck = o.choices.filter((c) => c.wanting.includes('may never come back'));
    expect(stuck.length).toBeGreaterThan(0);
    for (const c of stuck) expect(c.reconnect_V).toBeGreaterThan(c.ceiling_V - 0.1);
  });
});

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Deed } from '../../../src/app/bench/act.ts';
import { openBatch, savePlan } from '../../../src/app/bench/batches.ts';
import { planOfUnit, unitIn } from '../../../src/app/bench/find.ts';
import { gateLimits } from '../../../src/app/bench/gates.ts';
import { kitOfPlan } from '../../../src/app/bench/kit-of-plan.ts';
import { cancelOrder, placeOrder, reserveUnits } from '../../../src/app/bench/leaving.ts';
import { whatToOrder } from '../../../src/app/bench/ordering.ts';
import { bandOfGate, sweepAtGate } from '../../../src/app/bench/sweep-gate.ts';
import { linesOf } from '../../../src/app/bench/units.ts';
import { timeOnAir } from '../../../src/core/airtime/index.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { mostPower_dBm, type Plan, planForRegion, readPlan } from '../../../src/records/bench/index.ts';
import { problemsOf } from '../real-ports.ts';
import { emptyTestBench, PLAN, testBench } from './bench.ts';

const kitText = readFileSync(new URL('../../../examples/alder-3.yaml', import.meta.url), 'utf8');
const history = async () => [{ content: kitText, number: 1 }] as never;
const planText = readFileSync(new URL('../../../examples/bench/plan-alder-3.yaml', import.meta.url), 'utf8');
const plan = (extra: object, base: object = PLAN) =>
  readPlan(parseYamlRecord(JSON.stringify({ ...base, ...extra }), 'plan.yaml')) as Plan;

const EU = { frequency_MHz: 869.525, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: '4/6', power_dBm: 14 };
const JP = { frequency_MHz: 916.8, spreadingFactor: 7, bandwidth_kHz: 125, codingRate: '4/5', power_dBm: 12 };
const NZ = { ...JP, frequency_MHz: 917.5, power_dBm: 20 };
const RADIO_PLAN = {
  ...PLAN,
  bom: [...PLAN.bom, { part: 'antenna', count: 1 }],
  steps: [{ ...PLAN.steps[0], parts: ['cell', 'antenna'] }, ...PLAN.steps.slice(1)],
  gates: [
    ...PLAN.gates,
    { key: 'match', name: 'Match', measures: 'antenna match', high: 2, band: { from_MHz: 863, to_MHz: 870 } },
    { key: 'power', name: 'Power', measures: 'transmit power', low: 10, high: 14.5, uncertainty: 0.5 },
  ],
  variants: [
    { region: 'EU', radio: EU, antenna: { part: 'antenna', gain_dBi: 2 }, alsoFor: ['UK'] },
    {
      region: 'JP',
      radio: JP,
      antenna: { part: 'antenna-920', gain_dBi: 2 },
      bom: [
        { replaces: 'antenna', part: 'antenna-920' },
        { part: 'filter', step: 'close' },
      ],
      gates: [{ key: 'sleep', high: 60 }],
      settings: 'JP-917 hut',
    },
  ],
};

describe('what to order', () => {
  it('follows the variant of the region, and tells where there is none', async () => {
    const bench = await emptyTestBench();
    const { kind: _, ...wanted } = plan(RADIO_PLAN);
    await bench.do((state) => savePlan(state, 'alder-3', wanted));
    const partsFor = (region?: string) =>
      whatToOrder(bench.state, { plan: 'alder-3', units: 10, region, today: '2030-02-01' }).lines.map((l) => l.part);
    expect(partsFor('JP')).toEqual(['cell', 'screw', 'antenna-920', 'filter']);
    expect(partsFor('EU')).toEqual(['cell', 'screw', 'antenna']);
    const [problem] = await problemsOf(() => partsFor('US'));
    expect(problem).toMatchObject({ code: 'no-such-variant', field: 'region' });
    expect(problem!.message).toContain('variants for EU, JP, none for US');
    const { region, assumptions } = whatToOrder(bench.state, { plan: 'alder-3', units: 1, today: '2030-02-01' });
    expect(region).toBeNull();
    expect(assumptions.at(-1)).toContain('a region may want other parts');
  });
});

describe('a plan by region', () => {
  it('reads as plans of before told variants: parts and settings as texts', () => {
    const old = plan({ variants: [{ region: 'US', radio: 'board', antenna: 'antenna-915', settings: 'US-915 hut' }] });
    const built = planForRegion(old, 'US');
    expect([built.bom, built.steps]).toEqual([old.bom, old.steps]);
    expect(built.gates.map((g) => [g.low, g.high])).toEqual(old.gates.map((g) => [g.low, g.high]));
  });
  it('takes a revision that is a number', () => {
    expect(plan({ kitRevision: 3 }).kitRevision).toBe('3');
  });
  it('has the lines, limits and bands of its variant, and the plan itself stays', () => {
    const all = plan(RADIO_PLAN);
    const japan = planForRegion(all, 'JP');
    expect(linesOf(japan).map((l) => l.part)).toEqual(['cell', 'screw', 'antenna-920', 'filter']);
    expect(japan.steps.map((s) => s.parts)).toEqual([['cell', 'antenna-920'], ['filter']]);
    const gate = (of: Plan, key: string) => of.gates.find((g) => g.key === key)!;
    expect(gateLimits(gate(japan, 'sleep')).high).toBe(58);
    expect(gateLimits(gate(all, 'sleep')).high).toBe(38);
    // ARIB STD-T108, low power: 915.9 to 929.7 MHz, 20 mW (13 dBm) at the connector, 16 dBm e.i.r.p. (core/path/limits.ts).
    expect(gate(japan, 'match').band).toEqual({ from_MHz: 915.9, to_MHz: 929.7 });
    expect(gateLimits(gate(japan, 'power'))).toEqual({ low: 10.5, high: 13 - 0.5 });
    // 868 MHz: 500 mW e.r.p. in 869.4 to 869.65 MHz is 29.15 dBm e.i.r.p., less 2 dBi: the plan's own limit is lower.
    expect(gateLimits(gate(planForRegion(all, 'EU'), 'power'))).toEqual({ low: 10.5, high: 14 });
    expect(gate(planForRegion(all, 'EU'), 'match').band).toEqual({ from_MHz: 863, to_MHz: 870 });
    expect(mostPower_dBm('EU', { frequency_MHz: 869.525, bandwidth_kHz: 125 }, { gain_dBi: 2 })).toBe(27.1);
    expect(mostPower_dBm('JP', { frequency_MHz: 916.8, bandwidth_kHz: 125 }, { gain_dBi: 5 })).toBe(11);
    expect(bandOfGate({ ...gate(all, 'match'), band: undefined } as never, 'US')).toEqual({
      from_MHz: 902,
      to_MHz: 928,
    });
  });
  it('is told what is wrong with a variant, with its place', () => {
    const wrong = (variant: object) => () => plan({ variants: [variant] }, RADIO_PLAN);
    expect(wrong({ region: 'EU', radio: { frequency_MHz: 868.1 } })).toThrow(/told wholly.*spreadingFactor/);
    expect(wrong({ region: 'EU', radio: { ...EU, bandwidth_kHz: 130 } })).toThrow(/the modulation knows/);
    expect(wrong({ region: 'EU', bom: [{ replaces: 'aerial', part: 'antenna-920' }] })).toThrow(/nothing to replace/);
    expect(wrong({ region: 'EU', bom: [{ part: 'filter', step: 'filter' }] })).toThrow(/no step filter/);
    expect(wrong({ region: 'EU', antenna: { part: 'antenna-920', gain_dBi: 2 } })).toThrow(/no line of the bill of EU/);
    expect(wrong({ region: 'EU', gates: [{ key: 'slep', high: 3 }] })).toThrow(/no gate slep/);
    expect(wrong({ region: 'EU', gates: [{ key: 'power', low: 14.4 }] })).toThrow(/nothing can pass/);
    expect(() => plan({ variants: [{ region: 'EU' }, { region: 'EU' }] })).toThrow(/EU stands twice/);
    // 13 dBm - 4 dB for 7 dBi (16 dBm e.i.r.p.) leaves 9 dBm: less than the gate asks for.
    const japan = { region: 'JP', radio: JP, antenna: { gain_dBi: 7 } };
    expect(wrong(japan)).toThrow(/at most 9 dBm.*asks for 10/);
    expect(wrong({ ...japan, gates: [{ key: 'power', low: 5, high: 9 }] })).not.toThrow();
  });
});

describe('batches and orders by region', () => {
  const two = async () => {
    const bench = await emptyTestBench();
    await bench.do((s) => savePlan(s, 'alder-3', plan(RADIO_PLAN)));
    await bench.do((s) => openBatch(s, { key: 'eu', plan: 'alder-3', count: 3, region: 'EU', prefix: 'EU1' }));
    await bench.do((s) => openBatch(s, { key: 'jp', plan: 'alder-3', count: 1, region: 'JP', prefix: 'JP1' }));
    const serials = (key: string) => bench.state.batches.get(key)!.serials;
    return { bench, serials };
  };
  const order = { customer: 'One', plan: 'alder-3', count: 2 };
  it('are opened and placed for a variant that is there', async () => {
    const { bench } = await two();
    const open = (region: 'NZ') => () => openBatch(bench.state, { key: 'nz', plan: 'alder-3', count: 1, region });
    expect(open('NZ')).toThrow(/variants for EU, JP, none for NZ/);
    expect(() => placeOrder(bench.state, 'nz', { ...order, region: 'NZ' })).toThrow(/none that may go to NZ/);
    expect(() => placeOrder(bench.state, 'uk', { ...order, region: 'UK' })).not.toThrow();
  });
  it('keep a unit only for its own region, or one that its variant is declared for', async () => {
    const { bench, serials } = await two();
    await bench.do((s) => placeOrder(s, 'uk', { ...order, region: 'UK' }));
    await bench.do((s) => placeOrder(s, 'jp', { ...order, region: 'JP' }));
    const [eu1, eu2] = serials('eu');
    const keep = (key: string, ...units: string[]): Deed[] => reserveUnits(bench.state, key, units);
    expect(() => keep('jp', eu1!)).toThrow(/built for EU, the order is for JP.*not legal/);
    expect(() => keep('uk', serials('jp')[0]!)).toThrow(/built for JP, the order is for UK/);
    // The same unit typed twice is one unit.
    expect(keep('uk', eu1!, eu1!.toLowerCase())).toHaveLength(1);
    expect(() => keep('uk', ...serials('eu'))).toThrow(/waits for 2, 3 are given/);
    await bench.do((s) => reserveUnits(s, 'uk', [eu1!, eu2!]));
    expect(() => keep('uk', serials('eu')[2]!)).toThrow(/no more units: 2 of 2 are reserved/);
    // What is promised keeps its region.
    expect(() => placeOrder(bench.state, 'uk', { ...order, region: 'JP' })).toThrow(/of region UK reserved/);
    expect(() => placeOrder(bench.state, 'uk', { ...order, count: 1, region: 'UK' })).toThrow(/2 reserved/);
    await bench.do((s) => cancelOrder(s, 'uk'));
    expect(unitIn(bench.state, eu1!).order).toBeNull();
    expect(() => keep('uk', eu1!)).toThrow(/cancelled/);
  });
  it('judge a sweep over the band of the region', async () => {
    const { bench, serials } = await two();
    // Good at 868 MHz, bad at 920 MHz: reflection 0.1 is a ratio of 1.1/0.9, 0.6 one of 4 (|S11| to VSWR, arithmetic).
    const sweep = '# MHZ S RI R 50\n800 0.1 0\n880 0.1 0\n910 0.6 0\n960 0.6 0\n';
    expect(sweepAtGate(bench.state, serials('eu')[0]!, 'match', sweep, 'a.s1p')).toBeCloseTo(1.1 / 0.9, 3);
    expect(sweepAtGate(bench.state, serials('jp')[0]!, 'match', sweep, 'a.s1p')).toBeCloseTo(4, 3);
    expect(planOfUnit(bench.state, unitIn(bench.state, serials('jp')[0]!)).bom.map((l) => l.part)).toContain('filter');
  });
});

describe('the kit of a variant', () => {
  it('has its radio and antenna; the load follows with the time on the air', async () => {
    const { bom: _, ...rest } = RADIO_PLAN.variants[1]!;
    const of = plan(
      { variants: [{ ...rest, region: 'NZ', radio: NZ, antenna: { gain_dBi: 5, feederLoss_dB: 1 } }] },
      RADIO_PLAN,
    );
    const bare = (await kitOfPlan({ history }, of))!;
    const { kit, notes } = (await kitOfPlan({ history }, of, 'NZ'))!;
    expect(kit.radio).toMatchObject(NZ);
    expect(kit.radio?.noiseFigure_dB).toBe(bare.kit.radio?.noiseFigure_dB);
    expect(kit.antenna).toMatchObject({ gain_dBi: 5, feederLoss_dB: 1, pattern: 'stick' });
    const packet = { payload_bytes: 40, preamble_symbols: 8, bandwidth_kHz: 125 };
    const ratio =
      timeOnAir({ ...packet, sf: 7, codingRate: 5 }).timeOnAir_ms /
      timeOnAir({ ...packet, sf: 8, codingRate: 6 }).timeOnAir_ms;
    expect(kit.load.transmit!.airtime_s_per_h).toBeCloseTo(120 * ratio, 3);
    expect(kit.load.transmit).toMatchObject({ power_dBm: 20 });
    expect(kit.load.transmit!.current_mA).not.toBe(45);
    expect(notes.join()).toMatch(/SF7 \/ 125 kHz \/ 4:5 at 917.5 MHz, 20 dBm.*typical of 20 dBm/);
    expect((await kitOfPlan({ history }, of, 'EU'))!.kit).toEqual(bare.kit);
  });
});

describe('the plan of the examples', () => {
  it('builds at 868 MHz for the valley and at 915 MHz for the plateau, each within the rules that are known', () => {
    const example = readPlan(parseYamlRecord(planText, 'plan-alder-3.yaml')) as Plan;
    expect(example.maker?.name).toBeTruthy();
    expect(example.labelUrl).toMatch(/example\.(org|com|net)/);
    const bands = ['EU', 'NZ'].map(
      (region) => planForRegion(example, region).gates.find((g) => g.key === 'match')!.band!,
    );
    expect(bands.map((b) => [b.from_MHz, b.to_MHz])).toEqual([
      [863, 870],
      [915, 928],
    ]);
    expect(linesOf(planForRegion(example, 'NZ')).map((l) => l.part)).toContain('antenna-915');
    expect(linesOf(planForRegion(example, 'NZ')).map((l) => l.part)).not.toContain('antenna');
  });
});

it('a batch of a plan without variants goes anywhere', async () => {
  const bench = await testBench();
  expect(() => openBatch(bench.state, { key: 'in', plan: 'alder-3', count: 1, region: 'IN' })).not.toThrow();
});

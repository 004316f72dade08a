import { describe, expect, it } from 'vitest';
import { compare, differencesOf, flatten } from '../../src/app/compare.ts';
import { readInputs } from '../../src/app/inputs.ts';
import { yearOf } from '../../src/app/year.ts';
import { PORTS, problemsOf } from './real-ports.ts';

const ALDER = 'examples/alder-3.yaml';
const BARE = 'examples/bare-board.yaml';
const HUT = 'examples/hut-kaldra.yaml';

describe('kits side by side', () => {
  it('give each the answer that it has alone, in the same weather', async () => {
    const outcome = await compare(PORTS, { kits: [ALDER, BARE], perch: HUT, years: 10, seed: 4 });
    expect(outcome.kits.map((k) => k.kit)).toEqual(['Alder 3', 'Bare board']);
    for (const [i, kit] of [ALDER, BARE].entries()) {
      const alone = yearOf(await readInputs(PORTS, { kit, perch: HUT }), { years: 10, seed: 4 }).outcome;
      expect(outcome.kits[i]).toEqual(alone);
    }
    const [a, b] = outcome.kits;
    expect(a!.months.map((m) => m.ghi_kWh_m2_day)).toEqual(b!.months.map((m) => m.ghi_kWh_m2_day));
    expect(outcome).toMatchObject({ command: 'compare', perch: 'Hut Kaldra', years: 10, seed: 4 });
    expect(outcome.verdict).toMatch(/^At Hut Kaldra .*Alder 3/);
  });

  it('mark the inputs that differ, with null where a kit lacks the field', async () => {
    const outcome = await compare(PORTS, { kits: [ALDER, BARE], perch: HUT, years: 3 });
    const of = (field: string) => outcome.differences.find((d) => d.field === field)?.values;
    expect(of('kit.cells.count')).toEqual([3, 1]);
    expect(of('kit.cutoff.cutoff_V')).toEqual([3.2, null]);
    expect(of('kit.cutoff.none')).toEqual([null, true]);
    expect(of('kit.load.parts[0].current_mA')).toEqual([5.3, 4.6]);
    expect(of('kit.name')).toBeUndefined();
    for (const { values } of outcome.differences) expect(new Set(values).size).toBeGreaterThan(1);
    expect(outcome.alike).toContainEqual({ field: 'kit.charger.chargeMin_degC', value: 0 });
    const told = new Set(outcome.differences.map((d) => d.field));
    expect(outcome.alike.filter((a) => told.has(a.field))).toEqual([]);
  });

  it('settings reach every kit; the same kit twice differs in nothing and keeps two names', async () => {
    const outcome = await compare(PORTS, { kits: [BARE, BARE], perch: HUT, years: 2, set: ['kit.cells.count=2'] });
    expect(outcome.differences).toEqual([]);
    expect(outcome.alike).toContainEqual({ field: 'kit.cells.count', value: 2 });
    expect(outcome.kits.map((k) => k.kit)).toEqual(['Bare board (1)', 'Bare board (2)']);
    expect(outcome.kits[0]!.dark_h_per_year).toEqual(outcome.kits[1]!.dark_h_per_year);
  });

  it('tell what is wrong with all files at once, each thing once', async () => {
    const problems = await problemsOf(() =>
      compare(PORTS, { kits: ['no-kit.yaml', ALDER], perch: 'no-perch.yaml', years: 2 }),
    );
    expect(problems.map((p) => p.code)).toEqual(['file-unreadable', 'file-unreadable']);
    const [one] = await problemsOf(() => compare(PORTS, { kits: [ALDER], perch: HUT }));
    expect(one).toMatchObject({ code: 'compare-one-kit' });
  });
});

describe('a record as dotted paths', () => {
  it('names lists by position and leaves out what is not there', () => {
    const flat = flatten({ a: 1, b: { c: 'x', d: undefined }, e: [true, { f: null }] }, 'kit');
    expect([...flat]).toEqual([
      ['kit.a', 1],
      ['kit.b.c', 'x'],
      ['kit.e[0]', true],
      ['kit.e[1].f', null],
    ]);
  });

  it('finds a difference in any one field', async () => {
    const { kit } = await readInputs(PORTS, { kit: ALDER, perch: HUT });
    expect(differencesOf([kit, kit]).differences).toEqual([]);
    const other = { ...kit, charger: { ...kit.charger, ceiling_V: 4.15 } };
    expect(differencesOf([kit, other]).differences).toEqual([{ field: 'kit.charger.ceiling_V', values: [4.1, 4.15] }]);
  });
});

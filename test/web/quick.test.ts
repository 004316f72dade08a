// source: the exact forecast of src/app/year.ts on the same years; the first look is the fast path of the same models
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { planSite } from '../../src/app/site.ts';
import { yearOf } from '../../src/app/year.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { readKit, readPerch } from '../../src/records/index.ts';
import { createQuick, FEW_YEARS, MANY_YEARS } from '../../src/web/compute/quick.ts';

const source = (name: string) => parseYamlRecord(readFileSync(`examples/${name}.yaml`, 'utf8'), name);
const set = (...settings: [(string | number)[], unknown][]) =>
  settings.map(([path, value]) => ({ path, value, text: '' }));
const request = (kit: string, perch: string, settings: ReturnType<typeof set> = []) => ({
  kit: readKit(source(kit), { set: settings }).value,
  perch: readPerch(source(perch), { set: settings }).value,
  seed: 1,
  target: '1 dark winter in 20',
});
const exact = ({ kit, perch, seed, target }: ReturnType<typeof request>, years: number) =>
  yearOf({ kit, perch, plan: planSite(perch), file: undefined, assumptions: [] }, { years, seed, target });

describe('first look', () => {
  it.each([
    ['alder-3', 'rescue-post'],
    ['bare-board', 'hut-kaldra'],
  ])('says the same as the exact run on as many years: %s at %s', (kit, perch) => {
    const asked = request(kit, perch);
    const quick = createQuick().answer(asked, MANY_YEARS);
    const { outcome, pictures } = exact(asked, MANY_YEARS);
    expect(quick.darkYearShare).toEqual(outcome.darkYearShare);
    expect(quick.dark_h_per_year).toEqual(outcome.dark_h_per_year);
    expect(quick.state).toBe(outcome.state);
    expect(quick.worstMonth).toBe(outcome.worstMonth);
    expect(quick.months).toEqual(outcome.months);
    expect(quick.strip).toEqual(outcome.strip);
    expect(quick.fan).toEqual(pictures.fan);
    expect(quick.marks).toEqual(pictures.marks);
    expect(quick.autonomy_d).toBe(outcome.autonomy_d);
    expect(outcome.verdict.startsWith(quick.verdict.slice(0, -1))).toBe(true);
  });

  it('forgets nothing that a slider changes: a look after others is as good as a fresh one', () => {
    const kept = createQuick();
    const designs = [
      set([['kit', 'cells', 'count'], 6]),
      set([['perch', 'tilt_deg'], 85]),
      set([['kit', 'panel', 'power_W'], 6]),
      set([['kit', 'charger', 'ceiling_V'], 4]),
      set([['kit', 'load', 'average_mA'], 20]),
      set([['perch', 'soiling_pct'], 20]),
      set([['perch', 'horizon'], 'none']),
      set([['perch', 'elevation_m'], 2500]),
      set([['kit', 'charger', 'type'], 'linear']),
      set([['kit', 'enclosure', 'solarGain_K'], 30], [['perch', 'enclosureGain_K'], null]),
    ].map((settings) => request('alder-3', 'rescue-post', settings));
    kept.answer(request('alder-3', 'rescue-post'), FEW_YEARS);
    const answers = designs.map((design) => kept.answer(design, FEW_YEARS));
    for (const [i, design] of designs.entries()) expect(answers[i]).toEqual(createQuick().answer(design, FEW_YEARS));
    const seen = new Set(answers.map((answer) => JSON.stringify(answer.months)));
    expect(seen.size).toBe(designs.length);
  });

  it('knows when it can look at many years at once', () => {
    const quick = createQuick();
    const base = request('alder-3', 'hut-kaldra');
    expect(quick.isReady(base)).toBe(false);
    quick.answer(base, MANY_YEARS);
    expect(quick.isReady(request('alder-3', 'hut-kaldra', set([['kit', 'cells', 'count'], 5])))).toBe(true);
    expect(quick.isReady(request('alder-3', 'hut-kaldra', set([['perch', 'tilt_deg'], 50])))).toBe(false);
  });

  it('lets too few years speak by their share, not by their bound', () => {
    const few = createQuick().answer(request('alder-3', 'hut-kaldra'), FEW_YEARS);
    expect(few.darkYearShare.mean).toBe(0);
    expect(few.darkYearShare.high).toBeGreaterThan(0.05);
    expect(few.state).toBe('stays up');
  });
});

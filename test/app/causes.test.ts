import { describe, expect, it } from 'vitest';
import { yearOf } from '../../src/app/year.ts';
import type { YearOutcome } from '../../src/core/energy/index.ts';
import { inputsOf } from './in-memory.ts';

/*
 * A design that is sound by common practice (no source): in the worst month the harvest is above 1.4 times the need, and the
 * cells last over ten days. Each cause is planted in it by itself and must then be the first that is told.
 */
const KIT = `
name: Sound
panel: { power_W: 2, vmp_V: 6 }
charger: { type: tracking, efficiency: 0.92, trackingEfficiency: 0.98, ceiling_V: 4.15 }
cutoff: { cutoff_V: 3.1, reconnect_V: 3.5 }
cells: { count: 3, capacity_mAh: 3350, chemistry: nmc811 }
load: { average_mA: 11 }
`;

const place = (name: string, latitude_deg: number, azimuth_deg: number, ghi: string, temperature: string) => `
name: ${name}
latitude_deg: ${latitude_deg}
longitude_deg: 12
elevation_m: 500
tilt_deg: 65
azimuth_deg: ${azimuth_deg}
albedo: 0.3
soiling_pct: 1
climate:
  monthly:
    ghi_kWh_m2_day: ${ghi}
    temperature_degC: ${temperature}
`;

const HILL = place(
  'Open hill',
  47,
  180,
  '[1.1, 1.9, 3.0, 4.2, 5.0, 5.5, 5.6, 4.8, 3.5, 2.1, 1.2, 0.9]',
  '[3, 4, 7, 10, 14, 17, 19, 19, 15, 11, 7, 4]',
);
const SOUTH = place(
  'Southern hill',
  -45,
  0,
  '[6.0, 5.2, 3.9, 2.5, 1.5, 1.1, 1.3, 2.0, 3.2, 4.5, 5.6, 6.1]',
  '[17, 17, 15, 12, 9, 7, 6, 7, 9, 11, 13, 15]',
);
/** Clear, cold winters: sunny days below freezing from November to March. */
const CONTINENT = place(
  'Continental plain',
  50,
  180,
  '[1.6, 2.7, 4.1, 5.0, 5.7, 5.9, 5.4, 4.7, 3.7, 2.6, 1.7, 1.3]',
  '[-22, -18, -8, 2, 9, 16, 18, 15, 8, -1, -12, -20]',
);

const ring = (south: number) =>
  `perch.horizon=[{azimuth_deg: 60, elevation_deg: 5}, {azimuth_deg: 90, elevation_deg: ${south}}, {azimuth_deg: 270, elevation_deg: ${south}}, {azimuth_deg: 300, elevation_deg: 5}]`;
const LINEAR = ['kit.charger.type=linear', 'kit.charger.efficiency=', 'kit.charger.trackingEfficiency='];
const TWELVE_V = ['kit.panel.vmp_V=18', 'kit.panel.power_W=1.5'];

const PLANTED: [cause: YearOutcome['causes'][number]['cause'], how: string, perch: string, set: string[]][] = [
  ['panel', 'far too small', HILL, ['kit.panel.power_W=0.3']],
  ['panel', 'far too small in the south', SOUTH, ['kit.panel.power_W=0.2']],
  ['cells', 'far too few', HILL, ['kit.cells.count=1', 'kit.cells.capacity_mAh=300']],
  ['cells', 'far too few in the south', SOUTH, ['kit.cells.count=1', 'kit.cells.capacity_mAh=200']],
  ['shade', 'a skyline of 45 degrees', HILL, [ring(45)]],
  ['shade', 'a skyline that takes the winter sun alone', HILL, [ring(28), 'kit.panel.power_W=1.5']],
  ['shade', 'trees all year', HILL, ['perch.shade=0.04', 'kit.panel.power_W=1.5']],
  ['shade', 'the mast before the panel', HILL, ['kit.panel.shade=0.04', 'kit.panel.power_W=1.5']],
  ['cold', 'a winter below freezing', CONTINENT, []],
  ['cold', 'and no power path', CONTINENT, ['kit.charger.power_path=false']],
  ['charger', 'linear behind a panel of 12 V', HILL, [...LINEAR, ...TWELVE_V]],
  ['charger', 'an efficiency of 0.25', HILL, ['kit.charger.efficiency=0.25', 'kit.panel.power_W=1.5']],
  ['charger', 'one that draws 15 mA itself', HILL, ['kit.charger.ownConsumption_uA=15000', 'kit.panel.power_W=1.5']],
  ['load', 'five times frugal', HILL, ['kit.load.average_mA=60']],
  ['load', 'ten times frugal in the south', SOUTH, ['kit.load.average_mA=120']],
];

/** As many years without a dark one as show the target (1 - 0.025^(1/17) < 1/5); the default target would need 72. */
const YEARS = 17;
const TARGET = '1 dark winter in 5';
const known = new Map<string, Promise<YearOutcome>>();
/** The same request is run once for all tests. */
function run(perch: string, set: readonly string[]): Promise<YearOutcome> {
  const runAnew = async () =>
    yearOf(await inputsOf(KIT, perch, set), { years: YEARS, seed: 1, target: TARGET }).outcome;
  const key = JSON.stringify([perch, set]);
  const outcome = known.get(key) ?? runAnew();
  known.set(key, outcome);
  return outcome;
}

describe('the kit is sound without what is planted', () => {
  it.each([
    ['open hill', HILL, []],
    ['open hill, smaller panel', HILL, ['kit.panel.power_W=1.5']],
    ['southern hill', SOUTH, []],
    ['continent, with cells that may be charged in the cold', CONTINENT, ['kit.charger.chargeMin_degC=-40']],
  ] as const)('%s', async (_, perch, set) => {
    const { state, darkYearShare, causes, changes, months, autonomy_d } = await run(perch, set);
    expect({ state, dark: darkYearShare.mean, causes, changes }).toEqual({
      state: 'stays up',
      dark: 0,
      causes: [],
      changes: [],
    });
    for (const m of months) expect(m.harvest_Wh_day / m.need_Wh_day).toBeGreaterThan(1.4);
    expect(autonomy_d).toBeGreaterThan(10);
  });
});

describe('a cause that is planted ranks first', () => {
  it.each(PLANTED)('%s: %s', async (cause, _, perch, set) => {
    const o = await run(perch, set);
    expect(o.dark_h_per_year.mean).toBeGreaterThan(0);
    expect(o.causes.map((c) => c.cause).sort()).toEqual(['cells', 'charger', 'cold', 'load', 'panel', 'shade']);
    const [first] = o.causes;
    expect(first?.cause, JSON.stringify(o.causes.map((c) => [c.cause, c.darkLeft_h_per_year]))).toBe(cause);
    expect(first!.explains).toBeGreaterThan(0.9);
    expect(o.verdict).toContain(cause === 'shade' ? 'limited by shade' : `limited by the ${cause}`);
    for (const c of o.causes) {
      expect(c.explains).toBeGreaterThanOrEqual(0);
      expect(c.explains).toBeLessThanOrEqual(1);
      expect(c.removed).not.toBe('');
    }
  });
});

describe('the smallest change that is told as holding holds when it is made', () => {
  it.each([
    ['panel', HILL, ['kit.panel.power_W=0.3']],
    ['skyline', HILL, [ring(45)]],
    ['charger', HILL, [...LINEAR, ...TWELVE_V]],
    ['cells', HILL, ['kit.cells.count=1', 'kit.cells.capacity_mAh=1000', 'kit.panel.power_W=1']],
    ['two panels', HILL, ['kit.panel=[{power_W: 0.2, vmp_V: 6}, {power_W: 0.1, vmp_V: 6, azimuth_deg: 90}]']],
    [
      'two measured panels',
      HILL,
      ['kit.panel=[{power_W: 1, vmp_V: 6, measuredPower_W: 0.2}, {power_W: 0.1, vmp_V: 6, azimuth_deg: 90}]'],
    ],
    ['ceiling', HILL, ['kit.panel.power_W=0.6', 'kit.charger.ceiling_V=3.95']],
    ['a charger that wastes', HILL, ['kit.charger={type: fixed-input, inputVoltage_V: 5.5, efficiency: 0.1}']],
    ['a measured panel', HILL, ['kit.panel.measuredPower_W=0.3']],
    ['tilt', HILL, ['kit.panel.power_W=0.7', 'perch.tilt_deg=5']],
  ])('%s', async (_, perch, set) => {
    const before = await run(perch, set);
    expect(before.state).not.toBe('stays up');
    const held = before.changes.filter((c) => c.holds);
    expect(held, JSON.stringify(before.changes.map((c) => [c.change, c.darkYearShare.mean]))).toHaveLength(1);
    // It is the last that was tried: the smaller ones before it do not hold.
    expect(before.changes.at(-1)).toBe(held[0]);
    const after = await run(perch, [...set, ...held[0]!.set]);
    expect(after.state).toBe('stays up');
    expect(after.darkYearShare).toEqual(held[0]!.darkYearShare);
  });
});

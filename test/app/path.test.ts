import { describe, expect, it } from 'vitest';
import { type PathLossOutcome, pathLoss } from '../../src/app/path.ts';
import { profileChart } from '../../src/report/index.ts';
import { checkPicture } from '../report/xml.ts';
import { deltaBullingtonGolden, type PathCase, p1812Golden, profileCsv, sharedCases } from './radio-cases.ts';
import { portsWith, problemsOf } from './real-ports.ts';

const run = async (c: Pick<PathCase, 'csv' | 'request'>): Promise<PathLossOutcome> =>
  (await pathLoss(portsWith(c.csv), { ...c.request, profile: 'p.csv' })).outcome;

async function hold(c: PathCase, tolerance_dB: number) {
  const told = await run(c);
  for (const [key, value] of Object.entries(c.expected))
    expect(Math.abs(told[key as keyof typeof c.expected] - value), `${c.id} ${key}`).toBeLessThan(tolerance_dB);
  return told;
}

// A hill in the middle of 5 km.
const HILL = profileCsv([0, 1, 2, 2.5, 3, 4, 5], [100, 100, 105, 140, 105, 100, 100]);
const USUAL = { frequency_MHz: 868, fromHeight_m: 10, toHeight_m: 2, latitude_deg: 46, deltaN: 45, n0: 325 };

describe('the loss of a profile from CSV', () => {
  // Validation results of the reference implementation of ITU-R P.1812-8 (test/golden/path-p1812.csv): 0.01 dB.
  it.each(p1812Golden())('$id within 0.01 dB', async (c) => {
    await hold(c, 0.01);
  });

  // Examples of ITU-R Study Group 3 (test/golden/path-delta-bullington.csv): 0.1 dB.
  it.each(deltaBullingtonGolden())('$id within 0.1 dB', async (c) => {
    const told = await hold(c, 0.1);
    expect(told.loss_dB).toBeCloseTo(told.freeSpace_dB + told.diffraction_dB, 12);
  });

  for (const [name, tolerance_dB] of [
    ['p1812_sg3.json', 0.01],
    ['delta_bullington_sg3.json', 0.1],
  ] as const) {
    const cases = sharedCases(name);
    it.skipIf(cases === undefined)(
      `all of the shared reference folder's ${name}${cases ? '' : ' (skipped: it is not here)'}`,
      async () => {
        expect(cases!.length).toBeGreaterThan(0);
        for (const c of cases!) await hold(c, tolerance_dB);
      },
    );
  }

  it('spreads from place to place only when told, by the square', async () => {
    const c = { csv: HILL, request: { ...USUAL, locations_pct: 90 } };
    const plain = await run({ ...c, request: { ...USUAL, locations_pct: 50 } });
    expect((await run(c)).loss_dB).toBe(plain.loss_dB);
    const spread = await run({ ...c, request: { ...c.request, square_m: 100 } });
    expect(spread.locationSpread_dB).toBeGreaterThan(1);
    // P.1812-8 eq. 68: 90 % of places lie 1.2816 standard deviations above the median.
    expect(spread.loss_dB - plain.loss_dB).toBeCloseTo(1.2816 * spread.locationSpread_dB, 2);
  });

  it('names what dominates and what is in the way', async () => {
    const told = await run({ csv: HILL, request: USUAL });
    expect(told.dominant).toBe('one edge');
    expect(told.inTheWay[0]!.distance_km).toBe(2.5);
    expect(told.clearance).toMatch(/^In the way: ground 2\.50 km from the first end, 3\d\.\d m above the ray/);
    const flat = await run({
      csv: HILL.replace(',140', ',60'),
      request: { ...USUAL, fromHeight_m: 80, toHeight_m: 80 },
    });
    expect(flat.dominant).toBe('free space');
    expect(flat.clearance).toMatch(/^Nothing is in the way/);
    const woods = profileCsv([0, 1, 2, 2.5, 3, 4, 5], [100, 60, 60, 60, 60, 60, 100], [0, 0, 0, 60, 0, 0, 0]);
    expect((await run({ csv: woods, request: USUAL })).dominant).toBe('woods or houses');
    const two = profileCsv([0, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5], [100, 60, 140, 60, 60, 60, 140, 60, 100]);
    expect((await run({ csv: two, request: USUAL })).dominant).toBe('two edges');
    const plain = (km: number) =>
      profileCsv(
        Array.from({ length: km + 1 }, (_, i) => i),
        new Array(km + 1).fill(0),
      );
    expect((await run({ csv: plain(30), request: USUAL })).dominant).toBe('the curve of the Earth');
    expect((await run({ csv: plain(80), request: USUAL })).dominant).toBe('other ways through the air');
  });

  it('tells every default', async () => {
    const told = await run({ csv: HILL, request: {} });
    expect(told.assumptions.map((a) => a.field)).toEqual([
      '--frequency',
      '--from-height',
      '--to-height',
      '--time',
      '--lat',
      '--delta-n',
      '--n0',
    ]);
  });

  it('draws it', async () => {
    const { picture } = await pathLoss(portsWith(HILL), { ...USUAL, profile: 'p.csv' });
    const { description } = checkPicture(profileChart(picture));
    expect(description).toContain('868 MHz over 5.00 km');
  });

  it.each([
    [{ time_pct: 50.1 }, '--time', 'gives no figure above 50 %'],
    [{ time_pct: 0.9 }, '--time', 'lies between 1 and 50'],
    [{ locations_pct: 0.5 }, '--locations', 'lies between 1 and 99'],
    [{ fromHeight_m: 0 }, '--from-height', 'Give the height above the ground'],
    [{ toHeight_m: 0.5 }, '--to-height', 'the method holds from 1 to 3000 m'],
    [{ frequency_MHz: 868e6 }, '--frequency', 'the method holds from 30 to 6000 MHz'],
    [{ square_m: 0 }, '--square', 'lies between 1 and 10000 m'],
    [{ latitude_deg: 91 }, '--lat', 'lies between -90 and 90'],
    [{ method: 'delta-bullington' as const, effectiveRadius_km: 10 }, '--effective-radius', 'most often 8500'],
  ])('%j is told by its option', async (change, field, message) => {
    const found = await problemsOf(() => run({ csv: HILL, request: { ...USUAL, ...change } }));
    expect(found[0]).toMatchObject({ field });
    expect(found[0]!.message).toContain(message);
  });

  it('a time of exactly 50 % is computed', async () => {
    expect((await run({ csv: HILL, request: { ...USUAL, time_pct: 50 } })).loss_dB).toBeGreaterThan(100);
  });

  it.each([
    ['a descending distance', 'distance_km,height_m\n0,1\n2,1\n1,1\n3,1\n4,1\n', 'distances must rise'],
    ['a short path', profileCsv([0, 0.05, 0.1, 0.15, 0.2], [1, 1, 1, 1, 1]), 'Use free space with delta-Bullington'],
    ['an unknown zone', 'distance_km,height_m,clutter_m,zone\n0,1,0,land\n1,1,0,sea\n2,1,0,sea\n', 'is no zone'],
    ['no heights', 'distance_km,elevation\n0,1\n1,1\n2,1\n', 'height_m is missing'],
  ])('%s is told', async (_, csv, message) => {
    const found = await problemsOf(() => run({ csv, request: USUAL }));
    expect(found.map((p) => p.message).join('\n')).toContain(message);
  });

  it('no ground at all is told', async () => {
    const found = await problemsOf(() => pathLoss(portsWith(''), USUAL));
    expect(found[0]).toMatchObject({ code: 'path.ground', field: '--profile' });
  });
});

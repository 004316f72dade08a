import { beforeAll, describe, expect, it } from 'vitest';
import { type SizeOutcome, size, yearsFor } from '../../src/app/size.ts';
import { readTarget, yearsNeeded } from '../../src/app/target.ts';
import { tilt } from '../../src/app/tilt.ts';
import { yearOf } from '../../src/app/year.ts';
import { inputsOf, portsWithTasks } from './in-memory.ts';
import { problemsOf } from './real-ports.ts';
import { FULL_KIT } from './records.ts';

const KIT = FULL_KIT;
const PERCH = `
name: Northern roof
latitude_deg: 50
longitude_deg: 8
elevation_m: 200
tilt_deg: 20
soiling_pct: 0
climate:
  monthly:
    ghi_kWh_m2_day: [0.8, 1.5, 2.6, 4.0, 4.9, 5.3, 5.1, 4.4, 3.1, 1.8, 0.9, 0.6]
    temperature_degC: [2, 3, 6, 10, 14, 17, 19, 19, 15, 10, 6, 3]
`;
const TARGET = '1 dark winter in 8';
const YEARS = 30;
/** A load that asks for a panel and cells on the map. */
const SET = ['kit.load.average_mA=30'];

describe('the frontier of panel and cells', () => {
  let o: SizeOutcome;
  beforeAll(async () => {
    o = await size(portsWithTasks(KIT, PERCH), {
      kit: 'kit.yaml',
      perch: 'perch.yaml',
      target: TARGET,
      years: YEARS,
      set: SET,
    });
  }, 60_000);
  const made = async (panel_W: number, cells: number, tilt_deg: number) =>
    yearOf(
      await inputsOf(KIT, PERCH, [
        ...SET,
        `kit.panel.power_W=${panel_W}`,
        `kit.cells.count=${cells}`,
        `perch.tilt_deg=${tilt_deg}`,
      ]),
      { years: YEARS, target: TARGET },
    ).outcome;

  it('every design on it meets the target when it is run by itself, the next smaller panel does not', async () => {
    expect(o.frontier.length).toBeGreaterThan(1);
    // Both ends and the middle.
    const last = o.frontier.length - 1;
    for (const i of new Set([0, Math.floor(last / 2), last])) {
      const point = o.frontier[i]!;
      const run = await made(point.panel_W, point.cells, point.tilt_deg);
      expect(run.darkYearShare.mean).toBe(point.darkYearShare);
      expect(run.darkYearShare.high).toBeCloseTo(point.upper, 12);
      expect(run.state).toBe('stays up');
      const smaller = o.map.panel_W[o.map.panel_W.indexOf(point.panel_W) - 1];
      if (smaller !== undefined)
        expect((await made(smaller, point.cells, point.tilt_deg)).state, `${smaller} W`).not.toBe('stays up');
    }
  });

  it('saves panel with every cell more', () => {
    for (let i = 1; i < o.frontier.length; i++) {
      expect(o.frontier[i]!.cells).toBeGreaterThan(o.frontier[i - 1]!.cells);
      expect(o.frontier[i]!.panel_W).toBeLessThan(o.frontier[i - 1]!.panel_W);
    }
  });

  it('takes the tilt that is best for the worst month, not for the sum of the year', () => {
    const { latitude_deg, longitude_deg, elevation_m } = { latitude_deg: 50, longitude_deg: 8, elevation_m: 200 };
    const light = (tilt_deg: number) =>
      tilt({
        latitude_deg,
        longitude_deg,
        elevation_m,
        tilt_deg,
        ghi_kWh_m2_day: [0.8, 1.5, 2.6, 4.0, 4.9, 5.3, 5.1, 4.4, 3.1, 1.8, 0.9, 0.6],
        temperature_degC: [2, 3, 6, 10, 14, 17, 19, 19, 15, 10, 6, 3],
        years: 20,
      }).poa_kWh_m2_day;
    const worst = (tilt_deg: number) => Math.min(...light(tilt_deg));
    const sum = (tilt_deg: number) => light(tilt_deg).reduce((a, b) => a + b, 0);
    expect(o.worstLight.month).toBe(12);
    // Flat near the best: within 1 % of every other tilt (the cover of the panel and the years differ).
    for (const other of [0, 30, 45, 60, 75, 90]) expect(worst(o.tilt_deg)).toBeGreaterThan(0.99 * worst(other));
    expect(worst(o.tilt_deg)).toBeGreaterThan(1.2 * worst(20));
    expect(sum(35)).toBeGreaterThan(1.02 * sum(o.tilt_deg));
    for (const point of o.frontier) expect(point.tilt_deg).toBe(o.tilt_deg);
  });

  it('tells what the kit at hand lacks, by its own tilt', async () => {
    const run = yearOf(await inputsOf(KIT, PERCH, SET), { years: YEARS, target: TARGET }).outcome;
    expect(o.atHand).toMatchObject({ cells: 3, tilt_deg: 20, darkYearShare: run.darkYearShare.mean, meets: false });
    expect(o.verdict).toContain('misses 1 dark winter in 8');
    expect(o.lacks).toMatch(/more cell|a panel of|only the tilt/);
    const [, more] = /^(\d+) more cell/.exec(o.lacks) ?? [];
    const [, watts] = /a panel of ([\d.]+) W/.exec(o.lacks) ?? [];
    expect(more ?? watts).toBeDefined();
    if (more !== undefined) expect((await made(3.198, 3 + Number(more), o.tilt_deg)).state).toBe('stays up');
    if (watts !== undefined) expect((await made(Number(watts), 3, o.tilt_deg)).state).toBe('stays up');
  });

  it('the map is darker with less of either, at its corners', () => {
    const { darkYearShare, panel_W, cells } = o.map;
    expect([darkYearShare.length, darkYearShare[0]!.length]).toEqual([cells.length, panel_W.length]);
    expect(darkYearShare[0]![0]).toBe(1);
    expect(darkYearShare.at(-1)!.at(-1)).toBe(0);
    for (const row of darkYearShare) expect(row).toEqual([...row].sort((a, b) => b - a));
    for (const [c] of panel_W.entries()) {
      const column = darkYearShare.map((row) => row[c]!);
      expect(column).toEqual([...column].sort((a, b) => b - a));
    }
  });

  it('a kit that meets the target lacks nothing', async () => {
    const sound = await size(portsWithTasks(KIT, PERCH), {
      kit: 'kit.yaml',
      perch: 'perch.yaml',
      target: TARGET,
      years: YEARS,
      set: ['perch.tilt_deg=70', 'kit.panel.power_W=10', 'kit.cells.count=6'],
    });
    expect(sound).toMatchObject({ lacks: 'nothing', atHand: { meets: true } });
    expect(sound.verdict).toContain('meets 1 dark winter in 8 at Northern roof');
  });
});

describe('targets', () => {
  it.each([
    ['1 dark winter in 20', 0.05],
    ['1 in 20', 0.05],
    ['1 dark winter in 50 years', 0.02],
    ['2 dark winters in 50', 0.04],
    ['5 %', 0.05],
    ['0.1', 0.1],
  ])('"%s" is a share of %d', (text, share) => expect(readTarget(text).share).toBeCloseTo(share, 12));

  it.each(['never', '0', '0 in 20', '20 in 20', '5', '-1 in 20', ''])('"%s" is not understood', async (text) => {
    const [problem] = await problemsOf(() => readTarget(text));
    expect(problem!.message).toMatch(/^the target '.*' is not understood: write e\.g\. "1 dark winter in 20" or "5 %"/);
  });

  it('as many years are run as a target needs: 1 - 0.025^(1/n) must not be above it', async () => {
    for (const share of [0.3, 0.05, 0.02, 0.004]) {
      const n = yearsNeeded(share);
      expect(1 - 0.025 ** (1 / n)).toBeLessThanOrEqual(share);
      expect(1 - 0.025 ** (1 / (n - 1))).toBeGreaterThan(share);
    }
    expect(yearsNeeded(0.05)).toBe(72);
    expect(yearsFor(readTarget('1 in 20'))).toBe(144);
    const [few] = await problemsOf(() => yearsFor(readTarget('1 in 20'), 71));
    expect(few!.message).toMatch(/71 years cannot show .* at least 72 years are needed/);
    const [rare] = await problemsOf(() => yearsFor(readTarget('1 in 1000')));
    expect(rare!.message).toMatch(/needs 3688 simulated years/);
  });
});

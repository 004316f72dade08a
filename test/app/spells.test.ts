import { describe, expect, it } from 'vitest';
import { readInputs } from '../../src/app/inputs.ts';
import { spells, spellsOf } from '../../src/app/spells.ts';
import { yearOf } from '../../src/app/year.ts';
import { sunYear } from '../../src/core/sun/index.ts';
import { DAYS_IN_MONTH, DAYS_PER_YEAR, MONTH_START } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { PORTS, portsWith, problemsOf } from './real-ports.ts';

const HUT = 'examples/hut-kaldra.yaml';

/** A perch whose twelve means have the clearness given. */
function perchOf(row: Record<string, string>): string {
  const place = { latitude_deg: Number(row['latitude_deg']), longitude_deg: Number(row['longitude_deg']) };
  const elevation_m = Number(row['elevation_m']);
  const { h0_Wh_m2 } = sunYear({ ...place, elevation_m, utcOffset_h: Math.round(place.longitude_deg / 15) });
  const ghi_kWh_m2_day = DAYS_IN_MONTH.map((days, m) => {
    const h0 = h0_Wh_m2.slice(MONTH_START[m]!, MONTH_START[m + 1]!).reduce((sum, h) => sum + h, 0) / days / 1000;
    return Number((h0 * Number(row[`kt${m + 1}`])).toFixed(4));
  });
  const climate = { monthly: { ghi_kWh_m2_day, temperature_degC: new Array<number>(12).fill(10) } };
  return JSON.stringify({ name: row['name'], ...place, elevation_m, climate });
}

describe('return periods of dark spells', () => {
  const golden = readGolden('app-spells-measured.csv');
  it.each(golden.rows)(`are of the order of what was measured at $name, ${golden.tolerance}`, async (row) => {
    const { spells: rows } = await spells(portsWith(perchOf(row)), { perch: 'perch', years: 400 });
    for (const days of [3, 5, 7, 10]) {
      const once = rows.find((r) => r.days === days && r.period_years === 50)!;
      const ratio = Number(row[`min${days}`]) / once.share;
      expect(ratio, `${days} days`).toBeGreaterThan(0.5);
      expect(ratio, `${days} days`).toBeLessThan(2);
    }
  });

  it('are rarer the darker and the longer, and lie within their interval', async () => {
    const outcome = await spells(PORTS, { perch: HUT });
    expect(outcome.years).toBe(200);
    expect(outcome.spells).toHaveLength(20);
    const share = (days: number, period: number) =>
      outcome.spells.find((r) => r.days === days && r.period_years === period)!.share;
    for (const days of [3, 5, 7, 10])
      for (const [often, rare] of [
        [2, 5],
        [5, 10],
        [10, 20],
        [20, 50],
      ] as const)
        expect(share(days, rare)).toBeLessThan(share(days, often));
    for (const period of [2, 5, 10, 20, 50])
      for (const [short, long] of [
        [3, 5],
        [5, 7],
        [7, 10],
      ] as const)
        expect(share(short, period)).toBeLessThan(share(long, period));
    for (const r of outcome.spells) {
      expect(r.low).toBeLessThanOrEqual(r.share);
      expect(r.high).toBeGreaterThanOrEqual(r.share);
    }
    expect(outcome.verdict).toMatch(/^At Hut Kaldra once in 10 years .*3 days bring \d+ %/);
  });

  it('of a record that repeats one bright and one dark week are that dark week', async () => {
    // By hand: every year alike, seven days at a quarter of the light of the others; their 31-day mean is
    // (24 + 7 · 0.25) / 31 of the usual, so the seven dark days are 0.25 · 31 / 25.75 of it (in their middle day's window).
    const plan = (await readInputs(PORTS, { kit: 'examples/alder-3.yaml', perch: HUT })).plan;
    const daily = Float64Array.from({ length: 8 * DAYS_PER_YEAR }, (_, i) => {
      const day = i % DAYS_PER_YEAR;
      return day >= 100 && day < 107 ? 1 : 4;
    });
    const { spells: rows, lowest } = spellsOf(daily, plan, 1, []);
    const seven = rows.filter((r) => r.days === 7);
    expect(seven.map((r) => r.period_years)).toEqual([2]);
    expect(seven[0]!.share).toBeCloseTo((0.25 * 31) / 25.75, 10);
    expect(seven[0]!.low).toBeCloseTo(seven[0]!.high, 10);
    expect(lowest.find((r) => r.days === 7)!.ghi_kWh_m2_day).toBeCloseTo(1, 10);
  });

  it('count a spell over New Year once, since years run from the sunniest month to the next', async () => {
    const plan = (await readInputs(PORTS, { kit: 'examples/alder-3.yaml', perch: HUT })).plan;
    // Dark from 25 December to 7 January in two of eight winters: counted once each, the median winter is bright.
    const daily = Float64Array.from({ length: 9 * DAYS_PER_YEAR }, (_, i) => {
      const day = i % DAYS_PER_YEAR;
      const winter = Math.floor((i - 182) / DAYS_PER_YEAR);
      const light = 3 - 2 * Math.cos((2 * Math.PI * (day + 10)) / DAYS_PER_YEAR);
      return (day >= 358 || day < 7) && winter % 4 === 1 ? 0.2 * light : light;
    });
    const outcome = spellsOf(daily, plan, 1, []);
    expect(outcome).toMatchObject({ startMonth: 6, years: 8 });
    const three = outcome.spells.find((r) => r.days === 3 && r.period_years === 2)!;
    expect(three.share).toBeGreaterThan(0.95);
    expect(outcome.worst[0]!.share).toBeLessThan(0.3);
  });

  it('are those that the year of a kit draws from its hours', async () => {
    const inputs = await readInputs(PORTS, { kit: 'examples/alder-3.yaml', perch: HUT });
    const { pictures } = yearOf(inputs, { years: 20 });
    const { spells: rows } = await spells(PORTS, { perch: HUT, years: 20 });
    expect(pictures.spells).toHaveLength(rows.length);
    rows.forEach((row, i) => {
      expect(pictures.spells[i]).toMatchObject({ days: row.days, period_years: row.period_years });
      // Hours are kept in single precision.
      expect(pictures.spells[i]!.share).toBeCloseTo(row.share, 4);
    });
    expect(yearOf(inputs, { years: 1 }).pictures.spells).toEqual([]);
  });

  it('cannot be told from one year, and it says so', async () => {
    const plan = (await readInputs(PORTS, { kit: 'examples/alder-3.yaml', perch: HUT })).plan;
    const [problem] = await problemsOf(() => spellsOf(new Float64Array(DAYS_PER_YEAR).fill(3), plan, 1, []));
    expect(problem).toMatchObject({ code: 'spells-too-few-years' });
    expect(problem!.message).toMatch(/has one year: .* leave --weather out/);
  });
});

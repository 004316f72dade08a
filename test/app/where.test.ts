import { beforeAll, describe, expect, it } from 'vitest';
import { type WhereOutcome, where } from '../../src/app/where.ts';
import { yearOf } from '../../src/app/year.ts';
import { REFERENCE_CLIMATES } from '../../src/core/weather/index.ts';
import { inputsOf, portsWithTasks } from './in-memory.ts';
import { FULL_KIT } from './records.ts';

const KIT = FULL_KIT;
/** Weak enough that some places hold and some do not. */
const SET = ['kit.panel.power_W=0.7', 'kit.cells.count=1'];
const TARGET = '1 dark winter in 3';
const YEARS = 11;

describe('a kit in every built-in climate', () => {
  let o: WhereOutcome;
  beforeAll(async () => {
    o = await where(portsWithTasks(KIT, ''), { kit: 'kit.yaml', target: TARGET, set: SET, years: YEARS });
  }, 60_000);

  it('each place once, worst first, counted', () => {
    expect(o.rows.map((r) => r.name).sort()).toEqual(REFERENCE_CLIMATES.map((c) => c.name).sort());
    const order = ['cannot', 'bigger panel', 'one more cell', 'holds'];
    const steps = o.rows.map((r) => order.indexOf(r.verdict));
    expect(steps).toEqual([...steps].sort((a, b) => a - b));
    for (const verdict of order)
      expect(o.rows.filter((r) => r.verdict === verdict)).toHaveLength(o.counts[verdict as keyof typeof o.counts]);
    expect(o.counts.holds).toBeGreaterThan(0);
    expect(o.counts.holds).toBeLessThan(REFERENCE_CLIMATES.length);
    expect(o.verdict).toContain(`holds at ${o.counts.holds} of ${o.rows.length} places`);
    for (const r of o.rows) {
      expect(r.darkYearShare.high <= 1 / 3).toBe(r.verdict === 'holds');
      expect(r.needs !== '').toBe(r.verdict === 'one more cell' || r.verdict === 'bigger panel');
      expect(r.strip.darkShare).toHaveLength(12);
    }
  });

  it.each(['holds', 'one more cell', 'bigger panel', 'cannot'] as const)(
    '%s: so says `year` at such a place',
    async (verdict) => {
      const row = o.rows.find((r) => r.verdict === verdict);
      if (row === undefined) throw new Error(`no place is told as "${verdict}": choose another kit for this test`);
      const place = REFERENCE_CLIMATES.find((c) => c.name === row.name)!;
      // The named climate at its own place; the rest as `where` assumes it.
      const perch = `latitude_deg: ${place.latitude_deg}\nlongitude_deg: ${place.longitude_deg}\nelevation_m: ${place.elevation_m}\nutcOffset_h: ${place.utcOffset_h}\nclimate: {nearest: "${place.name}"}`;
      const at = async (set: readonly string[]) =>
        yearOf(await inputsOf(KIT, perch, [...SET, ...set]), { years: YEARS, target: TARGET }).outcome;
      const asIs = await at([]);
      expect(asIs.darkYearShare).toEqual(row.darkYearShare);
      expect(asIs.dark_h_per_year.mean).toBeCloseTo(row.dark_h_per_year, 9);
      const oneMore = (await at(['kit.cells.count=2'])).state;
      expect(oneMore === 'stays up').toBe(verdict === 'holds' || verdict === 'one more cell');
      if (verdict === 'bigger panel') {
        const watts = /^a panel of ([\d.]+) W$/.exec(row.needs)![1]!;
        expect((await at([`kit.panel.power_W=${watts}`])).state).toBe('stays up');
      }
      if (verdict === 'cannot') expect((await at(['kit.panel.power_W=2.1'])).state).not.toBe('stays up');
    },
  );
});

describe('only some places', () => {
  const some = async (only: readonly string[]) => {
    const request = { kit: 'kit.yaml', target: TARGET, set: SET, years: YEARS, only };
    return where(portsWithTasks(KIT, ''), request);
  };

  it('by name or country, in any case, each once, as in the table of all', async () => {
    const o = await some(['nzl,Nadi', ' kaitaia ']);
    expect(o.rows.map((r) => r.name).sort()).toEqual(['Christchurch', 'Invercargill', 'Kaitaia', 'Nadi']);
    expect(o.verdict).toContain('of 4 places');
    const [nadi] = (await some(['Nadi'])).rows;
    expect(o.rows.find((r) => r.name === 'Nadi')).toEqual(nadi);
  });

  it('a name that is not there is told with the nearest', async () => {
    await expect(some(['NZL,Christchurh'])).rejects.toThrow(/'Christchurh'; did you mean Christchurch\?/);
    await expect(some([''])).rejects.toThrow(/no built-in climate has the name or country ''/);
  });
});

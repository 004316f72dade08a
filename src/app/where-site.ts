import { TALLY, type YearStrip } from '../core/energy/index.ts';
import { type SeasonRun, tallyAt } from '../core/energy/seasons.ts';
import type { Interval } from '../core/math/index.ts';
import { REFERENCE_CLIMATES } from '../core/weather/index.ts';
import type { Kit, Perch } from '../records/index.ts';
import { darkStatistics, forecast } from './forecast.ts';
import { nodeOf } from './node-of.ts';
import { kitPower_W } from './panels.ts';
import { makeWeather, planOfClimate } from './site.ts';
import { makeSupply, scaledHours } from './supply.ts';
import type { Target } from './target.ts';

/** What a kit needs at a place. */
export type WhereVerdict = 'holds' | 'one more cell' | 'bigger panel' | 'cannot';

/** Input of the task `where-site`. */
export interface WhereTask {
  readonly kit: Kit;
  /** Ground, dirt and the like of a perch without a place. */
  readonly perch: Perch;
  readonly climate: number;
  readonly years: number;
  readonly seed: number;
  readonly target: Target;
}

/** One row of the table of `where`. */
export interface WhereRow {
  readonly name: string;
  readonly country: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly verdict: WhereVerdict;
  /** Of the kit as it is. */
  readonly dark_h_per_year: number;
  readonly darkYearShare: Interval;
  readonly worstMonth: number;
  /** What makes it hold, in words; empty when it holds or cannot. */
  readonly needs: string;
  readonly strip: YearStrip;
  readonly dataset: string;
}

/** Panel sizes tried where more cells do not help, relative to the kit's. */
const PANEL_FACTORS = [1.5, 2, 3];

/** Runs one built-in climate: the kit as it is, then with one more cell, then with a bigger panel. */
export function whereSite(task: WhereTask): WhereRow {
  const { kit, perch, years, seed, target } = task;
  const climate = REFERENCE_CLIMATES[task.climate]!;
  const plan = planOfClimate(climate);
  const site = makeWeather(plan, perch, seed, years + 1);
  const supply = makeSupply(kit, perch, plan, site);
  const attempt = (scale: number, cells: number) =>
    forecast(
      nodeOf({ ...kit, cells: { ...kit.cells, count: cells } }),
      scaledHours(kit, supply, scale),
      site.startMonth,
      years,
    ).run;
  const asIs = attempt(1, kit.cells.count);
  const now = darkStatistics(asIs, seed);
  const meets = (run: SeasonRun) => darkStatistics(run, seed).darkYearShare.high <= target.share;
  let verdict: WhereVerdict = 'holds';
  let needs = '';
  if (now.darkYearShare.high > target.share) {
    if (meets(attempt(1, kit.cells.count + 1))) {
      verdict = 'one more cell';
      needs = 'one more cell';
    } else {
      const factor = PANEL_FACTORS.find((f) => meets(attempt(f, kit.cells.count)));
      if (factor !== undefined) {
        verdict = 'bigger panel';
        needs = `a panel of ${(kitPower_W(kit) * factor).toPrecision(2)} W`;
      } else verdict = 'cannot';
    }
  }
  return {
    name: climate.name,
    country: climate.country,
    latitude_deg: climate.latitude_deg,
    longitude_deg: climate.longitude_deg,
    elevation_m: climate.elevation_m,
    verdict,
    dark_h_per_year: now.dark_h_per_year.mean,
    darkYearShare: now.darkYearShare,
    worstMonth: worstOf(asIs),
    needs,
    strip: stripOf(asIs),
    dataset: climate.dataset,
  };
}

/** The month with the most dark hours, or with the lowest charge where none is dark; 1..12. */
export function worstOf(run: SeasonRun): number {
  let worst = 0;
  for (let m = 1; m < 12; m++) {
    const dark = tallyAt(run.month, m, TALLY.dark_h) - tallyAt(run.month, worst, TALLY.dark_h);
    const low = tallyAt(run.month, worst, TALLY.minStateOfCharge) - tallyAt(run.month, m, TALLY.minStateOfCharge);
    if (dark > 0 || (dark === 0 && low > 0)) worst = m;
  }
  return worst + 1;
}

/** The strip without a trace: chance of a dark month, and the month's lowest charge of all years in place of the 10 % one. */
export function stripOf(run: SeasonRun): YearStrip {
  const darkShare = Array.from({ length: 12 }, (_, m) => {
    let dark = 0;
    for (let s = 0; s < run.seasons; s++) if (run.darkByMonth[s * 12 + m]! > 0) dark++;
    return dark / run.seasons;
  });
  return {
    darkShare,
    lowStateOfCharge: Array.from({ length: 12 }, (_, m) => tallyAt(run.month, m, TALLY.minStateOfCharge)),
  };
}

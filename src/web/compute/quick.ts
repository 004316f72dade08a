/** A first look at a design: the same models as the exact run, over fewer years, with everything kept that a slider does not change. */
import { darkStatistics, forecast } from '../../app/forecast.ts';
import { nodeOf } from '../../app/node-of.ts';
import { makeWeather, planSite, type SitePlan, type SiteWeather } from '../../app/site.ts';
import { dailyLows, fanOf, monthSummaries, worstMonthOf } from '../../app/summary.ts';
import { makeSupply, type Supply } from '../../app/supply.ts';
import { readTarget, type State, stateOf, yearsNeeded } from '../../app/target.ts';
import { firstYears } from '../../app/tilt-choice.ts';
import { verdictText } from '../../app/words.ts';
import {
  autonomy_d,
  type BalanceTrace,
  COLDEST_degC,
  type Fan,
  type MonthSummary,
  socAt,
  type YearPictures,
  type YearStrip,
} from '../../core/energy/index.ts';
import type { Interval } from '../../core/math/index.ts';
import type { Kit, Perch } from '../../records/index.ts';

/** Years of a first look: few when light or charger have to be computed anew, many when only the balance has. */
export const FEW_YEARS = 16;
export const MANY_YEARS = 80;
const KEPT_SITES = 4;
const KEPT_SUPPLIES = 4;

export interface QuickRequest {
  readonly kit: Kit;
  readonly perch: Perch;
  readonly seed: number;
  readonly target: string;
}

export interface QuickAnswer {
  readonly kit: string;
  readonly perch: string;
  readonly verdict: string;
  readonly state: State;
  readonly years: number;
  readonly dark_h_per_year: Interval;
  readonly darkYearShare: Interval;
  readonly worstMonth: number;
  readonly autonomy_d: number;
  readonly months: readonly MonthSummary[];
  readonly strip: YearStrip;
  readonly fan: Fan;
  readonly startDay: number;
  readonly marks: YearPictures['marks'];
}

interface Place {
  readonly many: SiteWeather;
  readonly few: SiteWeather;
}

export interface Quick {
  /** Can `answer` do with many years at once, or would it have to make light and charger anew? */
  isReady(request: QuickRequest): boolean;
  answer(request: QuickRequest, years: typeof FEW_YEARS | typeof MANY_YEARS): QuickAnswer;
}

/** The last few entries by key; the one longest unused goes first. */
interface Kept<T> {
  has(key: string): boolean;
  get(key: string, make: () => T): T;
}

function keeping<T>(most: number): Kept<T> {
  const kept = new Map<string, T>();
  return {
    has: (key) => kept.has(key),
    get(key, make) {
      const found = kept.get(key) ?? make();
      kept.delete(key);
      kept.set(key, found);
      for (const old of kept.keys()) {
        if (kept.size <= most) break;
        kept.delete(old);
      }
      return found;
    },
  };
}

/** What the weather of a perch hangs on; tilt, skyline and the like come later. */
function placeKey({ perch, seed }: QuickRequest): string {
  const { latitude_deg, longitude_deg, elevation_m, utcOffset_h, climate, wind_m_s, snow } = perch;
  return JSON.stringify([latitude_deg, longitude_deg, elevation_m, utcOffset_h, climate, wind_m_s, snow, seed]);
}

/** What light, panel and charger hang on: all of the perch, and the kit without cells, thresholds and load. */
function supplyKey({ kit, perch, seed }: QuickRequest): string {
  const { ceiling_V: _, ceiling_soc: __, ...charger } = kit.charger;
  const chemistry = kit.cells.chemistry === 'table' ? kit.cells.table : kit.cells.chemistry;
  return JSON.stringify([kit.mode, kit.panel, charger, kit.enclosure, chemistry, perch, seed]);
}

export function createQuick(): Quick {
  const places = keeping<Place>(KEPT_SITES);
  const supplies = keeping<Supply>(KEPT_SUPPLIES);
  const keyOf = (request: QuickRequest, years: number) => `${years} ${supplyKey(request)}`;
  return {
    isReady: (request) => supplies.has(keyOf(request, MANY_YEARS)),
    answer(request, years) {
      const { kit, perch, seed } = request;
      const place = places.get(placeKey(request), () => makePlace(perch, seed));
      // The plan has tilt and azimuth too, which are not part of the place's key.
      const plan = planSite(perch);
      const site = years === MANY_YEARS ? place.many : place.few;
      const supply = supplies.get(keyOf(request, years), () => makeSupply(kit, perch, plan, site));
      return look(request, plan, site, supply, years);
    },
  };
}

function makePlace(perch: Perch, seed: number): Place {
  const plan = planSite(perch);
  const many = makeWeather(plan, perch, seed, MANY_YEARS + 1);
  return { many, few: { ...many, hours: firstYears(many.hours, FEW_YEARS + 1), years: FEW_YEARS + 1 } };
}

function look(request: QuickRequest, plan: SitePlan, site: SiteWeather, supply: Supply, years: number): QuickAnswer {
  const { kit, seed } = request;
  const target = readTarget(request.target);
  const trace: BalanceTrace = {
    stateOfCharge: new Float32Array(site.hours.length),
    on: new Uint8Array(site.hours.length),
  };
  const { model, run } = forecast(nodeOf(kit), supply.hours, site.startMonth, years, trace);
  const statistics = darkStatistics(run, seed);
  const lows = dailyLows(trace, site.startMonth, years);
  const months = monthSummaries(run, lows, site, supply);
  const worstMonth = worstMonthOf(months);
  const coldMonth_degC = Math.min(...site.monthlyTemperature_degC);
  // Too few years cannot show the target: until the exact run does, the share itself is what speaks.
  const { mean } = statistics.darkYearShare;
  const shown = years >= yearsNeeded(target.share) ? statistics.darkYearShare : { mean, low: mean, high: mean };
  const state = stateOf(shown, target);
  const cold = Math.min(model.cutoff_Wh.length - 1, Math.max(0, Math.round(coldMonth_degC) - COLDEST_degC));
  return {
    kit: kit.name,
    perch: plan.name,
    verdict: verdictText({
      kit: kit.name,
      perch: plan.name,
      state,
      target,
      years,
      darkYears: statistics.darkYears,
      dark_h: statistics.dark_h_per_year,
      share: statistics.darkYearShare,
      worstMonth,
    }),
    state,
    years,
    dark_h_per_year: statistics.dark_h_per_year,
    darkYearShare: statistics.darkYearShare,
    worstMonth,
    autonomy_d: autonomy_d(model, coldMonth_degC),
    months,
    strip: { darkShare: months.map((m) => m.darkShare), lowStateOfCharge: months.map((m) => m.lowStateOfCharge) },
    fan: fanOf(lows),
    startDay: lows.startDay,
    marks: {
      ceiling: socAt(model, model.ceiling_Wh),
      cutoff: socAt(model, model.cutoff_Wh[cold]!),
      reconnect: socAt(model, Math.min(model.energyFull_Wh, model.reconnect_Wh[cold]!)),
    },
  };
}

import type { WeatherHours } from '../core/weather/index.ts';
import type { Kit, Perch } from '../records/index.ts';
import { panelsOf } from '../records/index.ts';
import { monthlyMeans, type SitePlan, type SiteWeather } from './site.ts';
import { lightOnPanel } from './supply.ts';

/** Years of weather on which tilts are compared: means of light need no more. */
const TILT_YEARS = 8;

/** The tilt that is best for the worst month, and what it brings there. */
export interface TiltChoice {
  readonly tilt_deg: number;
  /** Mean light of the worst month at that tilt, kWh/m² a day, and the month (1..12). */
  readonly worst_kWh_m2_day: number;
  readonly worstMonth: number;
  /** Were the panels' own tilts kept, since the kit fixes them? */
  readonly fixed: boolean;
}

/**
 * Chooses the tilt that gives most light in the month that has least: not the best for the yearly sum, because a node
 * with a constant load starves in its worst month. Skyline, shade, snow and dirt of the perch count. Steps of 5°, then 1°.
 */
export function bestTilt(kit: Kit, perch: Perch, plan: SitePlan, site: SiteWeather): TiltChoice {
  const panel = panelsOf(kit)[0]!;
  const local: SiteWeather = { ...site, hours: firstYears(site.hours, TILT_YEARS) };
  const worstAt = (tilt_deg: number) => {
    const light = lightOnPanel(kit, panel, perch, { ...plan, tilt_deg }, local);
    const months = monthlyMeans(local.hours, light).map((w) => (w * 24) / 1000);
    const worst = Math.min(...months);
    return { tilt_deg, worst_kWh_m2_day: worst, worstMonth: months.indexOf(worst) + 1, fixed: false };
  };
  if (panelsOf(kit).some((p) => p.tilt_deg !== undefined)) return { ...worstAt(plan.tilt_deg), fixed: true };
  const better = (tilts: readonly number[]) =>
    tilts.map(worstAt).reduce((best, next) => (next.worst_kWh_m2_day > best.worst_kWh_m2_day ? next : best));
  const coarse = better(Array.from({ length: 19 }, (_, i) => i * 5)).tilt_deg;
  return better([-4, -3, -2, -1, 0, 1, 2, 3, 4].map((d) => coarse + d).filter((t) => t >= 0 && t <= 90));
}

/** The first years of some weather, without copying. */
export function firstYears(hours: WeatherHours, years: number): WeatherHours {
  const length = Math.min(hours.length, years * 8760);
  return {
    length,
    hourOfYear: hours.hourOfYear.subarray(0, length),
    ghi_W_m2: hours.ghi_W_m2.subarray(0, length),
    dni_W_m2: hours.dni_W_m2.subarray(0, length),
    dhi_W_m2: hours.dhi_W_m2.subarray(0, length),
    temperature_degC: hours.temperature_degC.subarray(0, length),
    wind_m_s: hours.wind_m_s.subarray(0, length),
    ...(hours.snowfall_cm ? { snowfall_cm: hours.snowfall_cm.subarray(0, length) } : {}),
  };
}

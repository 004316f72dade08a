/** A spot that has no perch file yet, as a perch: for its weather and its sun. */
import { MONTH_START } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { type Kit, type Perch, panelsOf, readPerch } from '../records/index.ts';
import { makeWeather, monthlyMeans, planSite, type SitePlan } from './site.ts';
import { lightOnPanel } from './supply.ts';

export interface Spot {
  readonly perch: Perch;
  readonly plan: SitePlan;
}

/** A perch of a name, a position, a ground height and a skyline; all else as a perch file leaves it open. */
export function spotOf(
  name: string,
  latitude_deg: number,
  longitude_deg: number,
  elevation_m: number,
  horizon: readonly { azimuth_deg: number; elevation_deg: number }[] = [],
): Spot {
  const record = {
    name: name.slice(0, 80),
    latitude_deg,
    longitude_deg,
    elevation_m: Math.round(Math.min(9000, Math.max(-450, elevation_m))),
    ...(horizon.length > 0 ? { horizon } : {}),
  };
  return spotOfRecord(record, name);
}

/** The perch of a file as plain value, whose weather is no file elsewhere; `from` is told as its file in problems. */
export function spotOfRecord(record: unknown, from: string): Spot {
  const perch = readPerch(parseYamlRecord(JSON.stringify(record), from), { set: [], weather: false }).value;
  return { perch, plan: planSite(perch) };
}

/** Month 1..12 with the least radiation on the horizontal in a site's climate. */
export function darkestMonth(plan: SitePlan): number {
  const { climate, place } = plan;
  if (climate.kind !== 'monthly') return place.latitude_deg < 0 ? 6 : 12;
  const { ghi_kWh_m2_day: ghi } = climate;
  return ghi.indexOf(Math.min(...ghi)) + 1;
}

/** Years that settle a month's mean light to 2 %. */
const YEARS = 10;

/**
 * Light on a kit's first panel at a spot, monthly means of a day, kWh/m², skyline, cover and dirt counted: ten synthetic years of the
 * nearest climate, one seed for all spots, so that they differ by their places only.
 */
export function spotLight_kWh_m2_day(kit: Kit, spot: Spot): number[] {
  const site = makeWeather(spot.plan, spot.perch, 1, YEARS);
  const light = lightOnPanel(kit, panelsOf(kit)[0]!, spot.perch, spot.plan, site);
  return monthlyMeans(site.hours, light).map((w) => (w * 24) / 1000);
}

/** Days of month 1..12. */
export const daysOf = (month: number): number => MONTH_START[month]! - MONTH_START[month - 1]!;

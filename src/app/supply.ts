import { applyConversion, availablePower, type ChargerModel, harvestTable } from '../core/charger/index.ts';
import type { BalanceHours } from '../core/energy/index.ts';
import { cellTemperatureSeries, MOUNTINGS, monthlyCleanShare, snowCoverSeries } from '../core/panel/index.ts';
import { horizonFromPairs, planeGeometry, planeOfArray } from '../core/sun/index.ts';
import { HOURS_PER_YEAR, MONTH_START } from '../core/units/index.ts';
import type { Kit, Panel, Perch } from '../records/index.ts';
import { panelsOf } from '../records/index.ts';
import { chargerOf, kitPower_W, panelModelOf } from './panels.ts';
import { monthlyMeans, type SitePlan, type SiteWeather } from './site.ts';

/** What a kit's panels and charger can deliver at a site, hour by hour, and the light behind it. */
export interface Supply {
  readonly hours: BalanceHours;
  /** Monthly mean daily sum of light on the plane of the first panel, before reflection, dirt and snow losses are known apart, kWh/m². */
  readonly poa_kWh_m2_day: readonly number[];
  /** Watts of all panels for which `hours` was made. */
  readonly power_W: number;
  /** What the panels give before the converter, W, where its efficiency depends on that. */
  readonly raw_W?: Float32Array;
}

const twelve = (value: number | readonly number[]): readonly number[] =>
  typeof value === 'number' ? new Array<number>(12).fill(value) : value;

/** A shade entry of a record as 12 x 24 shares; two of them multiply. */
function shadeOf(
  ...entries: readonly (number | readonly (readonly number[])[] | undefined)[]
): Float32Array | undefined {
  const given = entries.filter((entry) => entry !== undefined);
  if (given.length === 0) return undefined;
  const shares = new Float32Array(288).fill(1);
  for (const entry of given)
    for (let i = 0; i < 288; i++) shares[i]! *= typeof entry === 'number' ? entry : entry[Math.floor(i / 24)]![i % 24]!;
  return shares;
}

/** The skyline of a perch, or undefined for none. */
export function horizonOf(perch: Perch): Float32Array | undefined {
  return Array.isArray(perch.horizon) && perch.horizon.length > 0 ? horizonFromPairs(perch.horizon) : undefined;
}

/** Tilt and azimuth of one panel at a perch. */
export function attitude(panel: Panel, plan: SitePlan): { tilt_deg: number; azimuth_deg: number } {
  const tilt_deg = Math.min(90, Math.max(0, (panel.tilt_deg ?? plan.tilt_deg) + (panel.tiltOffset_deg ?? 0)));
  return { tilt_deg, azimuth_deg: panel.azimuth_deg ?? plan.azimuth_deg };
}

/** Light on one panel, W/m² that enter the cells. Plain kits see no cover, horizon, shade, dirt or snow. */
export function lightOnPanel(kit: Kit, panel: Panel, perch: Perch, plan: SitePlan, site: SiteWeather): Float32Array {
  const plain = kit.mode === 'plain';
  const { tilt_deg, azimuth_deg } = attitude(panel, plan);
  const horizon = plain ? undefined : horizonOf(perch);
  const shade = plain ? undefined : shadeOf(perch.shade, panel.shade);
  const geometry = planeGeometry(site.sun, {
    tilt_deg,
    azimuth_deg,
    albedo: twelve(perch.albedo),
    ...(horizon ? { horizon } : {}),
    ...(shade ? { shade } : {}),
    cover: plain || panel.cover === 'none' ? 'none' : 'glass',
    model: 'perez',
  });
  const { hours } = site;
  const poa = new Float32Array(hours.length);
  planeOfArray(hours, geometry, poa);
  if (plain) return poa;
  if (hours.snowfall_cm && perch.snow !== 'none') {
    const cover = new Float32Array(hours.length);
    snowCoverSeries(hours.snowfall_cm, hours.temperature_degC, poa, tilt_deg, cover);
    for (let i = 0; i < poa.length; i++) poa[i]! *= 1 - cover[i]!;
  }
  const clean = monthlyCleanShare(perch.soiling_pct);
  const byHour = new Float32Array(HOURS_PER_YEAR);
  for (let m = 0; m < 12; m++) byHour.fill(clean[m]!, MONTH_START[m]! * 24, MONTH_START[m + 1]! * 24);
  for (let i = 0; i < poa.length; i++) poa[i]! *= byHour[hours.hourOfYear[i]!]!;
  return poa;
}

/** Lowest and highest voltage of the cells that the charger can meet. */
function batterySpan(kit: Kit): { low_V: number; high_V: number } {
  if (kit.cells.chemistry === 'table' && kit.cells.table)
    return { low_V: kit.cells.table[0]!.voltage_V, high_V: kit.cells.table.at(-1)!.voltage_V };
  return { low_V: 2.5, high_V: 4.25 };
}

/** Panels and charger of a kit through the weather of a site. */
export function makeSupply(kit: Kit, perch: Perch, plan: SitePlan, site: SiteWeather): Supply {
  const { hours } = site;
  const charger: ChargerModel = chargerOf(kit);
  const span = batterySpan(kit);
  let available: Float32Array | null = null;
  let node_V: Float64Array = new Float64Array(1);
  let first: Float32Array | null = null;
  const cell = new Float32Array(hours.length);
  panelsOf(kit).forEach((panel, index) => {
    const light = lightOnPanel(kit, panel, perch, plan, site);
    first ??= light;
    cellTemperatureSeries(
      MOUNTINGS[kit.mode === 'plain' ? 'free' : panel.mounting],
      light,
      hours.temperature_degC,
      hours.wind_m_s,
      cell,
    );
    const tableOf = harvestTable(panelModelOf(panel, charger), charger, span);
    node_V = tableOf.battery_V;
    available ??= new Float32Array(hours.length * node_V.length);
    availablePower(tableOf, light, cell, index > 0, available);
  });
  if (available === null || first === null) throw new RangeError('makeSupply: a kit has a panel');
  const curved = charger.kind !== 'linear' && typeof charger.efficiency !== 'number';
  const raw_W = curved ? new Float32Array(available) : undefined;
  applyConversion(charger, node_V, available, 1, available);
  const gain_K = kit.mode === 'plain' ? 0 : (perch.enclosureGain_K ?? kit.enclosure?.solarGain_K ?? 0);
  let box = hours.temperature_degC;
  if (gain_K !== 0) {
    box = new Float32Array(hours.length);
    for (let i = 0; i < box.length; i++) box[i] = hours.temperature_degC[i]! + (gain_K * hours.ghi_W_m2[i]!) / 1000;
  }
  return {
    hours: { length: hours.length, available_W: available, nodes: node_V.length, scale: 1, node_V, cell_degC: box },
    poa_kWh_m2_day: monthlyMeans(hours, first).map((w) => (w * 24) / 1000),
    power_W: kitPower_W(kit),
    ...(raw_W ? { raw_W } : {}),
  };
}

/**
 * The hours of a supply with panels of `scale` times the size. A converter whose efficiency depends on its input power
 * works at another point of its curve then, so its output is not in proportion.
 */
export function scaledHours(kit: Kit, supply: Supply, scale: number): BalanceHours {
  const { hours, raw_W } = supply;
  if (raw_W === undefined || scale === 1) return { ...hours, scale };
  const available_W = new Float32Array(raw_W.length);
  applyConversion(chargerOf(kit), hours.node_V, raw_W, scale, available_W);
  return { ...hours, available_W };
}

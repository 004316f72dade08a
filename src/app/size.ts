import {
  type Assumption,
  type BalanceModel,
  type BucketModel,
  COLDEST_degC,
  type FrontierMap,
  type FrontierPoint,
} from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { REFERENCE_V } from '../core/load/index.ts';
import { userError } from '../core/units/index.ts';
import type { Kit, Perch } from '../records/index.ts';
import type { DesignRows } from './design-grid.ts';
import { darkStatistics, forecast } from './forecast.ts';
import { readKitFile, readPerchFile } from './inputs.ts';
import { nodeOf } from './node-of.ts';
import { kitPower_W } from './panels.ts';
import type { Ports } from './ports.ts';
import { makeWeather, type SitePlan, type SiteWeather } from './site.ts';
import { makeSupply, type Supply, scaledHours } from './supply.ts';
import { DEFAULT_TARGET, readTarget, shareOf, type Target, yearsNeeded } from './target.ts';
import { bestTilt } from './tilt-choice.ts';
import { MONTHS, oneIn } from './words.ts';

/** Panel sizes of the map, W, for a need of about a fifth of the largest; scaled by tens when the load asks for more. */
const PANELS_W = [0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 25];
const MOST_CELLS = 20;
/** More years than this are not simulated: memory, and the weather model itself is not that well known. */
const MOST_YEARS = 1000;

export interface SizeRequest {
  readonly perch: string;
  readonly kit: string;
  readonly target?: string | undefined;
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
  readonly set?: readonly string[] | undefined;
  readonly weather?: string | undefined;
}

/** Result of `sunperch size`. */
export interface SizeOutcome {
  readonly command: 'size';
  readonly kit: string;
  readonly perch: string;
  readonly verdict: string;
  readonly target: { readonly share: number; readonly text: string };
  readonly years: number;
  readonly seed: number;
  readonly tilt_deg: number;
  readonly azimuth_deg: number;
  readonly worstLight: { readonly month: number; readonly kWh_m2_day: number };
  readonly frontier: readonly FrontierPoint[];
  /** The kit at hand at its own tilt. */
  readonly atHand: FrontierPoint & { readonly meets: boolean };
  readonly lacks: string;
  readonly map: FrontierMap;
  readonly weather: string;
  readonly assumptions: readonly Assumption[];
}

/** Years for a target: those that zero events need, and as many again so that a rare event does not decide. */
export function yearsFor(target: Target, asked?: number): number {
  const least = yearsNeeded(target.share);
  if (least > MOST_YEARS)
    throw userError(
      'target-too-rare',
      `the target '${target.text}' needs ${least} simulated years without a dark one, more than the ${MOST_YEARS} that are run: ask for one no rarer than ${(100 * (1 - 0.025 ** (1 / MOST_YEARS))).toPrecision(2)} %`,
    );
  if (asked !== undefined) {
    if (asked < least)
      throw userError(
        'too-few-years',
        `${asked} years cannot show '${target.text}': even without a dark one the upper bound stays at ${oneIn(shareOf(0, asked).high)}; at least ${least} years are needed`,
      );
    return asked;
  }
  return Math.min(MOST_YEARS, Math.max(100, 2 * least));
}

/** `sunperch size`: panel watts x cells, the frontier that meets the target, the tilt for the worst month. */
export async function size(ports: Ports, request: SizeRequest): Promise<SizeOutcome> {
  const target = readTarget(request.target ?? DEFAULT_TARGET);
  const years = yearsFor(target, request.years);
  const seed = request.seed ?? 1;
  const kitFile = await readKitFile(ports, request.kit, request.set);
  const perchFile = await readPerchFile(ports, request.perch, request.set, request.weather);
  const { kit } = kitFile;
  const { perch, plan } = perchFile;
  ports.progress(0, 100, 'weather');
  const site = makeWeather(plan, perch, seed, years + 1);
  ports.progress(20, 100, 'tilt');
  const tilt = bestTilt(kit, perch, plan, site);
  const tilted: SitePlan = { ...plan, tilt_deg: tilt.tilt_deg };
  const supply = makeSupply(kit, perch, tilted, site);
  const need_W = mapScale(kit, supply);
  const panels_W = panelSizes(need_W, kitPower_W(kit));
  const cells = Array.from({ length: Math.max(MOST_CELLS, kit.cells.count) }, (_, i) => i + 1);
  const rows = await runGrid(ports, kit, supply, site, years, panels_W, cells);
  ports.progress(70, 100, 'frontier');
  const frontier = findFrontier(kit, supply, site, years, seed, target, tilt.tilt_deg, panels_W, cells, rows);
  const hand = atHand(kit, perch, plan, site, years, seed);
  ports.progress(100, 100, 'done');
  const lacks = lacking(kit, hand, frontier, target, tilt.tilt_deg);
  return {
    command: 'size',
    kit: kit.name,
    perch: plan.name,
    verdict: sizeVerdict(kit, plan, frontier, target, lacks),
    target,
    years,
    seed,
    tilt_deg: tilt.tilt_deg,
    azimuth_deg: plan.azimuth_deg,
    worstLight: { month: tilt.worstMonth, kWh_m2_day: tilt.worst_kWh_m2_day },
    frontier,
    atHand: { ...hand, meets: hand.upper <= target.share },
    lacks,
    map: {
      panel_W: panels_W,
      cells,
      darkYearShare: rows.map((row) => row.map((dark) => dark / years)),
      target: target.share,
      frontier,
      kit: { panel_W: hand.panel_W, cells: hand.cells },
    },
    weather: plan.weather,
    assumptions: [
      {
        field: 'years',
        value: String(years),
        why: `simulated for '${target.text}': ${yearsNeeded(target.share)} without a dark one are the least that can show it; seed ${seed}`,
      },
      {
        field: 'tilt_deg',
        value: String(tilt.tilt_deg),
        why: tilt.fixed
          ? 'the kit fixes its panels'
          : `most light in ${MONTHS[tilt.worstMonth - 1]}, the month with least`,
      },
      ...kitFile.assumptions,
      ...perchFile.assumptions,
    ],
  };
}

/** Mean harvest per watt in the worst month against the load gives the size of panel about which the map is drawn. */
function mapScale(kit: Kit, supply: Supply): number {
  const node = nodeOf(kit);
  const load_W = node.loadCurrent_A * REFERENCE_V + node.loadPower_W;
  const months = supply.poa_kWh_m2_day;
  const perWatt_W = Math.max(0.005, (Math.min(...months) / 24) * 0.75);
  return load_W / perWatt_W;
}

function panelSizes(need_W: number, kit_W: number): number[] {
  let factor = 1;
  while (need_W * 4 > PANELS_W.at(-1)! * factor) factor *= 2;
  const sizes = PANELS_W.map((w) => Number((w * factor).toPrecision(3)));
  const own = Number(kit_W.toPrecision(3));
  return sizes.includes(own) ? sizes : [...sizes, own].sort((a, b) => a - b);
}

const withCells = (kit: Kit, count: number): Kit => ({ ...kit, cells: { ...kit.cells, count } });

/** A node as a bucket: constant voltage, thresholds at the cold end, losses as one share. */
export function bucketOf(spec: NodeSpec, model: BalanceModel, cold_degC: number): BucketModel {
  const k = Math.min(model.cutoff_Wh.length - 1, Math.max(0, Math.round(cold_degC) - COLDEST_degC));
  const plain = spec.cells.kind === 'plain';
  return {
    ceiling_Wh: model.ceiling_Wh,
    cutoff_Wh: model.cutoff_Wh[k]!,
    reconnect_Wh: Math.min(model.reconnect_Wh[k]!, model.ceiling_Wh),
    load_W: (spec.loadCurrent_A + spec.ownUse_A) * REFERENCE_V + spec.loadPower_W,
    chargeShare: plain ? 1 : 1 - model.chargeLossShare,
    selfDischarge_per_h: model.selfDischarge_per_h[k]!,
    powerPath: spec.powerPath,
  };
}

async function runGrid(
  ports: Ports,
  kit: Kit,
  supply: Supply,
  site: SiteWeather,
  years: number,
  panels_W: readonly number[],
  cells: readonly number[],
): Promise<number[][]> {
  const node = nodeOf(kit);
  const { hours } = supply;
  const n = hours.length;
  // Shared memory, so that workers read the same hours without copies.
  const perWatt_W = new Float32Array(new SharedArrayBuffer(4 * n));
  const blocked = new Uint8Array(new SharedArrayBuffer(n));
  const node_j = nearestNode(hours.node_V, REFERENCE_V);
  const perWatt = 1 / supply.power_W;
  for (let i = 0; i < n; i++) {
    perWatt_W[i] = hours.available_W[i * hours.nodes + node_j]! * perWatt;
    const t = hours.cell_degC[i]!;
    blocked[i] = t > node.chargeMax_degC || (t < node.chargeMin_degC && node.coldLockout) ? 1 : 0;
  }
  const cold_degC = Math.min(...site.monthlyTemperature_degC);
  const buckets = cells.map((count) => {
    const spec = nodeOf(withCells(kit, count));
    return bucketOf(spec, buildNode(spec), cold_degC);
  });
  // Two rows a task: enough tasks for progress and for even shares of the cores.
  const inputs: DesignRows[] = [];
  for (let i = 0; i < buckets.length; i += 2)
    inputs.push({
      perWatt_W,
      blocked,
      startMonth: site.startMonth,
      seasons: years,
      panels_W,
      buckets: buckets.slice(i, i + 2),
    });
  const parts = (await ports.runTasks(
    'design-rows',
    inputs,
    `${panels_W.length * cells.length} designs`,
  )) as number[][][];
  return parts.flat();
}

function nearestNode(node_V: Float64Array, voltage_V: number): number {
  let best = 0;
  for (let j = 1; j < node_V.length; j++)
    if (Math.abs(node_V[j]! - voltage_V) < Math.abs(node_V[best]! - voltage_V)) best = j;
  return best;
}

/** Dark statistics of one design with the full model. */
function prove(
  kit: Kit,
  supply: Supply,
  site: SiteWeather,
  years: number,
  seed: number,
  tilt_deg: number,
  panel_W: number,
  count: number,
): FrontierPoint {
  const scale = panel_W / supply.power_W;
  const { run } = forecast(nodeOf(withCells(kit, count)), scaledHours(kit, supply, scale), site.startMonth, years);
  const { darkYearShare } = darkStatistics(run, seed);
  return { panel_W, cells: count, tilt_deg, darkYearShare: darkYearShare.mean, upper: darkYearShare.high, years };
}

/**
 * The smallest panel for each number of cells that meets the target, proved with the full model; only those kept that
 * save panel against fewer cells. The bucket map tells where to begin.
 */
function findFrontier(
  kit: Kit,
  supply: Supply,
  site: SiteWeather,
  years: number,
  seed: number,
  target: Target,
  tilt_deg: number,
  panels_W: readonly number[],
  cells: readonly number[],
  rows: readonly (readonly number[])[],
): FrontierPoint[] {
  const frontier: FrontierPoint[] = [];
  let smallest = panels_W.length;
  for (const [r, count] of cells.entries()) {
    const guess = rows[r]!.findIndex((dark) => shareOf(dark, years).high <= target.share);
    if (guess < 0 || smallest === 0) continue;
    let column = Math.min(guess, smallest - 1);
    const at = (c: number) => prove(kit, supply, site, years, seed, tilt_deg, panels_W[c]!, count);
    let point = at(column);
    if (point.upper <= target.share) {
      for (let c = column - 1; c >= 0; c--) {
        const smaller = at(c);
        if (smaller.upper > target.share) break;
        point = smaller;
        column = c;
      }
    } else {
      for (column++; column < smallest; column++) {
        point = at(column);
        if (point.upper <= target.share) break;
      }
      if (column >= smallest) continue;
    }
    if (column < smallest) {
      frontier.push(point);
      smallest = column;
    }
  }
  return frontier;
}

function atHand(kit: Kit, perch: Perch, plan: SitePlan, site: SiteWeather, years: number, seed: number): FrontierPoint {
  const supply = makeSupply(kit, perch, plan, site);
  return prove(kit, supply, site, years, seed, plan.tilt_deg, supply.power_W, kit.cells.count);
}

/** What the kit at hand lacks: nothing, a tilt, cells, panel, or more than the map holds. */
function lacking(
  kit: Kit,
  hand: FrontierPoint,
  frontier: readonly FrontierPoint[],
  target: Target,
  tilt_deg: number,
): string {
  if (hand.upper <= target.share) return 'nothing';
  const counts = kit.cells.count;
  const covering = frontier.filter((p) => p.panel_W <= hand.panel_W && p.cells <= counts);
  if (covering.length > 0) return `only the tilt: ${tilt_deg}° instead of ${hand.tilt_deg}°`;
  const cellsOnly = frontier.filter((p) => p.panel_W <= hand.panel_W).sort((a, b) => a.cells - b.cells)[0];
  const panelOnly = frontier.filter((p) => p.cells <= counts).sort((a, b) => a.panel_W - b.panel_W)[0];
  const at = ` at ${tilt_deg}°`;
  const options = [
    cellsOnly ? `${cellsOnly.cells - counts} more cell${cellsOnly.cells - counts === 1 ? '' : 's'}` : '',
    panelOnly ? `a panel of ${panelOnly.panel_W} W` : '',
  ].filter((text) => text !== '');
  if (options.length > 0) return options.join(', or ') + at;
  const both = [...frontier].sort(
    (a, b) => a.panel_W / hand.panel_W + a.cells / counts - b.panel_W / hand.panel_W - b.cells / counts,
  )[0];
  return both
    ? `a panel of ${both.panel_W} W with ${both.cells} cells${at}`
    : 'more than any design on the map: a smaller load, or another place';
}

function sizeVerdict(
  kit: Kit,
  plan: SitePlan,
  frontier: readonly FrontierPoint[],
  target: Target,
  lacks: string,
): string {
  const head =
    lacks === 'nothing'
      ? `${kit.name} meets ${target.text} at ${plan.name}`
      : `${kit.name} misses ${target.text} at ${plan.name}: it lacks ${lacks}`;
  const least = frontier[0];
  const last = frontier.at(-1);
  if (!least || !last) return `${head}. No design of the map meets it.`;
  const range =
    least === last
      ? `${least.panel_W} W with ${least.cells} cell${least.cells === 1 ? '' : 's'} meet${least.cells === 1 ? 's' : ''} it`
      : `the frontier runs from ${least.panel_W} W with ${least.cells} cell${least.cells === 1 ? '' : 's'} to ${last.panel_W} W with ${last.cells} cells`;
  return `${head}; ${range}.`;
}

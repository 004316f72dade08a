import { type CauseSummary, TALLY } from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { autonomy_d } from '../core/energy/probes.ts';
import type { SeasonRun } from '../core/energy/seasons.ts';
import { REFERENCE_V } from '../core/load/index.ts';
import { MONTH_START } from '../core/units/index.ts';
import type { Kit, Perch } from '../records/index.ts';
import { darkOfSample, type SeasonSample } from './forecast.ts';
import { nodeOf } from './node-of.ts';
import type { SitePlan, SiteWeather } from './site.ts';
import { makeSupply, type Supply, scaledHours } from './supply.ts';

/** Array-to-load ratio that a sound design has in its worst month: 1.3-1.4 and more for critical loads (IEEE 1562, from memory). */
export const SOUND_ARRAY_RATIO = 1.4;
/** Days of autonomy of a critical load in a place of variable sun: 7-14 (IEEE 1562, from memory). */
export const SOUND_AUTONOMY_d = 10;
/** Average of a frugal repeater at the cells, mA (common practice, no source). */
export const FRUGAL_LOAD_mA = 12;

/** A panel that is too small is not tried larger than this many times over. */
const LARGEST_SCALE = 20;

/** What a cause's removal is measured on. */
export interface CauseInput {
  readonly kit: Kit;
  readonly perch: Perch;
  readonly plan: SitePlan;
  readonly site: SiteWeather;
  readonly sample: SeasonSample;
  /** Panels and charger over the sampled seasons. */
  readonly supply: Supply;
  readonly run: SeasonRun;
  /** 0..11. */
  readonly worstMonth: number;
  /** Temperature of the cells in the coldest month, °C. */
  readonly coldMonth_degC: number;
}

/** Runs the balance as though the cells were always at a mild temperature: no lock-out, nothing kept back by the cold. */
const MILD_degC = 20;

/** Causes whose removal leaves as many dark hours within this share of all of them stand on the same step. */
const TIE_SHARE = 0.02;

/**
 * What limits the node. Each cause is taken away by itself, the part brought to what sound practice calls for (never made
 * worse), and the sampled dark seasons are run again: the dark hours left, scaled to all years, rank the causes. Ties
 * go to the cause that weighs more: the panel by how many times the need of the worst month is over its usable harvest;
 * shade, cold and charger by how many times their removal raises that harvest; cells by how far they stay below sound
 * autonomy; the load by how far it is over a frugal one. So where a panel would harvest the need but for a skyline, that is
 * told as shade, though a panel many times the size would do as well.
 */
export function rankCauses(input: CauseInput): CauseSummary[] {
  const { kit, perch, plan, site, sample, supply, run, worstMonth } = input;
  const node = nodeOf(kit);
  const model = buildNode(node);
  const seasons = sample.seasons.length;
  const sum = (values: Float64Array) => values.reduce((total, v) => total + v, 0);
  const base_h = sum(darkOfSample(model, supply.hours, seasons));
  // The sample gives shares; the hours a year are those of the whole run.
  const all_h = run.total[TALLY.dark_h]! / run.seasons;
  const perYear = (dark_h: number) => (base_h > 0 ? (dark_h / base_h) * all_h : 0);
  const worstHours = hoursOfMonth(sample.weather.hourOfYear, worstMonth);
  const usable_W = (s: Supply, spec = node) => meanUsable_W(spec, s.hours, worstHours);
  const now_W = usable_W(supply);
  // What cold or heat keeps from the cells is no harvest to count on.
  const usableShare = now_W / meanUsable_W({ ...node, ...NO_WINDOW }, supply.hours, worstHours);
  const row = worstMonth * TALLY.size;
  const usable_Wh = run.month[row + TALLY.harvest_Wh]! * usableShare;
  const need_Wh =
    run.month[row + TALLY.load_Wh]! + run.month[row + TALLY.unserved_Wh]! + run.month[row + TALLY.losses_Wh]!;
  const local: SiteWeather = { ...site, hours: sample.weather };
  const again = (changed: Partial<NodeSpec>, hours = supply.hours) =>
    sum(darkOfSample(buildNode({ ...node, ...changed }), hours, seasons));
  const rows: { summary: CauseSummary; factor: number }[] = [];
  const add = (cause: CauseSummary['cause'], removed: string, left_h: number, factor: number) =>
    rows.push({
      summary: {
        cause,
        removed,
        darkLeft_h_per_year: perYear(left_h),
        explains: base_h > 0 ? Math.max(0, 1 - left_h / base_h) : 0,
      },
      factor,
    });

  const panelFactor = timesOver(SOUND_ARRAY_RATIO * need_Wh, usable_Wh);
  const scale = Math.min(panelFactor, LARGEST_SCALE);
  add(
    'panel',
    panelFactor > 1
      ? `a panel of ${(supply.power_W * scale).toPrecision(2)} W, for a usable harvest of ${SOUND_ARRAY_RATIO} x the need in the worst month`
      : `the panel harvests ${SOUND_ARRAY_RATIO} x the need or more in the worst month`,
    again({}, scaledHours(kit, supply, scale)),
    timesOver(need_Wh, usable_Wh),
  );

  const autonomy = autonomy_d(model, input.coldMonth_degC);
  const cellFactor = Math.max(1, SOUND_AUTONOMY_d / Math.max(autonomy, 0.05));
  const more = moreCells(node, cellFactor);
  add(
    'cells',
    cellFactor > 1
      ? `cells for ${SOUND_AUTONOMY_d} days without sun (now ${autonomy.toFixed(1)})`
      : `the cells last ${autonomy.toFixed(0)} days without sun`,
    again(more),
    cellFactor,
  );

  const load_mA = 1000 * (node.loadCurrent_A + node.loadPower_W / REFERENCE_V);
  const loadFactor = Math.max(1, load_mA / FRUGAL_LOAD_mA);
  add(
    'load',
    loadFactor > 1
      ? `a frugal load of ${FRUGAL_LOAD_mA} mA (now ${load_mA.toPrecision(3)} mA)`
      : `the load is frugal (${load_mA.toPrecision(3)} mA)`,
    again({ loadCurrent_A: node.loadCurrent_A / loadFactor, loadPower_W: node.loadPower_W / loadFactor }),
    loadFactor,
  );

  const open = makeSupply(
    {
      ...kit,
      panel: (Array.isArray(kit.panel) ? kit.panel : [kit.panel]).map(({ shade: _, ...panel }) => panel),
    } as Kit,
    { ...withoutShade(perch), soiling_pct: 0, snow: 'none', horizon: 'none' } as Perch,
    plan,
    local,
  );
  add(
    'shade',
    'no skyline, trees, snow or dirt before the panel',
    again({}, open.hours),
    timesOver(usable_W(open), now_W),
  );

  const mild = { ...supply.hours, cell_degC: new Float32Array(supply.hours.length).fill(MILD_degC) };
  add('cold', `cells always at ${MILD_degC} °C`, again({}, mild), timesOver(1, usableShare));

  const ideal = makeSupply(
    {
      ...kit,
      charger: {
        ...kit.charger,
        type: kit.charger.type === 'flat' ? 'flat' : 'tracking',
        efficiency: 1,
        trackingEfficiency: 1,
      },
    } as Kit,
    perch,
    plan,
    local,
  );
  const free = { ownUse_A: 0, outputLimit_A: Number.POSITIVE_INFINITY, outputShare: () => 1 };
  add(
    'charger',
    'an ideal charger: all of the maximum power, no own use, no current limit',
    again(free, ideal.hours),
    timesOver(usable_W(ideal, { ...node, ...free }), now_W - node.ownUse_A * REFERENCE_V),
  );

  const tie_h = perYear(TIE_SHARE * base_h);
  rows.sort((a, b) => a.summary.darkLeft_h_per_year - b.summary.darkLeft_h_per_year);
  const ranked: CauseSummary[] = [];
  while (rows.length > 0) {
    const least_h = rows[0]!.summary.darkLeft_h_per_year;
    const end = rows.findIndex((entry) => entry.summary.darkLeft_h_per_year > least_h + tie_h);
    const tied = rows.splice(0, end < 0 ? rows.length : end);
    ranked.push(...tied.sort((a, b) => b.factor - a.factor).map((entry) => entry.summary));
  }
  return ranked;
}

/** How many times `wanted` is over `found`, at least once; a great many where nothing is found. */
const timesOver = (wanted: number, found: number): number => (found > 0 ? Math.max(1, wanted / found) : 1e6);

/** Which hours lie in a month (0..11). */
function hoursOfMonth(hourOfYear: Uint16Array, month: number): number[] {
  const begin = MONTH_START[month]! * 24;
  const end = MONTH_START[month + 1]! * 24;
  return Array.from(hourOfYear.keys()).filter((i) => hourOfYear[i]! >= begin && hourOfYear[i]! < end);
}

/** Charging at every temperature. */
const NO_WINDOW = { chargeMin_degC: Number.NEGATIVE_INFINITY, chargeMax_degC: Number.POSITIVE_INFINITY };

/**
 * Mean over some hours of what the charger delivers to cells and load, W, whatever the state of charge; outside the
 * charge window the load takes its part at most.
 */
function meanUsable_W(node: NodeSpec, hours: Supply['hours'], among: readonly number[]): number {
  const load_W = node.powerPath ? node.loadCurrent_A * REFERENCE_V + node.loadPower_W : 0;
  const most_W = node.outputLimit_A * REFERENCE_V;
  let sum = 0;
  for (const i of among) {
    const t = hours.cell_degC[i]!;
    const open = t <= node.chargeMax_degC && (t >= node.chargeMin_degC || !node.coldLockout);
    const limit_W = open ? most_W : Math.min(most_W, load_W);
    for (let j = 0; j < hours.nodes; j++) sum += Math.min(hours.available_W[i * hours.nodes + j]!, limit_W);
  }
  return sum / Math.max(1, among.length * hours.nodes);
}

function moreCells(node: NodeSpec, factor: number): Partial<NodeSpec> {
  const { cells } = node;
  return {
    cells:
      cells.kind === 'plain'
        ? { ...cells, capacity_Ah: cells.capacity_Ah * factor }
        : {
            kind: 'bank',
            bank: { ...cells.bank, count: Math.ceil(cells.bank.count * factor - 1e-9) },
          },
  };
}

function withoutShade(perch: Perch): Perch {
  const { shade: _, ...rest } = perch;
  return rest as Perch;
}

import { type CauseSummary, TALLY } from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { autonomy_d } from '../core/energy/probes.ts';
import type { SeasonRun } from '../core/energy/seasons.ts';
import { REFERENCE_V } from '../core/load/index.ts';
import type { Kit, Perch } from '../records/index.ts';
import { darkOfSample, type SeasonSample } from './forecast.ts';
import { nodeOf } from './node-of.ts';
import type { SitePlan, SiteWeather } from './site.ts';
import { makeSupply, type Supply } from './supply.ts';

/** Array-to-load ratio that a sound design has in its worst month: 1.3-1.4 and more for critical loads (IEEE 1562, from memory). */
export const SOUND_ARRAY_RATIO = 1.4;
/** Days of autonomy of a critical load in a place of variable sun: 7-14 (IEEE 1562, from memory). */
export const SOUND_AUTONOMY_d = 10;
/** Average of a frugal repeater at the cells, mA (common practice, no source). */
export const FRUGAL_LOAD_mA = 12;

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

/**
 * What limits the node. Each cause is taken away by itself, the part brought to what sound practice calls for (never made
 * worse), and the sampled dark seasons are run again: the dark hours left, scaled to all years, rank the causes. Ties
 * (within 2 % of all dark hours) go to the cause that lies further from sound practice.
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
  const row = worstMonth * TALLY.size;
  const harvest_Wh = run.month[row + TALLY.harvest_Wh]!;
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

  const panelFactor = Math.max(1, harvest_Wh > 0 ? (SOUND_ARRAY_RATIO * need_Wh) / harvest_Wh : 20);
  add(
    'panel',
    panelFactor > 1
      ? `a panel of ${(supply.power_W * Math.min(panelFactor, 20)).toPrecision(2)} W, for a harvest of ${SOUND_ARRAY_RATIO} x the need in the worst month`
      : `the panel harvests ${SOUND_ARRAY_RATIO} x the need or more in the worst month`,
    again({}, { ...supply.hours, scale: Math.min(panelFactor, 20) }),
    panelFactor,
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

  const meanOf = (s: Supply) => s.hours.available_W.reduce((total, v) => total + v, 0);
  const now_W = meanOf(supply);
  const ratioTo = (s: Supply) => (now_W > 0 ? Math.max(1, meanOf(s) / now_W) : 20);
  const open = makeSupply(
    {
      ...kit,
      panel: (Array.isArray(kit.panel) ? kit.panel : [kit.panel]).map(({ shade: _, ...panel }) => panel),
    } as Kit,
    { ...withoutShade(perch), soiling_pct: 0, snow: 'none', horizon: 'none' } as Perch,
    plan,
    local,
  );
  add('shade', 'no skyline, trees, snow or dirt before the panel', again({}, open.hours), ratioTo(open));

  const mild = { ...supply.hours, cell_degC: new Float32Array(supply.hours.length).fill(MILD_degC) };
  const blocked = run.total[TALLY.blockedLoss_Wh]! / Math.max(1e-9, run.total[TALLY.harvest_Wh]!);
  add('cold', `cells always at ${MILD_degC} °C`, again({}, mild), 1 + blocked);

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
  add(
    'charger',
    'an ideal charger: all of the maximum power, no own use, no current limit',
    again({ ownUse_A: 0, outputLimit_A: Number.POSITIVE_INFINITY, outputShare: () => 1 }, ideal.hours),
    ratioTo(ideal),
  );

  const tie_h = perYear(0.02 * Math.max(base_h, 1e-9));
  const step = (entry: (typeof rows)[number]) => Math.round(entry.summary.darkLeft_h_per_year / tie_h);
  return rows.sort((a, b) => step(a) - step(b) || b.factor - a.factor).map((entry) => entry.summary);
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

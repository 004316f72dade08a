import type { Assumption, Caution } from '../core/energy/index.ts';
import type { Interval } from '../core/math/index.ts';
import type { Kit } from '../records/index.ts';
import { cautionsFor } from './cautions.ts';
import { darkStatistics, forecast } from './forecast.ts';
import { type Inputs, type KitAtPerch, readInputs } from './inputs.ts';
import type { Ports } from './ports.ts';
import { makeWeather } from './site.ts';
import { makeSupply } from './supply.ts';
import {
  type Bench,
  benchOf,
  darkest,
  type Runs,
  rowOf,
  spareRuns,
  wholeRuns,
  withoutCutoff,
} from './threshold-bench.ts';
import {
  type Choice,
  type CornerSpec,
  checkTunable,
  choicesOf,
  nodeWith,
  ownChoice,
  sameChoice,
} from './threshold-choice.ts';
import { type DividerAnswer, type DividerRequest, dividersOf } from './threshold-dividers.ts';
import { type Alternative, rankRows, type ThresholdRow, type WithoutCutoff } from './threshold-row.ts';
import { darkSeasons, trialSeasons } from './threshold-trial.ts';
import { costText, reasonsFor, verdictFor, voltsText } from './threshold-words.ts';
import { DEFAULT_SEED } from './year.ts';

export const DEFAULT_THRESHOLD_YEARS = 100;

export interface ThresholdsOutcome extends DividerAnswer {
  readonly command: 'thresholds';
  readonly kit: string;
  readonly perch: string;
  readonly verdict: string;
  readonly years: number;
  readonly seed: number;
  readonly weather: string;
  readonly recommended: ThresholdRow;
  readonly dark_h_per_year: Interval;
  readonly reasons: readonly string[];
  readonly alternatives: readonly Alternative[];
  /** `null` for a kit that has a cut-off. */
  readonly without: WithoutCutoff | null;
  readonly corner: CornerSpec & { readonly capacityShare: number; readonly resistanceFactor: number };
  /** The whole grid, ascending by ceiling, cut-off and reconnect. */
  readonly choices: readonly ThresholdRow[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

export interface ThresholdsRequest extends KitAtPerch, DividerRequest {
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
}

/** `sunperch thresholds`: which ceiling, cut-off and reconnect, why, what others cost, and the resistors that set them. */
export async function thresholds(ports: Ports, request: ThresholdsRequest): Promise<ThresholdsOutcome> {
  return thresholdsOf(await readInputs(ports, request), request, ports.progress);
}

/** The same from inputs that are read already. */
export function thresholdsOf(
  inputs: Inputs,
  request: Omit<ThresholdsRequest, keyof KitAtPerch> = {},
  progress: Ports['progress'] = () => undefined,
): ThresholdsOutcome {
  const { kit, perch, plan } = inputs;
  checkTunable(kit);
  const years = request.years ?? DEFAULT_THRESHOLD_YEARS;
  const seed = request.seed ?? DEFAULT_SEED;
  progress(0, 100, 'weather');
  const site = makeWeather(plan, perch, seed, years + 1);
  progress(15, 100, 'light and panel');
  const supply = makeSupply(kit, perch, plan, site);
  progress(30, 100, 'ageing');
  const bench = benchOf(kit, site, supply, years);
  const choices = choicesOf(kit);
  const worst = darkest(bench, choices);
  const trial = trialSeasons(worst, GRID_WORST);
  const onGrid = spareRuns(bench, choices, trial);
  const rows = choices.map((choice, i) => {
    if (i % 20 === 0) progress(35 + (35 * i) / choices.length, 100, `${choices.length} choices of thresholds`);
    return rowOf(bench, choice, onGrid, false);
  });
  progress(70, 100, 'the best of them');
  const own = ownChoice(kit);
  const best = settle(rows, own, trying(bench, spareRuns(bench, choices, trialSeasons(worst, SETTLE_WORST))));
  progress(80, 100, 'proof on all years');
  const recommended = rowOf(bench, best, wholeRuns(bench), true);
  const onAll = spareRuns(bench, choices, darkSeasons(worst));
  const alternatives = alternativesOf(recommended, rows, own).map(({ change, row }) => {
    const proved = rowOf(bench, row, onAll, true);
    return { change, cost: costText(recommended, proved), ...proved };
  });
  const run = forecast(nodeWith(kit, recommended, bench.asPutUp), supply.hours, site.startMonth, years).run;
  const { dark_h_per_year } = darkStatistics(run, seed);
  const without = kit.cutoff.none ? withoutCutoff(bench) : null;
  const aged = bench.aged(recommended.ceiling_V);
  const corner = bench.corner(recommended.ceiling_V);
  progress(100, 100, 'done');
  return {
    command: 'thresholds',
    kit: kit.name,
    perch: plan.name,
    verdict: verdictFor(kit.name, plan.name, recommended, without, years),
    years,
    seed,
    weather: plan.weather,
    recommended,
    dark_h_per_year,
    reasons: reasonsFor(recommended, corner, without, rows),
    alternatives,
    without,
    corner: { ...corner, ...aged },
    ...dividersOf(recommended, corner, supply, request),
    choices: rows,
    assumptions: [
      {
        field: 'years',
        value: String(years),
        why: `simulated seasons, each from the sunniest month to the next; seed ${seed}; the grid on ${trial.only.length} of them, the recommended choice and its alternatives on all`,
      },
      ...toleranceAssumptions(kit),
      ...inputs.assumptions,
    ],
    cautions: cautionsFor(kit, plan, site, run),
  };
}

/** Seasons for the whole grid, and for the choices near the best: that many from the worst and as many others. */
const GRID_WORST = 6;
const SETTLE_WORST = 12;
/** Rounds of trying the neighbours of the best choice so far. */
const ROUNDS = 4;

/** Tries a choice, once. */
function trying(bench: Bench, runs: Runs): (choice: Choice) => ThresholdRow {
  const known = new Map<string, ThresholdRow>();
  return (choice) => {
    const key = `${choice.ceiling_V} ${choice.cutoff_V} ${choice.reconnect_V}`;
    const row = known.get(key) ?? rowOf(bench, choice, runs, false);
    known.set(key, row);
    return row;
  };
}

/**
 * The best choice on more seasons: begins with the best of the grid, tries all that differ from it in one voltage, moves to
 * the best of these, and so on until none is better.
 */
function settle(rows: readonly ThresholdRow[], own: Choice | null, attempt: (choice: Choice) => ThresholdRow): Choice {
  let best = attempt(rankRows(rows)[0]!);
  const tried = new Set([best]);
  for (let round = 0; round < ROUNDS; round++) {
    for (const { row } of alternativesOf(best, rows, own)) tried.add(attempt(row));
    const next = rankRows([...tried])[0]!;
    if (next === best) break;
    best = next;
  }
  return best;
}

/** The kit's own choice, and every choice that differs from the recommended one in a single voltage. */
function alternativesOf(best: ThresholdRow, rows: readonly ThresholdRow[], own: Choice | null) {
  const gap = (c: Choice) => c.reconnect_V - c.cutoff_V;
  const near = (a: number, b: number) => Math.abs(a - b) < 5e-4;
  const list: { change: string; row: ThresholdRow }[] = [];
  for (const row of rows) {
    if (sameChoice(row, best)) continue;
    const sameTop = near(row.ceiling_V, best.ceiling_V);
    const sameOff = near(row.cutoff_V, best.cutoff_V);
    const sameGap = near(gap(row), gap(best));
    if (own && sameChoice(row, own)) list.unshift({ change: "the kit's own", row });
    else if (!sameTop && sameOff && sameGap)
      list.push({ change: `ceiling ${voltsText(row.ceiling_V)} (${Math.round(100 * row.ceiling_soc)} %)`, row });
    else if (sameTop && !sameOff && sameGap) list.push({ change: `cut-off ${voltsText(row.cutoff_V)}`, row });
    else if (sameTop && sameOff) list.push({ change: `reconnect ${voltsText(row.reconnect_V)}`, row });
  }
  return list;
}

/** Tolerance and drift of a cut-off that the kit does not have yet. */
function toleranceAssumptions(kit: Kit): Assumption[] {
  if (!kit.cutoff.none) return [];
  const { tolerance_mV, drift_uV_K } = kit.cutoff;
  const list: Assumption[] = [];
  const add = (field: string, value: string, why: string) => list.push({ field: `kit.cutoff.${field}`, value, why });
  if (tolerance_mV === undefined) add('tolerance_mV', '40', 'of the cut-off to be added: about 1 % of the threshold');
  if (drift_uV_K === undefined) add('drift_uV_K', '200', 'of the cut-off to be added, from memory');
  return list;
}

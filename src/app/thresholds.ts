import type { Assumption, Caution } from '../core/energy/index.ts';
import type { Interval } from '../core/math/index.ts';
import type { Kit } from '../records/index.ts';
import { cautionsFor } from './cautions.ts';
import { darkStatistics, forecast } from './forecast.ts';
import { type Inputs, type KitAtPerch, readInputs } from './inputs.ts';
import type { Ports } from './ports.ts';
import { makeWeather } from './site.ts';
import { makeSupply } from './supply.ts';
import { type Bench, benchOf, darkest, rowOf, withoutCutoff } from './threshold-bench.ts';
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
import { trialSeasons } from './threshold-trial.ts';
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
  const trial = trialSeasons(darkest(bench, choices));
  const rows = choices.map((choice, i) => {
    if (i % 20 === 0) progress(35 + (50 * i) / choices.length, 100, `${choices.length} choices of thresholds`);
    return rowOf(bench, choice, trial, false);
  });
  progress(85, 100, 'proof on all years');
  const recommended = provenBest(bench, rows);
  const own = ownChoice(kit);
  const alternatives = alternativesOf(recommended, rows, own).map(({ change, row }) => {
    const proved = rowOf(bench, row, bench.all, true);
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

/** The first of the ranking that holds on all years too; else the first. */
function provenBest(bench: Bench, rows: readonly ThresholdRow[]): ThresholdRow {
  const ranked = rankRows(rows);
  let first: ThresholdRow | null = null;
  for (const row of ranked.slice(0, 5)) {
    const proved = rowOf(bench, row, bench.all, true);
    if (proved.wanting.length <= row.wanting.length) return proved;
    first ??= proved;
  }
  return first!;
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

function toleranceAssumptions(kit: Kit): Assumption[] {
  const { tolerance_mV, drift_uV_K } = kit.cutoff;
  return [
    ...(tolerance_mV === undefined
      ? [{ field: 'kit.cutoff.tolerance_mV', value: '40', why: 'a plain comparator with 1 % parts, from memory' }]
      : []),
    ...(drift_uV_K === undefined
      ? [{ field: 'kit.cutoff.drift_uV_K', value: '200', why: 'order of a comparator with its reference, from memory' }]
      : []),
  ];
}

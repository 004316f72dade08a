import { TALLY } from '../core/energy/index.ts';
import { buildNode } from '../core/energy/node.ts';
import { autonomy_d } from '../core/energy/probes.ts';
import { runSeasons, type SeasonRun } from '../core/energy/seasons.ts';
import type { Kit } from '../records/index.ts';
import { cellsAfter, lifeOf } from './ageing.ts';
import { type CellAge, NEW_CELLS, nodeOf } from './node-of.ts';
import type { SiteWeather } from './site.ts';
import type { Supply } from './supply.ts';
import {
  type Choice,
  CORNER_AGE_years,
  type CornerSpec,
  choicesOf,
  cornerOf,
  extremes,
  margin_mV,
  nodeWith,
  ownChoice,
  restedOf,
  socOf,
} from './threshold-choice.ts';
import type { ThresholdRow, Want, WithoutCutoff } from './threshold-row.ts';
import {
  allSeasons,
  countsOf,
  type Reference,
  referenceRun,
  type TrialCounts,
  type TrialSeasons,
  tryNode,
} from './threshold-trial.ts';
import { probeYear } from './year.ts';

/** What all trials share. */
export interface Bench {
  readonly kit: Kit;
  readonly site: SiteWeather;
  readonly supply: Supply;
  readonly years: number;
  readonly asPutUp: CellAge;
  /** Cells and corner after years at a ceiling. */
  readonly aged: (ceiling_V: number) => CellAge;
  readonly corner: (ceiling_V: number) => CornerSpec;
  readonly life: (ceiling_V: number) => ThresholdRow['yearsTo80'];
  readonly autonomy: (choice: Choice) => number;
}

/** Prepares the trials of a kit at a site. */
export function benchOf(kit: Kit, site: SiteWeather, supply: Supply, years: number): Bench {
  const coldMonth_degC = Math.min(...site.monthlyTemperature_degC);
  const coldest_degC = supply.hours.cell_degC.reduce((least, t) => Math.min(least, t), 100);
  const begun = kit.cells.age_years ?? 0;
  // Cells stand near their ceiling nearly all of the time: any working thresholds give the same ageing.
  const yearAt = once((ceiling_V: number) => {
    const own = ownChoice(kit);
    const low = choicesOf(kit).find((c) => c.ceiling_V === ceiling_V)!;
    const fits = own !== null && own.reconnect_V < ceiling_V;
    const node = nodeWith(kit, { ...(fits ? own : low), ceiling_V }, NEW_CELLS);
    return probeYear(kit, supply, site.startMonth, node);
  });
  const aged = once((ceiling_V: number) => cellsAfter(kit, yearAt(ceiling_V), begun + CORNER_AGE_years));
  const ownTop_V = ownChoice(kit)?.ceiling_V ?? kit.charger.ceiling_V ?? choicesOf(kit)[0]!.ceiling_V;
  const asPutUp = begun > 0 ? cellsAfter(kit, yearAt(ownTop_V), begun) : NEW_CELLS;
  const autonomies = new Map<string, number>();
  return {
    kit,
    site,
    supply,
    years,
    asPutUp,
    aged,
    corner: once((ceiling_V: number) => cornerOf(kit, aged(ceiling_V), coldMonth_degC, coldest_degC)),
    life: once((ceiling_V: number) => lifeOf(kit, yearAt(ceiling_V))),
    // Without sun the reconnect plays no part.
    autonomy: (choice) => {
      const key = `${choice.ceiling_V} ${choice.cutoff_V}`;
      const known = autonomies.get(key) ?? autonomy_d(buildNode(nodeWith(kit, choice, asPutUp)), coldMonth_degC);
      autonomies.set(key, known);
      return known;
    },
  };
}

/** Remembers the answers of a function of one number. */
function once<T>(work: (key: number) => T): (key: number) => T {
  const known = new Map<number, T>();
  return (key) => {
    if (!known.has(key)) known.set(key, work(key));
    return known.get(key)!;
  };
}

/** The run of the thresholds that go dark most: lowest ceiling, highest cut-off and reconnect, all of them off upwards, old cells. */
export function darkest({ kit, supply, site, years, aged, corner }: Bench, choices: readonly Choice[]): SeasonRun {
  const ceiling_V = choices[0]!.ceiling_V;
  const highest = choices.at(-1)!.ceiling_V;
  const { lowCutoff_V } = extremes(choices[0]!, corner(highest));
  const off_V = choices[0]!.cutoff_V - lowCutoff_V;
  const worst: Choice = {
    ceiling_V,
    cutoff_V: Math.max(...choices.map((c) => c.cutoff_V)) + off_V,
    reconnect_V: Math.max(...choices.filter((c) => c.ceiling_V === ceiling_V).map((c) => c.reconnect_V)),
  };
  return runSeasons(buildNode(nodeWith(kit, worst, aged(highest))), supply.hours, site.startMonth, years);
}

/** Ways to run a choice: as a nominal unit as put up, and as the worst unit with old cells. */
export type Runs = (choice: Choice) => { readonly nominal: TrialCounts; readonly worst: TrialCounts };

/** Runs over picked seasons, each begun full, sparing what choices of one ceiling have in common. */
export function spareRuns(bench: Bench, choices: readonly Choice[], trial: TrialSeasons): Runs {
  const { kit, supply, site, asPutUp, aged, corner } = bench;
  const cutoff_V = Math.max(...choices.map((c) => c.cutoff_V));
  const reference = (age: (ceiling_V: number) => CellAge, off: (ceiling_V: number) => CornerSpec | undefined) =>
    once((ceiling_V: number) => {
      const reconnect_V = Math.max(...choices.filter((c) => c.ceiling_V === ceiling_V).map((c) => c.reconnect_V));
      const node = nodeWith(kit, { ceiling_V, cutoff_V, reconnect_V }, age(ceiling_V), off(ceiling_V));
      return referenceRun(node, supply.hours, site.startMonth, trial);
    });
  const nominal = reference(
    () => asPutUp,
    () => undefined,
  );
  const worst = reference(aged, corner);
  const run = (choice: Choice, age: CellAge, off: CornerSpec | undefined, from: Reference) =>
    tryNode(nodeWith(kit, choice, age, off), supply.hours, site.startMonth, trial, from);
  return (choice) => ({
    nominal: run(choice, asPutUp, undefined, nominal(choice.ceiling_V)),
    worst: run(choice, aged(choice.ceiling_V), corner(choice.ceiling_V), worst(choice.ceiling_V)),
  });
}

/** Runs over all years in order, the state carried from season to season. */
export function wholeRuns({ kit, supply, site, years, asPutUp, aged, corner }: Bench): Runs {
  const run = (choice: Choice, age: CellAge, off?: CornerSpec) => {
    const all = runSeasons(buildNode(nodeWith(kit, choice, age, off)), supply.hours, site.startMonth, years);
    return countsOf(all.season, all.total[TALLY.minStateOfCharge]!, allSeasons(years));
  };
  return (choice) => ({
    nominal: run(choice, asPutUp),
    worst: run(choice, aged(choice.ceiling_V), corner(choice.ceiling_V)),
  });
}

/** Judges one choice, nominal as put up and in the corner with old cells (new ones have less resistance, hence more margin). */
export function rowOf(bench: Bench, choice: Choice, runs: Runs, proven: boolean): ThresholdRow {
  const { kit } = bench;
  const { ceiling_V, cutoff_V, reconnect_V } = choice;
  const corner = bench.corner(ceiling_V);
  const { nominal, worst } = runs(choice);
  const { lowCutoff_V, highReconnect_V } = extremes(choice, corner);
  const returns = highReconnect_V <= ceiling_V - corner.tolerance_mV / 1000;
  const browns = kit.cutoff.brownout_V !== undefined && lowCutoff_V < kit.cutoff.brownout_V;
  const lowest_V = restedOf(kit, nominal.minStateOfCharge);
  const lowestCorner_V = restedOf(kit, worst.minStateOfCharge);
  const margin = margin_mV(choice, corner);
  const wanting: Want[] = [];
  if (lowCutoff_V < corner.floor_V - 1e-9) wanting.push('cut-off below the safe voltage');
  if (margin < corner.reserve_mV) wanting.push('gap too small');
  if (nominal.falseRestarts_per_year > 0 || worst.falseRestarts_per_year > 0) wanting.push('false restarts');
  if (!returns || browns) wanting.push('may never come back');
  if (Math.min(lowest_V, lowestCorner_V) < corner.floor_V - DRAINED_V) wanting.push('cells drained too far');
  return {
    ceiling_V,
    cutoff_V,
    reconnect_V,
    ceiling_soc: socOf(kit, ceiling_V),
    ...figures(nominal),
    lowest_V,
    autonomy_d: bench.autonomy(choice),
    yearsTo80: bench.life(ceiling_V),
    corner: {
      ...figures(worst),
      // A unit whose reconnect the cells never reach, or that browns out before its cut-off, needs hands each time.
      lockUps_per_year: worst.lockUps_per_year + (returns && !browns ? 0 : worst.spells_per_year),
      lowest_V: lowestCorner_V,
      margin_mV: margin,
    },
    proven,
    wanting,
  };
}

/** How far below the safe cut-off dark cells may sink by the charger's own use and self-discharge, V: 2.8 V for NMC cells (from memory). */
const DRAINED_V = 0.2;

const figures = ({ minStateOfCharge: _, ...rest }: TrialCounts) => rest;

/** What the kit does as it stands, on all years. */
export function withoutCutoff({ kit, supply, site, years, asPutUp }: Bench): WithoutCutoff {
  const run = runSeasons(buildNode(nodeOf(kit, asPutUp)), supply.hours, site.startMonth, years);
  const counts = countsOf(run.season, run.total[TALLY.minStateOfCharge]!, allSeasons(years));
  return {
    dark_h_per_year: counts.dark_h_per_year,
    darkYearShare: counts.darkYearShare,
    lockUps_per_year: counts.lockUps_per_year,
    spells_per_year: counts.spells_per_year,
    lowest_V: restedOf(kit, counts.minStateOfCharge),
  };
}

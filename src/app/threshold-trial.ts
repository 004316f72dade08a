import { type BalanceHours, freshState, newTally, runBalance, TALLY } from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { darkHoursBySeason, type SeasonRun, seasonHour, tallyAt } from '../core/energy/seasons.ts';
import { clopperPearson, type Interval } from '../core/math/index.ts';

/** What a node with some thresholds does in a year, on average. */
export interface TrialCounts {
  readonly dark_h_per_year: number;
  readonly darkYearShare: Interval;
  /** Times the load goes off; each is followed by a restart. */
  readonly spells_per_year: number;
  /** Restarts that their own inrush throws back. */
  readonly falseRestarts_per_year: number;
  readonly lockUps_per_year: number;
  readonly minStateOfCharge: number;
}

/** Seasons on which choices are tried, each with the number of seasons that it stands for. */
export interface TrialSeasons {
  readonly only: readonly number[];
  readonly weight: readonly number[];
  readonly years: number;
}

/** Of every choice the lowest seasons are run, dark or not, so that the lowest voltage is found. */
const LOWEST = 4;

/**
 * Picks the seasons for the grid from a run of the choice that goes dark most: what is bright there is bright for every
 * other choice. The `worst` worst stand for themselves; of the other dark ones as many again, evenly by rank, stand for all.
 */
export function trialSeasons(run: SeasonRun, worst: number): TrialSeasons {
  const dark_h = darkHoursBySeason(run);
  const ranked = ranking(run);
  const rest = ranked.slice(worst).filter((s) => dark_h[s]! > 0);
  const count = Math.min(worst, rest.length);
  const picked = [
    ...ranked.slice(0, worst).map((season) => ({ season, weight: 1 })),
    ...Array.from({ length: count }, (_, i) => ({
      season: rest[Math.floor(((i + 0.5) * rest.length) / count)]!,
      weight: rest.length / count,
    })),
  ].sort((a, b) => a.season - b.season);
  return { only: picked.map((p) => p.season), weight: picked.map((p) => p.weight), years: run.seasons };
}

/** Every season that any choice darkens, each for itself; and the lowest, so that the lowest voltage is found too. */
export function darkSeasons(run: SeasonRun): TrialSeasons {
  const ranked = ranking(run);
  const dark_h = darkHoursBySeason(run);
  const only = ranked.filter((s, rank) => rank < LOWEST || dark_h[s]! > 0).sort((a, b) => a - b);
  return { only, weight: only.map(() => 1), years: run.seasons };
}

/** Every season, each for itself. */
export function allSeasons(years: number): TrialSeasons {
  return { only: Array.from({ length: years }, (_, s) => s), weight: new Array<number>(years).fill(1), years };
}

/** Seasons from the worst to the best: by dark hours, then by the lowest charge. */
function ranking(run: SeasonRun): number[] {
  const dark_h = darkHoursBySeason(run);
  const low = (s: number) => tallyAt(run.season, s, TALLY.minStateOfCharge);
  return Array.from(dark_h.keys()).sort((a, b) => dark_h[b]! - dark_h[a]! || low(a) - low(b) || a - b);
}

/**
 * The run with which others of the same ceiling, cells and weather begin: that of the highest cut-off, month by month. Until
 * it first goes dark no other can have; once it stays bright to the season's end, so does every node that is on and holds
 * as much energy. Only the months between need to be run again.
 */
export interface Reference {
  /** First and last month step (0..11) with a dark hour; −1 where there is none. */
  readonly first: Int8Array;
  readonly last: Int8Array;
  /** Stored energy at the begin of each month step, Wh: row · 12 + step. */
  readonly energy_Wh: Float64Array;
  /** Lowest state of charge before the first dark month, or of the whole season. */
  readonly lowest: Float64Array;
}

/** Runs the node of highest cut-off over the picked seasons, each begun full. */
export function referenceRun(node: NodeSpec, hours: BalanceHours, startMonth: number, trial: TrialSeasons): Reference {
  const model = buildNode(node);
  const count = trial.only.length;
  const first = new Int8Array(count).fill(-1);
  const last = new Int8Array(count).fill(-1);
  const energy_Wh = new Float64Array(count * 12);
  const lowest = new Float64Array(count).fill(1);
  trial.only.forEach((season, row) => {
    const state = freshState(model);
    for (let step = 0; step < 12; step++) {
      energy_Wh[row * 12 + step] = state.energy_Wh;
      const tally = newTally();
      const [from, to] = [seasonHour(startMonth, season, step), seasonHour(startMonth, season, step + 1)];
      runBalance(model, hours, from, to, state, tally);
      if (tally[TALLY.dark_h]! > 0 || tally[TALLY.darkSpells]! > 0) {
        if (first[row]! < 0) first[row] = step;
        last[row] = step;
      } else if (first[row]! < 0) lowest[row] = Math.min(lowest[row]!, tally[TALLY.minStateOfCharge]!);
    }
  });
  return { first, last, energy_Wh, lowest };
}

/** Runs a node over the picked seasons, each begun full, sparing the months that the reference tells. */
export function tryNode(
  node: NodeSpec,
  hours: BalanceHours,
  startMonth: number,
  trial: TrialSeasons,
  reference: Reference,
): TrialCounts {
  const model = buildNode(node);
  const table = new Float64Array(trial.only.length * TALLY.size);
  let lowest = 1;
  trial.only.forEach((season, row) => {
    const first = reference.first[row]!;
    lowest = Math.min(lowest, reference.lowest[row]!);
    if (first < 0) return;
    const state = freshState(model);
    state.energy_Wh = reference.energy_Wh[row * 12 + first]!;
    const tally = newTally();
    for (let step = first; step < 12; step++) {
      const safe = step > reference.last[row]! && state.on && state.energy_Wh >= reference.energy_Wh[row * 12 + step]!;
      if (safe) break;
      const [from, to] = [seasonHour(startMonth, season, step), seasonHour(startMonth, season, step + 1)];
      runBalance(model, hours, from, to, state, tally);
    }
    table.set(tally, row * TALLY.size);
    lowest = Math.min(lowest, tally[TALLY.minStateOfCharge]!);
  });
  return countsOf(table, lowest, trial);
}

/**
 * Sums up a table of tallies, one row a picked season. Where a dark season stands for several, the interval on the share is
 * that of as many fewer years (design effect of unequal weights, Kish 1965).
 */
export function countsOf(table: Float64Array, minStateOfCharge: number, { weight, years }: TrialSeasons): TrialCounts {
  const sum = (field: number) => weight.reduce((total, w, row) => total + w * tallyAt(table, row, field), 0);
  let dark = 0;
  let squares = 0;
  weight.forEach((w, row) => {
    if (tallyAt(table, row, TALLY.dark_h) <= 0) return;
    dark += w;
    squares += w ** 2;
  });
  const effect = dark > 0 ? squares / dark : 1;
  const trials = Math.max(1, Math.round(years / effect));
  const share = clopperPearson(Math.min(trials, Math.round(dark / effect)), trials);
  return {
    dark_h_per_year: sum(TALLY.dark_h) / years,
    darkYearShare: { ...share, mean: Math.min(1, dark / years) },
    spells_per_year: sum(TALLY.darkSpells) / years,
    falseRestarts_per_year: sum(TALLY.falseRestarts) / years,
    lockUps_per_year: sum(TALLY.lockUps) / years,
    minStateOfCharge,
  };
}

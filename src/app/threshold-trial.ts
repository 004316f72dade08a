import { type BalanceHours, TALLY } from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { darkHoursBySeason, runSeasons, type SeasonRun, tallyAt } from '../core/energy/seasons.ts';
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

/** Seasons taken one by one from the worst, and as many again spread over the other dark ones. */
const WORST = 8;

/**
 * Picks the seasons for the grid from a run of the choice that goes dark most: what is bright there is bright for every
 * other choice. The worst stand for themselves; of the other dark ones every n-th by rank stands for n.
 */
export function trialSeasons(run: SeasonRun): TrialSeasons {
  const dark_h = darkHoursBySeason(run);
  const low = (s: number) => tallyAt(run.season, s, TALLY.minStateOfCharge);
  const ranked = Array.from(dark_h.keys()).sort((a, b) => dark_h[b]! - dark_h[a]! || low(a) - low(b) || a - b);
  const rest = ranked.slice(WORST).filter((s) => dark_h[s]! > 0);
  const count = Math.min(WORST, rest.length);
  const picked = [
    ...ranked.slice(0, WORST).map((season) => ({ season, weight: 1 })),
    ...Array.from({ length: count }, (_, i) => ({
      season: rest[Math.floor(((i + 0.5) * rest.length) / count)]!,
      weight: rest.length / count,
    })),
  ].sort((a, b) => a.season - b.season);
  return { only: picked.map((p) => p.season), weight: picked.map((p) => p.weight), years: run.seasons };
}

/** Every season, each for itself. */
export function allSeasons(years: number): TrialSeasons {
  return { only: Array.from({ length: years }, (_, s) => s), weight: new Array<number>(years).fill(1), years };
}

/** Runs a node over the picked seasons. */
export function tryNode(node: NodeSpec, hours: BalanceHours, startMonth: number, trial: TrialSeasons): TrialCounts {
  return countsOf(runSeasons(buildNode(node), hours, startMonth, trial.years, { only: trial.only }), trial);
}

/**
 * Sums up a run of picked seasons. Where a dark season stands for several, the interval on the share is that of as many
 * fewer years (design effect of unequal weights, Kish 1965).
 */
export function countsOf(run: SeasonRun, { weight, years }: TrialSeasons): TrialCounts {
  const sum = (field: number) => weight.reduce((total, w, row) => total + w * tallyAt(run.season, row, field), 0);
  let dark = 0;
  let squares = 0;
  darkHoursBySeason(run).forEach((h, row) => {
    if (h <= 0) return;
    dark += weight[row]!;
    squares += weight[row]! ** 2;
  });
  const effect = dark > 0 ? squares / dark : 1;
  const trials = Math.max(1, Math.round(years / effect));
  const share = clopperPearson(Math.min(trials, Math.round(dark / effect)), trials);
  return {
    dark_h_per_year: sum(TALLY.dark_h) / years,
    darkYearShare: { ...share, mean: dark / years },
    spells_per_year: sum(TALLY.darkSpells) / years,
    falseRestarts_per_year: sum(TALLY.falseRestarts) / years,
    lockUps_per_year: sum(TALLY.lockUps) / years,
    minStateOfCharge: run.total[TALLY.minStateOfCharge]!,
  };
}

import {
  type BalanceHours,
  type BalanceModel,
  type BalanceTrace,
  type EnergyBudget,
  freshState,
  newTally,
  runBalance,
  TALLY,
} from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import { darkHoursBySeason, runSeasons, type SeasonRun, seasonHour } from '../core/energy/seasons.ts';
import { bootstrapMean, clopperPearson, createRandom, type Interval } from '../core/math/index.ts';
import { HOURS_PER_YEAR } from '../core/units/index.ts';
import type { WeatherHours } from '../core/weather/index.ts';

/** Dark hours and dark years of a run with their intervals. */
export interface DarkStatistics {
  readonly years: number;
  readonly darkYears: number;
  readonly dark_h_per_year: Interval;
  readonly darkYearShare: Interval;
}

/** Dark statistics of a run of seasons: whole-year bootstrap for hours, Clopper-Pearson for years. */
export function darkStatistics(run: SeasonRun, seed: number): DarkStatistics {
  const hours = darkHoursBySeason(run);
  const darkYears = hours.reduce((count, h) => count + (h > 0 ? 1 : 0), 0);
  return {
    years: run.seasons,
    darkYears,
    dark_h_per_year: bootstrapMean(hours, createRandom(seed).fork(991)),
    darkYearShare: clopperPearson(darkYears, run.seasons),
  };
}

/** A tally as an energy budget, per year or other unit by `per`. */
export function budgetOf(tally: ArrayLike<number>, per = 1): EnergyBudget {
  const at = (field: number) => tally[field]! / per;
  const error_Wh =
    at(TALLY.harvest_Wh) - at(TALLY.load_Wh) - at(TALLY.curtailed_Wh) - at(TALLY.losses_Wh) - at(TALLY.stored_Wh);
  return {
    harvest_Wh: at(TALLY.harvest_Wh),
    load_Wh: at(TALLY.load_Wh),
    curtailed_Wh: at(TALLY.curtailed_Wh),
    losses_Wh: at(TALLY.losses_Wh),
    stored_Wh: at(TALLY.stored_Wh),
    error_Wh,
  };
}

/** Runs all seasons of a node. */
export function forecast(
  node: NodeSpec,
  hours: BalanceHours,
  startMonth: number,
  seasons: number,
  trace?: BalanceTrace,
): { readonly model: BalanceModel; readonly run: SeasonRun } {
  const model = buildNode(node);
  return { model, run: runSeasons(model, hours, startMonth, seasons, trace ? { trace } : {}) };
}

/**
 * A few whole seasons cut out of the weather and laid end to end, each 8,760 hours from the sunniest month. Variants of
 * a design are tried on these alone: those that were dark in the base run, since a change for the better does not darken
 * a season that had been bright.
 */
export interface SeasonSample {
  readonly weather: WeatherHours;
  readonly seasons: readonly number[];
  /** How many dark seasons of the base run each sampled one stands for. */
  readonly weight: number;
}

/** Cuts at most `most` of the dark seasons of a run, evenly spaced among them. */
export function sampleDarkSeasons(weather: WeatherHours, run: SeasonRun, most: number): SeasonSample {
  const dark = Array.from(darkHoursBySeason(run)).flatMap((h, s) => (h > 0 ? [s] : []));
  const count = Math.min(most, dark.length);
  const seasons = Array.from({ length: count }, (_, i) => dark[Math.floor(((i + 0.5) * dark.length) / count)]!);
  return {
    weather: cutSeasons(weather, run.startMonth, seasons),
    seasons,
    weight: count === 0 ? 0 : dark.length / count,
  };
}

/** Copies the listed seasons out of the weather. */
export function cutSeasons(weather: WeatherHours, startMonth: number, seasons: readonly number[]): WeatherHours {
  const length = seasons.length * HOURS_PER_YEAR;
  const copy = <T extends Float32Array | Uint16Array>(from: T, into: T): T => {
    seasons.forEach((season, i) => {
      const begin = seasonHour(startMonth, season, 0);
      into.set(from.subarray(begin, begin + HOURS_PER_YEAR), i * HOURS_PER_YEAR);
    });
    return into;
  };
  return {
    length,
    hourOfYear: copy(weather.hourOfYear, new Uint16Array(length)),
    ghi_W_m2: copy(weather.ghi_W_m2, new Float32Array(length)),
    dni_W_m2: copy(weather.dni_W_m2, new Float32Array(length)),
    dhi_W_m2: copy(weather.dhi_W_m2, new Float32Array(length)),
    temperature_degC: copy(weather.temperature_degC, new Float32Array(length)),
    wind_m_s: copy(weather.wind_m_s, new Float32Array(length)),
    ...(weather.snowfall_cm ? { snowfall_cm: copy(weather.snowfall_cm, new Float32Array(length)) } : {}),
  };
}

/** Dark hours of each sampled season, each begun full. */
export function darkOfSample(model: BalanceModel, hours: BalanceHours, seasons: number): Float64Array {
  return Float64Array.from({ length: seasons }, (_, s) => {
    const tally = newTally();
    runBalance(model, hours, s * HOURS_PER_YEAR, (s + 1) * HOURS_PER_YEAR, freshState(model), tally);
    return tally[TALLY.dark_h]!;
  });
}

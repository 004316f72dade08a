/** Control chart and capability of a gate, from the first value of each unit. */
import {
  type Chart,
  capability,
  cpkInterval,
  describe,
  individualsChart,
  type RunRule,
  runSignals,
} from '../../core/quality/index.ts';
import { type Gate, MEASURES } from '../../records/bench/index.ts';
import { gateLimits, gateUnit } from './gates.ts';

export interface GateChart {
  readonly gate: string;
  readonly name: string;
  readonly unit: string;
  /** First value of each unit, in the order in which they were measured. */
  readonly serials: readonly string[];
  readonly values: readonly number[];
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  /** Short-term standard deviation, from the moving range. */
  readonly sigma: number;
  readonly movingRange: { readonly values: readonly number[]; readonly centre: number; readonly upper: number };
  /** Limits of the gate. */
  readonly low: number | null;
  readonly high: number | null;
  /** Units at which a run rule was met. */
  readonly signals: readonly { readonly serial: string; readonly index: number; readonly rules: readonly RunRule[] }[];
  /** More values outside the limits than a steady process has by chance, or one far outside. */
  readonly beyondChance: boolean;
  /** Null where all values are alike. */
  readonly capability: {
    readonly cp: number | null;
    readonly cpk: number;
    readonly cpkLow: number;
    readonly cpkHigh: number;
    /** From the standard deviation of all values: what was in fact delivered. */
    readonly ppk: number;
    readonly shareOutside: number;
  } | null;
  /** Correlation of each value with the next; null where all values are alike. */
  readonly lagOne: number | null;
}
export interface FirstValue {
  readonly serial: string;
  readonly at: string;
  readonly value: number;
}

/** Fewer values make no chart. */
const LEAST_VALUES = 8;

/** Share of a steady process outside three standard deviations of the normal law, and share at which the eight rules signal (simulated). */
const OUTSIDE_SHARE = 0.0027;
const RULE_SHARE = 0.022;
/** So far out that chance is no reason: once in 150,000 values of the normal law. */
const FAR_sigma = 4.5;
/**
 * What chance alone gives among so many values: the mean of a rare event and some of its standard deviations. Signals of the run
 * rules come in clusters, which takes three of them for one steady chart in twenty to go beyond (simulated, 20 to 2,000 values).
 */
const chanceOf = (count: number, share: number, deviations: number) =>
  Math.floor(count * share + deviations * Math.sqrt(count * share));

/** Whether the eight rules signal oftener than they do by chance alone. */
export const moreRunsThanChance = ({ values, signals }: GateChart): boolean =>
  signals.length > chanceOf(values.length, RULE_SHARE, 3);

function isBeyond({ values, centre, lower, upper, sigma }: Chart): boolean {
  const out = values.filter((v) => v < lower || v > upper);
  return (
    out.length > chanceOf(values.length, OUTSIDE_SHARE, 2) || out.some((v) => Math.abs(v - centre) > FAR_sigma * sigma)
  );
}

/** The chart of a gate that measures a number; `firstValues` are asked for when there can be one. */
export function chartOf(gate: Gate, firstValues: () => readonly FirstValue[]): GateChart | undefined {
  if (MEASURES[gate.measures].value !== 'number') return undefined;
  const firsts = firstValues();
  if (firsts.length < LEAST_VALUES) return undefined;
  const values = firsts.map((first) => first.value);
  const { individuals, movingRange } = individualsChart(Float64Array.from(values));
  const { low, high } = gateLimits(gate);
  const rulesAt = new Map<number, RunRule[]>();
  for (const { rule, to } of runSignals(individuals)) rulesAt.set(to, [...(rulesAt.get(to) ?? []), rule]);
  const { mean, sd, lagOne } = describe(values);
  const limits = { lower: low, upper: high };
  // A gate that passes one value alone has no width to compare a spread with.
  const wide = low === undefined || high === undefined || high > low;
  const steady = individuals.sigma > 0 && sd > 0 && wide;
  const { cp, cpk, shareOutside } = steady
    ? capability(mean, individuals.sigma, limits)
    : { cp: 0, cpk: 0, shareOutside: 0 };
  const interval = steady ? cpkInterval(cpk, values.length) : { low: 0, high: 0 };
  return {
    gate: gate.key,
    name: gate.name,
    unit: gateUnit(gate),
    serials: firsts.map((first) => first.serial),
    values,
    centre: individuals.centre,
    lower: individuals.lower,
    upper: individuals.upper,
    sigma: individuals.sigma,
    lagOne: Number.isFinite(lagOne) ? lagOne : null,
    movingRange: { values: [...movingRange.values], centre: movingRange.centre, upper: movingRange.upper },
    low: low ?? null,
    high: high ?? null,
    beyondChance: isBeyond(individuals),
    signals: [...rulesAt]
      .sort((a, b) => a[0] - b[0])
      .map(([index, rules]) => ({ serial: firsts[index]!.serial, index, rules })),
    capability: steady
      ? {
          cp: cp ?? null,
          cpk,
          cpkLow: interval.low,
          cpkHigh: interval.high,
          ppk: capability(mean, sd, limits).cpk,
          shareOutside,
        }
      : null,
  };
}

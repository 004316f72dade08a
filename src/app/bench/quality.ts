/** How well a batch passes its gates: yields, failures by cause, control charts, capability; each with how sure it is. */
import { clopperPearson } from '../../core/math/index.ts';
import {
  capability,
  chainYields,
  cpkInterval,
  describe,
  individualsChart,
  pareto,
  type RunRule,
  runSignals,
  upperLimit,
} from '../../core/quality/index.ts';
import { type Gate, type GateTry, MEASURES, type Plan, type UnitState } from '../../records/bench/index.ts';
import { batchIn } from './find.ts';
import { gateLimits, gateUnit } from './gates.ts';
import { FEW } from './rate.ts';
import { type Returns, returnsOf } from './returns.ts';
import { type BenchState, planOfBatch } from './state.ts';

interface Share {
  readonly mean: number;
  /** Exact interval of 95 % (Clopper & Pearson 1934). */
  readonly low: number;
  readonly high: number;
}
export interface GateYield {
  readonly gate: string;
  readonly name: string;
  /** Units with a verdict; those that are too close to a limit for the meter have none yet. */
  readonly measured: number;
  /** Measurements that decided nothing: too close to a limit. */
  readonly undecided: number;
  /** Passed at the first try, and at no later one failed. */
  readonly passedFirst: number;
  /** Passed at the last try. */
  readonly passedFinally: number;
  /** Null where nothing was measured. */
  readonly firstPass: Share | null;
}
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
export interface QualityOutcome {
  readonly command: 'batch quality';
  readonly verdict: string;
  readonly batch: string;
  readonly units: number;
  readonly gates: readonly GateYield[];
  /**
   * Units of which it is known whether they pass every required gate at once: measured at all of them, or failed at one. While a
   * batch runs the share is too low, if anything, for a failure is known sooner; the rolled yield is not.
   */
  readonly through: { readonly measured: number; readonly atOnce: number; readonly share: Share | null };
  /** Product of the first-pass yields of all gates. */
  readonly rolled: number | null;
  readonly defectsPerUnit: number | null;
  readonly failures: readonly {
    readonly gate: string;
    readonly name: string;
    readonly count: number;
    readonly share: number;
    readonly cumulative: number;
  }[];
  readonly charts: readonly GateChart[];
  readonly returns: Returns;
  /** Beside the rate, as long as they are few: what could still fail though none did. Null from 300 units on, or before any. */
  readonly few: string | null;
  readonly notes: readonly string[];
}

/** Fewer values make no chart. */
const LEAST_VALUES = 8;

export function batchQuality(state: BenchState, key: string): QualityOutcome {
  const batch = batchIn(state, key);
  const plan = planOfBatch(state, batch);
  const units = batch.serials.map((serial) => state.units.get(serial)!);
  const gates = plan.gates.map((gate) => yieldOf(gate, units));
  const measured = gates.filter((gate) => gate.measured > 0);
  const yields = chainYields(
    measured.map(({ measured: entered, passedFirst, passedFinally }) => ({ entered, passedFirst, passedFinally })),
  );
  const failures = pareto(
    plan.gates.map((gate) => [gate, units.reduce((sum, unit) => sum + failuresAt(unit, gate.key), 0)] as const),
  ).map(({ cause, ...row }) => ({ gate: cause.key, name: cause.name, ...row }));
  const through = throughOf(units, plan);
  const charts = plan.gates.flatMap((gate) => chartOf(gate, units) ?? []);
  return {
    command: 'batch quality',
    verdict: verdictOf(batch.name, through, failures, charts),
    batch: key,
    units: units.length,
    gates,
    through,
    few: fewOf(through.measured),
    rolled: measured.length === 0 ? null : yields.rolled,
    // With a gate that none has passed at once the rolled yield is nought, and this has no end.
    defectsPerUnit: measured.length === 0 || yields.rolled === 0 ? null : yields.defectsPerUnit,
    failures,
    charts,
    returns: returnsOf(units),
    notes: notesOf(charts, gates),
  };
}

/** Tries that were not written down wrongly. */
const allTries = (unit: UnitState, gate: string): readonly GateTry[] =>
  (unit.gates.get(gate) ?? []).filter((tried) => !tried.corrected);
/** Those that decided: a value too close to a limit for its meter is neither a failure nor a pass. */
const triesOf = (unit: UnitState, gate: string): readonly GateTry[] =>
  (unit.gates.get(gate) ?? []).filter((tried) => !tried.corrected && tried.measured.verdict !== 'undecided');
const failuresAt = (unit: UnitState, gate: string): number =>
  triesOf(unit, gate).filter((tried) => tried.measured.verdict === 'failed').length;
const atOnce = (unit: UnitState, gate: string): boolean =>
  triesOf(unit, gate).length > 0 && failuresAt(unit, gate) === 0;

function yieldOf(gate: Gate, units: readonly UnitState[]): GateYield {
  const tried = units.filter((unit) => triesOf(unit, gate.key).length > 0);
  const passedFirst = tried.filter((unit) => atOnce(unit, gate.key)).length;
  return {
    gate: gate.key,
    name: gate.name,
    measured: tried.length,
    undecided: units.reduce((sum, unit) => sum + allTries(unit, gate.key).length - triesOf(unit, gate.key).length, 0),
    passedFirst,
    passedFinally: tried.filter((unit) => triesOf(unit, gate.key).at(-1)!.measured.verdict === 'passed').length,
    firstPass: tried.length === 0 ? null : clopperPearson(passedFirst, tried.length),
  };
}

function throughOf(units: readonly UnitState[], plan: Plan): QualityOutcome['through'] {
  const required = plan.gates.filter((gate) => gate.required);
  const all = units.filter(
    (unit) =>
      required.every((gate) => triesOf(unit, gate.key).length > 0) ||
      required.some((gate) => failuresAt(unit, gate.key) > 0),
  );
  const once = all.filter((unit) => required.every((gate) => atOnce(unit, gate.key))).length;
  const none = required.length === 0 || all.length === 0;
  return { measured: all.length, atOnce: once, share: none ? null : clopperPearson(once, all.length) };
}

function chartOf(gate: Gate, units: readonly UnitState[]): GateChart | undefined {
  if (MEASURES[gate.measures].value !== 'number') return undefined;
  const firsts = units
    .flatMap((unit) => {
      const tried = allTries(unit, gate.key)[0];
      return tried === undefined ? [] : [{ serial: unit.serial, at: tried.at, value: Number(tried.measured.value) }];
    })
    .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
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

const percent = (share: number) => `${Math.round(share * 100)} %`;

function verdictOf(
  name: string,
  { measured, atOnce: once, share }: QualityOutcome['through'],
  failures: QualityOutcome['failures'],
  charts: readonly GateChart[],
): string {
  if (share === null) return `${name}: of no unit is it known yet whether it passes every gate at once.`;
  const worst = failures[0];
  const among = failures.filter((f) => f.count === worst?.count);
  const outside = charts.filter((c) => c.signals.some((s) => s.rules.includes('one-beyond-3-sigma')));
  const runs = charts.filter((c) => c.signals.length > 0 && !outside.includes(c));
  return [
    `${name}: ${once} of ${measured} passed every gate at once, ${percent(share.mean)} (${percent(share.low)} to ${percent(share.high)})`,
    worst === undefined
      ? 'nothing has failed'
      : `most failures at ${among.map((f) => f.name).join(', ')} (${worst.count}${among.length > 1 ? ' each' : ''})`,
    outside.length === 0 ? '' : `outside chart limits: ${outside.map((chart) => chart.name).join(', ')}`,
    runs.length === 0 ? '' : `a run stands out at ${runs.map((chart) => chart.name).join(', ')}`,
  ]
    .filter(Boolean)
    .join('; ')
    .concat('.');
}

function fewOf(measured: number): string | null {
  if (measured === 0 || measured >= FEW) return null;
  return `${measured} ${measured === 1 ? 'unit is' : 'units are'} few: had none of them failed, up to ${percent(upperLimit(0, measured))} of all could still fail (95 %).`;
}

function notesOf(charts: readonly GateChart[], gates: readonly GateYield[]): string[] {
  const notes = [];
  const undecided = gates.filter((gate) => gate.undecided > 0);
  if (undecided.length > 0)
    notes.push(
      `too close to a limit for the meter, and so without a verdict: ${undecided.map((g) => `${g.undecided} at ${g.name}`).join(', ')}`,
    );
  const tied = charts.filter((c) => c.lagOne !== null && Math.abs(c.lagOne) > 2 / Math.sqrt(c.values.length));
  if (tied.length > 0)
    notes.push(
      `neighbouring values depend on one another at ${tied.map((c) => `${c.name} (correlation ${c.lagOne!.toFixed(2)})`).join(', ')}: the limits take them for independent, and are ${tied.every((c) => c.lagOne! > 0) ? 'too narrow' : tied.every((c) => c.lagOne! < 0) ? 'too wide' : 'too narrow or too wide'}`,
    );
  if (charts.length > 0)
    notes.push(
      'charts and capability take the first value of each unit, in the order in which they were measured; eight run rules together cry wolf about once in a hundred values of a steady process',
      'capability means something only where the chart is steady and the values lie about as the normal law has it',
    );
  return notes;
}

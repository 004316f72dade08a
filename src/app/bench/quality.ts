/** How well a batch passes its gates: yields, failures by cause, control charts, capability; each with how sure it is. */
import { clopperPearson } from '../../core/math/index.ts';
import { chainYields, pareto, upperLimit } from '../../core/quality/index.ts';
import type { Gate, GateTry, Plan, UnitState } from '../../records/bench/index.ts';
import { batchIn } from './find.ts';
import { chartOf, type FirstValue, type GateChart, moreRunsThanChance } from './gate-chart.ts';
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

export function batchQuality(state: BenchState, key: string): QualityOutcome {
  const batch = batchIn(state, key);
  const plan = planOfBatch(state, batch);
  const units = batch.serials.map((serial) => state.units.get(serial)!);
  const told = plan.gates.map((gate) => units.map((unit) => toldOf(unit, gate.key)));
  const gates = plan.gates.map((gate, g) => yieldOf(gate, told[g]!));
  const measured = gates.filter((gate) => gate.measured > 0);
  const yields = chainYields(
    measured.map(({ measured: entered, passedFirst, passedFinally }) => ({ entered, passedFirst, passedFinally })),
  );
  const failures = pareto(
    plan.gates.map((gate, g) => [gate, told[g]!.reduce((sum, one) => sum + one.failed, 0)] as const),
  ).map(({ cause, ...row }) => ({ gate: cause.key, name: cause.name, ...row }));
  const through = throughOf(units.length, plan, told);
  const charts = plan.gates.flatMap((gate, g) => chartOf(gate, () => firstsOf(units, told[g]!)) ?? []);
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

/** What a unit's tries at a gate come to; those written down wrongly are left out. */
interface Told {
  readonly first: GateTry | undefined;
  /** Tries with a verdict: a value too close to a limit for its meter is neither a failure nor a pass. */
  readonly decided: number;
  readonly failed: number;
  readonly undecided: number;
  readonly passed: boolean;
}
const NOTHING: Told = { first: undefined, decided: 0, failed: 0, undecided: 0, passed: false };

function toldOf(unit: UnitState, gate: string): Told {
  const tries = unit.gates.get(gate);
  if (tries === undefined) return NOTHING;
  let [decided, failed, undecided, passed] = [0, 0, 0, false];
  for (const { corrected, measured } of tries) {
    if (corrected) continue;
    if (measured.verdict === 'undecided') undecided++;
    else {
      decided++;
      passed = measured.verdict === 'passed';
      if (!passed) failed++;
    }
  }
  return { first: tries.find((tried) => !tried.corrected), decided, failed, undecided, passed };
}

const atOnce = ({ decided, failed }: Told) => decided > 0 && failed === 0;
const countOf = (told: readonly Told[], test: (one: Told) => boolean): number =>
  told.reduce((count, one) => (test(one) ? count + 1 : count), 0);

function yieldOf(gate: Gate, told: readonly Told[]): GateYield {
  const measured = countOf(told, (one) => one.decided > 0);
  const passedFirst = countOf(told, atOnce);
  return {
    gate: gate.key,
    name: gate.name,
    measured,
    undecided: told.reduce((sum, one) => sum + one.undecided, 0),
    passedFirst,
    passedFinally: countOf(told, (one) => one.passed),
    firstPass: measured === 0 ? null : clopperPearson(passedFirst, measured),
  };
}

/** `told` by gate, then by unit. */
function throughOf(units: number, plan: Plan, told: readonly (readonly Told[])[]): QualityOutcome['through'] {
  const required = told.filter((_, g) => plan.gates[g]!.required);
  let [measured, once] = [0, 0];
  for (let u = 0; u < units; u++) {
    const known = required.every((gate) => gate[u]!.decided > 0) || required.some((gate) => gate[u]!.failed > 0);
    if (!known) continue;
    measured++;
    if (required.every((gate) => atOnce(gate[u]!))) once++;
  }
  const none = required.length === 0 || measured === 0;
  return { measured, atOnce: once, share: none ? null : clopperPearson(once, measured) };
}

/** The first value of each unit, in the order in which they were measured. */
function firstsOf(units: readonly UnitState[], told: readonly Told[]): FirstValue[] {
  const firsts = told.flatMap(({ first }, u) =>
    first === undefined ? [] : [{ serial: units[u]!.serial, at: first.at, value: Number(first.measured.value) }],
  );
  // Mostly they are in order already, unit after unit.
  const inOrder = firsts.every(({ at }, i) => i === 0 || firsts[i - 1]!.at <= at);
  return inOrder ? firsts : firsts.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
}

const listed = (names: readonly string[]) =>
  names.length <= 5 ? names.join(', ') : `${names.slice(0, 4).join(', ')} and ${names.length - 4} more`;
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
  const outside = charts.filter((c) => c.beyondChance);
  // Over many values the rules give some signals by chance alone: the chart shows them, the sentence does not count them.
  const runs = charts.filter((c) => !c.beyondChance && moreRunsThanChance(c));
  return [
    `${name}: ${once} of ${measured} passed every gate at once, ${percent(share.mean)} (${percent(share.low)} to ${percent(share.high)})`,
    worst === undefined
      ? 'nothing has failed'
      : `most failures at ${listed(among.map((f) => f.name))} (${worst.count}${among.length > 1 ? ' each' : ''})`,
    outside.length === 0 ? '' : `outside chart limits: ${listed(outside.map((chart) => chart.name))}`,
    runs.length === 0 ? '' : `a run stands out at ${listed(runs.map((chart) => chart.name))}`,
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
      `too close to a limit for the meter, and so without a verdict: ${listed(undecided.map((g) => `${g.undecided} at ${g.name}`))}`,
    );
  const tied = charts.filter((c) => c.lagOne !== null && Math.abs(c.lagOne) > 3 / Math.sqrt(c.values.length));
  if (tied.length > 0)
    notes.push(
      `neighbouring values depend on one another at ${listed(tied.map((c) => `${c.name} (correlation ${c.lagOne!.toFixed(2)})`))}: the limits take them for independent, and are ${tied.every((c) => c.lagOne! > 0) ? 'too narrow' : tied.every((c) => c.lagOne! < 0) ? 'too wide' : 'too narrow or too wide'}`,
    );
  if (charts.length > 0)
    notes.push(
      'charts and capability take the first value of each unit, in the order in which they were measured; eight run rules together cry wolf at about two in a hundred values of a steady process',
      'capability means something only where the chart is steady and the values lie about as the normal law has it',
    );
  return notes;
}

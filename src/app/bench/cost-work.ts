/** What the work on a unit costs: by times measured at the bench, and the curve of learning for units that come later. */
import { fitLearning, type LearningModel, learningMean, typicalTime, withinFences } from '../../core/money/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostChange } from '../../records/bench/cost-request.ts';
import type { Plan, UnitState } from '../../records/bench/index.ts';
import type { CostLine, UnitCost } from './cost-types.ts';
import type { BatchState, BenchState } from './state.ts';

/** How times fall with the number made, and how many were made before the batch. */
export interface Curve {
  readonly model: LearningModel;
  readonly rate: number;
  readonly madeBefore: number;
}

export function curveOf(file: CostFile | null, change: CostChange, planRate = 1): Curve {
  const { model = 'unit', learningRate, madeBefore = 0 } = file?.labour ?? {};
  const rate = change.learning_pct === undefined ? (learningRate ?? planRate) : change.learning_pct / 100;
  return { model, rate, madeBefore };
}

/** Mean over units `from`..`to` in the time of the first unit ever. */
const meanShare = ({ model, rate }: Curve, from: number, to: number) =>
  learningMean({ model, first: 1, rate }, from, to);

/** Mean minutes of the units of a batch, when the first unit ever took `first`. */
export const learnt = (first: number, units: number, curve: Curve): number =>
  first * meanShare(curve, curve.madeBefore + 1, curve.madeBefore + units);

export const noRate = (rate: number | undefined) =>
  rate === undefined ? ['no price of an hour is given: work counts for nothing'] : [];

export interface WorkCost {
  readonly lines: readonly CostLine[];
  /** What the work on each unit cost of which every step was timed, without those that were interrupted. */
  readonly perUnit: readonly number[];
  readonly learning: NonNullable<UnitCost['learning']>;
  readonly notes: readonly string[];
}

/** @param rate_h price of an hour, minor units */
export function workCost(
  state: BenchState,
  plan: Plan,
  batch: BatchState | undefined,
  batchSize: number,
  rate_h: number | undefined,
  curve: Curve,
  planKey: string,
): WorkCost {
  const batches = batch === undefined ? [...state.batches.values()].filter((b) => b.plan === planKey) : [batch];
  const units = batches.flatMap((b) => b.serials.map((serial) => state.units.get(serial)!));
  const price = (minutes: number) => (minutes * (rate_h ?? 0)) / 60;
  const later = batch === undefined ? afterThem(curve, batchSize) : withTheRest(curve, batch);
  let [plain, typical] = [0, 0];
  const lines = plan.steps.map((step): CostLine => {
    const times = units.flatMap((unit) => unit.steps.get(step.key)?.time_s ?? []);
    const timed = times.length > 0;
    const { value } = timed ? typicalTime(times) : { value: 0 };
    if (timed) {
      plain += times.reduce((sum, t) => sum + t, 0) / times.length;
      typical += value;
    }
    const minutes = timed ? (value / 60) * later(times.length) : learnt(step.time_min, batchSize, curve);
    return {
      what: step.name,
      kind: 'labour',
      cost_minor: price(minutes),
      basis: timed ? 'measured' : 'plan',
      fromUnits: timed ? times.length : null,
      quantity: minutes,
    };
  });
  const wholes = timedWholly(units, plan);
  const kept = withinFences(wholes);
  const fitted = fitLearning(wholes.filter((t) => t > 0));
  const counts = lines.flatMap((l) => l.fromUnits ?? []);
  const fewest = Math.min(...counts);
  const most = Math.max(...counts);
  const notes = [...noRate(rate_h)];
  if (counts.length > 0) {
    notes.push(
      `work rests on the times of ${fewest === most ? most : `${fewest} to ${most}`} ${most === 1 ? 'unit' : 'units'}; of each step the mean of the middle half is taken (of up to three times the median), so that a break does not count as work${apart(plain, typical)}`,
    );
    if (Math.abs(later(most) - 1) > 1e-3)
      notes.push(
        batch === undefined
          ? `the next ${batchSize} units follow the curve from there: ${percent(later(most))} of the times measured`
          : `${batch.count - most} of ${batch.count} units are not timed yet: they follow the curve, ${curve.model} model, ${percent(curve.rate)} with each doubling`,
      );
  }
  if (kept.length < wholes.length)
    notes.push(
      `${wholes.length - kept.length} of ${wholes.length} units took far longer or shorter than the others (one and a half quartile ranges beyond the quartiles): the spread leaves their times out`,
    );
  if (fitted !== undefined)
    notes.push(
      `over ${wholes.length} units with every step timed, in the order in which they were finished, the time ${fitted.rate < 1 ? 'fell' : 'went'} to ${percent(fitted.rate)} with each doubling (unit model, median slope)`,
    );
  return {
    lines,
    perUnit: kept.map((t) => price(t / 60)),
    learning: { model: curve.model, rate: curve.rate, fittedRate: fitted?.rate ?? null },
    notes,
  };
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

const apart = (plain: number, typical: number) =>
  typical > 0 && Math.abs(plain / typical - 1) >= 0.02
    ? `; the plain mean would be ${percent(Math.abs(plain / typical - 1))} ${plain > typical ? 'more' : 'less'}`
    : '';

/** Mean of a whole batch over the mean of its first `timed` units, by the curve; 1 when nothing is to come. */
function withTheRest(curve: Curve, { count, closedAt }: BatchState): (timed: number) => number {
  const { madeBefore: before } = curve;
  return (timed) =>
    closedAt !== null || timed >= count || timed === 0
      ? 1
      : meanShare(curve, before + 1, before + count) / meanShare(curve, before + 1, before + timed);
}

/** Mean of the next `size` units over the mean of the `timed` last ones. */
function afterThem(curve: Curve, size: number): (timed: number) => number {
  return (timed) => {
    if (timed === 0) return 1;
    const made = Math.max(curve.madeBefore, timed);
    return meanShare(curve, made + 1, made + size) / meanShare(curve, made - timed + 1, made);
  };
}

/** Seconds of units with every step timed, in the order in which they were finished. */
function timedWholly(units: readonly UnitState[], plan: Plan): number[] {
  return units
    .flatMap((unit) => {
      const ticks = plan.steps.map((step) => unit.steps.get(step.key));
      if (ticks.length === 0 || ticks.some((t) => t === undefined || t.time_s === null)) return [];
      const done = ticks
        .map((t) => t!.at)
        .sort()
        .at(-1)!;
      return [{ done, sum: ticks.reduce((sum, t) => sum + t!.time_s!, 0) }];
    })
    .sort((a, b) => (a.done < b.done ? -1 : a.done > b.done ? 1 : 0))
    .map(({ sum }) => sum);
}

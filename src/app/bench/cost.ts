/** What a unit costs: actual lots and measured times where the bench has them, else offers, plan and guesses; each said. */
import { amount } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostChange } from '../../records/bench/cost-request.ts';
import type { Plan } from '../../records/bench/index.ts';
import { meanOf, seedOf, uncertainOf } from './cost-guess.ts';
import { exchangeFor, partsCost } from './cost-parts.ts';
import { moneyText } from './cost-price.ts';
import { type Seen, totalCost } from './cost-total.ts';
import type { CostLine, UnitCost } from './cost-types.ts';
import { curveOf, learnt, noRate, workCost } from './cost-work.ts';
import { batchIn, planIn } from './find.ts';
import { standingOf } from './looks.ts';
import { type BatchState, type BenchState, planOfBatch, quarantinedLots } from './state.ts';

/**
 * @param what key of a batch or a plan; absent: the unit of the file
 * @param seed of the draws; absent: made of `what` and the file, the same for the same
 * @param change what is tried out, before all that is known
 */
export function unitCost(
  state: BenchState | null,
  what: string | undefined,
  file: CostFile | null,
  seed: number = seedOf(what, file),
  change: CostChange = {},
): UnitCost {
  if (what === undefined) return costOfFile(file, seed, change);
  if (state === null) throw userError('cost-no-bench', `${what} is a batch or plan of a workshop, and none is open`);
  const batch = state.batches.get(what);
  if (batch === undefined && !state.plans.has(what)) batchIn(state, what);
  const plan = batch === undefined ? planIn(state, what).plan : planOfBatch(state, batch);
  return costOnBench(state, what, plan, batch, file, seed, change);
}

function costOfFile(file: CostFile | null, seed: number, change: CostChange): UnitCost {
  if (file?.unit === undefined)
    throw userError(
      'cost-nothing',
      'nothing says what a unit is made of: name a batch or a plan, or give `unit` in the file of assumptions (--assume)',
      { field: 'unit' },
    );
  const { unit } = file;
  const material = uncertainOf(unit.material_minor);
  const curve = curveOf(file, change);
  const minutes = learnt(unit.labour_min, file.batch, curve);
  const labour_minor = (minutes * (file.labour?.rate_minor_h ?? 0)) / 60;
  return totalCost({
    name: unit.name,
    file,
    change,
    currency: file.currency,
    batchSize: file.batch,
    lines: [
      { what: 'parts', kind: 'part', cost_minor: meanOf(material), basis: 'guess', fromUnits: null, quantity: null },
      { what: 'work', kind: 'labour', cost_minor: labour_minor, basis: 'guess', fromUnits: null, quantity: minutes },
    ],
    material,
    labour: labour_minor,
    seen: null,
    learning:
      file.labour === undefined && curve.rate === 1 ? null : { model: curve.model, rate: curve.rate, fittedRate: null },
    notes: noRate(file.labour?.rate_minor_h),
    seed,
  });
}

/** Fewer whole units than this have no spread of their own. */
const FEW = 5;

function costOnBench(
  state: BenchState,
  name: string,
  plan: Plan,
  batch: BatchState | undefined,
  file: CostFile | null,
  seed: number,
  change: CostChange,
): UnitCost {
  const batchSize = batch?.count ?? file?.batch ?? 60;
  const { currency, into, notes: rates } = exchangeFor(state, plan, file);
  const parts = partsCost(state, plan, batch, batchSize, into);
  const rate_h =
    file?.labour?.rate_minor_h ??
    (plan.labour === undefined ? undefined : into(amount(plan.labour.rate_minor_h, plan.labour.currency)).minor);
  const work = workCost(state, plan, batch, batchSize, rate_h, curveOf(file, change, plan.labour?.learningRate), name);
  const lines = [...parts.lines, ...work.lines];
  const sum = (kind: CostLine['kind']) => lines.reduce((s, l) => s + (l.kind === kind ? l.cost_minor : 0), 0);
  return totalCost({
    name,
    file,
    change,
    currency,
    batchSize,
    lines,
    material: parts.perUnit.length >= FEW ? { kind: 'values', values: parts.perUnit } : sum('part'),
    labour: work.perUnit.length >= FEW ? { kind: 'values', values: work.perUnit } : sum('labour'),
    seen: batch === undefined ? null : seenIn(state, plan, batch),
    learning: work.learning,
    notes: [
      ...parts.notes,
      ...work.notes,
      ...rates(),
      parts.perUnit.length >= FEW
        ? `the spread of the parts is that of ${parts.perUnit.length} units with every part fitted`
        : 'fewer than five units have every part fitted: the spread leaves the parts out',
    ],
    seed,
  });
}

function seenIn(state: BenchState, plan: Plan, batch: BatchState): Seen {
  const quarantined = quarantinedLots(state);
  const units = batch.serials.map((serial) => state.units.get(serial)!);
  const lost = units.filter((unit) => unit.stage === 'scrapped').length;
  const good = units.filter((unit) =>
    ['ready', 'shipped', 'returned'].includes(standingOf(unit, plan, quarantined)),
  ).length;
  return {
    good,
    lost,
    shipped: units.filter((unit) => unit.shipped !== null).length,
    back: units.filter((unit) => unit.returns > 0).length,
  };
}

export interface UnitCostOutcome extends Omit<UnitCost, 'figures'> {
  readonly command: 'cost unit';
  readonly verdict: string;
}

export function unitCostOutcome({ figures: _, ...cost }: UnitCost): UnitCostOutcome {
  const text = (minor: number) => moneyText(minor, cost.currency);
  const { low, high } = cost.spread_minor;
  const share = Math.round(100 * cost.measuredShare);
  const verdict = `A good unit of ${cost.name} costs ${text(cost.cost_minor)}${low < high ? `, in nine cases of ten between ${text(low)} and ${text(high)}` : ''}; ${measuredText(share)}.`;
  return { command: 'cost unit', verdict, ...cost };
}

function measuredText(share_pct: number): string {
  if (share_pct === 100) return 'parts and work are measured';
  if (share_pct === 0) return 'parts and work are estimated';
  return `${share_pct} % of parts and work is measured, the rest estimated`;
}

/** What a unit costs: actual lots and measured times where the bench has them, else offers, plan and guesses; each said. */
import {
  type Amount,
  amount,
  amountText,
  convertAmount,
  fitLearning,
  learningMean,
  lotCost,
  type Uncertain,
} from '../../core/money/index.ts';
import { wilson } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { Offer, Plan } from '../../records/bench/index.ts';
import { meanOf, meanOfShare, type Span, spanOf, uncertainOf } from './cost-guess.ts';
import { batchIn, planIn } from './find.ts';
import { standingOf } from './looks.ts';
import { purchaseOf } from './purchase.ts';
import { type BatchState, type BenchState, type LotState, planOfBatch, quarantinedLots } from './state.ts';
import { linesOf } from './units.ts';

/** Where a figure comes from, the surest first. */
export type Basis = 'measured' | 'lot in the stores' | 'offer' | 'plan' | 'guess' | 'not known';

export interface CostLine {
  readonly what: string;
  readonly kind: 'part' | 'labour' | 'lost units' | 'returns';
  /** For one good unit started, rounded to the smallest unit; the total is rounded once. */
  readonly cost_minor: number;
  readonly basis: Basis;
  /** Units that it was measured on; null when it was not. */
  readonly fromUnits: number | null;
  /** Pieces or minutes in one unit. */
  readonly quantity: number | null;
}

export interface UnitCost {
  readonly name: string;
  readonly currency: string;
  readonly batchSize: number;
  readonly lines: readonly CostLine[];
  readonly material_minor: number;
  readonly labour_minor: number;
  readonly loss_minor: number;
  readonly returns_minor: number;
  /** Before the fees of selling, which follow the price. */
  readonly cost_minor: number;
  /** Share of material and labour that was measured. */
  readonly measuredShare: number;
  readonly spread_minor: Span;
  /** Cost of material and labour of a unit started, share good, cost of returns: for simulations. */
  readonly figures: { readonly started: Uncertain; readonly yieldShare: Uncertain; readonly returns: Uncertain };
  readonly learning: {
    readonly model: 'unit' | 'average';
    readonly rate: number;
    readonly fittedRate: number | null;
  } | null;
  readonly notes: readonly string[];
}

/** @param what key of a batch or a plan; absent: the unit of the file */
export function unitCost(
  state: BenchState | null,
  what: string | undefined,
  file: CostFile | null,
  seed: number,
): UnitCost {
  if (what === undefined) return costOfFile(file, seed);
  if (state === null) throw userError('cost-no-bench', `${what} is a batch or plan of a workshop, and none is open`);
  const batch = state.batches.get(what);
  if (batch === undefined && !state.plans.has(what)) batchIn(state, what);
  const plan = batch === undefined ? planIn(state, what).plan : planOfBatch(state, batch);
  return costOnBench(state, what, plan, batch, file, seed);
}

function costOfFile(file: CostFile | null, seed: number): UnitCost {
  if (file?.unit === undefined)
    throw userError(
      'cost-nothing',
      'nothing says what a unit is made of: name a batch or a plan, or give `unit` in the file of assumptions (--assume)',
      { field: 'unit' },
    );
  const { unit } = file;
  const material = uncertainOf(unit.material_minor);
  const minutes = learnt(unit.labour_min, file.batch, file);
  const labour_minor = (minutes * (file.labour?.rate_minor_h ?? 0)) / 60;
  const lines: CostLine[] = [
    { what: 'parts', kind: 'part', cost_minor: meanOf(material), basis: 'guess', fromUnits: null, quantity: null },
    { what: 'work', kind: 'labour', cost_minor: labour_minor, basis: 'guess', fromUnits: null, quantity: minutes },
  ];
  const learning =
    file.labour === undefined ? null : { model: file.labour.model, rate: file.labour.learningRate, fittedRate: null };
  return finish({
    name: unit.name,
    file,
    currency: file.currency,
    batchSize: file.batch,
    lines,
    material,
    labour: labour_minor,
    seen: null,
    learning,
    notes: noRate(file.labour?.rate_minor_h),
    seed,
  });
}

const noRate = (rate: number | undefined) =>
  rate === undefined ? ['no price of an hour is given: work counts for nothing'] : [];

/** Mean minutes of the units of the next batch, when the first unit ever took `first`. */
function learnt(first: number, units: number, file: CostFile | null, rate = file?.labour?.learningRate ?? 1): number {
  const from = (file?.labour?.madeBefore ?? 0) + 1;
  return learningMean({ model: file?.labour?.model ?? 'unit', first, rate }, from, from + units - 1);
}

interface Parts {
  readonly name: string;
  readonly file: CostFile | null;
  readonly currency: string;
  readonly batchSize: number;
  readonly lines: readonly CostLine[];
  readonly material: Uncertain;
  readonly labour: Uncertain;
  /** Units finished and lost, shipped and come back. */
  readonly seen: {
    readonly good: number;
    readonly lost: number;
    readonly shipped: number;
    readonly back: number;
  } | null;
  readonly learning: UnitCost['learning'];
  readonly notes: readonly string[];
  readonly seed: number;
}

function finish(p: Parts): UnitCost {
  const { file, seen, currency } = p;
  const notes = [...p.notes];
  const ended = seen === null ? 0 : seen.good + seen.lost;
  const yieldShare: Uncertain =
    ended >= 5
      ? asTriangle(wilson(seen!.good, ended))
      : file?.yieldShare === undefined
        ? 1
        : uncertainOf(file.yieldShare);
  if (ended >= 5)
    notes.push(
      `${seen!.good} of ${ended} units ended well; so few say only roughly what share will: cost and spread take its 95 % interval`,
    );
  else if (file?.yieldShare === undefined) notes.push('no share of good units is known: none is taken to be lost');
  const cost = uncertainOf(file?.returns?.cost_minor ?? 0);
  const shipped = seen?.shipped ?? 0;
  const back: Uncertain =
    shipped >= 5 && file?.returns?.share === undefined
      ? asTriangle(wilson(seen!.back, shipped))
      : (file?.returns?.share ?? 0);
  if (file?.returns === undefined) notes.push('nothing says what a return costs: returns count for nothing');
  const material_minor = total(p.lines, 'part');
  const labour_minor = total(p.lines, 'labour');
  const started = material_minor + labour_minor;
  // Parts seen on whole units and lines seen on all may differ in their means: the spread lies around what the lines say.
  const material = around(p.material, material_minor);
  const labour = around(p.labour, labour_minor);
  // A unit that is lost is lost with all that is in it: 1/yield are begun for a good one. The cost is the mean of what the
  // spread draws, so that both tell of one quantity; factors are independent, so the mean is a product of means.
  const loss_minor = started * (meanOfShare(yieldShare, (y) => 1 / goodShare(y)) - 1);
  const returns_minor = meanOf(back) * meanOf(cost);
  const lines: CostLine[] = [
    ...p.lines.map((line) => ({ ...line, cost_minor: Math.round(line.cost_minor) })),
    {
      what: 'lost units',
      kind: 'lost units',
      cost_minor: Math.round(loss_minor),
      basis: ended >= 5 ? 'measured' : 'guess',
      fromUnits: ended >= 5 ? ended : null,
      quantity: null,
    },
    {
      what: 'returns',
      kind: 'returns',
      cost_minor: Math.round(returns_minor),
      basis: typeof back !== 'number' ? 'measured' : 'guess',
      fromUnits: typeof back !== 'number' ? shipped : null,
      quantity: null,
    },
  ];
  const measured = p.lines.filter((l) => l.basis === 'measured').reduce((sum, l) => sum + l.cost_minor, 0);
  const cost_minor = Math.round(started + loss_minor + returns_minor);
  const drawn = spanOf(
    [material, labour, yieldShare, back, cost],
    ([m, l, y, b, c]) => (m! + l!) / goodShare(y!) + b! * c!,
    p.seed,
  );
  const mid = spanOf([material, labour], ([m, l]) => m! + l!, p.seed);
  return {
    name: p.name,
    currency,
    batchSize: p.batchSize,
    lines,
    material_minor: Math.round(material_minor),
    labour_minor: Math.round(labour_minor),
    loss_minor: Math.round(loss_minor),
    returns_minor: Math.round(returns_minor),
    cost_minor,
    measuredShare: started > 0 ? measured / started : 0,
    // One in twenty values far off the others can carry the mean out of nine cases in ten: it belongs to the spread all the same.
    spread_minor: { ...drawn, low: Math.min(drawn.low, cost_minor), high: Math.max(drawn.high, cost_minor) },
    figures: {
      started:
        mid.low === mid.high
          ? started
          : { kind: 'triangle', low: Math.min(mid.low, started), mode: started, high: Math.max(mid.high, started) },
      yieldShare,
      returns: returns_minor,
    },
    learning: p.learning,
    notes,
  };
}

const total = (lines: readonly CostLine[], kind: CostLine['kind']) =>
  lines.filter((l) => l.kind === kind).reduce((sum, l) => sum + l.cost_minor, 0);

const goodShare = (drawn: number) => Math.min(1, Math.max(0.01, drawn));

/** Values seen, moved so that their mean is the one given. */
function around(figure: Uncertain, mean: number): Uncertain {
  if (typeof figure === 'number' || figure.kind !== 'values') return figure;
  const by = mean - meanOf(figure);
  return { kind: 'values', values: figure.values.map((value) => value + by) };
}

/** A share seen among few, as a triangle over its interval: most likely is what was seen. */
const asTriangle = ({ mean, low, high }: { mean: number; low: number; high: number }): Uncertain => ({
  kind: 'triangle',
  low,
  mode: mean,
  high,
});

function costOnBench(
  state: BenchState,
  name: string,
  plan: Plan,
  batch: BatchState | undefined,
  file: CostFile | null,
  seed: number,
): UnitCost {
  const batchSize = batch?.count ?? file?.batch ?? 60;
  const notes: string[] = [];
  const { currency, into } = exchange(state, plan, file);
  const used = batch === undefined ? new Map<string, Used>() : usedIn(state, batch, into);
  const lines: CostLine[] = [];
  const byUnit = new Map<string, number>();
  const whole = new Map<string, number>();
  const bom = linesOf(plan);
  for (const line of bom) {
    const parts = [line.part, ...line.alternates];
    const what = state.parts.get(line.part)?.name ?? line.part;
    const seen = parts.flatMap((part) => used.get(part) ?? []);
    const serials = new Set(seen.flatMap((u) => [...u.bySerial.keys()]));
    for (const u of seen)
      for (const [serial, minor] of u.bySerial) byUnit.set(serial, (byUnit.get(serial) ?? 0) + minor);
    for (const serial of serials) whole.set(serial, (whole.get(serial) ?? 0) + 1);
    if (serials.size > 0) {
      const sum = seen.reduce((s, u) => s + u.minor, 0);
      const pieces = seen.reduce((s, u) => s + u.pieces, 0);
      lines.push({
        what,
        kind: 'part',
        cost_minor: sum / serials.size,
        basis: 'measured',
        fromUnits: serials.size,
        quantity: pieces / serials.size,
      });
      continue;
    }
    const quantity = line.count * (1 + line.scrap_pct / 100);
    const { each, basis } = eachOf(state, parts, Math.ceil(quantity * batchSize), into);
    if (basis === 'not known') notes.push(`nobody offers ${line.part} and no lot of it came in: it counts for nothing`);
    lines.push({ what, kind: 'part', cost_minor: each * quantity, basis, fromUnits: null, quantity });
  }
  const work = labourLines(state, plan, batch, batchSize, file, into);
  lines.push(...work.lines);
  notes.push(...work.notes);
  const material = total(lines, 'part');
  const complete = [...whole].filter(([, n]) => n === bom.length).map(([serial]) => byUnit.get(serial)!);
  const started = work.perUnit.length >= 5 ? { kind: 'values' as const, values: work.perUnit } : total(lines, 'labour');
  return finish({
    name,
    file,
    currency,
    batchSize,
    lines,
    material: complete.length >= 5 ? { kind: 'values', values: complete } : material,
    labour: started,
    seen: batch === undefined ? null : seenIn(state, plan, batch),
    learning: work.learning,
    notes: [
      ...notes,
      complete.length >= 5
        ? `the spread of the parts is that of ${complete.length} units with every part fitted`
        : 'fewer than five units have every part fitted: the spread leaves the parts out',
    ],
    seed,
  });
}

/** The one currency of the answer, and how others come into it. */
function exchange(state: BenchState, plan: Plan, file: CostFile | null) {
  const first = linesOf(plan)
    .flatMap(({ part }) => [
      ...[...state.lots.values()].filter((lot) => lot.part === part).map((lot) => lot.currency),
      ...(state.parts.get(part)?.offers ?? []).map((offer) => offer.currency),
    ])
    .at(0);
  const currency = file?.currency ?? plan.labour?.currency ?? first ?? 'EUR';
  const into = (sum: Amount): Amount => {
    if (sum.currency === currency) return sum;
    const rate = file?.rates[sum.currency];
    if (rate === undefined)
      throw userError(
        'cost-rate',
        `a sum in ${sum.currency} meets ${currency}: give \`rates: { ${sum.currency}: … }\` in the file of assumptions (--assume)`,
        { field: 'rates' },
      );
    return convertAmount(sum, currency, rate);
  };
  return { currency, into };
}

interface Used {
  minor: number;
  pieces: number;
  readonly bySerial: Map<string, number>;
}

const landedOf = (lot: LotState): Amount =>
  amount(lot.goods_minor + lot.freight_minor + lot.duty_minor + lot.fees_minor, lot.currency);

/** What the units of a batch used up of each part: fitted, less what went back to the stores; scrapped pieces stay in. */
function usedIn(state: BenchState, batch: BatchState, into: (sum: Amount) => Amount): Map<string, Used> {
  const members = new Set(batch.serials);
  const all = new Map<string, Used>();
  for (const lot of state.lots.values()) {
    const pieces = new Map<string, number>();
    for (const { unit, change } of lot.movements)
      if (unit !== null && members.has(unit)) pieces.set(unit, (pieces.get(unit) ?? 0) - change);
    for (const [serial, n] of pieces) {
      if (n <= 0) continue;
      // Taken short, a lot gives more than it had: the pieces beyond it cost what the others did.
      const times = Math.ceil(n / lot.count);
      const minor = into(lotCost(amount(landedOf(lot).minor * times, lot.currency), lot.count * times, 0, n)).minor;
      const used = all.get(lot.part) ?? { minor: 0, pieces: 0, bySerial: new Map() };
      used.minor += minor;
      used.pieces += n;
      used.bySerial.set(serial, (used.bySerial.get(serial) ?? 0) + minor);
      all.set(lot.part, used);
    }
  }
  return all;
}

/** Price of a piece that is not fitted yet: newest good lot, else the cheapest offer for the whole batch, landed. */
function eachOf(
  state: BenchState,
  parts: readonly string[],
  need: number,
  into: (sum: Amount) => Amount,
): { each: number; basis: Basis } {
  for (const part of parts) {
    const lot = [...state.lots.values()].filter((l) => l.part === part && l.quarantined === null).at(-1);
    if (lot !== undefined) return { each: into(landedOf(lot)).minor / lot.count, basis: 'lot in the stores' };
  }
  for (const part of parts) {
    const prices = (state.parts.get(part)?.offers ?? []).map((offer) => offerEach(offer, need, into));
    if (prices.length > 0) return { each: Math.min(...prices), basis: 'offer' };
  }
  return { each: 0, basis: 'not known' };
}

function offerEach(offer: Offer, need: number, into: (sum: Amount) => Amount): number {
  const { quantity, landed } = purchaseOf(offer, need);
  return into(landed.total).minor / quantity;
}

function labourLines(
  state: BenchState,
  plan: Plan,
  batch: BatchState | undefined,
  batchSize: number,
  file: CostFile | null,
  into: (sum: Amount) => Amount,
) {
  const rate_h =
    file?.labour?.rate_minor_h ??
    (plan.labour === undefined ? undefined : into(amount(plan.labour.rate_minor_h, plan.labour.currency)).minor);
  const rate = file?.labour?.learningRate ?? plan.labour?.learningRate ?? 1;
  const units = (batch?.serials ?? []).map((serial) => state.units.get(serial)!);
  const lines = plan.steps.map((step): CostLine => {
    const times = units.flatMap((unit) => unit.steps.get(step.key)?.time_s ?? []);
    const minutes =
      times.length > 0
        ? times.reduce((s, t) => s + t, 0) / times.length / 60
        : learnt(step.time_min, batchSize, file, rate);
    return {
      what: step.name,
      kind: 'labour',
      cost_minor: (minutes * (rate_h ?? 0)) / 60,
      basis: times.length > 0 ? 'measured' : 'plan',
      fromUnits: times.length > 0 ? times.length : null,
      quantity: minutes,
    };
  });
  const wholes = units.flatMap((unit) => {
    const times = plan.steps.map((step) => unit.steps.get(step.key)?.time_s ?? null);
    return times.length === 0 || times.includes(null) ? [] : [times.reduce<number>((s, t) => s + t!, 0)];
  });
  const fitted = fitLearning(wholes.filter((t) => t > 0));
  const notes = [...noRate(rate_h)];
  if (fitted !== undefined)
    notes.push(
      `over ${wholes.length} units with every step timed, in the order of their serials, the time fell to ${Math.round(100 * fitted.rate)} % with each doubling (unit model)`,
    );
  return {
    lines,
    notes,
    perUnit: wholes.map((t) => (t * (rate_h ?? 0)) / 3600),
    learning: { model: file?.labour?.model ?? ('unit' as const), rate, fittedRate: fitted?.rate ?? null },
  };
}

function seenIn(state: BenchState, plan: Plan, batch: BatchState): NonNullable<Parts['seen']> {
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
  const text = (minor: number) => `${amountText(amount(minor, cost.currency))} ${cost.currency}`;
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

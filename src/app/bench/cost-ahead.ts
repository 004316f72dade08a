/** Looking ahead: own tool or bought in, how many to make next, and the profit as a spread of outcomes. */
import { createRandom, normalQuantile } from '../../core/math/index.ts';
import {
  batchProfit,
  crossoverQuantity,
  type DemandLaw,
  demandAhead,
  demandMean,
  demandQuantile,
  newsvendor,
  priceForMargin,
  toolOrBought,
  type UncertainOption,
} from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { UnitCost } from './cost.ts';
import { meanOf, RUNS, type Span, uncertainOf } from './cost-guess.ts';
import { moneyText } from './cost-price.ts';
import { planIn } from './find.ts';
import { waitsFor } from './leaving.ts';
import type { BenchState } from './state.ts';

export interface CrossoverOutcome {
  readonly command: 'cost crossover';
  readonly verdict: string;
  readonly currency: string;
  /** With the middle values alone; null when the tool never pays. */
  readonly units: number | null;
  /** 5 %, 50 %, 95 %; null where the tool never pays. */
  readonly unitsLow: number | null;
  readonly unitsMiddle: number | null;
  readonly unitsHigh: number | null;
  /** Chance that the tool is cheaper over the demand; and that it never is, whatever the demand. */
  readonly pays: number;
  readonly neverPays: number;
  readonly demandMean: number;
  readonly savings: readonly {
    readonly quantity: number;
    readonly low_minor: number;
    readonly middle_minor: number;
    readonly high_minor: number;
  }[];
  readonly runs: number;
  readonly seed: number;
  readonly notes: readonly string[];
}

type HousingOption = NonNullable<CostFile['housing']>['tool'];
const optionOf = (o: HousingOption): UncertainOption => ({
  fixed: uncertainOf(o.fixed_minor),
  unit: uncertainOf(o.unit_minor),
  yieldShare: uncertainOf(o.yieldShare),
});
const middleOf = (o: HousingOption) => ({
  fixed: meanOf(uncertainOf(o.fixed_minor)),
  unit: meanOf(uncertainOf(o.unit_minor)),
  yieldShare: meanOf(uncertainOf(o.yieldShare)),
});

/** Own housing tool or bought-in housings. */
export function crossoverOutcome(file: CostFile, seed: number, runs: number = RUNS): CrossoverOutcome {
  const { housing, currency } = file;
  if (housing === undefined)
    throw userError('cost-no-housing', 'the file of assumptions says nothing of housings: give `housing`', {
      field: 'housing',
    });
  const demand = uncertainOf(housing.demand);
  const mean = meanOf(demand);
  const quantities = [...new Set([0.25, 0.5, 1, 2].map((f) => Math.max(1, Math.round(f * mean))))];
  const answer = toolOrBought(
    { bought: optionOf(housing.bought), tool: optionOf(housing.tool), demand, runs, quantities },
    createRandom(seed),
  );
  const whole = (q: number) => (Number.isFinite(q) ? Math.ceil(q - 1e-9) : null);
  const units = whole(crossoverQuantity(middleOf(housing.bought), middleOf(housing.tool)));
  const [low, middle, high] = [whole(answer.low), whole(answer.middle), whole(answer.high)];
  const chance = Math.round(100 * answer.pays);
  const verdict =
    middle === null
      ? `The tool does not pay: in ${Math.round(100 * answer.neverPays)} of 100 cases a housing out of it is no cheaper than a bought one.`
      : `The tool pays from about ${middle} good housings (${low} to ${high ?? 'never'} in nine cases of ten); over the demand that is thought of, the chance that it has paid is ${chance} %.`;
  return {
    command: 'cost crossover',
    verdict,
    currency,
    units,
    unitsLow: low,
    unitsMiddle: middle,
    unitsHigh: high,
    pays: answer.pays,
    neverPays: answer.neverPays,
    demandMean: mean,
    savings: answer.savings.map(({ quantity, low: l, middle: m, high: h }) => ({
      quantity,
      low_minor: Math.round(l),
      middle_minor: Math.round(m),
      high_minor: Math.round(h),
    })),
    runs,
    seed,
    notes: [
      'the spread is only as good as the guesses in the file',
      'money paid early is not discounted; storage of tools and moulding minimums are not counted',
    ],
  };
}

export interface NextOutcome {
  readonly command: 'cost next';
  readonly verdict: string;
  readonly name: string;
  readonly currency: string;
  readonly months: readonly number[];
  readonly perMonth: number;
  readonly ahead_months: number;
  /** Demand ahead: mean, 5 %, 50 %, 95 %. */
  readonly demandMean: number;
  readonly demand: Span;
  readonly ratio: number;
  /** Units to have for the time ahead; of them there already, less those waited for; to begin now, lost ones allowed for. */
  readonly stock: number;
  readonly inHand: number;
  readonly waited: number;
  readonly begin: number;
  readonly reorderPoint: number;
  readonly lead_months: number;
  readonly service: number;
  readonly price_minor: number;
  readonly cost_minor: number;
  /** Of beginning `begin` units now. */
  readonly profit: {
    readonly mean_minor: number;
    readonly low_minor: number;
    readonly middle_minor: number;
    readonly high_minor: number;
    readonly lossChance: number;
    readonly soldMean: number;
    /** 101 quantiles, 0 to 100 %. */
    readonly quantiles_minor: readonly number[];
  };
  readonly runs: number;
  readonly seed: number;
  readonly notes: readonly string[];
}

/** Pieces ordered in each calendar month (UTC) from the first order to the last day told; cancelled orders left out. */
export function demandByMonth(state: BenchState, plan: string, now: string): number[] {
  const index = (iso: string) => 12 * Number(iso.slice(0, 4)) + Number(iso.slice(5, 7)) - 1;
  const orders = [...state.orders.values()].filter((o) => o.plan === plan && !o.cancelled);
  if (orders.length === 0) return [];
  const first = Math.min(...orders.map((o) => index(o.placedAt)));
  const months = new Array<number>(Math.max(1, index(now) - first + 1)).fill(0);
  for (const order of orders) {
    const at = index(order.placedAt) - first;
    if (at < months.length) months[at]! += order.count;
  }
  return months;
}

/** Units of a plan that can still be sold, and ordered ones that wait. */
function standing(state: BenchState, plan: string) {
  planIn(state, plan);
  const units = [...state.units.values()].filter((unit) => state.batches.get(unit.batch)?.plan === plan);
  const inHand = units.filter((unit) => unit.stage !== 'shipped' && unit.stage !== 'scrapped').length;
  const waited = [...state.orders.values()]
    .filter((o) => o.plan === plan && !o.cancelled)
    .reduce((sum, order) => sum + waitsFor(order), 0);
  return { inHand, waited };
}

export interface NextRequest {
  readonly cost: UnitCost;
  readonly file: CostFile | null;
  readonly state: BenchState | null;
  /** Plan whose orders are counted. */
  readonly plan: string | null;
  readonly now: string;
  readonly price_minor?: number | undefined;
  readonly seed: number;
  readonly runs?: number | undefined;
}

export function nextOutcome(request: NextRequest): NextOutcome {
  const { cost, file, state, plan, now, seed, runs = RUNS } = request;
  const onBench = state !== null && plan !== null;
  const seen = onBench ? demandByMonth(state, plan, now) : [];
  const months = seen.length > 0 ? seen : (file?.demand?.months ?? []);
  if (months.length === 0)
    throw userError('cost-no-demand', 'no demand is known: place orders, or give `demand` in the file of assumptions', {
      field: 'demand',
    });
  const { ahead_months = 6, lead_months = 1.5, leadSpread_months = 0, service = 0.95 } = file?.demand ?? {};
  const sold = months.reduce((s, n) => s + n, 0);
  const law = demandAhead(sold, months.length, ahead_months);
  const { cost_minor, name, currency } = cost;
  const fees = { share: file?.fees.share ?? 0, fixed: file?.fees.fixed_minor ?? 0 };
  const price_minor =
    request.price_minor ??
    file?.price_minor ??
    (file?.margin === undefined ? undefined : Math.ceil(priceForMargin(cost_minor, file.margin, fees)));
  if (price_minor === undefined)
    throw userError('price-or-margin', 'give --price, or a price or margin in the file of assumptions', {
      field: 'price',
    });
  const net = price_minor * (1 - fees.share) - fees.fixed;
  const salvage = file?.salvage_minor ?? 0;
  if (!(net > cost_minor && cost_minor > salvage))
    throw userError(
      'price-below-cost',
      `after fees a unit brings ${moneyText(net, currency)}, costs ${moneyText(cost_minor, currency)} and left over brings ${moneyText(salvage, currency)}: a number to make follows only when these fall in that order`,
      { field: 'price' },
    );
  const best = newsvendor(law, { cost: cost_minor, price: net, salvage });
  const { inHand, waited } = onBench ? standing(state, plan) : { inHand: 0, waited: 0 };
  const missing = Math.max(0, best.quantity + waited - inHand);
  const begin = Math.ceil(missing / Math.max(0.01, meanOf(cost.figures.yieldShare)) - 1e-9);
  const free = Math.max(0, inHand - waited);
  const profit = batchProfit(
    {
      starts: begin,
      yieldShare: cost.figures.yieldShare,
      // What stands there already and is not waited for meets the first demand.
      demand: {
        kind: 'values',
        values: quantilesOf(law, 400).map((n) => Math.max(0, n - free) + Math.max(0, waited - inHand)),
      },
      price: net,
      unitCost: cost.figures.started,
      fixed: 0,
      salvage,
      after: cost.figures.returns,
      runs,
    },
    createRandom(seed),
  );
  const reorderPoint = pointOf(sold, months.length, lead_months, leadSpread_months, service);
  const text = (minor: number) => moneyText(minor, currency);
  const perMonth = sold / months.length;
  const verdict =
    begin === 0
      ? `Begin none now: ${inHand - waited} free units are enough for the ${ahead_months} months ahead; begin the next when ${reorderPoint} are left.`
      : `Begin ${begin} ${begin === 1 ? 'unit' : 'units'} of ${name} now, to have ${best.quantity} for the ${ahead_months} months ahead; this brings ${text(profit.middle)} as likely as not, ${text(profit.low)} to ${text(profit.high)} in nine cases of ten. Begin the next when ${reorderPoint} are left.`;
  return {
    command: 'cost next',
    verdict,
    name,
    currency,
    months,
    perMonth,
    ahead_months,
    demandMean: demandMean(law),
    demand: { low: demandQuantile(law, 0.05), middle: demandQuantile(law, 0.5), high: demandQuantile(law, 0.95) },
    ratio: best.ratio,
    stock: best.quantity,
    inHand,
    waited,
    begin,
    reorderPoint,
    lead_months,
    service,
    price_minor,
    cost_minor,
    profit: {
      mean_minor: Math.round(profit.mean),
      low_minor: Math.round(profit.low),
      middle_minor: Math.round(profit.middle),
      high_minor: Math.round(profit.high),
      lossChance: profit.lossChance,
      soldMean: profit.meanSold,
      quantiles_minor: Array.from({ length: 101 }, (_, i) =>
        Math.round(profit.profit[Math.round((i / 100) * (runs - 1))]!),
      ),
    },
    runs,
    seed,
    notes: [
      `${sold} pieces in ${months.length} months; the rate is taken as steady, and as known only from these: the demand ahead is negative binomial`,
      'season, fashion and the price itself are not in the demand',
      ...(onBench && seen.length > 0 ? ['the month that runs counts as a whole one'] : []),
      ...cost.notes,
    ],
  };
}

/** Values of a demand at evenly spaced chances. */
const quantilesOf = (law: DemandLaw, n: number) =>
  Array.from({ length: n }, (_, i) => demandQuantile(law, (i + 0.5) / n));

/**
 * Stock that lasts one lead time with chance `service`: the quantile of the demand over it; where the lead time varies as
 * well, normal with both variances summed (as `reorderPoint` of core/money), never less than the first.
 */
function pointOf(sold: number, months: number, lead: number, sdLead: number, service: number): number {
  const law = demandAhead(sold, months, lead);
  const exact = demandQuantile(law, service);
  if (sdLead === 0) return exact;
  const mean = demandMean(law);
  const variance = law.reduce((sum, chance, k) => sum + chance * (k - mean) ** 2, 0);
  const sigma = Math.sqrt(variance + (mean / lead) ** 2 * sdLead ** 2);
  return Math.max(exact, Math.ceil(mean + normalQuantile(service) * sigma));
}

/** How many to begin next, from the demand so far, and the profit as a spread of outcomes. */
import { createRandom, normalQuantile } from '../../core/math/index.ts';
import {
  batchProfit,
  type DemandLaw,
  demandAhead,
  demandMean,
  demandQuantile,
  guessedDemand,
  newsvendor,
} from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostChange } from '../../records/bench/cost-request.ts';
import { meanOf, RUNS, type Span, scaled, uncertainOf } from './cost-guess.ts';
import { moneyText, priceOutcome } from './cost-price.ts';
import { surelyEnough } from './cost-starts.ts';
import type { UnitCost } from './cost-types.ts';
import { planIn } from './find.ts';
import { waitsFor } from './leaving.ts';
import { type BenchState, quarantinedLots } from './state.ts';

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
  /** To begin so that enough come out good with chance `service`. */
  readonly beginSure: number;
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

/** Units of a plan that nobody is promised, those among them that are kept back or stopped, and ordered ones that wait. */
function standing(state: BenchState, plan: string) {
  planIn(state, plan);
  const held = quarantinedLots(state);
  const units = [...state.units.values()].filter(
    (unit) =>
      state.batches.get(unit.batch)?.plan === plan &&
      unit.order === null &&
      (unit.stage === 'at the bench' || unit.stage === 'stopped'),
  );
  const doubtful = units.filter(
    (unit) => unit.stage === 'stopped' || unit.fitted.some((f) => f.count > 0 && held.has(f.lot)),
  ).length;
  const waited = [...state.orders.values()]
    .filter((o) => o.plan === plan && !o.cancelled)
    .reduce((sum, order) => sum + waitsFor(order), 0);
  return { inHand: units.length, doubtful, waited };
}

export interface NextRequest {
  readonly cost: UnitCost;
  readonly file: CostFile | null;
  readonly state: BenchState | null;
  /** Plan whose orders are counted. */
  readonly plan: string | null;
  readonly now: string;
  readonly price_minor?: number | undefined;
  readonly change?: CostChange | undefined;
  readonly seed?: number | undefined;
  readonly runs?: number | undefined;
}

export function nextOutcome(request: NextRequest): NextOutcome {
  const { cost, file, state, plan, seed = cost.seed, runs = RUNS } = request;
  const onBench = state !== null && plan !== null;
  const demand = demandOf(request);
  const { months, perMonth, law, ahead_months } = demand;
  const { lead_months = 1.5, service = 0.95 } = file?.demand ?? {};
  const { cost_minor, currency } = cost;
  const name = plan ?? cost.name;
  const { price_minor, fees_minor } = priceOutcome(cost, file, { price_minor: request.price_minor });
  const net = price_minor - fees_minor;
  const salvage = file?.salvage_minor ?? 0;
  if (!(net > cost_minor && cost_minor > salvage))
    throw userError(
      'price-below-cost',
      `after fees a unit brings ${moneyText(net, currency)}, costs ${moneyText(cost_minor, currency)} and left over brings ${moneyText(salvage, currency)}: a number to make follows only when these fall in that order`,
      { field: 'price' },
    );
  const best = newsvendor(law, { cost: cost_minor, price: net, salvage });
  const { inHand, doubtful, waited } = onBench ? standing(state, plan) : { inHand: 0, doubtful: 0, waited: 0 };
  const missing = Math.max(0, best.quantity + waited - inHand);
  const begin = Math.ceil(missing / Math.max(0.01, meanOf(cost.figures.yieldShare)) - 1e-9);
  const beginSure = Math.max(begin, surelyEnough(missing, cost.figures.yieldShare, service));
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
  const text = (minor: number) => moneyText(minor, currency);
  const verdict =
    begin === 0
      ? `Begin none now: ${inHand - waited} free units are enough for the ${ahead_months} months ahead; begin the next when ${demand.reorderPoint} are left.`
      : `Begin ${begin} ${begin === 1 ? 'unit' : 'units'} of ${name} now, to have ${best.quantity} for the ${ahead_months} months ahead; this brings ${text(profit.middle)} as likely as not, ${text(profit.low)} to ${text(profit.high)} in nine cases of ten. Begin the next when ${demand.reorderPoint} are left.`;
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
    beginSure,
    reorderPoint: demand.reorderPoint,
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
      ...demand.notes,
      ...(doubtful > 0
        ? [
            `${doubtful} of the ${inHand} in hand are stopped or kept back with a lot: they count as if they will be good`,
          ]
        : []),
      'season, fashion and the price itself are not in the demand',
      ...cost.notes,
    ],
  };
}

/** Values of a demand at evenly spaced chances. */
const quantilesOf = (law: DemandLaw, n: number) =>
  Array.from({ length: n }, (_, i) => demandQuantile(law, (i + 0.5) / n));

interface Ahead {
  readonly months: readonly number[];
  readonly perMonth: number;
  readonly ahead_months: number;
  readonly law: DemandLaw;
  readonly reorderPoint: number;
  readonly notes: readonly string[];
}

/** What is known of the demand ahead: what is tried out, else orders, else what the file says. */
function demandOf({ file, state, plan, now, change = {} }: NextRequest): Ahead {
  const { ahead_months = 6, lead_months = 1.5, leadSpread_months = 0, service = 0.95, pieces } = file?.demand ?? {};
  const seen = state !== null && plan !== null ? demandByMonth(state, plan, now) : [];
  const months = seen.length > 0 ? seen : (file?.demand?.months ?? []);
  const byRate = (sold: number, over: number, notes: readonly string[]): Ahead => ({
    months,
    perMonth: sold / over,
    ahead_months,
    law: demandAhead(sold, over, ahead_months),
    reorderPoint: pointOf(demandAhead(sold, over, lead_months), lead_months, leadSpread_months, service),
    notes: [
      ...notes,
      'the rate is taken as steady, and as known only from these: the demand ahead is negative binomial',
    ],
  });
  if (change.demand_month !== undefined) {
    const over = months.length || ahead_months;
    const text = `${Number(change.demand_month.toFixed(2))} pieces a month are tried out, as if seen for ${over} months`;
    return byRate(change.demand_month * over, over, [text]);
  }
  if (months.length > 0) {
    const sold = months.reduce((sum, n) => sum + n, 0);
    return byRate(sold, months.length, [
      `${sold} pieces in ${months.length} ${months.length === 1 ? 'month' : 'months'}`,
      ...(seen.length > 0 ? ['the month that runs counts as a whole one'] : []),
    ]);
  }
  if (pieces === undefined)
    throw userError('cost-no-demand', 'no demand is known: place orders, or give `demand` in the file of assumptions', {
      field: 'demand',
    });
  const figure = uncertainOf(pieces);
  const overLead = guessedDemand(scaled(figure, lead_months / ahead_months));
  return {
    months: [],
    perMonth: meanOf(figure) / ahead_months,
    ahead_months,
    law: guessedDemand(figure),
    reorderPoint: pointOf(overLead, lead_months, leadSpread_months, service),
    notes: [`the demand over ${ahead_months} months is a guess; over the lead time it is taken in proportion`],
  };
}

/**
 * Stock that lasts one lead time with chance `service`: the quantile of the demand over it; where the lead time varies as
 * well, normal with both variances summed (as `reorderPoint` of core/money), never less than the first.
 */
function pointOf(law: DemandLaw, lead: number, sdLead: number, service: number): number {
  const exact = demandQuantile(law, service);
  if (sdLead === 0) return exact;
  const mean = demandMean(law);
  const variance = law.reduce((sum, chance, k) => sum + chance * (k - mean) ** 2, 0);
  const sigma = Math.sqrt(variance + (mean / lead) ** 2 * sdLead ** 2);
  return Math.max(exact, Math.ceil(mean + normalQuantile(service) * sigma));
}

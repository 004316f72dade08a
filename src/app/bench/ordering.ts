/** What to order for a number of units: need against stock, and the cheapest offer for what is missing. */
import { type Amount, amount, type LandedLine, landedCosts, sumAmounts } from '../../core/money/index.ts';
import { hasVariantFor, type Offer, type Plan, planForRegion } from '../../records/bench/index.ts';
import { noVariant, planIn } from './find.ts';
import { purchaseOf } from './purchase.ts';
import { type BenchState, planOfBatch } from './state.ts';
import { linesOf } from './units.ts';

export interface OrderLine {
  readonly part: string;
  readonly name: string;
  /** For the units asked for, scrap allowed for. */
  readonly need: number;
  /** Free in the stores, alternates included. */
  readonly free: number;
  /** Of that, wanted by batches that run. */
  readonly spokenFor: number;
  readonly missing: number;
  /** The cheapest offer; null when nothing is missing or nobody offers it. */
  readonly order: {
    readonly part: string;
    readonly supplier: string;
    readonly count: number;
    readonly currency: string;
    readonly goods_minor: number;
    /** Goods, freight, duty and fees, were it ordered alone. */
    readonly landed_minor: number;
    readonly leadTime_d: number;
    /** Bought beyond what is missing: minimum order, pack, or a price break that is cheaper in all. */
    readonly spare: number;
    /** Last day to order for the due day; null without one. */
    readonly orderBy: string | null;
  } | null;
}

export interface SupplierOrder {
  readonly supplier: string;
  readonly currency: string;
  readonly goods_minor: number;
  readonly freight_minor: number;
  readonly duty_minor: number;
  readonly fees_minor: number;
  readonly total_minor: number;
}

export interface OrderingOutcome {
  readonly command: 'stores order';
  readonly verdict: string;
  readonly plan: string;
  /** Region whose variant is built; null for the bill of the plan as it stands. */
  readonly region: string | null;
  readonly units: number;
  readonly lines: readonly OrderLine[];
  readonly suppliers: readonly SupplierOrder[];
  /** Parts that nobody offers. */
  readonly withoutOffer: readonly string[];
  /** Parts whose last day to order has passed. */
  readonly late: readonly string[];
  readonly assumptions: readonly string[];
}

export interface OrderingRequest {
  readonly plan: string;
  readonly units: number;
  /** Region whose variant is to be built. */
  readonly region?: string | undefined;
  /** Day on which the parts are wanted. */
  readonly due?: string | undefined;
  /** Today, for telling what is late. */
  readonly today: string;
}

/** Pieces to draw for a number of units: the whole number above the allowance. */
const withScrap = (count: number, scrap_pct: number) => Math.ceil(count * (1 + scrap_pct / 100) - 1e-9);

/** Bill of the region that is asked for. */
function planAsked(state: BenchState, { plan: key, region }: OrderingRequest): Plan {
  const { plan } = planIn(state, key);
  if (region === undefined) return plan;
  if (!hasVariantFor(plan, region)) throw noVariant(key, plan, region, 'ask for one of them');
  return planForRegion(plan, region);
}

/**
 * What is missing for some units, and where to get it.
 *
 * @throws UserError when there is no such plan, or the plan has no variant for the region
 */
export function whatToOrder(state: BenchState, request: OrderingRequest): OrderingOutcome {
  const plan = planAsked(state, request);
  const spoken = spokenFor(state);
  const chosen: Chosen[] = [];
  const lines = linesOf(plan).map((line): OrderLine => {
    const parts = [line.part, ...line.alternates];
    const need = withScrap(line.count * request.units, line.scrap_pct);
    const free = sum(parts, (part) => freeOf(state, part));
    const taken = Math.min(
      free,
      sum(parts, (part) => spoken.get(part) ?? 0),
    );
    const missing = Math.max(0, need - (free - taken));
    const name = state.parts.get(line.part)?.name ?? line.part;
    const best = missing === 0 ? null : cheapest(state, parts, missing);
    if (best !== null) chosen.push(best);
    const order =
      best === null
        ? null
        : {
            ...best.shown,
            spare: best.shown.count - missing,
            orderBy: request.due === undefined ? null : daysBefore(request.due, bestLead_d(best.offer)),
          };
    return { part: line.part, name, need, free, spokenFor: taken, missing, order };
  });
  const missing = lines.filter((line) => line.missing > 0);
  const suppliers = bySupplier(chosen);
  const withoutOffer = missing.filter((line) => line.order === null).map((line) => line.part);
  const late = missing.filter((l) => l.order?.orderBy && l.order.orderBy < request.today).map((l) => l.part);
  return {
    command: 'stores order',
    verdict: verdictOf(request, lines, missing, withoutOffer, late),
    plan: request.plan,
    region: request.region ?? null,
    units: request.units,
    lines,
    suppliers,
    withoutOffer,
    late,
    assumptions: [
      'freight and fees are counted once for each supplier; the offer of each part is chosen as if ordered alone',
      'the last day to order leaves the lead time and twice its spread',
      'the rest of running batches is taken off first, without an allowance for scrap',
      ...(request.region === undefined && plan.variants.some((v) => (v.bom ?? []).length > 0)
        ? ['the bill of the plan as it stands: a region may want other parts']
        : []),
    ],
  };
}

const sum = <T>(list: Iterable<T>, of: (item: T) => number) => [...list].reduce((total, item) => total + of(item), 0);

/** Free pieces of a part: of lots that are not kept back. */
export const freeOf = (state: BenchState, part: string): number =>
  sum(state.lots.values(), (lot) => (lot.part === part && lot.quarantined === null ? Math.max(0, lot.left) : 0));

/** What the units at the bench still want, by the first part of each line. */
export function spokenFor(state: BenchState): Map<string, number> {
  const wanted = new Map<string, number>();
  for (const batch of state.batches.values()) {
    if (batch.closedAt !== null) continue;
    const lines = linesOf(planOfBatch(state, batch));
    for (const serial of batch.serials) {
      const unit = state.units.get(serial)!;
      if (unit.stage !== 'at the bench' && unit.stage !== 'stopped') continue;
      for (const line of lines) {
        const parts = new Set([line.part, ...line.alternates]);
        const held = sum(unit.fitted, (f) => (parts.has(f.part) ? f.count : 0));
        const rest = line.count - held;
        if (rest > 0) wanted.set(line.part, (wanted.get(line.part) ?? 0) + rest);
      }
    }
  }
  return wanted;
}

const bestLead_d = (offer: Offer) => Math.ceil(offer.leadTime_d + 2 * offer.leadTimeSpread_d);

/** The offer that a part is taken from, and what is told of it. */
interface Chosen {
  readonly offer: Offer;
  readonly shown: Omit<NonNullable<OrderLine['order']>, 'spare' | 'orderBy'>;
}

function cheapest(state: BenchState, parts: readonly string[], missing: number): Chosen | null {
  let best: Chosen | null = null;
  for (const part of parts)
    for (const offer of state.parts.get(part)?.offers ?? []) {
      const { quantity, total, landed } = purchaseOf(offer, missing);
      const landed_minor = landed.total.minor;
      // Sums of two currencies cannot be compared: the first offer's currency decides.
      if (best !== null && (offer.currency !== best.offer.currency || landed_minor >= best.shown.landed_minor))
        continue;
      const { supplier, currency, leadTime_d } = offer;
      const shown = { part, supplier, count: quantity, currency, goods_minor: total.minor, landed_minor, leadTime_d };
      best = { offer, shown };
    }
  return best;
}

function bySupplier(chosen: readonly Chosen[]): SupplierOrder[] {
  const groups = new Map<string, { offer: Offer; line: LandedLine }[]>();
  for (const { offer, shown } of chosen) {
    const { supplier, currency, count: quantity, goods_minor } = shown;
    const line = { quantity, goods: amount(goods_minor, currency), duty_pct: offer.duty_pct };
    const key = `${supplier}\n${currency}`;
    groups.set(key, [...(groups.get(key) ?? []), { offer, line }]);
  }
  return [...groups.values()].map((group) => {
    const { supplier, currency } = group[0]!.offer;
    const most = (of: (offer: Offer) => number) => amount(Math.max(...group.map(({ offer }) => of(offer))), currency);
    const freight = most((offer) => offer.freight_minor);
    const fees = most((offer) => offer.fees_minor);
    const landed = landedCosts(
      group.map(({ line }) => line),
      freight,
      fees,
    );
    const total = (of: (index: number) => Amount) =>
      sumAmounts(
        group.map((_, i) => of(i)),
        currency,
      ).minor;
    return {
      supplier,
      currency,
      goods_minor: total((i) => group[i]!.line.goods),
      freight_minor: freight.minor,
      duty_minor: total((i) => landed[i]!.duty),
      fees_minor: fees.minor,
      total_minor: total((i) => landed[i]!.total),
    };
  });
}

/** A day some days before another, both as 2026-11-25. */
export function daysBefore(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) - days * 86_400_000).toISOString().slice(0, 10);
}

function verdictOf(
  request: OrderingRequest,
  lines: readonly OrderLine[],
  missing: readonly OrderLine[],
  withoutOffer: readonly string[],
  late: readonly string[],
): string {
  const units = `${request.units} ${request.units === 1 ? 'unit' : 'units'} of ${request.plan}`;
  if (lines.length === 0) return `Plan ${request.plan} has no bill of materials.`;
  if (missing.length === 0) return `All ${lines.length} parts for ${units} are in the stores.`;
  return [
    `${missing.length} of ${lines.length} parts are missing for ${units}`,
    withoutOffer.length > 0 ? `nobody offers ${withoutOffer.join(', ')}` : '',
    late.length > 0 ? `too late for ${request.due}: ${late.join(', ')}` : '',
  ]
    .filter(Boolean)
    .join('; ')
    .concat('.');
}

/** How many of a part to order at once, by price breaks, what an order costs and what keeping costs; and when. */
import { amount, economicOrderWithBreaks, orderable, reorderPoint } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { Offer } from '../../records/bench/index.ts';
import { demandByMonth } from './cost-next.ts';
import { exchangeInto } from './cost-parts.ts';
import { moneyText } from './cost-price.ts';
import { partIn } from './find.ts';
import type { BenchState } from './state.ts';
import { linesOf } from './units.ts';

export interface OrderSize {
  readonly supplier: string | null;
  /** The price holds from this number on. */
  readonly from: number;
  readonly price_minor: number;
  readonly quantity: number;
  /** Goods, ordering and keeping, a year. */
  readonly total_minor: number;
}

export interface OrderSizeOutcome {
  readonly command: 'cost order';
  readonly verdict: string;
  readonly name: string;
  readonly currency: string;
  readonly demand_year: number;
  readonly supplier: string | null;
  /** Whole pieces, by minimum and pack of the offer; and what the formula gives. */
  readonly quantity: number;
  readonly exact: number;
  readonly orders_year: number;
  /** Working days between two orders. */
  readonly between_days: number;
  /** Ordering and keeping, a year; and with the goods. */
  readonly keeping_minor: number;
  readonly total_minor: number;
  readonly sizes: readonly OrderSize[];
  readonly lead_days: number | null;
  /** Order when so many are left; null without a lead time. */
  readonly reorderPoint: number | null;
  readonly safety: number | null;
  readonly service: number;
  readonly notes: readonly string[];
}

type OrderTerms = NonNullable<CostFile['order']>;

export function orderOutcome(
  state: BenchState | null,
  part: string | undefined,
  file: CostFile,
  now: string,
): OrderSizeOutcome {
  const terms = file.order;
  if (terms === undefined)
    throw userError('cost-no-order', 'the file of assumptions does not say what an order costs: give `order`', {
      field: 'order',
    });
  const { currency } = file;
  const saved = part === undefined || state === null ? null : partIn(state, part);
  const demand_year = terms.demand_year ?? (saved === null ? undefined : yearlyNeed(state!, part!, now));
  if (demand_year === undefined || demand_year <= 0)
    throw userError(
      'cost-no-demand',
      'how many are needed in a year is not known: give `demand_year` under `order`, or name a part of a plan that has orders',
      { field: 'order.demand_year' },
    );
  const exchange = exchangeInto(currency, file);
  const sources = sourcesOf(terms, saved?.offers ?? [], (sum) => exchange.into(amount(sum.minor, sum.currency)).minor);
  const kept = (price: number) => terms.holding_minor ?? terms.holding! * price;
  if (sources.some(({ breaks }) => breaks.some(({ price }) => !(kept(price) > 0))))
    throw userError(
      'cost-no-price',
      'at a price of nothing keeping costs nothing too, and no size follows: give a price, or keeping as `holding_minor`',
      { field: 'order.breaks' },
    );
  const found = sources.map((source) => ({
    source,
    ...economicOrderWithBreaks(demand_year, terms.order_minor, kept, source.breaks),
  }));
  const { source, best } = found.reduce((a, b) => (b.best.total < a.best.total ? b : a));
  const quantity = wholeOf(best.quantity, source);
  const priceAt = (q: number) => source.breaks.findLast((b) => b.from <= q)?.price ?? source.breaks[0]!.price;
  const price = priceAt(quantity);
  const orders_year = demand_year / quantity;
  const keeping = orders_year * terms.order_minor + (quantity / 2) * kept(price);
  const lead = leadOf(terms, source);
  const perDay = demand_year / terms.days;
  const point =
    lead === null
      ? null
      : reorderPoint(
          { demand: perDay, sdDemand: terms.sdDemand_day, lead: lead.days, sdLead: lead.spread },
          terms.service,
        );
  const name = saved?.name ?? part ?? 'the part';
  const from = source.supplier === null ? '' : ` from ${source.supplier}`;
  const between_days = terms.days / orders_year;
  const verdict = `Order ${quantity} of ${name}${from} at a time, ${Number(orders_year.toPrecision(2))} times a year${point === null ? '' : `, when ${Math.ceil(point.point - 1e-9)} are left`}: ordering and keeping cost ${moneyText(keeping, currency)} a year.`;
  return {
    command: 'cost order',
    verdict,
    name,
    currency,
    demand_year,
    supplier: source.supplier,
    quantity,
    exact: best.quantity,
    orders_year,
    between_days,
    keeping_minor: Math.round(keeping),
    total_minor: Math.round(keeping + price * demand_year),
    sizes: found.flatMap(({ source: s, candidates }) =>
      candidates.map((c) => {
        const at = s.breaks.findLast((b) => b.from <= c.quantity + 1e-9) ?? s.breaks[0]!;
        return {
          supplier: s.supplier,
          from: at.from,
          price_minor: at.price,
          quantity: c.quantity,
          total_minor: Math.round(c.total),
        };
      }),
    ),
    lead_days: lead?.days ?? null,
    reorderPoint: point?.point ?? null,
    safety: point?.safety ?? null,
    service: terms.service,
    notes: [
      'the demand is taken as steady over the year; for a batch now and then `stores order` says what is missing',
      ...(terms.demand_year === undefined
        ? ['the demand is that of the orders for units so far, carried over a year']
        : []),
      ...(lead === null ? ['no lead time is known: when to order is not told'] : []),
      ...exchange.notes(),
    ],
  };
}

interface Source {
  readonly supplier: string | null;
  readonly breaks: readonly { readonly from: number; readonly price: number }[];
  readonly offer: Offer | null;
}

/** Prices of the file, else those of every offer, in the currency of the file. */
function sourcesOf(
  terms: OrderTerms,
  offers: readonly Offer[],
  into: (sum: { readonly minor: number; readonly currency: string }) => number,
): Source[] {
  const rising = (breaks: readonly { readonly from: number; readonly price: number }[]) =>
    [...breaks].sort((a, b) => a.from - b.from);
  if (terms.breaks.length > 0 || offers.length === 0) {
    const told = terms.breaks.map((b) => ({ from: b.from, price: b.price_minor / b.per }));
    if (told.length === 0 && terms.holding !== undefined)
      throw userError(
        'cost-no-price',
        'keeping is a share of the price, and no price is known: give `breaks` under `order`, or name a part with offers',
        { field: 'order.breaks' },
      );
    return [{ supplier: null, offer: null, breaks: told.length === 0 ? [{ from: 1, price: 0 }] : rising(told) }];
  }
  return offers.map((offer) => ({
    supplier: offer.supplier,
    offer,
    breaks: rising(
      offer.breaks.map((b) => ({
        from: b.from,
        price: into({ minor: b.price_minor, currency: offer.currency }) / b.per,
      })),
    ),
  }));
}

/** The whole number beside it that a supplier sells, not below the price break that it was chosen for. */
function wholeOf(exact: number, { offer, breaks }: Source): number {
  const from = breaks.findLast((b) => b.from <= exact + 1e-9)?.from ?? 1;
  return orderable(Math.max(1, from, Math.round(exact)), { minimum: offer?.minimum, multiple: offer?.pack });
}

function leadOf(terms: OrderTerms, { offer }: Source): { readonly days: number; readonly spread: number } | null {
  const days = terms.lead_days ?? offer?.leadTime_d;
  if (days === undefined) return null;
  return { days, spread: terms.leadSpread_days ?? offer?.leadTimeSpread_d ?? 0 };
}

/** Pieces of a part in a year, by the orders so far for the units that hold it; scrap allowed for. */
function yearlyNeed(state: BenchState, part: string, now: string): number {
  let need = 0;
  for (const [key, all] of state.plans) {
    const months = demandByMonth(state, key, now);
    const line = linesOf(all.at(-1)!.plan).find((l) => l.part === part || l.alternates.includes(part));
    if (months.length === 0 || line === undefined) continue;
    const sold = months.reduce((sum, n) => sum + n, 0);
    need += ((12 * sold) / months.length) * line.count * (1 + line.scrap_pct / 100);
  }
  return need;
}

/** Outcomes of cost as what their pictures show, in the currency's usual unit. */
import { amount, amountText, currencyDigits } from '../../core/money/index.ts';
import type {
  BreakEvenPicture,
  CostPageInput,
  CostTable,
  CrossoverPicture,
  ProfitPicture,
} from '../../report/index.ts';
import type { UnitCostOutcome } from './cost.ts';
import type { BreakEvenOutcome } from './cost-even.ts';
import type { NextOutcome } from './cost-next.ts';
import type { CostOverview } from './cost-overview.ts';
import type { CrossoverOutcome } from './cost-tool.ts';
import type { WayRow, WaysOutcome } from './cost-ways.ts';

const scaleOf = (currency: string) => 10 ** currencyDigits(currency);

export function evenPictureOf(o: BreakEvenOutcome): BreakEvenPicture {
  const scale = scaleOf(o.currency);
  return {
    name: o.name,
    currency: o.currency,
    fixed: (o.fixed_minor + o.target_minor) / scale,
    earned: (o.price_minor - o.fees_minor) / scale,
    cost: { low: o.costLow_minor / scale, middle: o.cost_minor / scale, high: o.costHigh_minor / scale },
    units: { low: o.unitsLow, middle: o.units, high: o.unitsHigh },
    planned: o.planned,
  };
}

export function crossoverPictureOf(o: CrossoverOutcome): CrossoverPicture {
  const scale = scaleOf(o.currency);
  return {
    currency: o.currency,
    savings: o.savings.map((s) => ({
      quantity: s.quantity,
      low: s.low_minor / scale,
      middle: s.middle_minor / scale,
      high: s.high_minor / scale,
    })),
    from: { low: o.unitsLow, middle: o.unitsMiddle, high: o.unitsHigh },
  };
}

export function profitPictureOf(o: NextOutcome): ProfitPicture {
  const scale = scaleOf(o.currency);
  return {
    name: `${o.begin} of ${o.name}`,
    currency: o.currency,
    quantiles: o.profit.quantiles_minor.map((q) => q / scale),
    lossChance: o.profit.lossChance,
  };
}

const plainIn = (currency: string) => (minor: number) => amountText(amount(minor, currency));

export const fromText = (l: UnitCostOutcome['lines'][number]): string =>
  l.fromUnits === null ? l.basis : `${l.basis}, ${l.fromUnits} ${l.fromUnits === 1 ? 'unit' : 'units'}`;

/** Sums of a way to sell, as rows of a table have them. */
export const WAY_SUMS: readonly (readonly [string, (w: WayRow) => number])[] = [
  ['parts', (w) => w.parts_minor],
  ['work', (w) => w.labour_minor],
  ['lost units', (w) => w.loss_minor],
  ['support', (w) => w.support_minor],
  ['returns', (w) => w.returns_minor],
  ['packing', (w) => w.packing_minor],
  ['cost', (w) => w.cost_minor],
  ['net price', (w) => w.price_minor],
  ['fees', (w) => w.fees_minor],
  ['stays', (w) => w.profit_minor],
  ['stays in a month', (w) => w.profit_month_minor],
];

function waysTable(o: WaysOutcome): CostTable {
  const text = plainIn(o.currency);
  return {
    heads: [o.currency, ...o.ways.map((w) => w.name)],
    strong: ['cost', 'stays in a month'],
    rows: [
      ...WAY_SUMS.map(([what, of]) => [what, ...o.ways.map((w) => text(of(w)))]),
      ['margin, %', ...o.ways.map((w) => (100 * w.margin).toFixed(1))],
      ['sold in a month', ...o.ways.map((w) => String(Number(w.demand_month.toFixed(1))))],
      ['hours in a month', ...o.ways.map((w) => w.hours_month.toFixed(1))],
      ['an hour brings', ...o.ways.map((w) => (w.earned_h_minor === null ? '' : text(w.earned_h_minor)))],
    ],
  };
}

/** Everything as a page of a report has it. */
export function costPageOf(o: CostOverview, generatedFrom: readonly string[]): CostPageInput {
  const text = plainIn(o.currency);
  return {
    name: o.name,
    currency: o.currency,
    verdict: o.verdict,
    unit: {
      heads: ['what', o.currency, 'pieces or min', 'from'],
      text: [3],
      strong: ['a good unit'],
      rows: [
        ...o.unit.lines.map((l) => [
          l.what,
          text(l.cost_minor),
          l.quantity === null ? '' : String(Number(l.quantity.toFixed(2))),
          fromText(l),
        ]),
        ['a good unit', text(o.unit.cost_minor), '', ''],
      ],
    },
    price: o.price?.verdict ?? null,
    breakEven: o.breakEven === null ? null : { said: o.breakEven.verdict, picture: evenPictureOf(o.breakEven) },
    next:
      o.next === null ? null : { said: o.next.verdict, picture: o.next.begin === 0 ? null : profitPictureOf(o.next) },
    crossover: o.crossover === null ? null : { said: o.crossover.verdict, picture: crossoverPictureOf(o.crossover) },
    ways: o.ways === null ? null : { said: o.ways.verdict, table: waysTable(o.ways) },
    notes: [
      o.unit.verdict,
      ...triedOut(o),
      ...new Set([o.unit, o.breakEven, o.next, o.crossover, o.ways].flatMap((part) => part?.notes ?? [])),
      ...Object.values(o.lacking).flatMap((list) => list.map((p) => p.message)),
    ],
    draws: o.draws,
    seed: o.seed,
    generatedFrom,
  };
}

function triedOut({ change }: CostOverview): string[] {
  return [
    ...(change.learning_pct === undefined
      ? []
      : [`tried out: ${change.learning_pct} % of the time with each doubling`]),
    ...(change.lost_pct === undefined ? [] : [`tried out: ${change.lost_pct} % of the units lost`]),
    ...(change.demand_month === undefined ? [] : [`tried out: ${change.demand_month} asked for in a month`]),
  ];
}

/** How costs are printed: the sentence first. */
import type { UnitCostOutcome } from '../../app/bench/cost.ts';
import type { BreakEvenOutcome } from '../../app/bench/cost-even.ts';
import type { NextOutcome } from '../../app/bench/cost-next.ts';
import type { OrderSizeOutcome } from '../../app/bench/cost-order.ts';
import type { CostOverview } from '../../app/bench/cost-overview.ts';
import { moneyText, type PriceOutcome } from '../../app/bench/cost-price.ts';
import type { SparesOutcome } from '../../app/bench/cost-spares.ts';
import type { StartsOutcome } from '../../app/bench/cost-starts.ts';
import type { CrossoverOutcome } from '../../app/bench/cost-tool.ts';
import type { WaysOutcome } from '../../app/bench/cost-ways.ts';
import { say, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

const share = (s: number) => `${(100 * s).toFixed(1)} %`;
const sums = (currency: string) => (minor: number) => moneyText(minor, currency).replace(` ${currency}`, '');

function sayTable(titles: readonly string[], rows: readonly (readonly string[])[], left?: readonly number[]): void {
  say();
  for (const row of table(titles, rows, left)) say(row);
}

/** The answer, then a sentence for each part of it; what is lacking with its mend. */
export function sayOverview(o: CostOverview): void {
  sayFolded(o.verdict);
  const parts = [o.unit, o.price, o.breakEven, o.next, o.crossover, o.ways];
  for (const part of parts) {
    if (part === null) continue;
    say();
    sayFolded(part.verdict);
  }
  sayNotes(
    Object.values(o.lacking).flatMap((list) => list.map((p) => p.message)),
    'Not told',
  );
  sayNotes([drawn(o.draws, o.seed), ...o.notes], 'Notes');
}

const drawn = (runs: number, seed: number) =>
  `${runs} draws, seed ${seed} (--seed ${seed} draws the same, another one anew)`;

export function sayUnitCost(o: UnitCostOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  sayTable(
    ['what', o.currency, 'in one', 'from'],
    [
      ...o.lines.map((l) => [
        l.what,
        text(l.cost_minor),
        l.quantity === null ? '' : `${Number(l.quantity.toFixed(2))}${l.kind === 'labour' ? ' min' : ''}`,
        l.fromUnits === null ? l.basis : `${l.basis}, ${l.fromUnits} units`,
      ]),
      ['cost of a good unit', text(o.cost_minor), '', ''],
    ],
    [0, 3],
  );
  if (o.learning !== null && o.learning.rate < 1)
    sayNotes([`${o.learning.model} model, ${Math.round(100 * o.learning.rate)} % with each doubling`], 'Learning');
  sayNotes([`seed ${o.seed}`, ...o.notes], 'Notes');
}

export function sayPrice(o: PriceOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  sayTable(
    ['a unit', o.currency],
    [
      ['cost', text(o.cost_minor)],
      ['fees', text(o.fees_minor)],
      ['stays', text(o.profit_minor)],
      ['net price', text(o.price_minor)],
      ['with tax', text(o.gross_minor)],
    ],
  );
  sayNotes([`margin ${share(o.margin)} of the price, mark-up ${share(o.markup)} of the cost`, ...o.notes], 'Notes');
}

export function sayBreakEven(o: BreakEvenOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  const many = (n: number | null) => (n === null ? 'never' : String(n));
  sayTable(
    ['break-even', 'value'],
    [
      ['units', many(o.units)],
      ['over the spread of the cost', `${many(o.unitsLow)} to ${many(o.unitsHigh)}`],
      [`sales, ${o.currency}`, o.sales_minor === null ? '' : text(o.sales_minor)],
      [`paid once, ${o.currency}`, text(o.fixed_minor)],
      ...(o.target_minor > 0 ? [[`profit wanted, ${o.currency}`, text(o.target_minor)]] : []),
      [`a unit brings, ${o.currency}`, text(o.contribution_minor)],
      [`may stay unsold of ${o.planned}`, o.marginOfSafety === null ? 'none' : share(o.marginOfSafety)],
    ],
  );
  sayNotes(o.notes, 'Notes');
}

export function sayCrossover(o: CrossoverOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  sayTable(
    ['housings', 'saved, 5 %', '50 %', `95 %, ${o.currency}`],
    o.savings.map((s) => [String(s.quantity), text(s.low_minor), text(s.middle_minor), text(s.high_minor)]),
  );
  const years = (y: number | null) => (y === null ? 'never' : y.toFixed(1));
  sayTable(
    [`over ${o.years} years`, '5 %', '50 %', '95 %', 'by the means'],
    [
      [
        `worth today at ${o.interest_pct} %, ${o.currency}`,
        text(o.worth.low_minor),
        text(o.worth.middle_minor),
        text(o.worth.high_minor),
        text(o.worth_minor),
      ],
      [
        'paid back after, years',
        years(o.paybackLow_years),
        years(o.paybackMiddle_years),
        years(o.paybackHigh_years),
        years(o.payback_years),
      ],
    ],
  );
  sayNotes([drawn(o.runs, o.seed), ...o.notes], 'Notes');
}

export function sayNext(o: NextOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  sayTable(
    ['next batch', 'value'],
    [
      ['asked for in a month', o.perMonth.toFixed(1)],
      [`demand, ${o.ahead_months} months ahead`, `${o.demand.low} to ${o.demand.high}`],
      ['best stock', String(o.stock)],
      ['in hand', String(o.inHand)],
      ['waited for', String(o.waited)],
      ['begin now', String(o.begin)],
      [`begin to be ${share(o.service)} sure of enough`, String(o.beginSure)],
      ['begin the next at', String(o.reorderPoint)],
      [`profit, ${o.currency}`, `${text(o.profit.low_minor)} to ${text(o.profit.high_minor)}`],
      ['chance of a loss', share(o.profit.lossChance)],
    ],
  );
  sayNotes([drawn(o.runs, o.seed), ...o.notes], 'Notes');
}

export function sayWays(o: WaysOutcome): void {
  const text = sums(o.currency);
  const row = (name: string, of: (w: WaysOutcome['ways'][number]) => string) => [name, ...o.ways.map(of)];
  sayFolded(o.verdict);
  sayTable(
    [o.currency, ...o.ways.map((w) => w.name)],
    [
      row('parts', (w) => text(w.parts_minor)),
      row('labour', (w) => text(w.labour_minor)),
      row('lost units', (w) => text(w.loss_minor)),
      row('support', (w) => text(w.support_minor)),
      row('returns', (w) => text(w.returns_minor)),
      row('packing', (w) => text(w.packing_minor)),
      row('cost', (w) => text(w.cost_minor)),
      row('price', (w) => text(w.price_minor)),
      row('fees', (w) => text(w.fees_minor)),
      row('stays', (w) => text(w.profit_minor)),
      row('margin', (w) => share(w.margin)),
      row('sold a month', (w) => String(Number(w.demand_month.toFixed(1)))),
      row('hours a month', (w) => w.hours_month.toFixed(1)),
      row('stays a month', (w) => text(w.profit_month_minor)),
      row('an hour brings', (w) => (w.earned_h_minor === null ? '' : text(w.earned_h_minor))),
    ],
  );
  sayNotes(o.notes, 'Notes');
}

export function sayOrder(o: OrderSizeOutcome): void {
  const text = sums(o.currency);
  const few = (v: number) => String(Number(v.toPrecision(4)));
  sayFolded(o.verdict);
  sayTable(
    ['order', 'value'],
    [
      ['pieces in a year', few(o.demand_year)],
      ['by the formula', few(o.exact)],
      ['orders in a year', few(o.orders_year)],
      ['days between', few(o.between_days)],
      [`ordering and keeping, ${o.currency}`, text(o.keeping_minor)],
      [`with the goods, ${o.currency}`, text(o.total_minor)],
      ...(o.reorderPoint === null
        ? []
        : [
            ['order when left', few(o.reorderPoint)],
            [`of it for safety, ${share(o.service)}`, few(o.safety!)],
          ]),
    ],
  );
  if (o.sizes.length > 1)
    sayTable(
      ['price from', 'a piece', 'best size', `a year, ${o.currency}`, 'from'],
      o.sizes.map((s) => [String(s.from), text(s.price_minor), few(s.quantity), text(s.total_minor), s.supplier ?? '']),
      [4],
    );
  sayNotes(o.notes, 'Notes');
}

export function sayStarts(o: StartsOutcome): void {
  sayFolded(o.verdict);
  sayTable(
    ['to begin', 'value'],
    [
      ['to come out good', String(o.good)],
      ['share that does', share(o.yieldShare)],
      ...(o.steps > 1 ? [[`of a step, were all ${o.steps} alike`, share(o.yieldOfStep)]] : []),
      ['begun, on average', String(o.onAverage)],
      [`begun, ${share(o.sure)} sure`, String(o.starts)],
      ['chance of enough with it', share(o.chance)],
      ...(o.asked === null ? [] : [[`chance of enough with ${o.asked.starts}`, share(o.asked.chance)]]),
    ],
  );
  sayNotes(o.notes, 'Notes');
}

export function saySpares(o: SparesOutcome): void {
  sayFolded(o.verdict);
  sayTable(
    ['warranty', 'value'],
    [
      ['units in the field', String(o.units)],
      ['fail in a year', share(o.rate_pct / 100)],
      ['years', String(o.years)],
      ['replacements to expect', o.mean.toFixed(1)],
      [`spares, ${share(o.sure)} sure`, String(o.spares)],
      ...(o.cost_minor === null || o.currency === null ? [] : [['they cost', moneyText(o.cost_minor, o.currency)]]),
    ],
  );
  sayNotes(o.notes, 'Notes');
}

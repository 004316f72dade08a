/** How costs are printed: the sentence first. */
import type { UnitCostOutcome } from '../../app/bench/cost.ts';
import type { CrossoverOutcome, NextOutcome } from '../../app/bench/cost-ahead.ts';
import { type BreakEvenOutcome, moneyText, type PriceOutcome, type WaysOutcome } from '../../app/bench/cost-price.ts';
import { say, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

const share = (s: number) => `${(100 * s).toFixed(1)} %`;
const sums = (currency: string) => (minor: number) => moneyText(minor, currency).replace(` ${currency}`, '');

function sayTable(titles: readonly string[], rows: readonly (readonly string[])[], left?: readonly number[]): void {
  say();
  for (const row of table(titles, rows, left)) say(row);
}

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
  sayNotes(o.notes, 'Notes');
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
  sayFolded(o.verdict);
  sayNotes(o.notes, 'Notes');
}

export function sayCrossover(o: CrossoverOutcome): void {
  const text = sums(o.currency);
  sayFolded(o.verdict);
  sayTable(
    ['housings', 'saved, 5 %', '50 %', `95 %, ${o.currency}`],
    o.savings.map((s) => [String(s.quantity), text(s.low_minor), text(s.middle_minor), text(s.high_minor)]),
  );
  sayNotes([`${o.runs} draws, seed ${o.seed}`, ...o.notes], 'Notes');
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
      ['begin the next at', String(o.reorderPoint)],
      [`profit, ${o.currency}`, `${text(o.profit.low_minor)} to ${text(o.profit.high_minor)}`],
      ['chance of a loss', share(o.profit.lossChance)],
    ],
  );
  sayNotes([`${o.runs} draws, seed ${o.seed}`, ...o.notes], 'Notes');
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

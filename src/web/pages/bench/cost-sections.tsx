/** What follows from a cost: the roll-up, own tool or bought in, how many next, and ways to sell. */
import type { UnitCostOutcome } from '../../../app/bench/cost.ts';
import type { CrossoverOutcome, NextOutcome } from '../../../app/bench/cost-ahead.ts';
import type { WayRow, WaysOutcome } from '../../../app/bench/cost-price.ts';
import { amountText, currencyDigits } from '../../../core/money/index.ts';
import {
  type CrossoverPicture,
  crossoverAt,
  crossoverChart,
  type ProfitPicture,
  profitBars,
  profitChart,
} from '../../../report/index.ts';
import { Picture } from '../../parts/picture.tsx';
import { DataTable } from '../../parts/table.tsx';
import { figures, format } from '../../state/settings.ts';

export const sumIn = (currency: string) => (minor: number) =>
  format.value.fixed(minor / 10 ** currencyDigits(currency), currencyDigits(currency));
const plainIn = (currency: string) => (minor: number) => amountText({ minor, currency });

export function Notes({ list }: { readonly list: readonly string[] }) {
  if (list.length === 0) return null;
  return (
    <ul class="notes quiet">
      {list.map((note) => (
        <li key={note}>{note}</li>
      ))}
    </ul>
  );
}

function Share({ share, measured }: { readonly share: number; readonly measured: boolean }) {
  const wide = Math.max(1, Math.min(1, share) * 64);
  return (
    <span class="whisker">
      <svg width="68" height="14" viewBox="-2 0 68 14" aria-hidden="true">
        <rect
          x="0"
          y="2.5"
          width={wide}
          height="9"
          fill={measured ? 'var(--lake)' : 'none'}
          stroke="var(--lake)"
          stroke-dasharray={measured ? undefined : '3 2'}
        />
      </svg>{' '}
      {format.value.percent(share)}
    </span>
  );
}

/** Lines of the cost; what was measured is drawn full, what is thought open. */
export function RollUp({ cost }: { readonly cost: UnitCostOutcome }) {
  const text = sumIn(cost.currency);
  const plain = plainIn(cost.currency);
  return (
    <section aria-labelledby="rollup-h">
      <h2 id="rollup-h">What it is made of</h2>
      <DataTable
        caption={`Cost of a good unit of ${cost.name}`}
        file={`${cost.name} cost`}
        columns={[
          { key: 'what', head: 'what' },
          { key: 'sum', head: cost.currency, figures: true },
          { key: 'share', head: 'share; dashed: not measured' },
          { key: 'from', head: 'from' },
          { key: 'n', head: 'pieces or min', figures: true },
        ]}
        rows={[
          ...cost.lines.map((l, i) => ({
            key: `${i} ${l.what}`,
            cells: [
              l.what,
              text(l.cost_minor),
              <Share
                key="s"
                share={l.cost_minor / Math.max(1, cost.cost_minor)}
                measured={l.basis === 'measured' || l.basis === 'lot in the stores'}
              />,
              l.fromUnits === null ? l.basis : `${l.basis}, ${l.fromUnits} ${l.fromUnits === 1 ? 'unit' : 'units'}`,
              l.quantity === null ? '' : format.value.figure(l.quantity, 3),
            ],
          })),
          { key: 'all', emphasis: true, cells: ['a good unit', text(cost.cost_minor), '', '', ''] },
        ]}
        csv={() => [
          ['what', 'kind', `cost_${cost.currency}`, 'quantity', 'basis', 'from_units'],
          ...cost.lines.map((l) => [l.what, l.kind, plain(l.cost_minor), l.quantity, l.basis, l.fromUnits]),
        ]}
      />
      <Notes list={cost.notes} />
    </section>
  );
}

export function Crossover({ outcome }: { readonly outcome: CrossoverOutcome }) {
  const scale = 10 ** currencyDigits(outcome.currency);
  const input: CrossoverPicture = {
    currency: outcome.currency,
    savings: outcome.savings.map((s) => ({
      quantity: s.quantity,
      low: s.low_minor / scale,
      middle: s.middle_minor / scale,
      high: s.high_minor / scale,
    })),
    from: { low: outcome.unitsLow, middle: outcome.unitsMiddle, high: outcome.unitsHigh },
  };
  const text = sumIn(outcome.currency);
  return (
    <Picture
      id="crossover"
      heading="Own tool or bought in"
      said={outcome.verdict}
      name="housings"
      draw={(o) => crossoverChart(input, o)}
      stops={() => outcome.savings.map((s) => ({ x: crossoverAt(input, s.quantity), y: null }))}
      readout={({ stop }) => {
        const s = outcome.savings[stop ?? 0];
        return stop === undefined || s === undefined
          ? ''
          : `${s.quantity} housings: ${text(s.middle_minor)} ${outcome.currency} saved, ${text(s.low_minor)} to ${text(s.high_minor)} in nine cases of ten`;
      }}
      csv={() => [
        ['housings', 'saved_low', 'saved_middle', 'saved_high', 'currency'],
        ...input.savings.map((s) => [s.quantity, s.low, s.middle, s.high, outcome.currency]),
      ]}
    >
      <Notes list={[`${outcome.runs} draws, seed ${outcome.seed}`, ...outcome.notes]} />
    </Picture>
  );
}

export function Next({ outcome }: { readonly outcome: NextOutcome }) {
  const { profit, currency } = outcome;
  const scale = 10 ** currencyDigits(currency);
  const input: ProfitPicture = {
    name: `${outcome.begin} of ${outcome.name}`,
    currency,
    quantiles: profit.quantiles_minor.map((q) => q / scale),
    lossChance: profit.lossChance,
  };
  const bars = profitBars(input.quantiles);
  const written = figures.value;
  const rows: readonly (readonly [string, string])[] = [
    ['asked for in a month', format.value.figure(outcome.perMonth, 3)],
    [`demand, ${format.value.figure(outcome.ahead_months, 3)} months ahead`, span(outcome.demand)],
    ['best stock', String(outcome.stock)],
    ['in hand', String(outcome.inHand)],
    ['waited for', String(outcome.waited)],
    ['begin now', String(outcome.begin)],
    ['begin the next at', String(outcome.reorderPoint)],
    ['chance of a loss', format.value.percent(profit.lossChance)],
  ];
  const table = (
    <DataTable
      caption="The next batch"
      file={`${outcome.name} next batch`}
      columns={[
        { key: 'what', head: 'next batch' },
        { key: 'n', head: 'value', figures: true },
      ]}
      rows={rows.map(([what, value]) => ({ key: what, cells: [what, value] }))}
      csv={() => [['what', 'value'], ...rows]}
    />
  );
  const notes = <Notes list={[`${outcome.runs} draws, seed ${outcome.seed}`, ...outcome.notes]} />;
  if (outcome.begin === 0)
    return (
      <section aria-labelledby="next-h">
        <h2 id="next-h">How many next</h2>
        <p class="said">{outcome.verdict}</p>
        {table}
        {notes}
      </section>
    );
  return (
    <Picture
      id="next"
      heading="How many next"
      said={outcome.verdict}
      name={outcome.name}
      draw={(o) => profitChart(input, o)}
      stops={() => bars.map((_, i) => ({ x: (i + 0.5) / bars.length, y: null }))}
      readout={({ stop }) => {
        const bar = bars[stop ?? 0];
        return stop === undefined || bar === undefined
          ? ''
          : `${written.number(bar.from)} to ${written.number(bar.to)} ${currency}: chance ${written.percent(bar.share)}`;
      }}
      csv={() => [['chance', `profit_${currency}`], ...input.quantiles.map((q, i) => [i / 100, q])]}
    >
      {table}
      {notes}
    </Picture>
  );
}

const span = ({ low, high }: { readonly low: number; readonly high: number }) => `${low} to ${high}`;

export function Ways({ outcome }: { readonly outcome: WaysOutcome }) {
  const text = sumIn(outcome.currency);
  const plain = plainIn(outcome.currency);
  const sums: readonly (readonly [string, (w: WayRow) => number])[] = [
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
  const rest: readonly (readonly [string, (w: WayRow) => string])[] = [
    ['margin', (w) => format.value.percent(w.margin)],
    ['sold in a month', (w) => format.value.figure(w.demand_month, 3)],
    ['hours in a month', (w) => format.value.fixed(w.hours_month, 1)],
    [`an hour brings, ${outcome.currency}`, (w) => (w.earned_h_minor === null ? '' : text(w.earned_h_minor))],
  ];
  return (
    <section aria-labelledby="ways-h">
      <h2 id="ways-h">Ways to sell it</h2>
      <p class="said">{outcome.verdict}</p>
      <DataTable
        caption="For one sold, side by side"
        file="ways to sell"
        columns={[
          { key: 'what', head: outcome.currency },
          ...outcome.ways.map((w) => ({ key: w.way, head: w.name, figures: true })),
        ]}
        rows={[
          ...sums.map(([what, of]) => ({
            key: what,
            cells: [what, ...outcome.ways.map((w) => text(of(w)))],
            emphasis: what === 'cost' || what === 'stays in a month',
          })),
          ...rest.map(([what, of]) => ({ key: what, cells: [what, ...outcome.ways.map(of)] })),
        ]}
        csv={() => [
          ['what', ...outcome.ways.map((w) => w.way)],
          ...sums.map(([what, of]) => [`${what}, ${outcome.currency}`, ...outcome.ways.map((w) => plain(of(w)))]),
          ['margin', ...outcome.ways.map((w) => w.margin)],
          ['sold_month', ...outcome.ways.map((w) => w.demand_month)],
          ['hours_month', ...outcome.ways.map((w) => w.hours_month)],
          ['earned_h', ...outcome.ways.map((w) => (w.earned_h_minor === null ? null : plain(w.earned_h_minor)))],
        ]}
      />
      <Notes list={outcome.notes} />
    </section>
  );
}

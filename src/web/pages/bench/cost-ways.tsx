/** Ways to sell the same kit, side by side. */
import { WAY_SUMS } from '../../../app/bench/cost-pictures.ts';
import type { WayRow, WaysOutcome } from '../../../app/bench/cost-ways.ts';
import { DataTable } from '../../parts/table.tsx';
import { format } from '../../state/settings.ts';
import { Notes, plainIn, sumIn } from './cost-lines.tsx';

export function Ways({ outcome }: { readonly outcome: WaysOutcome }) {
  const text = sumIn(outcome.currency);
  const plain = plainIn(outcome.currency);
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
          ...WAY_SUMS.map(([what, of]) => ({
            key: what,
            cells: [what, ...outcome.ways.map((w) => text(of(w)))],
            emphasis: what === 'cost' || what === 'stays in a month',
          })),
          ...rest.map(([what, of]) => ({ key: what, cells: [what, ...outcome.ways.map(of)] })),
        ]}
        csv={() => [
          ['what', ...outcome.ways.map((w) => w.way)],
          ...WAY_SUMS.map(([what, of]) => [`${what}, ${outcome.currency}`, ...outcome.ways.map((w) => plain(of(w)))]),
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

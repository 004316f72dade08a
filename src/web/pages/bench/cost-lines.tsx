/** What a unit is made of, line by line. */
import type { UnitCostOutcome } from '../../../app/bench/cost.ts';
import { fromText } from '../../../app/bench/cost-pictures.ts';
import { amountText, currencyDigits } from '../../../core/money/index.ts';
import { DataTable } from '../../parts/table.tsx';
import { format } from '../../state/settings.ts';

export const sumIn = (currency: string) => (minor: number) =>
  format.value.fixed(minor / 10 ** currencyDigits(currency), currencyDigits(currency));
export const plainIn = (currency: string) => (minor: number) => amountText({ minor, currency });

/** What a figure rests on; more than two sentences stand behind one click. */
export function Notes({ list }: { readonly list: readonly string[] }) {
  if (list.length === 0) return null;
  const all = (
    <ul class="notes quiet">
      {list.map((note) => (
        <li key={note}>{note}</li>
      ))}
    </ul>
  );
  if (list.length <= 2) return all;
  return (
    <details>
      <summary>What it rests on</summary>
      {all}
    </details>
  );
}

/** Bars are as long as their share of the largest line. */
function Share(props: { readonly share: number; readonly largest: number; readonly measured: boolean }) {
  const { share, largest, measured } = props;
  const wide = Math.max(1, Math.min(1, share / largest) * 64);
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
  const largest = Math.max(1, ...cost.lines.map((l) => l.cost_minor)) / Math.max(1, cost.cost_minor);
  return (
    <section class="cost-lines" aria-labelledby="rollup-h">
      <h2 id="rollup-h">What it is made of</h2>
      <DataTable
        caption={`Cost of a good unit of ${cost.name}; dashed bars are not measured`}
        file={`${cost.name} cost`}
        columns={[
          { key: 'what', head: 'what' },
          { key: 'sum', head: cost.currency, figures: true },
          { key: 'share', head: 'share' },
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
                largest={largest}
                measured={l.basis === 'measured' || l.basis === 'lot in the stores'}
              />,
              <span key="f" class="from">
                {fromText(l)}
              </span>,
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

/** What a unit is made of, line by line. */
import type { UnitCostOutcome } from '../../../app/bench/cost.ts';
import { fromText } from '../../../app/bench/cost-pictures.ts';
import { amountText, currencyDigits } from '../../../core/money/index.ts';
import { DataTable } from '../../parts/table.tsx';
import { format } from '../../state/settings.ts';

export const sumIn = (currency: string) => (minor: number) =>
  format.value.fixed(minor / 10 ** currencyDigits(currency), currencyDigits(currency));
export const plainIn = (currency: string) => (minor: number) => amountText({ minor, currency });

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
              fromText(l),
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

/** The stores: parts with their lots, and a lot that has come in. */
import type { StoredLot, StoredPart } from '../../../app/bench/stores.ts';
import { parseAmount } from '../../../core/money/index.ts';
import { UserError } from '../../../core/units/index.ts';
import { getStores } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { lotOf } from '../../routes.ts';
import { format } from '../../state/settings.ts';
import { counted, DeedForm } from './parts.tsx';
import { useRead } from './use-read.ts';

const number = (n: number) => format.value.figure(n, 9);

export function Stores() {
  const { value, problems } = useRead('stores', getStores);
  return (
    <section aria-labelledby="stores-h">
      <h2 id="stores-h">Stores</h2>
      <Problems list={problems} />
      {value === null ? (
        <p class="said">Reading the stores …</p>
      ) : (
        <>
          <p class="said">{value.verdict}</p>
          {value.parts.length === 0 ? null : <Table parts={value.parts} />}
          {value.parts.length === 0 ? (
            <p>
              No part is known yet: <code>sunperch stores parts FILE</code> takes a list.
            </p>
          ) : (
            <details>
              <summary>A lot has come in</summary>
              <Receive parts={value.parts} />
            </details>
          )}
        </>
      )}
    </section>
  );
}

const lotsSaid = (lot: StoredLot): string =>
  [
    lot.quarantined !== null ? 'quarantined' : '',
    lot.inspection === 'due' || lot.inspection === 'drawn' ? `inspection ${lot.inspection}` : '',
    lot.left < 0 ? 'less than none' : '',
  ]
    .filter(Boolean)
    .join(', ');

function Table({ parts }: { readonly parts: readonly StoredPart[] }) {
  return (
    <DataTable
      caption="Pieces that are free, and lots with what is left of each"
      file="stores"
      columns={[
        { key: 'part', head: 'part' },
        { key: 'free', head: 'free', figures: true },
        { key: 'held', head: 'quarantined', figures: true },
        { key: 'lots', head: 'lots, left' },
      ]}
      rows={parts.map((p) => ({
        key: p.part,
        cells: [
          p.name,
          `${number(p.free)}${p.measured === 'piece' ? '' : ` ${p.measured}`}`,
          p.quarantined === 0 ? '' : number(p.quarantined),
          <ul key="l" class="lots">
            {p.lots.map((lot) => (
              <li key={lot.key}>
                <a href={lotOf(lot.key)}>{lot.key}</a> {number(lot.left)}
                {lotsSaid(lot) === '' ? null : (
                  <b>
                    {' '}
                    {lotsSaid(lot)}
                    {lot.quarantined !== null && lot.unitsWith > 0 ? `, in ${counted(lot.unitsWith, 'unit')}` : ''}
                  </b>
                )}
              </li>
            ))}
          </ul>,
        ],
      }))}
      csv={() => [
        ['part', 'lot', 'supplier', 'received', 'left', 'quarantined', 'inspection', 'units_with'],
        ...parts.flatMap((p) =>
          p.lots.map((l) => [p.part, l.key, l.supplier, l.received, l.left, l.quarantined, l.inspection, l.unitsWith]),
        ),
      ]}
    />
  );
}

/** A sum as it was typed in the currency's large unit, exactly in its small one. */
export function minorOf(text: string | undefined, currency: string): number {
  return text === undefined || text.trim() === '' ? 0 : parseAmount(text.trim(), currency).minor;
}

function Receive({ parts }: { readonly parts: readonly StoredPart[] }) {
  return (
    <DeedForm
      id="receive"
      button="Note the lot"
      fields={[
        { key: 'part', label: 'part', choices: parts.map((p) => [p.part, p.name] as const) },
        { key: 'count', label: 'pieces', figures: true },
        { key: 'supplier', label: 'supplier' },
        { key: 'currency', label: 'currency', start: 'EUR' },
        { key: 'goods', label: 'price of all', figures: true, hint: 'such as 684.00' },
        { key: 'freight', label: 'freight', figures: true, optional: true },
        { key: 'duty', label: 'duty', figures: true, optional: true },
        { key: 'lot', label: 'key of the lot', optional: true, hint: 'left empty: the part with the next number' },
        { key: 'mark', label: 'supplier’s mark', optional: true },
      ]}
      deedOf={(v) => {
        const count = Number(v['count']);
        if (!Number.isInteger(count) || count < 1)
          return { code: 'not-a-count', message: `pieces is ${v['count']}: a whole number from 1 is wanted` };
        const currency = v['currency']!.trim().toUpperCase();
        try {
          return {
            deed: {
              deed: 'receive',
              part: v['part']!,
              count,
              supplier: v['supplier']!.trim(),
              currency,
              goods_minor: minorOf(v['goods'], currency),
              freight_minor: minorOf(v['freight'], currency),
              duty_minor: minorOf(v['duty'], currency),
              ...(v['lot']?.trim() ? { lot: v['lot'].trim() } : {}),
              ...(v['mark']?.trim() ? { supplierLot: v['mark'].trim() } : {}),
            },
            said: `${count} of ${v['part']} have come in`,
          };
        } catch (error) {
          if (error instanceof UserError) return error.problems[0]!;
          throw error;
        }
      }}
    />
  );
}

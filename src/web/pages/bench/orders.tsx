/** Orders and who waits, and what to order for the next units. */
import { useState } from 'preact/hooks';
import type { BatchPage, BenchFront } from '../../../app/bench/front.ts';
import type { OrderRow } from '../../../app/bench/looks.ts';
import { placeOf } from '../../../app/bench/order-place.ts';
import { amountText } from '../../../core/money/index.ts';
import { UserError } from '../../../core/units/index.ts';
import { getOrdering, getPlaces } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { orderOf } from '../../routes.ts';
import { format } from '../../state/settings.ts';
import { dayShown } from './days.ts';
import { OrderActs } from './order-acts.tsx';
import { counted, DeedForm } from './parts.tsx';
import { CheckPlaces, PlaceWord } from './places.tsx';
import { useRead } from './use-read.ts';

type Plans = BenchFront['plans'];

export function Orders(props: {
  readonly orders: readonly OrderRow[];
  readonly plans: Plans;
  readonly page: BatchPage | null;
}) {
  const { orders, plans, page } = props;
  const known = useRead('places', getPlaces);
  const places = known.value?.places ?? [];
  const placeOfRow = (key: string) => places.find((p) => p.order === key);
  const open = orders.filter((o) => !o.cancelled);
  const waits = open.reduce((sum, o) => sum + o.waits, 0);
  return (
    <section aria-labelledby="orders-h">
      <h2 id="orders-h">Orders</h2>
      <p class="said">
        {open.length === 0
          ? 'Nobody has ordered yet.'
          : waits === 0
            ? `${counted(open.length, 'order')}, and nobody waits.`
            : `${counted(open.length, 'order')}; ${counted(waits, 'unit is', 'units are')} waited for, those that are due first.`}
      </p>
      {orders.length === 0 ? null : (
        <DataTable
          caption="The waiting list: by the day on which they are due, then as they came"
          file="orders"
          columns={[
            { key: 'customer', head: 'customer' },
            { key: 'place', head: 'at its place' },
            { key: 'count', head: 'ordered', figures: true },
            { key: 'kept', head: 'kept', figures: true },
            { key: 'shipped', head: 'shipped', figures: true },
            { key: 'waits', head: 'waits for', figures: true },
            { key: 'due', head: 'due' },
            { key: 'do', head: <span class="unseen">what to do</span> },
          ]}
          rows={orders.map((o) => ({
            key: o.order,
            cells: [
              <span key="c">
                <a href={orderOf(o.order)}>{o.customer}</a>{' '}
                {o.place === null || o.place === o.customer ? null : <span class="quiet">{o.place}</span>}
              </span>,
              o.cancelled ? '' : <PlaceWord key="p" state={placeOfRow(o.order)?.state ?? 'not checked yet'} />,
              o.count,
              o.reserved.length,
              o.shipped.length,
              o.cancelled ? 'cancelled' : o.waits,
              o.due === null ? '' : dayShown(o.due),
              o.cancelled ? '' : <OrderActs key="a" order={o} page={page} />,
            ],
          }))}
          csv={() => [
            [
              'order',
              'customer',
              'plan',
              'region',
              'count',
              'reserved',
              'shipped',
              'waits',
              'due',
              'place',
              'place_state',
              'cancelled',
            ],
            ...orders.map((o) => [
              ...[o.order, o.customer, o.plan, o.region, o.count, o.reserved.join(' '), o.shipped.join(' ')],
              ...[o.waits, o.due, o.place, placeOfRow(o.order)?.state ?? null, o.cancelled ? 1 : 0],
            ]),
          ]}
        />
      )}
      <CheckPlaces places={places} onDone={known.again} />
      {plans.length === 0 ? null : (
        <>
          <details>
            <summary>Take an order</summary>
            <PlaceOrder plans={plans} />
          </details>
          <details>
            <summary>What to order</summary>
            <WhatToOrder plans={plans} />
          </details>
        </>
      )}
    </section>
  );
}

const REGIONS = ['EU', 'UK', 'US', 'AU', 'NZ', 'JP', 'IN'] as const;

function PlaceOrder({ plans }: { readonly plans: Plans }) {
  return (
    <DeedForm
      id="order"
      button="Take the order"
      fields={[
        { key: 'order', label: 'key', hint: 'small letters and digits, such as hut-kaldra' },
        { key: 'customer', label: 'customer' },
        { key: 'plan', label: 'plan', choices: plans.map((p) => [p.plan, p.name] as const) },
        { key: 'count', label: 'units', figures: true },
        { key: 'region', label: 'region', choices: REGIONS.map((r) => [r, r] as const) },
        { key: 'place', label: 'place', optional: true },
        {
          key: 'at',
          label: 'position',
          optional: true,
          hint: 'latitude, longitude: 46.42, 10.19; for the check of the place',
        },
        { key: 'due', label: 'due', optional: true, date: true },
      ]}
      deedOf={(v) => {
        const count = Number(v['count']);
        if (!Number.isInteger(count) || count < 1)
          return { code: 'not-a-count', message: `units is ${v['count']}: a whole number from 1 is wanted` };
        let place: ReturnType<typeof placeOf>;
        try {
          place = placeOf(v['place']?.trim() || undefined, v['at']?.trim() || undefined);
        } catch (error) {
          if (error instanceof UserError) return error.problems[0]!;
          throw error;
        }
        return {
          deed: {
            deed: 'place-order',
            order: v['order']!.trim(),
            customer: v['customer']!.trim(),
            plan: v['plan']!,
            count,
            region: v['region'] as (typeof REGIONS)[number],
            ...(place === undefined ? {} : { place }),
            ...(v['due'] ? { due: v['due'] } : {}),
          },
          said: `order of ${v['customer']}`,
        };
      }}
    />
  );
}

function WhatToOrder({ plans }: { readonly plans: Plans }) {
  const [plan, setPlan] = useState(plans[0]!.plan);
  const [units, setUnits] = useState('60');
  const { regions } = plans.find((p) => p.plan === plan)!;
  const [wish, setWish] = useState('');
  const region = regions.includes(wish) ? wish : (regions[0] ?? '');
  const [due, setDue] = useState('');
  const count = /^[1-9]\d{0,4}$/.test(units.trim()) ? Number(units) : null;
  const { value, problems } = useRead(count === null ? null : `${plan} ${count} ${region} ${due}`, () =>
    getOrdering(plan, count!, region, due),
  );
  return (
    <>
      <p class="find">
        <label>
          plan{' '}
          <select value={plan} onChange={(event) => setPlan(event.currentTarget.value)}>
            {plans.map((p) => (
              <option key={p.plan} value={p.plan}>
                {p.name}
              </option>
            ))}
          </select>
        </label>
        {regions.length < 2 ? null : (
          <label>
            for{' '}
            <select value={region} onChange={(event) => setWish(event.currentTarget.value)}>
              {regions.map((r) => (
                <option key={r} value={r}>
                  {r}
                </option>
              ))}
            </select>
          </label>
        )}
        <label class="short">
          units{' '}
          <input
            type="text"
            inputMode="numeric"
            class="figures"
            value={units}
            onInput={(event) => setUnits(event.currentTarget.value)}
          />
        </label>
        <label>
          wanted by <input type="date" value={due} onInput={(event) => setDue(event.currentTarget.value)} />
        </label>
      </p>
      {count === null ? <p class="said">Units is a whole number from 1.</p> : null}
      <Problems list={problems} />
      {value === null ? null : (
        <>
          <p class="said">{value.verdict}</p>
          <DataTable
            caption="Lines of the bill of materials"
            file={`to order for ${value.units} of ${value.plan}`}
            columns={[
              { key: 'part', head: 'part' },
              { key: 'need', head: 'wanted', figures: true },
              { key: 'free', head: 'free', figures: true },
              { key: 'missing', head: 'missing', figures: true },
              { key: 'order', head: 'order', figures: true },
              { key: 'from', head: 'from' },
              { key: 'cost', head: 'landed', figures: true },
              { key: 'by', head: 'at the latest' },
            ]}
            rows={value.lines.map((l) => ({
              key: l.part,
              cells: [
                l.name,
                format.value.figure(l.need, 9),
                format.value.figure(l.free - l.spokenFor, 9),
                l.missing === 0 ? '' : format.value.figure(l.missing, 9),
                l.order === null ? '' : format.value.figure(l.order.count, 9),
                l.order === null ? (l.missing > 0 ? 'nobody offers it' : '') : l.order.supplier,
                l.order === null ? '' : amountText({ minor: l.order.landed_minor, currency: l.order.currency }),
                l.order?.orderBy ? dayShown(l.order.orderBy) : '',
              ],
            }))}
            csv={() => [
              [
                'part',
                'need',
                'free',
                'spoken_for',
                'missing',
                'order',
                'supplier',
                'landed_minor',
                'currency',
                'order_by',
              ],
              ...value.lines.map((l) => [
                ...[l.part, l.need, l.free, l.spokenFor, l.missing, l.order?.count ?? null, l.order?.supplier ?? null],
                ...[l.order?.landed_minor ?? null, l.order?.currency ?? null, l.order?.orderBy ?? null],
              ]),
            ]}
          />
          <ul class="notes quiet">
            {value.assumptions.map((a) => (
              <li key={a}>{a}</li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}

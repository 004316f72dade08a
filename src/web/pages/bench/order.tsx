/** One order: does its kit stay up where it will stand, what is kept and shipped, and who waits. */
import type { OrderRow } from '../../../app/bench/looks.ts';
import type { OrderPlaceAnswer } from '../../../server/api.ts';
import { getBench, getOrderPlace } from '../../api/bench.ts';
import { Strip } from '../../parts/strip.tsx';
import { DataTable } from '../../parts/table.tsx';
import { benchOf, unitOf } from '../../routes.ts';
import { format } from '../../state/settings.ts';
import { Waiting } from '../waiting.tsx';
import { dayShown } from './days.ts';
import { NotShown } from './not-shown.tsx';
import { OrderActs } from './order-acts.tsx';
import { counted } from './parts.tsx';
import { CheckPlace, PlaceWord } from './places.tsx';
import { OnTheWay, Signer } from './signed.tsx';
import { useRead } from './use-read.ts';

export function OrderPageView({ order: key }: { readonly order: string }) {
  const front = useRead('bench', getBench);
  const place = useRead(`place ${key}`, () => getOrderPlace(key));
  const row = front.value?.orders.find((o) => o.order === key);
  const problems = [...front.problems, ...place.problems];
  if (row === undefined || place.value === null)
    return problems.length === 0 && (front.value === null || row !== undefined) ? (
      <Waiting what={`order ${key}`} />
    ) : (
      <NotShown said={`No order can be shown for ${key}.`} problems={problems}>
        <p>
          <a href={benchOf(undefined, 'orders')}>All orders</a>
        </p>
      </NotShown>
    );
  return <Shown row={row} place={place.value} again={place.again} />;
}

function Shown({
  row,
  place,
  again,
}: {
  readonly row: OrderRow;
  readonly place: OrderPlaceAnswer;
  readonly again: () => void;
}) {
  const { customer, order } = row;
  return (
    <div class="page at-bench">
      <div class="thing">
        <b>Order {order}</b>
        <PlaceWord state={place.state} />
        <a href={benchOf(undefined, 'orders')}>all orders</a>
        <Signer />
      </div>
      <OnTheWay />
      <main>
        <h1>
          {place.verdict !== ''
            ? place.verdict
            : place.why !== null
              ? `Whether the kit stays up for ${customer} cannot be checked.`
              : `Whether the kit stays up at ${place.place ?? order} is not checked yet.`}
        </h1>
        {place.why === null ? null : <p class="said">{sentence(place.why)}</p>}
        {place.why === null ? (
          <div class="actions">
            <CheckPlace order={order} state={place.state} onDone={again} />
          </div>
        ) : null}
        <PlaceFigures place={place} />
        <section aria-labelledby="units-of-order">
          <h2 id="units-of-order">Units</h2>
          <p class="said">{unitsSaid(row)}</p>
          <Serials title="Kept" list={row.reserved} />
          <Serials title="Shipped" list={row.shipped} />
          {row.cancelled ? null : <OrderActs order={row} page={null} />}
        </section>
      </main>
    </div>
  );
}

function unitsSaid(row: OrderRow): string {
  const { customer, count, plan, region, waits, due, cancelled } = row;
  const wanted = `${customer} ordered ${counted(count, 'unit')} of ${plan} for ${region}${due === null ? '' : `, due ${dayShown(due)}`}`;
  if (cancelled) return `${wanted}. It is cancelled.`;
  return `${wanted}; ${waits === 0 ? 'nothing is waited for' : `${waits} ${waits === 1 ? 'is' : 'are'} waited for`}.`;
}

function Serials({ title, list }: { readonly title: string; readonly list: readonly string[] }) {
  if (list.length === 0) return null;
  return (
    <p>
      {title}:{' '}
      {list.map((serial, i) => (
        <span key={serial}>
          {i === 0 ? '' : ', '}
          <a href={unitOf(serial)}>{serial}</a>
        </span>
      ))}
    </p>
  );
}

/** The year of the kit at the place, what was tried, and what was taken for granted. */
function PlaceFigures({ place: { outcome } }: { readonly place: OrderPlaceAnswer }) {
  if (outcome === null) return null;
  const percent = (share: number) => format.value.figure(Math.round(1000 * share) / 10, 3);
  return (
    <>
      <p>
        <Strip
          id="place-strip"
          strip={outcome.strip}
          name={`${outcome.kit} at ${outcome.place}`}
          width={400}
          height={44}
        />
      </p>
      {outcome.changes.length === 0 ? null : (
        <DataTable
          caption="Changes tried, the smallest first"
          file={`changes for ${outcome.place}`}
          columns={[
            { key: 'change', head: 'change' },
            { key: 'share', head: 'dark winters, %', figures: true },
            { key: 'high', head: 'at most, %', figures: true },
            { key: 'holds', head: 'holds' },
          ]}
          rows={outcome.changes.map((c) => ({
            key: c.change,
            emphasis: c.holds,
            cells: [c.change, percent(c.darkYearShare.mean), percent(c.darkYearShare.high), c.holds ? 'holds' : ''],
          }))}
          csv={() => [
            ['change', 'set', 'dark_year_share', 'dark_year_share_high', 'holds'],
            ...outcome.changes.map((c) => [
              ...[c.change, c.set.join(' '), c.darkYearShare.mean, c.darkYearShare.high, c.holds ? 1 : 0],
            ]),
          ]}
        />
      )}
      <details>
        <summary>What was taken for granted</summary>
        <ul class="notes quiet">
          {outcome.notes.map((note) => (
            <li key={note}>{sentence(note)}</li>
          ))}
        </ul>
      </details>
    </>
  );
}

const sentence = (text: string) => `${text[0]!.toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`;

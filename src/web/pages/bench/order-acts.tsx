/** What may be done with an order. */
import type { BatchPage } from '../../../app/bench/front.ts';
import type { OrderRow } from '../../../app/bench/looks.ts';
import { Problems } from '../../parts/problems.tsx';
import { counted, useAct } from './parts.tsx';

/** Units of the batch in hand that are ready and kept for nobody. */
function freeFor(order: OrderRow, page: BatchPage | null): string[] {
  if (page === null || page.look.plan !== order.plan || !page.look.serves.includes(order.region)) return [];
  return page.look.units
    .filter((u) => u.standing === 'ready' && u.order === null)
    .slice(0, order.waits)
    .map((u) => u.serial);
}

/** Keeping units that are ready, and cancelling. */
export function OrderActs({ order, page }: { readonly order: OrderRow; readonly page: BatchPage | null }) {
  const { busy, problems, act } = useAct();
  const units = freeFor(order, page);
  return (
    <span class="list-acts">
      {units.length === 0 ? null : (
        <button
          type="button"
          class="plain"
          disabled={busy}
          onClick={() =>
            void act(
              { deed: 'reserve', order: order.order, units },
              `keep ${counted(units.length, 'unit')} for ${order.customer}`,
            )
          }
        >
          keep {units.length}
        </button>
      )}
      {order.waits + order.reserved.length === 0 ? null : (
        <button
          type="button"
          class="plain"
          disabled={busy}
          aria-label={`cancel ${order.shipped.length > 0 ? 'the rest of ' : ''}the order of ${order.customer}`}
          onClick={() => void act({ deed: 'cancel-order', order: order.order }, `cancel order ${order.order}`)}
        >
          {order.shipped.length > 0 ? 'cancel the rest' : 'cancel'}
        </button>
      )}
      <Problems list={problems} />
    </span>
  );
}

/** Tables whose rows have a key of their own: parts, orders, lots. */
import { userError } from '../../core/units/index.ts';
import { type ContentOf, streamOf } from '../../records/bench/index.ts';
import { partIn, planIn } from './find.ts';
import { placeOrder } from './leaving.ts';
import { alike, type Cells, finder, keyOf, onlyOnce, sound, type TableIn, told } from './tables-read.ts';

/** Whether everything that a row tells stands there so. */
const stands = (content: object, held: object): boolean =>
  Object.entries(content).every(
    ([field, value]) =>
      field === 'kind' || field === 'happenedAt' || alike((held as Record<string, unknown>)[field], value),
  );

export const parts: TableIn = {
  fields: [
    ...['key', 'name', 'is', 'measured', 'inspection_level', 'inspection_aql_pct'],
    ...['cell_capacity_mAh', 'cell_nominal_V', 'cell_lithium', 'note'],
  ],
  needs: ['key'],
  begin({ state, take }) {
    const once = onlyOnce('the key');
    return {
      row(cells, row) {
        const key = keyOf(cells);
        once(key, row);
        const before = state.parts.get(key);
        const content = sound({
          kind: 'part-saved',
          ...told({
            name: cells.text('name') || before?.name,
            is: cells.text('is') || before?.is,
            measured: cells.text('measured') || before?.measured,
            note: cells.text('note'),
            inspection: inspectionOf(cells) as unknown as string,
            cell: cellOf(cells) as unknown as string,
          }),
        });
        const { offers: _, ...read } = content as ContentOf<'part-saved'>;
        const preview = { key, ...read };
        if (before !== undefined && stands(read, before)) return { preview, deeds: [] };
        // A table of parts has no offers and no approvals: those that stand there are kept.
        const { key: _k, number: _n, savedAt: _s, ...kept } = before ?? { key, number: 0, savedAt: '', offers: [] };
        const deeds = [{ stream: streamOf('part', key), content: sound({ ...kept, ...read }) }];
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

function inspectionOf(cells: Cells) {
  const level = cells.text('inspection_level');
  const aql_pct = cells.number('inspection_aql_pct');
  return level === '' && aql_pct === undefined ? undefined : { level, aql_pct };
}

function cellOf(cells: Cells) {
  const capacity_mAh = cells.number('cell_capacity_mAh');
  const nominal_V = cells.number('cell_nominal_V');
  if (capacity_mAh === undefined && nominal_V === undefined) return undefined;
  return {
    capacity_mAh,
    nominal_V,
    ...(cells.text('cell_lithium') === '' ? {} : { lithium: cells.yes('cell_lithium') }),
  };
}

export const lots: TableIn = {
  fields: [
    ...['key', 'part', 'count', 'supplier', 'supplierLot', 'currency', 'goods', 'freight', 'duty', 'fees'],
    ...['received', 'note'],
  ],
  needs: ['key', 'part', 'count', 'supplier', 'currency', 'goods'],
  begin({ state, take }) {
    const once = onlyOnce('the key');
    const partNamed = finder(state.parts, 'part', (key) => partIn(state, key));
    return {
      row(cells, row) {
        const key = keyOf(cells);
        once(key, row);
        const currency = cells.text('currency');
        const content = sound({
          kind: 'lot-received',
          ...told<unknown>({
            part: cells.text('part'),
            count: cells.number('count'),
            supplier: cells.text('supplier'),
            supplierLot: cells.text('supplierLot'),
            currency,
            goods_minor: cells.sum('goods', currency),
            freight_minor: cells.sum('freight', currency),
            duty_minor: cells.sum('duty', currency),
            fees_minor: cells.sum('fees', currency),
            note: cells.text('note'),
            happenedAt: cells.moment('received'),
          }),
        }) as ContentOf<'lot-received'>;
        partNamed(content.part);
        const preview = { key, ...content };
        const before = state.lots.get(key);
        if (before !== undefined && stands(content, before)) return { preview, deeds: [] };
        if (before !== undefined) throw isThere('lot', key);
        const deeds = [{ stream: streamOf('lot', key), content }];
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

const isThere = (what: string, key: string) =>
  userError('import-exists', `${what} ${key} is there already with other values: what is recorded is not overwritten`);

export const orders: TableIn = {
  fields: [
    ...['key', 'customer', 'plan', 'count', 'region', 'place', 'latitude_deg', 'longitude_deg', 'due', 'price'],
    ...['currency', 'note', 'placed', 'cancelled'],
  ],
  needs: ['key', 'customer', 'plan', 'count', 'region'],
  begin({ state, take }) {
    const once = onlyOnce('the key');
    const planNamed = finder(state.plans, 'plan', (key) => planIn(state, key));
    return {
      row(cells, row) {
        const key = keyOf(cells);
        once(key, row);
        const currency = cells.text('currency');
        const name = cells.text('place');
        const latitude_deg = cells.number('latitude_deg');
        const longitude_deg = cells.number('longitude_deg');
        const placed = name !== '' || latitude_deg !== undefined || longitude_deg !== undefined;
        const happenedAt = cells.moment('placed');
        const content = sound({
          kind: 'order-placed',
          ...told<unknown>({
            customer: cells.text('customer'),
            plan: cells.text('plan'),
            count: cells.number('count'),
            region: cells.text('region'),
            place: placed ? told<unknown>({ name, latitude_deg, longitude_deg }) : undefined,
            due: cells.text('due'),
            price_minor: cells.sum('price', currency),
            currency,
            note: cells.text('note'),
            happenedAt,
          }),
        }) as ContentOf<'order-placed'>;
        planNamed(content.plan);
        const cancelled = cells.yes('cancelled');
        const preview = { key, ...content, ...(cancelled ? { cancelled: 'yes' } : {}) };
        const before = state.orders.get(key);
        if (before !== undefined && !stands(content, before)) throw isThere('order', key);
        const { kind: _, ...order } = content;
        const deeds = before === undefined ? [...placeOrder(state, key, order)] : [];
        if (cancelled && before?.cancelled !== true)
          deeds.push({ stream: streamOf('order', key), content: { kind: 'order-cancelled' } });
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

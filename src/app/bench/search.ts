/** Finding a unit, lot, part, batch or order by a few letters of anything that names it. */
import { normaliseSerial } from '../../core/quality/index.ts';
import { planOfUnit } from './find.ts';
import { orderOf, standingOf } from './looks.ts';
import { type BenchState, quarantinedLots } from './state.ts';

export interface Hit {
  readonly kind: 'unit' | 'batch' | 'lot' | 'part' | 'order';
  readonly key: string;
  /** What it is, in a few words. */
  readonly said: string;
}
export interface FindOutcome {
  readonly text: string;
  readonly hits: readonly Hit[];
  /** Hits beyond those that are told. */
  readonly more: number;
}

/** Signs that the eye takes for one another, as one of them. */
const asRead = (serial: string): string => serial.replaceAll('O', '0').replace(/[IL]/g, '1');

/** At most so many hits are told. */
export const MOST_HITS = 50;

/**
 * Everything whose key, name, customer or supplier holds the text; units by their serial with or without hyphens, and by the
 * order, customer or lot that they belong to. Exact ones first, then those that begin so, then the rest.
 */
export function findInBench(state: BenchState, text: string): FindOutcome {
  const wanted = text.trim().toLowerCase();
  if (wanted === '') return { text, hits: [], more: 0 };
  const bare = normaliseSerial(wanted);
  const read = asRead(bare);
  const ranked: { readonly rank: number; readonly hit: () => Hit }[] = [];
  const rankOf = (...names: (string | undefined)[]) => {
    let best = 4;
    for (const name of names) {
      const at = name === undefined ? -1 : name.toLowerCase().indexOf(wanted);
      if (at >= 0) best = Math.min(best, at > 0 ? 2 : name!.length === wanted.length ? 0 : 1);
    }
    return best;
  };
  const take = (rank: number, hit: () => Hit) => {
    if (rank < 4) ranked.push({ rank, hit });
  };
  const lotsOf = new Map<string, number>();
  for (const lot of state.lots.values()) {
    const rank = rankOf(lot.key, lot.supplierLot, lot.supplier);
    take(rank, () => ({
      kind: 'lot',
      key: lot.key,
      said: `${lot.left} left of ${lot.part}${lot.quarantined === null ? '' : ', quarantined'}`,
    }));
    if (rankOf(lot.key) === 0) for (const serial of lot.units.keys()) lotsOf.set(serial, 3);
  }
  for (const part of state.parts.values())
    take(rankOf(part.key, part.name), () => ({ kind: 'part', key: part.key, said: part.name }));
  for (const batch of state.batches.values())
    take(rankOf(batch.key, batch.name), () => ({
      kind: 'batch',
      key: batch.key,
      said: `${batch.count} of ${batch.plan}`,
    }));
  for (const order of state.orders.values())
    take(rankOf(order.key, order.customer, order.place?.name), () => ({
      kind: 'order',
      key: order.key,
      said: `${order.count} for ${order.customer}`,
    }));
  const quarantined = quarantinedLots(state);
  for (const unit of state.units.values()) {
    const order = orderOf(unit);
    const plain = normaliseSerial(unit.serial);
    const at = bare.length < 2 ? -1 : plain.indexOf(bare);
    // O for 0 and I or L for 1 are read alike by eye; what is right to the letter stands before it.
    const bySerial =
      at < 0 ? (bare.length > 2 && asRead(plain).includes(read) ? 3 : 4) : at > 0 ? 2 : plain === bare ? 0 : 1;
    const byOrder = order && rankOf(order, state.orders.get(order)?.customer) < 4 ? 3 : 4;
    take(Math.min(bySerial, byOrder, lotsOf.get(unit.serial) ?? 4), () => ({
      kind: 'unit',
      key: unit.serial,
      said: `${standingOf(unit, planOfUnit(state, unit), quarantined)}, batch ${unit.batch}`,
    }));
  }
  // Sorting is stable: within a rank the order of the bench stays.
  ranked.sort((a, b) => a.rank - b.rank);
  return {
    text,
    hits: ranked.slice(0, MOST_HITS).map(({ hit }) => hit()),
    more: Math.max(0, ranked.length - MOST_HITS),
  };
}

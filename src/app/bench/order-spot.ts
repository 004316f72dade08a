/** Where the units of an order will stand: one answer for the check of its place and for the forecasts of its units. */
import { userError } from '../../core/units/index.ts';
import { greatCircle_km, REFERENCE_CLIMATES } from '../../core/weather/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { isMapping } from '../../records/index.ts';
import { weatherOf } from '../check-record.ts';
import { keyFrom } from '../record-file.ts';
import type { WorkshopStore } from '../store-port.ts';
import type { OrderState } from './state.ts';

/** A perch of the workshop: its key and its file as plain value. */
export interface KnownPerch {
  readonly key: string;
  readonly value: unknown;
}

export interface OrderSpot {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** The perch that has name and position of the place; null where the workshop knows none. */
  readonly perch: KnownPerch | null;
}

/**
 * The place of an order, and the perch of the workshop that it is.
 *
 * @throws UserError (`order-no-place`) when the order has no position
 */
export async function spotOfOrder(
  store: Pick<WorkshopStore, 'newest'>,
  order: Pick<OrderState, 'key' | 'place'>,
): Promise<OrderSpot> {
  const at = positionOf(order);
  const name = order.place?.name ?? order.key;
  return { name, ...at, perch: await perchAt(store, name, at) };
}

/**
 * Position of an order: its own, or that of a reference climate of the same name.
 *
 * @throws UserError (`order-no-place`) when it has neither
 */
export function positionOf(order: Pick<OrderState, 'key' | 'place'>): { latitude_deg: number; longitude_deg: number } {
  const { name, latitude_deg, longitude_deg } = order.place ?? {};
  if (latitude_deg !== undefined && longitude_deg !== undefined) return { latitude_deg, longitude_deg };
  const named = REFERENCE_CLIMATES.find((climate) => climate.name.toLowerCase() === name?.trim().toLowerCase());
  if (named !== undefined) return { latitude_deg: named.latitude_deg, longitude_deg: named.longitude_deg };
  throw userError(
    'order-no-place',
    `${name === undefined ? `order ${order.key} has no place` : `'${name}' is no reference climate and order ${order.key} has no position`}: place the order again with its latitude and longitude (--at LAT,LON)`,
    { field: 'place' },
  );
}

/** A perch of that name is the place of an order when it stands no farther from it, km (judgement): farther off the skyline is another. */
const SAME_PLACE_km = 0.3;

/** One whose weather is a file elsewhere does not count: such a file is not at hand here. */
async function perchAt(
  store: Pick<WorkshopStore, 'newest'>,
  name: string,
  at: ReturnType<typeof positionOf>,
): Promise<KnownPerch | null> {
  const key = keyFrom(name, 'perch');
  const newest = await store.newest({ kind: 'perch', key });
  if (newest === undefined || newest.content === null) return null;
  const { value } = parseYamlRecord(newest.content, `perch ${key}`);
  if (!isMapping(value) || weatherOf(value) !== undefined) return null;
  const [lat, lon] = [value['latitude_deg'], value['longitude_deg']];
  if (typeof lat !== 'number' || typeof lon !== 'number') return null;
  return greatCircle_km(lat, lon, at.latitude_deg, at.longitude_deg) <= SAME_PLACE_km ? { key, value } : null;
}

/** What is to be computed for the forecast of one unit: its own kit, where it stands or will stand. */
import { UserError, userError } from '../../core/units/index.ts';
import { nearestClimate } from '../../core/weather/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import type { UnitState } from '../../records/bench/index.ts';
import { applySettings, isMapping } from '../../records/index.ts';
import { WEATHER_ELSEWHERE, weatherOf } from '../check-record.ts';
import type { JobInput } from '../job-kinds.ts';
import type { WorkshopStore } from '../store-port.ts';
import { orderIn, unitIn } from './find.ts';
import { orderOf } from './looks.ts';
import { spotOfOrder } from './order-spot.ts';
import type { BenchState } from './state.ts';
import { type UnitTold, unitKit } from './unit-kit.ts';

type Store = Pick<WorkshopStore, 'history' | 'newest'>;

/** Where a unit stands or will stand, and how that is known. */
export interface UnitPlace {
  readonly name: string;
  /** Perch of the workshop at which it was put up, or that its order's place is; null where only the order tells a place. */
  readonly perch: string | null;
  readonly order: string | null;
  readonly notes: readonly string[];
}

export interface UnitForecastAsked {
  readonly told: UnitTold;
  readonly place: UnitPlace;
  /** A job of the kind `year`: the kit bears the serial in its name. */
  readonly input: JobInput;
}

/**
 * The question of a unit: at the perch where it was put up, else at the perch that has name and position of its order's place,
 * else at that place with the weather of the nearest reference climate.
 *
 * @throws UserError (`unit-no-place`) when neither is known, and whatever keeps kit or perch from being read
 */
export async function unitForecastAsked(store: Store, state: BenchState, typed: string): Promise<UnitForecastAsked> {
  const unit = unitIn(state, typed);
  const { place, perch } = await placeOfUnit(store, state, unit);
  const { told, found, settings } = await unitKit(store, state, unit.serial);
  const { raw } = applySettings(found.source.value, settings, 'kit');
  const name = isMapping(raw) && typeof raw['name'] === 'string' ? raw['name'] : told.kit;
  const kit = { ...(raw as object), name: `${name.slice(0, 160)} ${unit.serial}` };
  return { told, place, input: { command: 'year', kit, perch } };
}

async function placeOfUnit(
  store: Store,
  state: BenchState,
  unit: UnitState,
): Promise<{ place: UnitPlace; perch: unknown }> {
  const key = orderOf(unit);
  if (unit.installed !== null) {
    const { perch } = unit.installed;
    const value = await perchThere(store, perch);
    if (weatherOf(value) !== undefined) throw new UserError(WEATHER_ELSEWHERE);
    const name = isMapping(value) && typeof value['name'] === 'string' ? value['name'] : perch;
    return { place: { name, perch, order: key, notes: [] }, perch: value };
  }
  if (key === null)
    throw userError(
      'unit-no-place',
      `${unit.serial} is for no order and stands at no perch: keep it for an order that has a place, or note where it was put up`,
      { field: 'unit' },
    );
  const order = orderIn(state, key);
  const { name, latitude_deg, longitude_deg, perch } = await spotOfOrder(store, order);
  if (perch !== null) return { place: { name, perch: perch.key, order: key, notes: [] }, perch: perch.value };
  const { climate, distance_km } = nearestClimate(latitude_deg, longitude_deg);
  return {
    place: {
      name,
      perch: null,
      order: key,
      notes: [
        `weather of ${climate.name}, ${Math.round(distance_km)} km away, and its height of ${climate.elevation_m} m; no skyline, the panel facing the equator: a perch of the workshop tells more`,
      ],
    },
    perch: { name: name.slice(0, 80), latitude_deg, longitude_deg, elevation_m: climate.elevation_m },
  };
}

/**
 * The value of a perch of the workshop.
 *
 * @throws UserError when there is none of that key
 */
export async function perchThere(store: Pick<WorkshopStore, 'newest'>, key: string): Promise<unknown> {
  const newest = await store.newest({ kind: 'perch', key });
  if (newest === undefined || newest.content === null)
    throw userError(
      'no-such-perch',
      newest === undefined
        ? `there is no perch ${key} in this workshop: save it first, or name another`
        : `the perch ${key} was taken out of this workshop: bring it back, or name another`,
      { field: 'perch' },
    );
  return parseYamlRecord(newest.content, `perch ${key}`).value;
}

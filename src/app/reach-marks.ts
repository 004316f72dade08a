/** Named places of a reach as marks on its map. */
import { spanOf } from '../report/reach-image.ts';
import type { MapPlace } from '../report/reach-map.ts';
import type { Reach, ReachedPlace } from './reach.ts';

/** Not reached first, nearest first; then reached, weakest first. */
export function byNeed<T extends Pick<ReachedPlace, 'reached' | 'distance_km' | 'margin_dB'>>(
  places: readonly T[],
): T[] {
  return [...places].sort((a, b) =>
    a.reached !== b.reached
      ? Number(a.reached) - Number(b.reached)
      : a.reached
        ? a.margin_dB - b.margin_dB
        : a.distance_km - b.distance_km,
  );
}

/** Where a place lies on the square map, as shares of its side. */
export function markOf({ ground, field }: Pick<Reach, 'ground' | 'field'>, p: ReachedPlace): MapPlace {
  const at = ground.placeOf(p.latitude_deg, p.longitude_deg);
  const share = (offset_km: number) => 0.5 + offset_km / (2 * spanOf(field));
  return {
    name: p.name,
    reached: p.reached,
    x: share((at.column - field.centre.column) * field.cellWidth_km),
    y: share((at.row - field.centre.row) * field.cellHeight_km),
  };
}

/** Links among perches with the same kit, each computed once. */
import type { GridPlace } from '../core/reach/index.ts';
import type { Ground } from './ground.ts';
import type { Station } from './link.ts';
import { type LinkMore, type LinkOver, type LinkScale, linkOver, linkScale } from './margin.ts';
import { USUAL_AIR } from './path-loss.ts';

export interface Standing {
  readonly name: string;
  readonly place: GridPlace;
  readonly ground_m: number;
  readonly height_m: number;
}

/** Links from each candidate to each other perch, kit to kit, and among the others. */
export interface Links {
  own(candidate: number, other: number): LinkOver | null;
  between(i: number, j: number): LinkOver | null;
}

export function linkTable(
  ground: Ground,
  station: Station,
  stands: readonly Standing[],
  others: readonly Standing[],
  bands?: LinkMore['bands'],
): Links {
  const known = new Map<string, LinkOver | null>();
  const link = (from: Standing, to: Standing): LinkOver | null => {
    const key = from.name < to.name ? `${from.name}\n${to.name}` : `${to.name}\n${from.name}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    const apart = Math.hypot(from.place.row - to.place.row, from.place.column - to.place.column);
    const scale = kitToKit(station, from.height_m, to.height_m, bands);
    const found = apart < 1 ? null : linkOver(ground, from.place, to.place, scale);
    known.set(key, found);
    return found;
  };
  return {
    own: (i, j) => (others[j]!.name === stands[i]!.name ? null : link(stands[i]!, others[j]!)),
    between: (i, j) => link(others[i]!, others[j]!),
  };
}

const kitToKit = (station: Station, from_m: number, to_m: number, bands: LinkMore['bands']): LinkScale =>
  linkScale({ ...station, height_m: from_m }, { ...station, height_m: to_m }, 0, USUAL_AIR.effectiveRadius_km, {
    bands,
  });

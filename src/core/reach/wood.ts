import type { CoverClass, CoverKind } from '../terrain/index.ts';

/** Classes by number, from 1: 0 stands for an antenna that nothing around it overtops. */
const NUMBER: Readonly<Record<CoverClass, number>> = {
  open: 1,
  water: 2,
  'low plants': 3,
  houses: 4,
  town: 5,
  'dense town': 6,
  woods: 7,
};
export const WOODS_AROUND = NUMBER.woods;

/** Depth at which the loss in a wood has reached its most, m: beyond it no more is counted (within 0.01 dB of the limit). */
export const MOST_WOOD_m = 2000;

/**
 * By kind, what an antenna of that height stands in: the number of the class where the cover overtops it (or a loss is told for a cover
 * without height), 0 where it does not.
 */
export function shelters(kinds: readonly CoverKind[], height_m: number): Uint8Array {
  return Uint8Array.from(kinds, ({ cover, height_m: top_m, loss_dB }) =>
    top_m > height_m || (top_m === 0 && loss_dB !== undefined) ? NUMBER[cover] : 0,
  );
}

/** A profile with what grows on it; arrays of the caller. */
export interface WoodedProfile {
  readonly distance_km: Float64Array;
  /** Bare ground above the sea. */
  readonly ground_m: Float64Array;
  /** Index of `top_m` at each point. */
  readonly kind: Uint8Array;
  /** Wooded share of the ground around each point, 0 to 1. */
  readonly woods: Float32Array;
}

/**
 * Metres of wood that a ray runs through from an antenna below the tree tops, until it leaves them by the edge or over the tops.
 *
 * The antenna stands at point `at`, the walk goes towards point `stop`. `ray_m` is the antenna above the sea less c·x² (the Earth's
 * curve, c = 500/radius), `slope_m_km` the ray's rise away from it on heights lowered like that. `around` and `top_m`: class number and
 * height by kind. The share of wood is summed along the way, so an edge is met between two points to about a metre; not validated.
 */
export function woodDepth_m(
  profile: WoodedProfile,
  at: number,
  stop: number,
  ray_m: number,
  slope_m_km: number,
  c: number,
  around: Uint8Array,
  top_m: Float64Array,
): number {
  const { distance_km, ground_m, kind, woods } = profile;
  const way = stop < at ? -1 : 1;
  const x0 = distance_km[at]!;
  let canopy_m = top_m[kind[at]!]!;
  let x = x0;
  let under_m = ground_m[at]! + canopy_m - c * x0 * x0 - ray_m;
  let share = woods[at]!;
  let depth_m = 0;
  for (let i = at; i !== stop && share > 0; ) {
    i += way;
    const xi = distance_km[i]!;
    if (around[kind[i]!] === WOODS_AROUND) canopy_m = top_m[kind[i]!]!;
    const below_m = ground_m[i]! + canopy_m - c * xi * xi - (ray_m + slope_m_km * Math.abs(xi - x0));
    const step_m = 500 * (share + woods[i]!) * Math.abs(xi - x);
    if (below_m <= 0) return Math.min(MOST_WOOD_m, depth_m + (step_m * under_m) / (under_m - below_m));
    depth_m += step_m;
    if (depth_m >= MOST_WOOD_m) return MOST_WOOD_m;
    x = xi;
    under_m = below_m;
    share = woods[i]!;
  }
  return depth_m;
}

/** Whether two depths at the ends of one path are one wood: then it counts once. */
export const oneWood = (from_m: number, to_m: number, distance_km: number, unbroken: boolean): boolean =>
  from_m + to_m > 1000 * distance_km || (unbroken && from_m >= MOST_WOOD_m && to_m >= MOST_WOOD_m);

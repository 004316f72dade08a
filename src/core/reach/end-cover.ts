import { type ClutterKind, terminalClutterLoss_dB, woodlandLoss_dB } from '../path/index.ts';
import type { CoverClass, CoverKind } from '../terrain/index.ts';
import { oneWood, shelters, WOODS_AROUND, type WoodedProfile, woodDepth_m } from './wood.ts';

/** What an antenna stands in. */
export interface StandsIn {
  readonly kind: CoverKind;
  /** In woods: metres of it that the ray runs through, counted at this end; else null. */
  readonly depth_m: number | null;
}

/** A path with the cover on it, as it is to be computed. */
export interface CoveredPath {
  /** Height of the cover as an obstacle: none in the stretches in which an antenna stands, for there its loss is that of the end. */
  readonly clutter_m: Float64Array;
  /** Height of the cover as it is. */
  readonly cover_m: Float64Array;
  readonly from: StandsIn | null;
  readonly to: StandsIn | null;
}

/**
 * What ground cover does to one path: obstacles between the ends, and what stands around each end.
 *
 * Between the ends the representative height stands on the ground (ITU-R P.1812-8, sec. 3.2.1). An antenna below the top of what it stands in
 * has the loss of that cover at its end (`standingLoss_dB`); then the unbroken stretch of that class around it is no obstacle besides: one of
 * the two, never both. A wood that reaches unbroken over a ridge is therefore counted at the ends alone, its height on the ridge is not.
 * `radius_km` is the Earth's effective radius. Not validated against measurement.
 */
export function coverPath(
  profile: WoodedProfile,
  kinds: readonly CoverKind[],
  fromHeight_m: number,
  toHeight_m: number,
  radius_km: number,
): CoveredPath {
  const { distance_km, ground_m, kind } = profile;
  const last = kind.length - 1;
  const aroundFrom = shelters(kinds, fromHeight_m);
  const aroundTo = shelters(kinds, toHeight_m);
  const top_m = Float64Array.from(kinds, (k) => k.height_m);
  const cover_m = Float64Array.from(kind, (k) => top_m[k]!);
  const clutter_m = Float64Array.from(cover_m);
  const fromEnd = runEnd(kind, aroundFrom, 0, last);
  const toEnd = runEnd(kind, aroundTo, last, 0);
  clutter_m.fill(0, 1, Math.max(1, fromEnd + 1));
  clutter_m.fill(0, Math.min(last, toEnd), last);
  clutter_m[0] = cover_m[0]!;
  clutter_m[last] = cover_m[last]!;

  const c = 500 / radius_km;
  const d = distance_km[last]!;
  const from_m = ground_m[0]! + fromHeight_m;
  const to_m = ground_m[last]! + toHeight_m - c * d * d;
  let rise = (to_m - from_m) / d;
  let back = -rise;
  for (let i = 1; i < last; i++) {
    const x = distance_km[i]!;
    const lowered_m = ground_m[i]! + clutter_m[i]! - c * x * x;
    rise = Math.max(rise, (lowered_m - from_m) / x);
    back = Math.max(back, (lowered_m - to_m) / (d - x));
  }
  const toDepth_m =
    aroundTo[kind[last]!] === WOODS_AROUND ? woodDepth_m(profile, last, 0, to_m, back, c, aroundTo, top_m) : 0;
  let fromDepth_m =
    aroundFrom[kind[0]!] === WOODS_AROUND ? woodDepth_m(profile, 0, last, from_m, rise, c, aroundFrom, top_m) : 0;
  if (oneWood(fromDepth_m, toDepth_m, d, fromEnd === last)) fromDepth_m = 0;
  const stands = (at: number, around: Uint8Array, depth_m: number): StandsIn | null => {
    const found = around[kind[at]!]!;
    return found === 0 ? null : { kind: kinds[kind[at]!]!, depth_m: found === WOODS_AROUND ? depth_m : null };
  };
  return {
    clutter_m,
    cover_m,
    from: stands(0, aroundFrom, fromDepth_m),
    to: stands(last, aroundTo, toDepth_m),
  };
}

/** Last point of the unbroken stretch around an end, going from it towards another; a point outside where the antenna stands free. */
function runEnd(kind: Uint8Array, around: Uint8Array, at: number, stop: number): number {
  const way = stop < at ? -1 : 1;
  const own = around[kind[at]!]!;
  if (own === 0) return at;
  let i = at;
  while (i !== stop && around[kind[i + way]!] === own) i += way;
  return i;
}

/** What each class is in ITU-R P.2108; all but open ground and water follow one equation, with their own height. */
const AS_CLUTTER: Readonly<Record<CoverClass, ClutterKind>> = {
  open: 'open',
  water: 'water',
  'low plants': 'woods',
  houses: 'suburban',
  town: 'urban',
  'dense town': 'dense urban',
  woods: 'woods',
};

/** Other woods differ from the measured one by a factor of two either way, taken as two standard deviations (judgement). */
export const WOOD_SPREAD = 1 / 3;

/**
 * Loss of an antenna by what it stands in, dB, with its standard deviation: the loss told for it; in woods ITU-R P.833 over the depth; else the
 * height gain of ITU-R P.2108, sec. 3.1.
 *
 * @throws UserError outside the frequencies of these: 30 to 3000 MHz, in woods 105.9 to 2117.5 MHz
 */
export function standingLoss_dB(
  { kind, depth_m }: StandsIn,
  height_m: number,
  frequency_MHz: number,
): { readonly loss_dB: number; readonly spread_dB: number } {
  if (kind.loss_dB !== undefined) return { loss_dB: kind.loss_dB, spread_dB: 0 };
  if (depth_m !== null) {
    const loss_dB = woodlandLoss_dB(frequency_MHz, depth_m);
    return { loss_dB, spread_dB: WOOD_SPREAD * loss_dB };
  }
  const loss_dB = terminalClutterLoss_dB({
    frequency_MHz,
    height_m,
    kind: AS_CLUTTER[kind.cover],
    clutterHeight_m: kind.height_m,
  });
  return { loss_dB, spread_dB: 0 };
}

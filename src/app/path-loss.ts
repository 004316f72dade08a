/** Loss of a path by one of the two methods, and what of the ground makes it. */
import {
  type Clearance,
  type DiffractionParts,
  deltaBullingtonLoss,
  findClearance,
  medianRadius_km,
  type Polarization,
  type Profile,
  p1812,
  reverseProfile,
} from '../core/path/index.ts';

export type PathMethod = 'p1812' | 'delta-bullington';

export interface LossSettings {
  readonly method: PathMethod;
  readonly frequency_MHz: number;
  readonly time_pct: number;
  readonly locations_pct: number;
  readonly latitude_deg: number;
  readonly deltaN: number;
  readonly n0: number;
  readonly polarization: Polarization;
  /** Side of the square over which an end varies; undefined: no spread. */
  readonly square_m: number | undefined;
  /** Of delta-Bullington; P.1812 has its own from `deltaN`. */
  readonly effectiveRadius_km: number;
}

export interface PathLoss {
  readonly method: PathMethod;
  readonly loss_dB: number;
  readonly freeSpace_dB: number;
  readonly diffraction_dB: number;
  readonly locationSpread_dB: number;
  /** Part of the diffraction that the curve of the Earth adds to that of the ground. */
  readonly earth_dB: number;
}

/** What takes most of the signal beyond free space. */
export type Dominant =
  | 'free space'
  | 'grazing ground'
  | 'one edge'
  | 'two edges'
  | 'several edges'
  | 'the curve of the Earth'
  | 'woods or houses'
  | 'other ways through the air'
  | 'woods at one end'
  | 'clutter at one end'
  | 'walls';

/** Usual values of the air at middle latitudes. */
export const USUAL_AIR = { deltaN: 45, n0: 325, effectiveRadius_km: 8500 } as const;

/** Radius with which the rays of a method are drawn. */
export const radiusOf_km = (s: LossSettings): number =>
  s.method === 'p1812' ? medianRadius_km(s.deltaN) : s.effectiveRadius_km;

/**
 * Loss of a path. The square of P.1812 lies at the far end; `areaAtFirst` turns the profile round so that it is the first one.
 *
 * @throws UserError outside the limits of the method
 */
export function lossOf(
  profile: Profile,
  fromHeight_m: number,
  toHeight_m: number,
  s: LossSettings,
  areaAtFirst = false,
): PathLoss {
  if (s.method === 'delta-bullington') {
    const { frequency_MHz, effectiveRadius_km, polarization } = s;
    const found = deltaBullingtonLoss({
      ...profile,
      frequency_MHz,
      fromHeight_m,
      toHeight_m,
      effectiveRadius_km,
      polarization,
    });
    const { loss_dB, freeSpace_dB, diffraction_dB } = found;
    return {
      method: s.method,
      loss_dB,
      freeSpace_dB,
      diffraction_dB,
      locationSpread_dB: 0,
      earth_dB: earthOf(found.parts),
    };
  }
  const found = p1812({
    ...(areaAtFirst ? reverseProfile(profile) : profile),
    frequency_MHz: s.frequency_MHz,
    fromHeight_m: areaAtFirst ? toHeight_m : fromHeight_m,
    toHeight_m: areaAtFirst ? fromHeight_m : toHeight_m,
    time_pct: s.time_pct,
    locations_pct: s.locations_pct,
    latitude_deg: s.latitude_deg,
    deltaN: s.deltaN,
    n0: s.n0,
    polarization: s.polarization,
    ...(s.square_m === undefined ? {} : { square_m: s.square_m }),
  });
  return {
    method: s.method,
    loss_dB: found.loss_dB,
    freeSpace_dB: found.freeSpace_dB,
    diffraction_dB: found.diffraction_dB,
    locationSpread_dB: found.locationSpread_dB,
    earth_dB: earthOf(found.steps.medianDiffraction),
  };
}

const earthOf = (parts: DiffractionParts) => Math.max(parts.spherical_dB - parts.bullingtonSmooth_dB, 0);

/** The ground against the ray, with the radius of the method. */
export function clearanceOf(profile: Profile, fromHeight_m: number, toHeight_m: number, s: LossSettings): Clearance {
  return findClearance({
    ...profile,
    frequency_MHz: s.frequency_MHz,
    fromHeight_m,
    toHeight_m,
    effectiveRadius_km: radiusOf_km(s),
  });
}

/** Below this a loss does not dominate: the path is as good as free (judgement). */
const NOTHING_dB = 3;

/** Names what dominates: the largest loss beyond free space. `extras` are losses at an end. */
export function dominantOf(
  loss: PathLoss,
  clearance: Clearance,
  extras: readonly { readonly dominant: Dominant; readonly loss_dB: number }[] = [],
): Dominant {
  const diffraction = ground(loss, clearance);
  // Where the Recommendation's other ways (ducts, scatter) carry more than diffraction lets through, the loss lies below the sum.
  const total_dB = loss.freeSpace_dB + loss.diffraction_dB;
  const byOtherWays = loss.loss_dB < total_dB - NOTHING_dB && loss.diffraction_dB > NOTHING_dB;
  const all = [
    { dominant: byOtherWays ? ('other ways through the air' as const) : diffraction, loss_dB: loss.diffraction_dB },
    ...extras,
  ];
  const largest = all.reduce((a, b) => (b.loss_dB > a.loss_dB ? b : a));
  return largest.loss_dB < NOTHING_dB ? 'free space' : largest.dominant;
}

function ground(loss: PathLoss, clearance: Clearance): Dominant {
  if (loss.earth_dB > loss.diffraction_dB / 2) return 'the curve of the Earth';
  if (clearance.byClutterOnly) return 'woods or houses';
  const cutting = clearance.obstacles.filter((p) => p.freeShare < 0).length;
  return cutting === 0 ? 'grazing ground' : cutting === 1 ? 'one edge' : cutting === 2 ? 'two edges' : 'several edges';
}

/**
 * Elevation of the ray as it leaves the first antenna, degrees above the horizontal: towards the other antenna, or towards the point that
 * hides it. Curvature counted.
 */
export function rayElevation_deg(
  profile: Profile,
  fromHeight_m: number,
  toHeight_m: number,
  effectiveRadius_km: number,
): number {
  const { distance_km, height_m, clutter_m } = profile;
  const n = distance_km.length;
  const from_m = height_m[0]! + fromHeight_m;
  let steepest = Number.NEGATIVE_INFINITY;
  for (let i = 1; i < n; i++) {
    const top_m = height_m[i]! + (i === n - 1 ? toHeight_m : (clutter_m?.[i] ?? 0));
    const d = distance_km[i]!;
    steepest = Math.max(steepest, (top_m - from_m) / (1000 * d) - d / (2 * effectiveRadius_km));
  }
  return (Math.atan(steepest) * 180) / Math.PI;
}

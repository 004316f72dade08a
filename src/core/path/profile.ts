import { type Problem, UserError } from '../units/index.ts';

/** Kinds of ground along a path, as ITU-R P.1812 numbers them: sea, coastal land, inland. */
export const ZONE = { sea: 1, coast: 3, inland: 4 } as const;

/** Horizontal or vertical polarization of the wave. */
export type Polarization = 'horizontal' | 'vertical';

/**
 * The ground between two antennas, point by point from the first to the second; all arrays have one length.
 * Distances start at zero and rise. Heights are above sea level, so they may be negative.
 */
export interface Profile {
  readonly distance_km: Float64Array;
  readonly height_m: Float64Array;
  /** Height of trees or houses above the ground; left out means bare ground. */
  readonly clutter_m?: Float64Array | undefined;
  /** Values of `ZONE`; left out means inland throughout. */
  readonly zone?: Uint8Array | undefined;
}

/** Most points that a profile may have: one each 5 m over 500 km; more is taken for a mistake. */
export const MOST_POINTS = 100_000;

/** Problems beyond this number are not spelt out: they are likely one mistake. */
const SHOWN = 10;

/**
 * Checks a profile and tells all that is wrong with it. Needs at least `fewest` points.
 *
 * @throws UserError `path.profile…`, with the number of the point (from 1).
 */
export function checkProfile(profile: Profile, fewest = 3): void {
  const { distance_km, height_m, clutter_m, zone } = profile;
  const n = distance_km.length;
  const problems: Problem[] = [];
  const tell = (code: string, message: string) => {
    if (problems.length < SHOWN) problems.push({ code: `path.profile.${code}`, message });
  };
  for (const [name, list] of [
    ['height_m', height_m],
    ['clutter_m', clutter_m],
    ['zone', zone],
  ] as const) {
    if (list !== undefined && list.length !== n)
      tell('length', `The profile has ${n} distances but ${list.length} values of ${name}: each point needs one.`);
  }
  if (n < fewest) {
    tell(
      'points',
      `The profile has ${n} point${n === 1 ? '' : 's'}, but at least ${fewest} are needed: the two ends and the ground between them.`,
    );
  } else if (n > MOST_POINTS) {
    tell('points', `The profile has ${n} points, more than ${MOST_POINTS}: thin it out, 30 m apart is plenty.`);
  }
  if (problems.length > 0) throw new UserError(problems);
  if (distance_km[0] !== 0)
    tell(
      'start',
      `The profile starts at ${distance_km[0]} km: the first point stands at the first antenna, so it is 0 km.`,
    );
  for (let i = 0; i < n; i++) {
    const d_km = distance_km[i]!;
    if (!Number.isFinite(d_km)) tell('distance', `Point ${i + 1}: distance_km is ${d_km}, not a number of kilometres.`);
    else if (i > 0 && !(d_km > distance_km[i - 1]!))
      tell(
        'order',
        `Point ${i + 1}: distance_km is ${d_km} after ${distance_km[i - 1]}: distances must rise from point to point. Sort the profile, and drop doubles.`,
      );
    const h_m = height_m[i]!;
    if (!(h_m >= -500 && h_m <= 9000))
      tell('height', `Point ${i + 1}: height_m is ${h_m}: ground on Earth lies between -500 and 9000 m above sea.`);
    const c_m = clutter_m === undefined ? 0 : clutter_m[i]!;
    if (!(c_m >= 0 && c_m <= 500))
      tell('clutter', `Point ${i + 1}: clutter_m is ${c_m}: the height of trees or houses lies between 0 and 500 m.`);
    const z = zone === undefined ? ZONE.inland : zone[i]!;
    if (z !== ZONE.sea && z !== ZONE.coast && z !== ZONE.inland)
      tell('zone', `Point ${i + 1}: zone is ${z}: it is 1 (sea), 3 (coast) or 4 (inland).`);
  }
  if (problems.length > 0) throw new UserError(problems);
}

/** The same path seen from the other end: the last point becomes the first. */
export function reverseProfile(profile: Profile): Profile {
  const total_km = profile.distance_km[profile.distance_km.length - 1]!;
  return {
    distance_km: profile.distance_km.map((d_km) => total_km - d_km).reverse(),
    height_m: profile.height_m.slice().reverse(),
    clutter_m: profile.clutter_m?.slice().reverse(),
    zone: profile.zone?.slice().reverse(),
  };
}

/**
 * Share of the path whose nearest profile point is of the given zone, 0..1 (ITU-R P.1812 sec. 4.3.2: half the step to a
 * neighbour of another zone counts with each). No zones means inland throughout.
 */
export function zoneShare(profile: Profile, isOfZone: (zone: number) => boolean): number {
  let share_km = 0;
  forEachRun(profile, isOfZone, (length_km) => {
    share_km += length_km;
  });
  return share_km / profile.distance_km[profile.distance_km.length - 1]!;
}

/** Length of the longest unbroken run of points of the given zone, km, counted like `zoneShare` (P.1812 sec. 4.1). */
export function longestRun_km(profile: Profile, isOfZone: (zone: number) => boolean): number {
  let longest_km = 0;
  forEachRun(profile, isOfZone, (length_km) => {
    longest_km = Math.max(longest_km, length_km);
  });
  return longest_km;
}

function forEachRun(profile: Profile, isOfZone: (zone: number) => boolean, found: (length_km: number) => void): void {
  const { distance_km: d, zone } = profile;
  const last = d.length - 1;
  let start = -1;
  for (let i = 0; i <= last; i++) {
    const inside = isOfZone(zone === undefined ? ZONE.inland : zone[i]!);
    if (inside && start < 0) start = i;
    if (start >= 0 && (!inside || i === last)) {
      const stop = inside ? i : i - 1;
      const from_km = start === 0 ? d[0]! : 0.5 * (d[start - 1]! + d[start]!);
      const to_km = stop === last ? d[last]! : 0.5 * (d[stop]! + d[stop + 1]!);
      found(to_km - from_km);
      start = -1;
    }
  }
}

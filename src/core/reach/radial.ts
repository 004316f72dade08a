import { knifeEdgeLoss_dB, sphericalEarthLoss_dB, type Wave } from '../path/index.ts';
import { copyHull, createHull, type Hull, highestOver, pushPoint, steepestBack } from './hull.ts';
import { smoothBullington_dB } from './smooth-bullington.ts';
import { oneWood, WOODS_AROUND, type WoodedProfile, woodDepth_m } from './wood.ts';

/** Work space of a radial, owned by the caller and overwritten wholly by each call. */
export interface RadialScratch {
  readonly obstacles: Hull;
  readonly bare: Hull;
  /** Obstacles as they were before the stretch of cover in which the receiver stands. */
  readonly before: Hull;
  /** Points that the sender sees over all nearer ones: their slopes and places. */
  readonly seenSlope: Float64Array;
  readonly seenAt: Int32Array;
  /** How many such points there are up to each point. */
  readonly seenUpTo: Int32Array;
}

/** Work space for radials of up to `points` points. */
export function createRadialScratch(points: number): RadialScratch {
  return {
    obstacles: createHull(points),
    bare: createHull(points),
    before: createHull(points),
    seenSlope: new Float64Array(points),
    seenAt: new Int32Array(points),
    seenUpTo: new Int32Array(points),
  };
}

/** What all radials of a coverage share. */
export interface RadialSetting {
  /** Distance between points, km. */
  readonly step_km: number;
  /** Antennas above the ground: at the first point, and at each receiver. */
  readonly fromHeight_m: number;
  readonly toHeight_m: number;
  readonly radius_km: number;
  readonly wave: Wave;
}

/** Results at each point of a radial; written from `first` on, NaN from the first void on. */
export interface RadialOut {
  /** Diffraction loss by delta-Bullington. */
  readonly diffraction_dB: Float32Array;
  /** 1 where the straight ray is free, 0 where ground cuts it. */
  readonly sight: Uint8Array;
  /** Elevation at which the wave leaves the sender and that from which it comes to the receiver, mrad above the horizontal. */
  readonly leaves_mrad: Float32Array;
  readonly arrives_mrad: Float32Array;
}

/** Cover along a radial, with what it does to the ends. */
export interface RadialCover {
  readonly profile: WoodedProfile;
  /** By kind: height, and what the sender and a receiver stand in (`shelters`). */
  readonly top_m: Float64Array;
  readonly aroundFrom: Uint8Array;
  readonly aroundTo: Uint8Array;
  /** Written: metres of wood at the sender and at the receiver, by receiver. */
  readonly fromDepth_m: Float32Array;
  readonly toDepth_m: Float32Array;
}

/** Relative slack in the search for the largest nu: nu within 1.2e-4, the loss within 0.003 dB. */
const SLACK = 3e-4;

/**
 * Delta-Bullington diffraction loss from the first point of a profile to every other point, dB, sharing work as the receiver
 * moves outwards: about a microsecond a receiver, whatever the distance.
 *
 * Source: ITU-R P.1812-8, sec. 4.3 (eq. 13-39), the same method as `deltaBullington`, put on running sums. With heights lowered by
 * the Earth's curve, G = g - c x², the sender's steepest ray is a running maximum; the receiver's is a tangent to the running
 * upper hull; in line of sight only points that the sender sees over all nearer ones can lie deepest in the Fresnel zone, and
 * most of those are leapt over by a bound. The smooth-earth fit rests on running sums and a second hull.
 * `ground_m` and `obstacle_m` (with clutter; may be the same array) hold `n` points, `step_km` apart; the ends of each path are bare.
 * With `cover` the stretch in which the sender stands is bare, and so is, for each receiver, the one in which that stands (see
 * `coverPath`): the running sums go back to the beginning of a stretch when the receivers leave it.
 * Valid as `deltaBullington`. Within 0.01 dB of it on the same points (property test); allocates nothing.
 */
export function radialLosses(
  ground_m: Float64Array,
  obstacle_m: Float64Array,
  n: number,
  first: number,
  setting: RadialSetting,
  scratch: RadialScratch,
  out: RadialOut,
  cover?: RadialCover,
): void {
  const { step_km, toHeight_m, radius_km, wave } = setting;
  const { obstacles, bare, before, seenSlope, seenAt, seenUpTo } = scratch;
  const { diffraction_dB, sight, leaves_mrad, arrives_mrad } = out;
  const c = 500 / radius_km;
  const h0 = ground_m[0]!;
  const from_m = h0 + setting.fromHeight_m;
  const perKm = 0.002 / wave.wavelength_m;
  obstacles.size = 0;
  bare.size = 0;
  let steepest = Number.NEGATIVE_INFINITY;
  let steepestBare = Number.NEGATIVE_INFINITY;
  let seen = 0;
  let deepest = 0;
  let v1 = 0;
  let v2 = 0;
  seenUpTo[0] = 0;
  // Cover: last point of the stretch around the sender; the stretch of the receivers, and how things stood before it.
  const senderEnd = cover === undefined ? 0 : stretchEnd(cover, n);
  let around = 0;
  let runStart = 0;
  let seenBefore = 0;
  let steepestBefore = steepest;
  for (let j = 1; j < n; j++) {
    const d = j * step_km;
    const h = ground_m[j]!;
    const before_m = ground_m[j - 1]!;
    const g = obstacle_m[j]!;
    if (!(h + g + before_m > Number.NEGATIVE_INFINITY)) {
      for (let i = Math.max(j, first); i < n; i++) {
        diffraction_dB[i] = Number.NaN;
        leaves_mrad[i] = Number.NaN;
        arrives_mrad[i] = Number.NaN;
        sight[i] = 0;
      }
      return;
    }
    if (cover !== undefined) {
      const here = cover.aroundTo[cover.profile.kind[j]!]!;
      if (here !== around) {
        if (around !== 0) {
          copyHull(before, obstacles);
          seen = seenBefore;
          steepest = steepestBefore;
          for (let i = runStart; i < j; i++) {
            const x = i * step_km;
            const top_m = (i <= senderEnd ? ground_m[i]! : obstacle_m[i]!) - c * x * x;
            const slope = (top_m - from_m) / x;
            if (slope > steepest) {
              steepest = slope;
              seenSlope[seen] = slope;
              seenAt[seen] = i;
              seen++;
            }
            seenUpTo[i] = seen;
            pushPoint(obstacles, x, top_m);
          }
        }
        around = here;
        if (around !== 0) {
          copyHull(obstacles, before);
          seenBefore = seen;
          steepestBefore = steepest;
          runStart = j;
        }
      }
    }
    v1 += step_km * (h + before_m); // eq. 85
    v2 += step_km * (h * (3 * d - step_km) + before_m * (3 * d - 2 * step_km)); // eq. 86
    if (j >= first) {
      const to_m = h + toHeight_m;
      const lowered_m = to_m - c * d * d;
      const direct = (lowered_m - from_m) / d; // eq. 14, on the lowered heights
      const scale = perKm * d;
      let nu: number;
      let back: number;
      if (steepest < direct) {
        // Line of sight: -nu = (direct - slope) sqrt(x/(d - x)) sqrt(scale) is sought at its least; beyond 0.78 there is no loss.
        const free2 = (0.78 * 0.78) / scale;
        let least2 = free2;
        if (deepest < seen) {
          const x = seenAt[deepest]! * step_km;
          const a = direct - seenSlope[deepest]!;
          const f = (a * a * x) / (d - x);
          if (f < least2) least2 = f;
        }
        let k = seen - 1;
        while (k >= 0) {
          const at = seenAt[k]!;
          const x = at * step_km;
          const a2 = (direct - seenSlope[k]!) ** 2;
          const f = (a2 * x) / (d - x);
          if (f < least2) {
            least2 = f;
            deepest = k;
          }
          // Further in, slopes are smaller: nothing between here and x* can lie deeper.
          const q = ((1 - SLACK) * least2) / a2;
          const leap = Math.ceil((d * q) / ((1 + q) * step_km)) - 1;
          k = seenUpTo[Math.min(leap, at - 1)]! - 1;
        }
        nu = least2 < free2 ? -Math.sqrt(least2 * scale) : Number.NEGATIVE_INFINITY; // eq. 15
        back = -direct;
        sight[j] = 1;
        leaves_mrad[j] = direct;
      } else {
        const tangent = steepestBack(obstacles, d, lowered_m); // eq. 17
        const sum = steepest + tangent;
        const db = (lowered_m - from_m + tangent * d) / sum; // eq. 18
        const ratio = db / (d - db);
        // A ray that just grazes one point: both tangents are one line.
        nu = sum > 0 && ratio > 0 ? (steepest - direct) * Math.sqrt(ratio * scale) : 0; // eq. 19
        back = tangent;
        sight[j] = 0;
        leaves_mrad[j] = steepest;
      }
      arrives_mrad[j] = back - 2 * c * d; // against the receiver's own horizontal
      if (cover !== undefined)
        endDepths(cover, j, j <= senderEnd, from_m, Math.max(steepest, direct), lowered_m, back, c);
      const edge_dB = knifeEdgeLoss_dB(nu); // eq. 16, 20
      let loss_dB = edge_dB > 0 ? edge_dB + (1 - Math.exp(-edge_dB / 6)) * (10 + 0.02 * d) : 0; // eq. 21

      let lowFrom_m = (2 * v1 * d - v2) / (d * d); // eq. 87a
      let lowTo_m = (v2 - v1 * d) / (d * d); // eq. 87b
      const level = (to_m - from_m) / d;
      const seenFrom = steepestBare - level; // eq. 88b
      if (seenFrom > 0) {
        const highest_m = highestOver(bare, level) - from_m; // eq. 88a
        const seenTo = steepestBack(bare, d, to_m) + level; // eq. 88c
        const share = seenFrom / (seenFrom + seenTo); // eq. 89e
        lowFrom_m -= highest_m * share; // eq. 89c
        lowTo_m -= highest_m * (1 - share); // eq. 89d
      }
      const effectiveFrom_m = from_m - Math.min(lowFrom_m, h0); // eq. 37a, 90
      const effectiveTo_m = to_m - Math.min(lowTo_m, h); // eq. 37b, 91
      const sphere_dB = sphericalEarthLoss_dB(d, effectiveFrom_m, effectiveTo_m, radius_km, wave);
      if (sphere_dB > 0) {
        const smooth_dB = smoothBullington_dB(effectiveFrom_m, effectiveTo_m, j, step_km, c, wave.wavelength_m);
        if (sphere_dB > smooth_dB) loss_dB += sphere_dB - smooth_dB; // eq. 39
      }
      diffraction_dB[j] = loss_dB;
    }
    const top_m = (around !== 0 || j <= senderEnd ? h : g) - c * d * d;
    const slope = (top_m - from_m) / d; // eq. 13
    if (slope > steepest) {
      steepest = slope;
      seenSlope[seen] = slope;
      seenAt[seen] = j;
      seen++;
    }
    seenUpTo[j] = seen;
    const bareSlope = (h - from_m) / d;
    if (bareSlope > steepestBare) steepestBare = bareSlope;
    pushPoint(obstacles, d, top_m);
    pushPoint(bare, d, h);
  }
}

/** Last point of the unbroken stretch around the sender; 0 where it stands free. */
function stretchEnd({ profile: { kind }, aroundFrom }: RadialCover, n: number): number {
  const own = aroundFrom[kind[0]!]!;
  let end = 0;
  while (own !== 0 && end < n - 1 && aroundFrom[kind[end + 1]!] === own) end++;
  return end;
}

/** Wood at both ends of the path to point `j`, as `coverPath` counts it. */
function endDepths(
  cover: RadialCover,
  j: number,
  unbroken: boolean,
  from_m: number,
  rise: number,
  to_m: number,
  back: number,
  c: number,
): void {
  const { profile, top_m, aroundFrom, aroundTo } = cover;
  const { kind, distance_km } = profile;
  const inWood = aroundTo[kind[j]!] === WOODS_AROUND;
  const toDepth_m = inWood ? woodDepth_m(profile, j, 0, to_m, back, c, aroundTo, top_m) : 0;
  let fromDepth_m =
    aroundFrom[kind[0]!] === WOODS_AROUND ? woodDepth_m(profile, 0, j, from_m, rise, c, aroundFrom, top_m) : 0;
  if (oneWood(fromDepth_m, toDepth_m, distance_km[j]!, unbroken)) fromDepth_m = 0;
  cover.fromDepth_m[j] = fromDepth_m;
  cover.toDepth_m[j] = toDepth_m;
}

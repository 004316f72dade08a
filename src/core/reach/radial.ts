import { knifeEdgeLoss_dB, sphericalEarthLoss_dB, type Wave } from '../path/index.ts';
import { createHull, type Hull, highestOver, pushPoint, steepestBack } from './hull.ts';
import { smoothBullington_dB } from './smooth-bullington.ts';

/** Work space of a radial, owned by the caller and overwritten wholly by each call. */
export interface RadialScratch {
  readonly obstacles: Hull;
  readonly bare: Hull;
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
): void {
  const { step_km, toHeight_m, radius_km, wave } = setting;
  const { obstacles, bare, seenSlope, seenAt, seenUpTo } = scratch;
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
    const top_m = g - c * d * d;
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

import { checkAntennaHeight, checkFrequency, deltaBullingtonLoss, obstacleHeights } from './diffraction.ts';
import { wavelength_m } from './free-space.ts';
import { fresnelRadius_m, knifeEdgeLoss_dB, knifeEdgeNu } from './knife-edge.ts';
import { checkProfile, type Profile } from './profile.ts';

/** Share of the first Fresnel zone that is kept free: at 0.6 the loss is that of free space (ITU-R P.530; common practice). */
export const CLEAR_SHARE = 0.6;

export interface ClearanceRequest extends Profile {
  readonly frequency_MHz: number;
  readonly fromHeight_m: number;
  readonly toHeight_m: number;
  readonly effectiveRadius_km?: number;
}

/** A point of the ground against the ray that runs above or below it. */
export interface PointClearance {
  /** Index in the profile. */
  readonly point: number;
  readonly distance_km: number;
  /** Ground and clutter there, above sea level, and how much of it is clutter. */
  readonly top_m: number;
  readonly clutter_m: number;
  /** How far the top stands over the ray, the Earth's bulge counted; negative: below it. */
  readonly above_m: number;
  readonly fresnelRadius_m: number;
  /** Free part of the first Fresnel zone: 1 all free, 0 the ray grazes, negative the ray is cut. */
  readonly freeShare: number;
  /** Loss if this were the only edge. */
  readonly edgeLoss_dB: number;
}

export type Verdict = 'clear' | 'grazing' | 'one edge' | 'several edges';

export interface Clearance {
  /** clear: 0.6 of the zone is free everywhere; grazing: sight, yet the zone is touched; else what cuts the ray. */
  readonly verdict: Verdict;
  readonly worst: PointClearance;
  /** Separate obstacles, from the worst down: those that reach into 0.6 of the zone. */
  readonly obstacles: readonly PointClearance[];
  /** Whether the worst point is in the way only by its trees or houses. */
  readonly byClutterOnly: boolean;
}

/**
 * How the ground between two antennas stands in the first Fresnel zone, and what is in the way.
 *
 * Source: ellipse and edge of ITU-R P.526-15, sec. 2 and 4.1; the Earth's bulge d1·d2/(2·radius). Two obstacles are told apart
 * when the free share rises by at least 0.2 between them (our choice). Clutter at the two ends does not count.
 *
 * @throws UserError for a bad profile, frequency or antenna height.
 */
export function findClearance(request: ClearanceRequest): Clearance {
  const points = pointClearances(request);
  let worst = points[0]!;
  for (const p of points) if (p.freeShare < worst.freeShare) worst = p;
  const obstacles = separateObstacles(points);
  const cutting = obstacles.filter((p) => p.freeShare < 0).length;
  const verdict: Verdict =
    worst.freeShare >= CLEAR_SHARE ? 'clear' : cutting === 0 ? 'grazing' : cutting === 1 ? 'one edge' : 'several edges';
  const bare_m = worst.above_m - worst.clutter_m;
  const byClutterOnly =
    worst.freeShare < CLEAR_SHARE && worst.clutter_m > 0 && -bare_m / worst.fresnelRadius_m >= CLEAR_SHARE;
  return { verdict, worst, obstacles, byClutterOnly };
}

/** The clearance of each point between the ends, in their order: for the picture of the profile. */
export function pointClearances(request: ClearanceRequest): PointClearance[] {
  checkProfile(request);
  checkFrequency(request.frequency_MHz);
  checkAntennaHeight('fromHeight_m', request.fromHeight_m, 0);
  checkAntennaHeight('toHeight_m', request.toHeight_m, 0);
  const { distance_km, height_m, effectiveRadius_km = 8500 } = request;
  const top_m = obstacleHeights(request);
  const n = distance_km.length;
  const d = distance_km[n - 1]!;
  const lambda_m = wavelength_m(request.frequency_MHz);
  const from_m = height_m[0]! + request.fromHeight_m;
  const to_m = height_m[n - 1]! + request.toHeight_m;
  const points: PointClearance[] = [];
  for (let i = 1; i < n - 1; i++) {
    const di = distance_km[i]!;
    const rest = d - di;
    const above_m = top_m[i]! + (500 / effectiveRadius_km) * di * rest - (from_m * rest + to_m * di) / d;
    const radius_m = fresnelRadius_m(di, rest, lambda_m);
    points.push({
      point: i,
      distance_km: di,
      top_m: top_m[i]!,
      clutter_m: top_m[i]! - height_m[i]!,
      above_m,
      fresnelRadius_m: radius_m,
      freeShare: -above_m / radius_m,
      edgeLoss_dB: knifeEdgeLoss_dB(knifeEdgeNu(above_m, di, rest, lambda_m)),
    });
  }
  return points;
}

const APART = 0.2;

/** Lows of the free share below 0.6, each parted from a worse one by a rise; sorted from the worst. */
function separateObstacles(points: readonly PointClearance[]): PointClearance[] {
  const lows: PointClearance[] = [];
  let low: PointClearance | undefined;
  let high = Number.POSITIVE_INFINITY;
  let falling = true;
  for (const p of points) {
    if (falling) {
      if (low === undefined || p.freeShare < low.freeShare) low = p;
      else if (p.freeShare > low.freeShare + APART) {
        lows.push(low);
        falling = false;
        high = p.freeShare;
      }
    } else if (p.freeShare > high) high = p.freeShare;
    else if (p.freeShare < high - APART) {
      falling = true;
      low = p;
    }
  }
  if (falling && low !== undefined) lows.push(low);
  return lows.filter((p) => p.freeShare < CLEAR_SHARE).sort((a, b) => a.freeShare - b.freeShare);
}

/** How much one mast, or both alike, would have to grow to clear the path, and what that would bring. */
export interface MastAdvice {
  /** Metres that the mast must grow; zero: the path is clear already. */
  readonly raiseFrom_m: number;
  readonly raiseTo_m: number;
  readonly raiseBoth_m: number;
  /** Diffraction loss as it is, and what is left of it with the mast so raised. */
  readonly now_dB: number;
  readonly withFrom_dB: number;
  readonly withTo_dB: number;
  readonly withBoth_dB: number;
}

/**
 * Growth of the masts that keeps `share` (0.6 if left out) of the first Fresnel zone free over all the ground.
 *
 * The ray is straight, so each point asks for a growth in closed form and the largest counts. The losses before and after are
 * delta-Bullington's; a mast above 3000 m is not computed and shows as NaN. Rounded up to 0.1 m.
 */
export function findMastAdvice(request: ClearanceRequest, share = CLEAR_SHARE): MastAdvice {
  const d = request.distance_km[request.distance_km.length - 1]!;
  let from_m = 0;
  let to_m = 0;
  let both_m = 0;
  for (const p of pointClearances(request)) {
    const lacking_m = p.above_m + share * p.fresnelRadius_m;
    if (lacking_m <= 0) continue;
    from_m = Math.max(from_m, (lacking_m * d) / (d - p.distance_km));
    to_m = Math.max(to_m, (lacking_m * d) / p.distance_km);
    both_m = Math.max(both_m, lacking_m);
  }
  const up = (value_m: number) => (value_m > 0 ? Math.ceil(value_m * 10 - 1e-9) / 10 : 0);
  const loss_dB = (grow_m: number, growTo_m: number) => {
    const fromHeight_m = request.fromHeight_m + grow_m;
    const toHeight_m = request.toHeight_m + growTo_m;
    if (fromHeight_m > 3000 || toHeight_m > 3000) return Number.NaN;
    return deltaBullingtonLoss({ ...request, fromHeight_m, toHeight_m }).diffraction_dB;
  };
  const raiseFrom_m = up(from_m);
  const raiseTo_m = up(to_m);
  const raiseBoth_m = up(both_m);
  return {
    raiseFrom_m,
    raiseTo_m,
    raiseBoth_m,
    now_dB: loss_dB(0, 0),
    withFrom_dB: loss_dB(raiseFrom_m, 0),
    withTo_dB: loss_dB(0, raiseTo_m),
    withBoth_dB: loss_dB(raiseBoth_m, raiseBoth_m),
  };
}

import { RAD_PER_DEG, userError } from '../units/index.ts';

export interface HorizonPoint {
  /** Clockwise from north; any turn is brought into 0..360. */
  readonly azimuth_deg: number;
  readonly elevation_deg: number;
}

/** Azimuths in a horizon array: one a degree. */
export const HORIZON_SIZE = 360;

/**
 * The skyline at whole degrees of azimuth, by straight lines between the given points, closed around north.
 *
 * Order does not matter; where two points share an azimuth the higher counts. One point is a level skyline, no point a
 * flat one. Elevations -10..90°. Throws UserError `horizon.azimuth` or `horizon.elevation` naming the point.
 */
export function horizonFromPairs(points: readonly HorizonPoint[]): Float32Array {
  const out = new Float32Array(HORIZON_SIZE);
  const highest = new Map<number, number>();
  points.forEach(({ azimuth_deg, elevation_deg }, index) => {
    if (!(Math.abs(azimuth_deg) <= 360)) {
      throw userError(
        'horizon.azimuth',
        `point ${index + 1} of the horizon has azimuth_deg ${azimuth_deg}: an azimuth lies between 0 (north) and 360`,
      );
    }
    if (!(elevation_deg >= -10 && elevation_deg <= 90)) {
      throw userError(
        'horizon.elevation',
        `point ${index + 1} of the horizon has elevation_deg ${elevation_deg}: a skyline lies between -10 and 90 degrees; are azimuth and elevation swapped?`,
      );
    }
    const azimuth = ((azimuth_deg % 360) + 360) % 360;
    highest.set(azimuth, Math.max(elevation_deg, highest.get(azimuth) ?? -90));
  });
  const sorted = [...highest].sort((a, b) => a[0] - b[0]);
  if (sorted.length === 0) return out;
  for (let k = 0; k < sorted.length; k++) {
    const [a0, e0] = sorted[k]!;
    const [aNext, e1] = sorted[(k + 1) % sorted.length]!;
    const a1 = k + 1 < sorted.length ? aNext : aNext + 360;
    for (let a = Math.ceil(a0); a < a1; a++) out[a % 360] = e0 + ((a - a0) / (a1 - a0)) * (e1 - e0);
  }
  return out;
}

/** Height of the skyline at any azimuth, degrees, between whole degrees by a straight line. */
export function horizonAt_deg(horizon: Float32Array, azimuth_deg: number): number {
  const a = ((azimuth_deg % 360) + 360) % 360;
  const k = Math.floor(a);
  const low = horizon[k % 360]!;
  return low + (a - k) * (horizon[(k + 1) % 360]! - low);
}

export interface SkyView {
  /** Share of an even sky's light on the plane that the skyline leaves, against a flat horizon: 1 without obstruction. */
  readonly sky: number;
}

/**
 * How much of an even sky a tilted plane still sees over a skyline.
 *
 * The cosine-weighted sky is integrated exactly in height and summed over 360 azimuths: ∫ (cos β sin e + sin β cos e
 * cos Δ) cos e de, from the skyline or the plane's own edge, whichever is higher. A level skyline of height h leaves
 * cos² h of a horizontal plane's sky and 1 - (2h + sin 2h)/π of a wall's (closed forms in the tests of horizon). Skylines
 * below the horizontal count as flat. Valid for tilts of 0..90°; accuracy 0.0001 for a smooth skyline.
 */
export function skyView(horizon: Float32Array | undefined, tilt_deg: number, azimuth_deg: number): SkyView {
  if (horizon === undefined) return { sky: 1 };
  if (horizon.length !== HORIZON_SIZE)
    throw new RangeError(`a horizon has ${HORIZON_SIZE} values, not ${horizon.length}`);
  const flat = seen(() => 0, tilt_deg, azimuth_deg);
  return { sky: flat > 0 ? seen((k) => Math.max(0, horizon[k]!) * RAD_PER_DEG, tilt_deg, azimuth_deg) / flat : 1 };
}

function seen(skyline_rad: (azimuth: number) => number, tilt_deg: number, azimuth_deg: number): number {
  const sinTilt = Math.sin(tilt_deg * RAD_PER_DEG);
  const cosTilt = Math.cos(tilt_deg * RAD_PER_DEG);
  let sum = 0;
  for (let k = 0; k < HORIZON_SIZE; k++) {
    const cosDelta = Math.cos((k - azimuth_deg) * RAD_PER_DEG);
    const edge = Math.atan2(-sinTilt * cosDelta, cosTilt); // where the plane itself cuts the sky
    const low = Math.max(skyline_rad(k), edge);
    if (low >= Math.PI / 2) continue;
    sum += (cosTilt * Math.cos(low) ** 2) / 2 + (sinTilt * cosDelta * (Math.PI / 2 - low - Math.sin(2 * low) / 2)) / 2;
  }
  return sum;
}

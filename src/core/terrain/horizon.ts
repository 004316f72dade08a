import { DEG_PER_RAD } from '../units/index.ts';
import type { HeightGrid } from './grid.ts';
import { type GridFan, sampleRay } from './ray.ts';

export interface HorizonSetting {
  /** Of the eye, panel or antenna above the ground at the perch. */
  readonly eyeHeight_m: number;
  /** Distance between the points that are looked at along each ray; the grid's own spacing is right. */
  readonly step_m: number;
  readonly range_m: number;
  /** See `effectiveRadius_m`: light for the sun, radio for waves. */
  readonly effectiveRadius_m: number;
  /** Bounds between the layers of a panorama, rising. None: one layer. */
  readonly layerBounds_km?: readonly number[];
}

/** Ground between two distances, as it stands against the sky. */
export interface RidgeLayer {
  readonly from_km: number;
  readonly to_km: number;
  /** Highest elevation in each azimuth, hidden behind nearer ground or not; NaN where there is no ground known. */
  readonly elevation_deg: Float32Array;
}

/** The skyline from a perch. Arrays hold one value an azimuth. */
export interface Horizon {
  readonly azimuth_deg: Float64Array;
  /** Of the skyline above the horizontal; negative where the ground falls away. NaN where no height at all is known. */
  readonly elevation_deg: Float32Array;
  /** Distance and height above sea of the ground that makes the skyline. */
  readonly ridge_km: Float32Array;
  readonly ridge_m: Float32Array;
  /** From the nearest layer to the furthest. */
  readonly layers: readonly RidgeLayer[];
  /** Share of the points looked at for which the terrain has no height. */
  readonly unknownShare: number;
}

/**
 * Horizon of a perch from the terrain: in each azimuth of the fan the highest elevation angle of the ground along the ray.
 *
 * Elevation of ground of height h at distance r: atan((h - h0)/r - r/(2 R)), with R the effective radius, which carries the curve
 * of the Earth and the bend of the ray (small angles: right to 0.001° up to 20°, 60 km). The perch's own ground is bilinear too.
 * Ground narrower than the gap between two rays is seen only where a ray meets it. Checked against the closed form of a single
 * ridge, and of a sphere (dip of the sea's horizon).
 *
 * @throws RangeError when the perch has no height
 */
export function horizonOf(grid: HeightGrid, fan: GridFan, setting: HorizonSetting): Horizon {
  const { step_m, range_m, layerBounds_km = [] } = setting;
  const rays = fan.azimuth_deg.length;
  const points = Math.floor(range_m / step_m + 1e-9) + 1;
  const ground_m = new Float64Array(points);
  const edges = [0, ...layerBounds_km.filter((d) => d * 1000 < range_m), range_m / 1000];
  const layers = edges.slice(1).map((to_km, i) => ({
    from_km: edges[i]!,
    to_km,
    elevation_deg: new Float32Array(rays).fill(Number.NaN),
  }));
  const elevation_deg = new Float32Array(rays).fill(Number.NaN);
  const ridge_km = new Float32Array(rays).fill(Number.NaN);
  const ridge_m = new Float32Array(rays).fill(Number.NaN);
  const fall = step_m / (2 * setting.effectiveRadius_m);
  let unknown = 0;
  for (let ray = 0; ray < rays; ray++) {
    const n = sampleRay(grid, fan, ray, step_m, points, ground_m);
    if (n < 1 || Number.isNaN(ground_m[0]!)) throw new RangeError('the perch stands where the terrain has no height');
    const eye_m = ground_m[0]! + setting.eyeHeight_m;
    unknown += points - n;
    let best = Number.NEGATIVE_INFINITY;
    let bestAt = 0;
    let i = 1;
    for (const layer of layers) {
      const end = Math.min(n - 1, Math.floor((layer.to_km * 1000) / step_m + 1e-9));
      let top = Number.NEGATIVE_INFINITY;
      for (; i <= end; i++) {
        const h = ground_m[i]!;
        if (Number.isNaN(h)) {
          unknown++;
          continue;
        }
        const slope = (h - eye_m) / (i * step_m) - i * fall;
        if (slope > top) {
          top = slope;
          if (slope > best) {
            best = slope;
            bestAt = i;
          }
        }
      }
      if (top > Number.NEGATIVE_INFINITY) layer.elevation_deg[ray] = Math.atan(top) * DEG_PER_RAD;
    }
    if (bestAt > 0) {
      elevation_deg[ray] = Math.atan(best) * DEG_PER_RAD;
      ridge_km[ray] = (bestAt * step_m) / 1000;
      ridge_m[ray] = ground_m[bestAt]!;
    }
  }
  const looked = rays * (points - 1);
  return {
    azimuth_deg: fan.azimuth_deg,
    elevation_deg,
    ridge_km,
    ridge_m,
    layers,
    unknownShare: looked > 0 ? unknown / looked : 0,
  };
}

/** The skyline as pairs for the energy model; azimuths without known ground are left out, falls below -10° are cut there. */
export function horizonPairs(horizon: Horizon): { readonly azimuth_deg: number; readonly elevation_deg: number }[] {
  const pairs: { azimuth_deg: number; elevation_deg: number }[] = [];
  horizon.azimuth_deg.forEach((azimuth_deg, i) => {
    const elevation = horizon.elevation_deg[i]!;
    if (!Number.isNaN(elevation)) pairs.push({ azimuth_deg, elevation_deg: Math.max(-10, elevation) });
  });
  return pairs;
}

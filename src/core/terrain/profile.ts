import { type HeightGrid, heightAt } from './grid.ts';

/** Ground along a path. Heights are above the sea; NaN where the terrain has none. */
export interface TerrainProfile {
  readonly distance_km: Float64Array;
  readonly height_m: Float64Array;
  /** Points without a height. */
  readonly voids: number;
}

/** Heights at the given points of a path, bilinear. Points and their distances come from a geodesic; x and y in the grid's own unit. */
export function profileAlong(
  grid: HeightGrid,
  x_u: Float64Array,
  y_u: Float64Array,
  distance_km: Float64Array,
): TerrainProfile {
  if (x_u.length !== distance_km.length || y_u.length !== distance_km.length)
    throw new RangeError(`${distance_km.length} distances, but ${x_u.length} and ${y_u.length} coordinates`);
  const height_m = new Float64Array(distance_km.length);
  let voids = 0;
  for (let i = 0; i < height_m.length; i++) {
    const h = heightAt(grid, x_u[i]!, y_u[i]!);
    if (Number.isNaN(h)) voids++;
    height_m[i] = h;
  }
  return { distance_km, height_m, voids };
}

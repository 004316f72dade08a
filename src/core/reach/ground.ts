import { DEG_PER_RAD } from '../units/index.ts';
import { type Course, type CoverageFrame, cellSize_km, courseOf, polarOf } from './frame.ts';

/** Ground of a coverage: heights above sea level of a window of a raster, row by row from the north; NaN where unknown. */
export interface CoverageGround {
  readonly rows: number;
  readonly columns: number;
  readonly frame: CoverageFrame;
  readonly height_m: Float32Array;
  /** Height of trees or houses: one for all, or one a cell. They stand between the ends of a path, not on them. */
  readonly clutter_m?: number | Float32Array | undefined;
}

/**
 * Heights along a course at `points` places, `step_km` apart from its start, bilinear between cell centres, into arrays of the caller:
 * the bare ground, and the ground with clutter on it. NaN outside the raster and next to voids.
 */
export function sampleCourse(
  ground: CoverageGround,
  course: Course,
  step_km: number,
  points: number,
  ground_m: Float64Array,
  obstacle_m: Float64Array,
): void {
  const { rows, columns, height_m, clutter_m } = ground;
  const extra_m = typeof clutter_m === 'number' ? clutter_m : 0;
  const cover = typeof clutter_m === 'object' ? clutter_m : undefined;
  const [r0, r1, r2, r3, c0, c1, c2, c3] = course as unknown as number[];
  for (let i = 0; i < points; i++) {
    const r = i * step_km;
    const row = r0! + (r1! + (r2! + r3! * r) * r) * r;
    const column = c0! + (c1! + (c2! + c3! * r) * r) * r;
    if (!(row >= 0 && row <= rows - 1 && column >= 0 && column <= columns - 1)) {
      ground_m[i] = Number.NaN;
      obstacle_m[i] = Number.NaN;
      continue;
    }
    const top = Math.min(rows - 2, Math.floor(row));
    const left = Math.min(columns - 2, Math.floor(column));
    const y = row - top;
    const x = column - left;
    const k = top * columns + left;
    const wa = (1 - x) * (1 - y);
    const wb = x * (1 - y);
    const wc = (1 - x) * y;
    const wd = x * y;
    const h = wa * height_m[k]! + wb * height_m[k + 1]! + wc * height_m[k + columns]! + wd * height_m[k + columns + 1]!;
    ground_m[i] = h;
    obstacle_m[i] =
      cover === undefined
        ? h + extra_m
        : h + wa * cover[k]! + wb * cover[k + 1]! + wc * cover[k + columns]! + wd * cover[k + columns + 1]!;
  }
}

/** Height of the bare ground at a place, m, bilinear; NaN outside the raster and next to voids. */
export function heightAtPlace(ground: CoverageGround, place: { row: number; column: number }): number {
  const out = new Float64Array(1);
  sampleCourse(ground, Float64Array.of(place.row, 0, 0, 0, place.column, 0, 0, 0), 0, 1, out, new Float64Array(1));
  return out[0]!;
}

/** The ground between two places as a profile for core/path; the points stand about a cell apart. */
export function profileBetween(
  ground: CoverageGround,
  from: { row: number; column: number },
  to: { row: number; column: number },
): { distance_km: Float64Array; height_m: Float64Array; clutter_m: Float64Array; azimuth_deg: number } {
  const { distance_km: d, azimuth_rad } = polarOf(ground.frame, from, to);
  const cell = cellSize_km(ground.frame, from);
  const steps = Math.max(2, Math.round(d / Math.sqrt(cell.height_km * cell.width_km)));
  const step_km = d / steps;
  const height_m = new Float64Array(steps + 1);
  const clutter_m = new Float64Array(steps + 1);
  sampleCourse(ground, courseOf(ground.frame, from, azimuth_rad, d), step_km, steps + 1, height_m, clutter_m);
  for (let i = 0; i <= steps; i++) clutter_m[i] = i === 0 || i === steps ? 0 : clutter_m[i]! - height_m[i]!;
  return {
    distance_km: Float64Array.from(height_m, (_, i) => i * step_km),
    height_m,
    clutter_m,
    azimuth_deg: (((azimuth_rad * DEG_PER_RAD) % 360) + 360) % 360,
  };
}

import type { CoverRaster } from '../terrain/index.ts';
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
  /** Ground cover by kinds, in place of `clutter_m`. */
  readonly cover?: CoverRaster | undefined;
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

/**
 * Kinds of the nearest cells and wooded shares (bilinear) along a course, into arrays of the caller; adds the height of the cover to
 * `obstacle_m`. Open ground outside the raster.
 */
export function sampleCover(
  rows: number,
  columns: number,
  cover: CoverRaster,
  course: Course,
  step_km: number,
  points: number,
  kind: Uint8Array,
  woods: Float32Array,
  obstacle_m: Float64Array,
): void {
  const { kinds, woods: shares } = cover;
  const [r0, r1, r2, r3, c0, c1, c2, c3] = course as unknown as number[];
  for (let i = 0; i < points; i++) {
    const r = i * step_km;
    const row = r0! + (r1! + (r2! + r3! * r) * r) * r;
    const column = c0! + (c1! + (c2! + c3! * r) * r) * r;
    kind[i] = kindAt(rows, columns, cover, row, column);
    woods[i] = shares === undefined ? 0 : shareAt(rows, columns, shares, row, column);
    obstacle_m[i]! += kinds[kind[i]!]!.height_m;
  }
}

/** Kind of the nearest cell, an index of the cover's kinds; open ground outside. */
export function kindAt(rows: number, columns: number, cover: CoverRaster, row: number, column: number): number {
  const r = Math.round(row);
  const c = Math.round(column);
  return r >= 0 && r < rows && c >= 0 && c < columns ? cover.kind[r * columns + c]! : 0;
}

/** Wooded share at a place, 0 to 1, bilinear between cell centres; 0 outside. */
export function shareAt(rows: number, columns: number, shares: Uint8Array, row: number, column: number): number {
  if (!(row >= 0 && row <= rows - 1 && column >= 0 && column <= columns - 1)) return 0;
  const top = Math.min(rows - 2, Math.floor(row));
  const left = Math.min(columns - 2, Math.floor(column));
  const y = row - top;
  const x = column - left;
  const k = top * columns + left;
  const upper = (1 - x) * shares[k]! + x * shares[k + 1]!;
  const lower = (1 - x) * shares[k + columns]! + x * shares[k + columns + 1]!;
  return ((1 - y) * upper + y * lower) / 255;
}

/** Height of the bare ground at a place, m, bilinear; NaN outside the raster and next to voids. */
export function heightAtPlace(ground: CoverageGround, place: { row: number; column: number }): number {
  const out = new Float64Array(1);
  sampleCourse(ground, Float64Array.of(place.row, 0, 0, 0, place.column, 0, 0, 0), 0, 1, out, new Float64Array(1));
  return out[0]!;
}

/** Ground between two places; `kind` and `woods` where there is cover, as `coverPath` takes them. */
export interface ProfileBetween {
  readonly distance_km: Float64Array;
  readonly height_m: Float64Array;
  readonly clutter_m: Float64Array;
  readonly azimuth_deg: number;
  readonly kind?: Uint8Array;
  readonly woods?: Float32Array;
}

/** The ground between two places as a profile for core/path; the points stand about a cell apart. */
export function profileBetween(
  ground: CoverageGround,
  from: { row: number; column: number },
  to: { row: number; column: number },
): ProfileBetween {
  const { distance_km: d, azimuth_rad } = polarOf(ground.frame, from, to);
  const cell = cellSize_km(ground.frame, from);
  const steps = Math.max(2, Math.round(d / Math.sqrt(cell.height_km * cell.width_km)));
  const step_km = d / steps;
  const height_m = new Float64Array(steps + 1);
  const clutter_m = new Float64Array(steps + 1);
  const course = courseOf(ground.frame, from, azimuth_rad, d);
  sampleCourse(ground, course, step_km, steps + 1, height_m, clutter_m);
  const { rows, columns, cover } = ground;
  const kind = new Uint8Array(cover === undefined ? 0 : steps + 1);
  const woods = new Float32Array(kind.length);
  if (cover !== undefined) sampleCover(rows, columns, cover, course, step_km, steps + 1, kind, woods, clutter_m);
  for (let i = 0; i <= steps; i++) clutter_m[i] = i === 0 || i === steps ? 0 : clutter_m[i]! - height_m[i]!;
  return {
    distance_km: Float64Array.from(height_m, (_, i) => i * step_km),
    height_m,
    clutter_m,
    azimuth_deg: (((azimuth_rad * DEG_PER_RAD) % 360) + 360) % 360,
    ...(cover === undefined ? {} : { kind, woods }),
  };
}

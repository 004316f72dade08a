import {
  columnOf,
  effectiveRadius_m,
  type GridFrame,
  type HeightGrid,
  overlap,
  RADIUS_FACTOR,
  rowOf,
  SIGHT,
  viewshed,
} from '../core/terrain/index.ts';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { boxAround, earthAt, geodesicBetween, metricOf } from '../formats/geodesic.ts';
import type { Terrain } from '../formats/terrain.ts';
import { checkOptions } from './option-limits.ts';

export interface SightRequest {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** Of the antenna above the ground. */
  readonly height_m: number;
  /** Of the other end above the ground. */
  readonly targetHeight_m: number;
  readonly radius_km: number;
  /** How many times the Earth's radius the ray bends along; 4/3 for radio unless given. */
  readonly radiusFactor?: number | undefined;
}

/** Result of `sunperch reach --sight-only`. */
export interface SightOutcome {
  readonly command: 'reach';
  readonly mode: 'sight';
  readonly place: { readonly latitude_deg: number; readonly longitude_deg: number; readonly ground_m: number };
  readonly cellsInRange: number;
  readonly cellsVisible: number;
  /** Within the range, but without a height. */
  readonly cellsVoid: number;
  readonly visibleShare: number;
  /** On the ground, of the cells in line of sight. */
  readonly visibleArea_km2: number;
  readonly radiusFactor: number;
  /** 0 hidden, 1 visible, 2 out of range or without height; row by row from the north-west. Not printed. */
  readonly raster: Uint8Array;
  readonly frame: GridFrame;
  readonly files: readonly string[];
  readonly notes: readonly string[];
}

const LIMITS = {
  height_m: ['--height', 'the height of the antenna above the ground, m,', 0, 500],
  targetHeight_m: ['--target-height', 'the height of the other end above the ground, m,', 0, 500],
  radius_km: ['--radius', 'the radius in km', 0.05, 200],
  radiusFactor: ['--radius-factor', 'the factor of the effective Earth radius', 0.3, 20],
} as const;

/**
 * `sunperch reach --sight-only`: which cells of the terrain's own grid are in line of sight of an antenna, within a radius.
 *
 * The antenna stands at the centre of its cell (told, with the distance). Method and accuracy: `viewshed`. Line of sight by
 * itself promises no link: diffraction reaches further, and a ray that only grazes loses 6 dB.
 *
 * @throws UserError for values outside their limits, a place outside the terrain or on a void
 */
export async function sight(request: SightRequest, terrain: Terrain): Promise<SightOutcome> {
  check(request);
  const place = { latitude_deg: request.latitude_deg, longitude_deg: request.longitude_deg };
  const range_m = request.radius_km * 1000;
  const patch = await terrain.patch({ area: boxAround(place, range_m), at: place });
  const { grid, projection } = patch;
  const at = new Float64Array(2);
  projection.toGrid(place.longitude_deg, place.latitude_deg, at);
  const row = Math.max(0, Math.min(grid.rows - 1, Math.round(rowOf(grid, at[1]!))));
  const column = Math.max(0, Math.min(grid.columns - 1, Math.round(columnOf(grid, at[0]!))));
  const ground_m = grid.height_m[row * grid.columns + column]!;
  if (Number.isNaN(ground_m))
    throw userError(
      'terrain.void',
      'The antenna stands where the terrain has no height (a void of its tile): move it by a cell, or take other terrain.',
      { file: terrain.name },
    );
  const metric = metricOf(grid, row, column, range_m, projection);
  const radiusFactor = request.radiusFactor ?? RADIUS_FACTOR.radio;
  const window = new Uint8Array(grid.rows * grid.columns);
  const counts = viewshed(
    grid,
    {
      row,
      column,
      observerHeight_m: request.height_m,
      targetHeight_m: request.targetHeight_m,
      range_m,
      effectiveRadius_m: effectiveRadius_m(radiusFactor),
    },
    metric,
    window,
  );
  const off_m = geodesicBetween(place, earthAt(grid, row, column, projection)).distance_m;
  const { raster, frame } = onOwnGrid(window, grid, patch.tile);
  const notes = [...patch.notes];
  if (off_m >= 1)
    notes.push(`The antenna is taken to stand at the centre of its cell of terrain, ${off_m.toFixed(0)} m off.`);
  if (counts.cellsVoid > 0)
    notes.push(
      `${counts.cellsVoid} cells in range have no height: they are not judged, and sight across them counts as free.`,
    );
  return {
    command: 'reach',
    mode: 'sight',
    place: { ...place, ground_m },
    ...counts,
    visibleShare: counts.cellsVisible / counts.cellsInRange,
    visibleArea_km2: (counts.cellsVisible * metric.east_m[row]! * northStep_m(metric.north_m, row)) / 1e6,
    radiusFactor,
    raster,
    frame,
    files: patch.files,
    notes,
  };
}

/** The raster on the whole grid of the one tile, where there is one: all beyond the window is out of range. */
function onOwnGrid(
  window: Uint8Array,
  grid: HeightGrid,
  tile: GridFrame | null | undefined,
): { readonly raster: Uint8Array; readonly frame: GridFrame } {
  const { height_m: _, ...own } = grid;
  const common = tile ? overlap(grid, tile) : null;
  if (!tile || common === null) return { raster: window, frame: own };
  const raster = new Uint8Array(tile.rows * tile.columns).fill(SIGHT.outOfRange);
  for (let r = common.firstRow; r <= common.lastRow; r++) {
    const from = (r + common.row) * grid.columns + common.column;
    const line = window.subarray(from + common.firstColumn, from + common.lastColumn + 1);
    raster.set(line, r * tile.columns + common.firstColumn);
  }
  return { raster, frame: tile };
}

/** Height of a cell at a row, from the distances of the rows beside it. */
function northStep_m(north_m: Float64Array, row: number): number {
  const beside = row > 0 ? row - 1 : row + 1;
  return Math.abs(north_m[beside]! - north_m[row]!);
}

function check(request: SightRequest): void {
  checkOptions({ latitude_deg: request.latitude_deg, longitude_deg: request.longitude_deg });
  const problems: Problem[] = [];
  for (const [name, [option, what, low, high]] of Object.entries(LIMITS)) {
    const value = request[name as keyof typeof LIMITS];
    if (value === undefined || (value >= low && value <= high)) continue;
    const hint = name === 'radius_km' && value > high ? `; it is in km, ${value} m are ${value / 1000}` : '';
    problems.push({
      code: 'out-of-range',
      message: `${option} is ${value}: ${what} lies between ${low} and ${high}${hint}`,
      place: { field: option },
    });
  }
  if (problems.length > 0) throw new UserError(problems);
}

import type { Caution } from '../core/energy/index.ts';
import { type CoverageFrame, type CoverageGround, type GridPlace, heightAtPlace } from '../core/reach/index.ts';
import { type CoverRaster, columnOf, type HeightGrid, rowOf, xOfColumn_u, yOfRow_u } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import { cellSize_m, type EarthPoint } from '../formats/geodesic.ts';
import type { Projection } from '../formats/projection.ts';

/** Ground beyond the radius that the outermost points lean on, m. */
export const RIM_m = 300;

/** A height grid with the way between its own coordinates and the Earth's. */
export interface LocatedGrid {
  readonly grid: HeightGrid;
  readonly projection: Projection;
}

/** The ground as the coverage kernel takes it, and how places on the Earth lie on it. */
export interface Ground {
  readonly ground: CoverageGround;
  readonly located: LocatedGrid;
  placeOf(latitude_deg: number, longitude_deg: number): GridPlace;
  /** Longitude and latitude of a row and a column. */
  earthOf(column: number, row: number): readonly [longitude_deg: number, latitude_deg: number];
  /** Turn of grid north against true north at a place, degrees, clockwise; 0 on a geographic grid. */
  gridNorth_deg(place: GridPlace): number;
}

/**
 * Puts a grid into shared memory, so that workers read the same heights; `clutter_m` stands on all of it between the ends of a path, `cover` on
 * some of it.
 * Cells of a projected grid are taken to measure everywhere what they measure on the ground at `middle`: right to 0.3 % within 15 km.
 */
export function groundOf(located: LocatedGrid, middle: EarthPoint, clutter_m?: number, cover?: CoverRaster): Ground {
  const { grid, projection } = located;
  const out = new Float64Array(2);
  const toGrid = (longitude_deg: number, latitude_deg: number): readonly [number, number] => {
    projection.toGrid(longitude_deg, latitude_deg, out);
    return [out[0]!, out[1]!];
  };
  const toEarth = (x_u: number, y_u: number): readonly [number, number] => {
    projection.toEarth(x_u, y_u, out);
    return [out[0]!, out[1]!];
  };
  const height_m = new Float32Array(new SharedArrayBuffer(4 * grid.height_m.length));
  height_m.set(grid.height_m);
  const frame: CoverageFrame =
    grid.kind === 'geographic'
      ? {
          kind: 'geographic',
          north_deg: grid.north_u,
          west_deg: grid.west_u,
          rowStep_deg: grid.stepNorth_u,
          columnStep_deg: grid.stepEast_u,
        }
      : planeFrame(located, middle, toGrid);
  const ground: CoverageGround = { rows: grid.rows, columns: grid.columns, frame, height_m, clutter_m, cover };
  const placeOf = (latitude_deg: number, longitude_deg: number): GridPlace => {
    const [x_u, y_u] = toGrid(longitude_deg, latitude_deg);
    return { row: rowOf(grid, y_u), column: columnOf(grid, x_u) };
  };
  const earthOf = (column: number, row: number) => toEarth(xOfColumn_u(grid, column), yOfRow_u(grid, row));
  return {
    ground,
    located,
    placeOf,
    earthOf,
    gridNorth_deg: (place) => {
      if (grid.kind === 'geographic') return 0;
      const [longitude_deg, latitude_deg] = earthOf(place.column, place.row);
      const north = placeOf(latitude_deg + 0.01, longitude_deg);
      // True north seen from the grid: where it leans to the east, grid north leans to the west of it.
      return -(Math.atan2(north.column - place.column, place.row - north.row) * 180) / Math.PI;
    },
  };
}

function planeFrame(
  { grid, projection }: LocatedGrid,
  middle: EarthPoint,
  toGrid: (longitude_deg: number, latitude_deg: number) => readonly [number, number],
): CoverageFrame {
  const [x_u, y_u] = toGrid(middle.longitude_deg, middle.latitude_deg);
  const cell = cellSize_m(grid, rowOf(grid, y_u), columnOf(grid, x_u), projection);
  return { kind: 'plane', rowStep_km: cell.north_m / 1000, columnStep_km: cell.east_m / 1000 };
}

/** Height of the ground at a place; UserError where the terrain has none. */
export function groundHeight_m(ground: Ground, name: string, latitude_deg: number, longitude_deg: number): number {
  const height_m = heightAtPlace(ground.ground, ground.placeOf(latitude_deg, longitude_deg));
  if (Number.isFinite(height_m)) return height_m;
  throw userError(
    'terrain.outside',
    `${name} stands at ${latitude_deg}, ${longitude_deg}, where the terrain has no height: add the tile that covers it, or check the position (latitude first, north and east positive)`,
  );
}

/** Told when a perch file and the terrain differ by more than this, m. */
const DIFFER_m = 50;

/** A caution when the height of a perch's file is not that of the terrain. */
export function elevationCaution(name: string, told_m: number | undefined, ground_m: number): Caution[] {
  if (told_m === undefined || Math.abs(told_m - ground_m) <= DIFFER_m) return [];
  return [
    {
      code: 'elevation-differs',
      text: `${name}: its file says ${Math.round(told_m)} m above the sea, the terrain ${Math.round(ground_m)} m. The terrain counts here; is the position right?`,
    },
  ];
}

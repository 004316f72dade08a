/** The same terrain on fewer points, for an answer while something is still being dragged. */
import { columnOf, type HeightGrid, rowOf } from '../core/terrain/index.ts';
import { cellSize_m } from '../formats/geodesic.ts';
import type { Terrain, TerrainPatch, TerrainRequest } from '../formats/terrain.ts';
import { figure } from './words.ts';

/** Cells across an area at most, about. */
const ACROSS = 116;

/** Terrain of which every nth height is taken to the north and to the east, so that cells are about square and few; told in its notes. */
export function thinnedTerrain(terrain: Terrain): Terrain {
  return { name: terrain.name, patch: async (request) => thin(await terrain.patch(request), request) };
}

function thin(patch: TerrainPatch, { at }: TerrainRequest): TerrainPatch {
  const { grid, projection } = patch;
  const place = new Float64Array(2);
  projection.toGrid(at.longitude_deg, at.latitude_deg, place);
  const row = Math.max(0, Math.min(grid.rows - 1, Math.round(rowOf(grid, place[1]!))));
  const column = Math.max(0, Math.min(grid.columns - 1, Math.round(columnOf(grid, place[0]!))));
  const cell = cellSize_m(grid, row, column, projection);
  const wide_m = Math.max(grid.rows * cell.north_m, grid.columns * cell.east_m) / ACROSS;
  const [down, across] = [strideOf(wide_m, cell.north_m), strideOf(wide_m, cell.east_m)];
  if (down === 1 && across === 1) return patch;
  // The place keeps its own height: points are counted from it.
  const [firstRow, firstColumn] = [row % down, column % across];
  const rows = Math.floor((grid.rows - 1 - firstRow) / down) + 1;
  const columns = Math.floor((grid.columns - 1 - firstColumn) / across) + 1;
  const height_m = new Float32Array(rows * columns);
  for (let r = 0, k = 0; r < rows; r++)
    for (let c = 0; c < columns; c++)
      height_m[k++] = grid.height_m[(firstRow + r * down) * grid.columns + firstColumn + c * across]!;
  const thinned: HeightGrid = {
    ...grid,
    rows,
    columns,
    west_u: grid.west_u + firstColumn * grid.stepEast_u,
    north_u: grid.north_u - firstRow * grid.stepNorth_u,
    stepEast_u: grid.stepEast_u * across,
    stepNorth_u: grid.stepNorth_u * down,
    height_m,
  };
  const size_m = Math.max(down * cell.north_m, across * cell.east_m);
  return {
    ...patch,
    grid: thinned,
    tile: null,
    notes: [
      `A first look on a coarse grid: one height of the terrain in ${down * across} counts, cells of ${figure(size_m, 2)} m. The full computation counts them all.`,
      ...patch.notes,
    ],
  };
}

const strideOf = (wanted_m: number, cell_m: number) => Math.max(1, Math.round(wanted_m / cell_m));

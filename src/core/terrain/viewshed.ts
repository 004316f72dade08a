import type { HeightGrid } from './grid.ts';
import { sweepSector } from './sector.ts';
import { type GridMetric, SIGHT, type SightCounts, type SightSetting } from './sight.ts';

/**
 * Which cells of a grid are in line of sight of a cell, all within a range: 0 hidden, 1 visible, 2 out of range (`SIGHT`), into
 * `out`, one value a cell of the whole grid.
 *
 * Method: rays from the observer towards the rim of the range, each carrying its steepest slope so far (the R2 algorithm of
 * Franklin & Ray 1994, Higher isn't Necessarily Better). Instead of ray by ray, four sectors are swept line by line
 * outwards, all rays moved on together, so that memory is read in order. Where a ray crosses a line of cells its ground is
 * interpolated between the two beside it; a cell is held against the two rays beside it, interpolated, where R2 takes the
 * nearest ray. There are one to two rays a cell on every line: each time they have drifted a cell apart, new ones are put between.
 * Curvature lowers all heights by r²/(2 radius).
 *
 * Rays are straight in the grid: on a geographic grid they leave the geodesic by r² tan(latitude)/(8 R), 18 m over 30 km at 46°.
 * Accuracy: against exact rays to every cell 99.8 % of cells alike or better, also on rough ground (tests).
 * Time: about 10 ns a cell in range. `range_m` counts inclusive. The observer's cell and those beside it are visible.
 *
 * @throws RangeError when the observer is not a cell of the grid with a height, or `out` has another size
 */
export function viewshed(grid: HeightGrid, setting: SightSetting, metric: GridMetric, out: Uint8Array): SightCounts {
  const { rows, columns, height_m } = grid;
  const { row, column } = setting;
  const ground_m = height_m[row * columns + column];
  if (!(row >= 0 && row < rows && column >= 0 && column < columns) || ground_m === undefined || Number.isNaN(ground_m))
    throw new RangeError(`the observer's cell (${row}, ${column}) has no height`);
  if (out.length !== rows * columns) throw new RangeError(`out has ${out.length} values, not ${rows * columns}`);
  out.fill(SIGHT.outOfRange);
  out[row * columns + column] = SIGHT.visible;
  const work = { grid, setting, metric, eye_m: ground_m + setting.observerHeight_m, out };
  let [cellsInRange, cellsVisible, cellsVoid] = [1, 1, 0];
  for (const byRows of [true, false]) {
    for (const sign of [-1, 1] as const) {
      const part = sweepSector(work, byRows, sign);
      cellsInRange += part.cellsInRange;
      cellsVisible += part.cellsVisible;
      cellsVoid += part.cellsVoid;
    }
  }
  return { cellsInRange, cellsVisible, cellsVoid };
}

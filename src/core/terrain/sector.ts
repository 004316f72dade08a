import type { HeightGrid } from './grid.ts';
import { BLOCK, type Lines, loadColumns, loadRow, type SectorWork, storeColumns } from './sector-lines.ts';
import { createRays, createTops, doubleRays, findTops, markCells, moveRays } from './sector-rays.ts';
import type { GridMetric, SightCounts, SightSetting } from './sight.ts';

/**
 * Sweeps one of the four sectors of `viewshed`: lines are rows (to the north or south) or columns (to the east or west), `n` cells
 * from the observer; `j` counts cells along the line. The diagonals belong to the sectors of rows.
 */
export function sweepSector(work: SectorWork, byRows: boolean, sign: -1 | 1): SightCounts {
  const { grid, setting, metric } = work;
  const { row, column, targetHeight_m: target_m } = setting;
  const before = byRows ? column : row;
  const after = byRows ? grid.columns - 1 - column : grid.rows - 1 - row;
  const lastLine = linesInRange(metric, setting, byRows, sign, grid);
  const block = byRows ? 1 : BLOCK;
  const start = Math.min(before, lastLine) + 1;
  const width = start + Math.min(after, lastLine) + 3;
  const lines: Lines = {
    level_m: new Float32Array(width * block).fill(Number.NaN),
    marks: new Uint8Array(width * block),
    width,
    start,
    low: new Int32Array(block),
    high: new Int32Array(block),
  };
  const fan = createRays(lastLine);
  const tops = createTops(width * block);
  const counts = new Int32Array(2);
  let cellsInRange = 0;

  for (let first = 1; first <= lastLine; first += block) {
    const count = Math.min(block, lastLine - first + 1);
    if (byRows) loadRow(work, sign, first, lines);
    else loadColumns(work, sign, first, count, lines);
    for (let b = 0; b < count; b++) {
      const low = lines.low[b]!;
      const high = lines.high[b]!;
      if (low > high) continue;
      const n = first + b;
      while (fan.rays < n) doubleRays(fan);
      const base = b * width + start;
      const from = byRows ? low : Math.max(low, 1 - n);
      const to = byRows ? high : Math.min(high, n - 1);
      // Rows are written in place, columns by the block.
      const marks = byRows ? work.out : lines.marks;
      const markAt = byRows ? (row + sign * n) * grid.columns + column : base;
      // Rays up to a cell beyond the range: cells further out lie between them.
      const left = Math.max(-n, -before, low - 1);
      const right = Math.min(n, after, high + 1);
      const line = { level_m: lines.level_m, base, n, left, right };
      const hasVoid = findTops(line, tops);
      markCells(line, fan, tops, from, to, marks, markAt, target_m, hasVoid, counts);
      moveRays(line, fan, tops);
      cellsInRange += Math.max(0, to - from + 1);
    }
    if (!byRows) storeColumns(work, sign, first, count, lines);
  }
  return { cellsInRange: cellsInRange - counts[1]!, cellsVisible: counts[0]!, cellsVoid: counts[1]! };
}

/** Lines that the range can touch in a sector. */
function linesInRange(
  metric: GridMetric,
  setting: SightSetting,
  byRows: boolean,
  sign: -1 | 1,
  grid: HeightGrid,
): number {
  const { row, column, range_m } = setting;
  if (byRows) {
    let n = 0;
    for (let r = row + sign; r >= 0 && r < grid.rows && Math.abs(metric.north_m[r]!) <= range_m; r += sign) n++;
    return n;
  }
  let narrowest_m = metric.east_m[row]!;
  for (let r = 0; r < grid.rows; r++)
    if (Math.abs(metric.north_m[r]!) <= range_m) narrowest_m = Math.min(narrowest_m, metric.east_m[r]!);
  const edge = sign < 0 ? column : grid.columns - 1 - column;
  return Math.min(edge, Math.floor((range_m / narrowest_m) * (1 + 1e-12)));
}

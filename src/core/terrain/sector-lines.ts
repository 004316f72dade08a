import type { HeightGrid } from './grid.ts';
import { type GridMetric, SIGHT, type SightSetting } from './sight.ts';

export interface SectorWork {
  readonly grid: HeightGrid;
  readonly setting: SightSetting;
  readonly metric: GridMetric;
  /** The observer's eye above the sea. */
  readonly eye_m: number;
  readonly out: Uint8Array;
}

/** A few lines of a sector, held side by side: `width` values each, cell `j` at `start + j`. */
export interface Lines {
  /** Ground less the curve and the eye. */
  readonly level_m: Float32Array;
  readonly marks: Uint8Array;
  readonly width: number;
  readonly start: number;
  /** First and last cell of each line that is in range and in the sector's quarter, diagonals included. */
  readonly low: Int32Array;
  readonly high: Int32Array;
}

/** Lines that are read and written at once where lines are columns: neighbours in a row share a line of the cache. */
export const BLOCK = 64;
/** Rows that are read together there. */
const TILE_ROWS = 8;

/** Loads row `n`, with a cell more to either side than the range has. */
export function loadRow({ grid, setting, metric, eye_m }: SectorWork, sign: number, n: number, lines: Lines): void {
  const { level_m, start, low, high } = lines;
  const { columns, height_m } = grid;
  const r = setting.row + sign * n;
  const y2 = metric.north_m[r]! ** 2;
  const width2 = metric.east_m[r]! ** 2;
  const reach = Math.floor(Math.sqrt(Math.max(0, setting.range_m ** 2 - y2) / width2) * (1 + 1e-12));
  const first = -Math.min(n, setting.column);
  const last = Math.min(n, columns - 1 - setting.column);
  low[0] = Math.max(first, -reach);
  high[0] = Math.min(last, reach);
  const left = Math.max(first, low[0]! - 1);
  const right = Math.min(last, high[0]! + 1);
  const fall = 1 / (2 * setting.effectiveRadius_m);
  const slope2 = fall * width2;
  const level = fall * y2 + eye_m;
  const line = r * columns + setting.column;
  for (let j = left; j <= right; j++) level_m[start + j] = height_m[line + j]! - (level + slope2 * j * j);
  level_m[start + right + 1] = level_m[start + right]!;
}

/** Loads `count` columns from the `first` on, row by row, with a cell more to either side than the range has on the first. */
export function loadColumns(
  { grid, setting, metric, eye_m }: SectorWork,
  sign: number,
  first: number,
  count: number,
  lines: Lines,
): void {
  const { level_m, width, start, low, high } = lines;
  const { rows, columns, height_m } = grid;
  const { row, column, range_m } = setting;
  const { north_m, east_m } = metric;
  const range2 = range_m * range_m;
  const isIn = (j: number, n: number) => north_m[row + j]! ** 2 + n * n * east_m[row + j]! ** 2 <= range2;
  const last = first + count - 1;
  for (let b = 0; b < count; b++) {
    const n = first + b;
    let top = b === 0 ? -Math.min(last, row) : Math.max(low[b - 1]!, -Math.min(last, row));
    let bottom = b === 0 ? Math.min(last, rows - 1 - row) : high[b - 1]!;
    // The range narrows from line to line.
    while (top < 0 && !isIn(top, n)) top++;
    while (bottom > 0 && !isIn(bottom, n)) bottom--;
    const none = top === 0 && !isIn(0, n);
    low[b] = none ? 1 : top;
    high[b] = none ? 0 : bottom;
  }
  const left = Math.max(low[0]! - 1, -Math.min(last, row));
  const right = Math.min(high[0]! + 1, last, rows - 1 - row);
  const fall = 1 / (2 * setting.effectiveRadius_m);
  const base = row * columns + column + sign * first;
  const offset_m = new Float64Array(TILE_ROWS);
  const east2 = new Float64Array(TILE_ROWS);
  // In tiles of some rows: their reads, each from far apart in memory, are under way together.
  for (let tile = left; tile <= right; tile += TILE_ROWS) {
    const size = Math.min(TILE_ROWS, right - tile + 1);
    for (let i = 0; i < size; i++) {
      const r = row + tile + i;
      offset_m[i] = eye_m + fall * north_m[r]! * north_m[r]!;
      east2[i] = fall * east_m[r]! * east_m[r]!;
    }
    for (let b = 0; b < count; b++) {
      const n2 = (first + b) * (first + b);
      const at = b * width + start + tile;
      for (let i = 0, k = base + sign * b + tile * columns; i < size; i++, k += columns)
        level_m[at + i] = height_m[k]! - (offset_m[i]! + n2 * east2[i]!);
    }
  }
  for (let b = 0; b < count; b++) {
    level_m[b * width + start + right + 1] = level_m[b * width + start + right]!;
    // Only now, that the range of the next line has been found from it, the quarter cuts the line.
    const n = first + b;
    low[b] = Math.max(low[b]!, -n);
    high[b] = Math.min(high[b]!, n);
  }
  lines.marks.fill(SIGHT.outOfRange);
}

/** Writes a block of columns row by row; the diagonals and what lies beyond them are the rows' own. */
export function storeColumns(
  { grid, setting, out }: SectorWork,
  sign: number,
  first: number,
  count: number,
  lines: Lines,
): void {
  const { marks, width, start, low, high } = lines;
  let from = 0;
  let to = 0;
  for (let b = 0; b < count; b++) {
    from = Math.min(from, low[b]!);
    to = Math.max(to, high[b]!);
  }
  for (let j = from; j <= to; j++) {
    const skip = Math.max(0, Math.abs(j) + 1 - first);
    let k = (setting.row + j) * grid.columns + setting.column + sign * (first + skip);
    for (let b = skip, at = skip * width + start + j; b < count; b++, at += width, k += sign) out[k] = marks[at]!;
  }
}

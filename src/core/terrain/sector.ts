import type { HeightGrid } from './grid.ts';
import { type GridMetric, SIGHT, type SightCounts, type SightSetting } from './sight.ts';

export interface SectorWork {
  readonly grid: HeightGrid;
  readonly setting: SightSetting;
  readonly metric: GridMetric;
  /** The observer's eye above the sea. */
  readonly eye_m: number;
  readonly out: Uint8Array;
}

/** A few lines of a sector, held side by side: `width` values each, cell `j` at `start + j`. */
interface Lines {
  /** Ground less the curve and the eye. */
  readonly level_m: Float32Array;
  readonly marks: Uint8Array;
  readonly width: number;
  readonly start: number;
  /** First and last cell of each line that is in range and in the sector's quarter, diagonals included. */
  readonly low: Int32Array;
  readonly high: Int32Array;
}

/** The line in hand: cell `j` at `base + j`. */
interface Line {
  readonly level_m: Float32Array;
  readonly base: number;
  /** Its distance from the observer, in lines. */
  readonly n: number;
  /** First and last cell that is loaded; the one after them repeats the last. */
  readonly left: number;
  readonly right: number;
}

/** Rays -rays..rays meet line n at n/rays cells apart; ray 0 stands at `rays + 1`. */
interface SectorRays {
  rays: number;
  /** Steepest slope that each has met, in m a line. */
  readonly steepest: Float64Array;
  /** Least slope of each chunk of rays, or less. */
  readonly floors: Float64Array;
}

/** Cells, and rays, are looked at by chunks of 2^6: where all the ground of one lies below all its rays, it is done at once. */
const CHUNK_BITS = 6;
/** Slope, in m a line, below any that ground can have. */
const NOTHING_YET = -1e9;
/** Lines that are read and written at once where lines are columns: neighbours in a row share a line of the cache. */
const BLOCK = 64;
/** Rows that are read together there. */
const TILE_ROWS = 8;
/** The coarsest set has fewer rays than this to either side of the sector's axis. */
const FEW_RAYS = 32;
/** Keeps rays that meet a cell's centre from falling below it by rounding, in cells. */
const NUDGE = 1e-9;

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
  // The finest set of rays has one a cell on the last line, coarser ones halve it.
  let rays = Math.max(1, lastLine);
  while (rays >= FEW_RAYS) rays = Math.ceil(rays / 2);
  let finest = rays;
  while (finest < lastLine) finest *= 2;
  const fan: SectorRays = {
    rays,
    steepest: new Float64Array(2 * finest + 3).fill(NOTHING_YET),
    floors: new Float64Array(((2 * finest + 3) >> CHUNK_BITS) + 1).fill(NOTHING_YET),
  };
  const tops = new Float64Array(((width * block) >> CHUNK_BITS) + 1);
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

/** Loads row `n`, with a cell more to either side than the range has. */
function loadRow({ grid, setting, metric, eye_m }: SectorWork, sign: number, n: number, lines: Lines): void {
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
function loadColumns(
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

/** Fills in the highest level of each chunk of a line's cells; tells whether one has no height. */
function findTops({ level_m, base, left, right }: Line, tops: Float64Array): boolean {
  let hasVoid = false;
  const last = base + right + 1;
  for (let at = base + left; at <= last; ) {
    const chunk = at >> CHUNK_BITS;
    const end = Math.min(last, ((chunk + 1) << CHUNK_BITS) - 1);
    let top = Number.NEGATIVE_INFINITY;
    for (; at <= end; at++) {
      const z = level_m[at]!;
      if (z <= top) continue;
      if (z > top) top = z;
      else hasVoid = true;
    }
    tops[chunk] = top;
  }
  return hasVoid;
}

/** Judges the cells `from`..`to` of a line against the rays beside each, chunk by chunk. */
function markCells(
  { level_m, base, n }: Line,
  { steepest, floors, rays }: SectorRays,
  tops: Float64Array,
  from: number,
  to: number,
  marks: Uint8Array,
  markAt: number,
  target_m: number,
  hasVoid: boolean,
  counts: Int32Array,
): void {
  const perCell = rays / n;
  const mid = rays + 1 + NUDGE;
  // Beyond the outer rays there is nothing: their neighbours repeat them.
  steepest[0] = steepest[1]!;
  steepest[2 * rays + 2] = steepest[2 * rays + 1]!;
  let visible = 0;
  let voids = 0;
  for (let j = from; j <= to; ) {
    const chunk = (base + j) >> CHUNK_BITS;
    const end = Math.min(to, ((chunk + 1) << CHUNK_BITS) - 1 - base);
    const lastRay = ((end * perCell + mid) | 0) + 1;
    let floor = Number.POSITIVE_INFINITY;
    for (let k = ((j * perCell + mid) | 0) >> CHUNK_BITS; k <= lastRay >> CHUNK_BITS; k++)
      floor = Math.min(floor, floors[k]!);
    if (tops[chunk]! + target_m < floor * n && !hasVoid) {
      marks.fill(SIGHT.hidden, markAt + j, markAt + end + 1);
      j = end + 1;
      continue;
    }
    for (; j <= end; j++) {
      const z = level_m[base + j]!;
      const u = j * perCell + mid;
      const ray = u | 0;
      const a = steepest[ray]!;
      const need_m = (a + (u - ray) * (steepest[ray + 1]! - a)) * n;
      if (Number.isNaN(z)) {
        marks[markAt + j] = SIGHT.outOfRange;
        voids++;
        continue;
      }
      const seen = z + target_m >= need_m ? SIGHT.visible : SIGHT.hidden;
      marks[markAt + j] = seen;
      visible += seen;
    }
  }
  counts[0]! += visible;
  counts[1]! += voids;
}

/** Carries the rays over a line, chunk by chunk; those that stand above all the ground there are left. Void ground moves none. */
function moveRays({ level_m, base, n, left, right }: Line, fan: SectorRays, tops: Float64Array): void {
  const { steepest, floors, rays } = fan;
  const perRay = n / rays;
  const perLine = 1 / n;
  const first = Math.max(-rays, Math.ceil((left * rays) / n - NUDGE)) + rays + 1;
  const last = Math.min(rays, Math.floor((right * rays) / n + NUDGE)) + rays + 1;
  const origin = base - (rays + 1) * perRay + NUDGE;
  for (let i = first; i <= last; ) {
    const chunk = i >> CHUNK_BITS;
    const end = Math.min(last, ((chunk + 1) << CHUNK_BITS) - 1);
    let x = origin + i * perRay;
    let top = Number.NEGATIVE_INFINITY;
    for (let k = (x | 0) >> CHUNK_BITS; k <= (((origin + end * perRay) | 0) + 1) >> CHUNK_BITS; k++)
      top = Math.max(top, tops[k]!);
    if (top <= floors[chunk]! * n) {
      i = end + 1;
      continue;
    }
    let floor = Number.POSITIVE_INFINITY;
    for (; i <= end; i++) {
      const c = x | 0;
      const z = level_m[c]!;
      const slope = (z + (x - c) * (level_m[c + 1]! - z)) * perLine;
      let own = steepest[i]!;
      if (slope > own) {
        own = slope;
        steepest[i] = slope;
      }
      if (own < floor) floor = own;
      x += perRay;
    }
    // Of a chunk that the range cuts, the rays outside are not looked at any more.
    floors[chunk] = floor;
  }
}

/** Puts a ray between each two, with the mean of their slopes; in place. */
function doubleRays(fan: SectorRays): void {
  const { steepest, floors, rays } = fan;
  let right = steepest[2 * rays + 1]!;
  steepest[4 * rays + 1] = right;
  for (let k = 2 * rays; k >= 1; k--) {
    const own = steepest[k]!;
    steepest[2 * k] = 0.5 * (own + right);
    steepest[2 * k - 1] = own;
    right = own;
  }
  floors.fill(Number.POSITIVE_INFINITY);
  for (let k = 0; k <= 4 * rays + 2; k++) floors[k >> CHUNK_BITS] = Math.min(floors[k >> CHUNK_BITS]!, steepest[k]!);
  fan.rays = 2 * rays;
}

/** Writes a block of columns row by row; the diagonals and what lies beyond them are the rows' own. */
function storeColumns(
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

import { type GridFrame, type HeightGrid, heightAt, xOfColumn_u, yOfRow_u } from './grid.ts';

/** One grid put together from tiles. */
export interface Mosaic {
  readonly grid: HeightGrid;
  /** 1 where a tile lies, void or not; 0 where none does. */
  readonly covered: Uint8Array;
}

/** A rectangle in a grid's own unit; on a geographic grid `east_u` may lie beyond 180. */
export interface Box {
  readonly west_u: number;
  readonly east_u: number;
  readonly south_u: number;
  readonly north_u: number;
}

/** How far the steps of two grids may differ, and their centres lie apart, to count as one lattice: 0.01 of a cell. */
const SAME_cells = 0.01;

/** Whether the cells of two frames lie on one lattice, so that tiles can be laid side by side without resampling. */
export function sameLattice(a: GridFrame, b: GridFrame): boolean {
  if (a.kind !== b.kind || a.projection !== b.projection) return false;
  const spread = Math.max(a.columns, a.rows, b.columns, b.rows);
  if (Math.abs(a.stepEast_u / b.stepEast_u - 1) * spread > SAME_cells) return false;
  if (Math.abs(a.stepNorth_u / b.stepNorth_u - 1) * spread > SAME_cells) return false;
  const columns = offsetColumns(a, b);
  const rows = (a.north_u - b.north_u) / a.stepNorth_u;
  return Math.abs(columns - Math.round(columns)) < SAME_cells && Math.abs(rows - Math.round(rows)) < SAME_cells;
}

/** Columns from the first of `a` to the first of `b`, by the shorter way round. */
function offsetColumns(a: GridFrame, b: GridFrame): number {
  const columns = (b.west_u - a.west_u) / a.stepEast_u;
  if (a.kind === 'projected') return columns;
  const turn = 360 / a.stepEast_u;
  const middle = columns + (b.columns - a.columns) / 2;
  return columns - turn * Math.round(middle / turn);
}

/** An empty mosaic on the lattice of `like` whose cells cover the box. Rows never leave the latitudes that there are. */
export function createMosaic(like: GridFrame, box: Box): Mosaic {
  const firstColumn = Math.floor((box.west_u - like.west_u) / like.stepEast_u + 1e-6);
  const lastColumn = Math.ceil((box.east_u - like.west_u) / like.stepEast_u - 1e-6);
  let firstRow = Math.floor((like.north_u - box.north_u) / like.stepNorth_u + 1e-6);
  let lastRow = Math.ceil((like.north_u - box.south_u) / like.stepNorth_u - 1e-6);
  if (like.kind === 'geographic') {
    firstRow = Math.max(firstRow, Math.ceil((like.north_u - 90) / like.stepNorth_u - 1e-6));
    lastRow = Math.min(lastRow, Math.floor((like.north_u + 90) / like.stepNorth_u + 1e-6));
  }
  const rows = lastRow - firstRow + 1;
  const columns = lastColumn - firstColumn + 1;
  return {
    grid: {
      ...like,
      rows,
      columns,
      west_u: xOfColumn_u(like, firstColumn),
      north_u: yOfRow_u(like, firstRow),
      height_m: new Float32Array(rows * columns).fill(Number.NaN),
    },
    covered: new Uint8Array(rows * columns),
  };
}

/** Rows and columns of `frame` that lie on the mosaic, last ones included; null where the two do not touch. */
export function overlap(
  mosaic: GridFrame,
  frame: GridFrame,
): { firstRow: number; lastRow: number; firstColumn: number; lastColumn: number; row: number; column: number } | null {
  const row = Math.round((mosaic.north_u - frame.north_u) / mosaic.stepNorth_u);
  const column = Math.round(offsetColumns(mosaic, frame));
  const firstRow = Math.max(0, -row);
  const lastRow = Math.min(frame.rows - 1, mosaic.rows - 1 - row);
  const firstColumn = Math.max(0, -column);
  const lastColumn = Math.min(frame.columns - 1, mosaic.columns - 1 - column);
  if (firstRow > lastRow || firstColumn > lastColumn) return null;
  return { firstRow, lastRow, firstColumn, lastColumn, row, column };
}

/**
 * Lays a tile of the same lattice on the mosaic. Where tiles share an edge the first that has a height there stays, and a void
 * is filled by a neighbour that knows better.
 */
export function pasteTile(mosaic: Mosaic, tile: HeightGrid): void {
  const { grid, covered } = mosaic;
  const common = overlap(grid, tile);
  if (common === null) return;
  const width = common.lastColumn - common.firstColumn + 1;
  for (let r = common.firstRow; r <= common.lastRow; r++) {
    const from = r * tile.columns + common.firstColumn;
    const to = (r + common.row) * grid.columns + common.firstColumn + common.column;
    for (let c = 0; c < width; c++) {
      if (covered[to + c] === 1 && !Number.isNaN(grid.height_m[to + c]!)) continue;
      grid.height_m[to + c] = tile.height_m[from + c]!;
      covered[to + c] = 1;
    }
  }
}

/**
 * Fills cells that no tile covers from a grid of another lattice, bilinear; returns how many. `locate` turns a place of the
 * mosaic into one of the other grid, writing x and y.
 */
export function fillFrom(
  mosaic: Mosaic,
  other: HeightGrid,
  locate: (x_u: number, y_u: number, out: Float64Array) => void,
): number {
  const { grid, covered } = mosaic;
  const place = new Float64Array(2);
  let filled = 0;
  for (let r = 0, k = 0; r < grid.rows; r++) {
    const y_u = yOfRow_u(grid, r);
    for (let c = 0; c < grid.columns; c++, k++) {
      if (covered[k] === 1) continue;
      locate(xOfColumn_u(grid, c), y_u, place);
      const h = heightAt(other, place[0]!, place[1]!);
      if (Number.isNaN(h)) continue;
      grid.height_m[k] = h;
      covered[k] = 1;
      filled++;
    }
  }
  return filled;
}

/** Cells without height: `missing` where no tile lies, `voids` where a tile says that it has none. */
export function mosaicGaps(mosaic: Mosaic): { readonly missing: number; readonly voids: number } {
  let missing = 0;
  let voids = 0;
  const { covered } = mosaic;
  const { height_m } = mosaic.grid;
  for (let k = 0; k < covered.length; k++) {
    if (covered[k] === 0) missing++;
    else if (Number.isNaN(height_m[k]!)) voids++;
  }
  return { missing, voids };
}

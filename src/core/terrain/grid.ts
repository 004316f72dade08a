/**
 * How the cells of a height grid lie on the ground. The suffix `_u` means the grid's own unit: degrees on a geographic grid
 * (x is longitude, y latitude), metres on a projected one (x is easting, y northing).
 */
export interface GridFrame {
  readonly kind: 'geographic' | 'projected';
  /** Name of the projection, e.g. `EPSG:32632`, or its definition; null on a geographic grid. */
  readonly projection: string | null;
  readonly rows: number;
  readonly columns: number;
  /** Centre of the first cell, the north-western one. */
  readonly west_u: number;
  readonly north_u: number;
  /** Both positive: columns run east, rows run south. */
  readonly stepEast_u: number;
  readonly stepNorth_u: number;
  /** Whether a value stands for its cell's area, so that the grid reaches half a cell beyond the outer centres, or for a point. */
  readonly pixelIs: 'area' | 'point';
}

/** Heights above sea level, row by row from the north-west; NaN where there is none. */
export interface HeightGrid extends GridFrame {
  readonly height_m: Float32Array;
}

/** Rounding of coordinates, in cells: so far beside a centre counts as on it. 1e-6 of 30 m is 0.03 mm. */
const SLACK_cells = 1e-6;

/** Column of a longitude or easting, with fraction; 0 at the centre of the first. Longitudes a turn off count alike. */
export function columnOf(frame: GridFrame, x_u: number): number {
  const column = (x_u - frame.west_u) / frame.stepEast_u;
  if (frame.kind === 'projected') return column;
  // The turn that puts the column nearest to the middle of the grid.
  const turn = 360 / frame.stepEast_u;
  return column - turn * Math.round((column - (frame.columns - 1) / 2) / turn);
}

/** Row of a latitude or northing, with fraction; 0 at the centre of the first. */
export function rowOf(frame: GridFrame, y_u: number): number {
  return (frame.north_u - y_u) / frame.stepNorth_u;
}

/** Longitude or easting of a column's centre; on a geographic grid across the date line it may lie beyond 180. */
export const xOfColumn_u = (frame: GridFrame, column: number): number => frame.west_u + column * frame.stepEast_u;

/** Latitude or northing of a row's centre. */
export const yOfRow_u = (frame: GridFrame, row: number): number => frame.north_u - row * frame.stepNorth_u;

/** Whether a place lies on the grid. */
export function isInside(frame: GridFrame, x_u: number, y_u: number): boolean {
  const halo = (frame.pixelIs === 'area' ? 0.5 : 0) + SLACK_cells;
  const column = columnOf(frame, x_u);
  const row = rowOf(frame, y_u);
  return column >= -halo && column <= frame.columns - 1 + halo && row >= -halo && row <= frame.rows - 1 + halo;
}

/**
 * Height at a place, m, bilinear between the four centres around it; NaN outside the grid and where a centre that counts is void.
 * In the outer half cell of an area grid the height of the edge holds.
 */
export function heightAt(grid: HeightGrid, x_u: number, y_u: number): number {
  return heightAtCell(grid, rowOf(grid, y_u), columnOf(grid, x_u));
}

/** As `heightAt`, for a row and a column with fractions. */
export function heightAtCell(grid: HeightGrid, row: number, column: number): number {
  const { rows, columns, height_m } = grid;
  const halo = (grid.pixelIs === 'area' ? 0.5 : 0) + SLACK_cells;
  if (!(row >= -halo && row <= rows - 1 + halo && column >= -halo && column <= columns - 1 + halo)) return Number.NaN;
  const y = Math.max(0, Math.min(rows - 1, row));
  const x = Math.max(0, Math.min(columns - 1, column));
  const r = Math.floor(y + SLACK_cells);
  const c = Math.floor(x + SLACK_cells);
  const fy = y - r < SLACK_cells ? 0 : y - r;
  const fx = x - c < SLACK_cells ? 0 : x - c;
  const at = r * columns + c;
  // A neighbour without weight is left unread: it may be void, or past the edge.
  const upper = fx === 0 ? height_m[at]! : height_m[at]! + fx * (height_m[at + 1]! - height_m[at]!);
  if (fy === 0) return upper;
  const low = at + columns;
  const lower = fx === 0 ? height_m[low]! : height_m[low]! + fx * (height_m[low + 1]! - height_m[low]!);
  return upper + fy * (lower - upper);
}

/** Cells without a height. */
export function countVoids(grid: HeightGrid): number {
  let voids = 0;
  for (const h of grid.height_m) if (Number.isNaN(h)) voids++;
  return voids;
}

/** Checks a frame that a reader has put together; what is wrong with it, or null. */
export function frameFault(frame: GridFrame): string | null {
  const { rows, columns, west_u, north_u, stepEast_u, stepNorth_u } = frame;
  if (!(Number.isInteger(rows) && Number.isInteger(columns) && rows >= 2 && columns >= 2))
    return `it has ${columns} x ${rows} cells, at least 2 x 2 are needed`;
  if (!(stepEast_u > 0 && stepNorth_u > 0 && Number.isFinite(stepEast_u + stepNorth_u)))
    return `its cells measure ${stepEast_u} x ${stepNorth_u}: both steps must be above zero`;
  if (!Number.isFinite(west_u + north_u)) return 'its corner is not a number';
  if (frame.kind === 'geographic') {
    const south_deg = yOfRow_u(frame, rows - 1);
    if (north_u > 90 + stepNorth_u || south_deg < -90 - stepNorth_u)
      return `it reaches from ${south_deg} to ${north_u} degrees of latitude: there are 90 each way`;
    if ((columns - 1) * stepEast_u > 360 + stepEast_u) return 'it reaches further than once around the Earth';
  }
  return null;
}

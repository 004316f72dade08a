import { columnOf, type GridFrame, type HeightGrid, heightAtCell, rowOf } from './grid.ts';

/**
 * Rays out of one place, given by points on their geodesics at even distances: the first is the place itself. Coordinates are in the
 * grid's own unit. Between two nodes a ray is taken as straight: with nodes 500 m apart that is right to 5 mm times tan(latitude).
 */
export interface Fan {
  readonly azimuth_deg: Float64Array;
  /** Nodes of each ray, the first included. */
  readonly nodes: number;
  readonly nodeStep_m: number;
  /** Node `k` of ray `i` stands at `i * nodes + k`. */
  readonly x_u: Float64Array;
  readonly y_u: Float64Array;
}

/** Rows and columns, with fractions, of a fan's nodes on a grid. */
export interface GridFan {
  readonly azimuth_deg: Float64Array;
  readonly nodes: number;
  readonly nodeStep_m: number;
  readonly row: Float64Array;
  readonly column: Float64Array;
}

/** A fan in cells of a grid. */
export function fanOnGrid(frame: GridFrame, fan: Fan): GridFan {
  return {
    azimuth_deg: fan.azimuth_deg,
    nodes: fan.nodes,
    nodeStep_m: fan.nodeStep_m,
    row: Float64Array.from(fan.y_u, (y) => rowOf(frame, y)),
    column: Float64Array.from(fan.x_u, (x) => columnOf(frame, x)),
  };
}

/** Heights along a ray at the given distances into `out_m`, bilinear; NaN where there is none, and beyond the last node. */
export function sampleRayAt(
  grid: HeightGrid,
  fan: GridFan,
  ray: number,
  distance_m: Float64Array,
  out_m: Float64Array,
): void {
  const { nodes, nodeStep_m, row, column } = fan;
  const first = ray * nodes;
  for (let i = 0; i < distance_m.length; i++) {
    const t = distance_m[i]! / nodeStep_m;
    if (!(t <= nodes - 1 + 1e-9)) {
      out_m[i] = Number.NaN;
      continue;
    }
    const k = Math.min(Math.floor(t), nodes - 2);
    const f = t - k;
    const a = first + k;
    out_m[i] = heightAtCell(
      grid,
      row[a]! + f * (row[a + 1]! - row[a]!),
      column[a]! + f * (column[a + 1]! - column[a]!),
    );
  }
}

/**
 * Heights along a ray at 0, step, 2 step, … into `out_m`, bilinear; NaN where there is none. The last node ends the ray: as many
 * points are written as lie up to it, at most `count`; returns their number.
 */
export function sampleRay(
  grid: HeightGrid,
  fan: GridFan,
  ray: number,
  step_m: number,
  count: number,
  out_m: Float64Array,
): number {
  const { nodes, nodeStep_m, row, column } = fan;
  const first = ray * nodes;
  const perNode = step_m / nodeStep_m;
  const n = Math.min(count, Math.floor((nodes - 1) / perNode + 1e-9) + 1);
  for (let i = 0; i < n; i++) {
    const t = i * perNode;
    const k = Math.min(Math.floor(t), nodes - 2);
    const f = t - k;
    const a = first + k;
    out_m[i] = heightAtCell(
      grid,
      row[a]! + f * (row[a + 1]! - row[a]!),
      column[a]! + f * (column[a + 1]! - column[a]!),
    );
  }
  return n;
}

import type { GridFrame } from './grid.ts';

/** Values of a sight raster. */
export const SIGHT = { hidden: 0, visible: 1, outOfRange: 2 } as const;

/** Distances on the ground from an observer's cell; one value a row of the grid. */
export interface GridMetric {
  /** From the observer's row to each row, m; the sign is free. */
  readonly north_m: Float64Array;
  /** Width of a cell at the middle between the observer's row and each row, m. */
  readonly east_m: Float64Array;
}

export interface SightSetting {
  readonly row: number;
  readonly column: number;
  /** Of the observer's eye or antenna above the ground of its cell. */
  readonly observerHeight_m: number;
  /** Of what is looked for, above the ground of each cell. */
  readonly targetHeight_m: number;
  readonly range_m: number;
  /** Effective radius of the Earth, m: heights fall by r²/(2 radius). */
  readonly effectiveRadius_m: number;
}

export interface SightCounts {
  readonly cellsInRange: number;
  readonly cellsVisible: number;
  /** Within the range but without a height; they stand as out of range, and sight across them is taken as free. */
  readonly cellsVoid: number;
}

/** On a grid in true metres: the grid's own distances. */
export function planeMetric(frame: GridFrame, row: number): GridMetric {
  return {
    north_m: Float64Array.from({ length: frame.rows }, (_, r) => (r - row) * frame.stepNorth_u),
    east_m: new Float64Array(frame.rows).fill(frame.stepEast_u),
  };
}

/** Where the pixels of a map lie on a terrain's grid. */
import { columnOf, type GridFrame, rowOf } from '../core/terrain/index.ts';
import { type Projection, projectionOf } from '../formats/projection.ts';

/** Pixels of a map on the web's Mercator (EPSG:3857): centre of the first one, and their size, m. */
export interface MapPixels {
  readonly width: number;
  readonly height: number;
  readonly west_m: number;
  readonly north_m: number;
  readonly stepEast_m: number;
  readonly stepNorth_m: number;
}

/** Circumference of the web's Mercator, m. */
export const GIRTH_m = 2 * Math.PI * 6_378_137;
export const MERCATOR = projectionOf('EPSG:3857');
const STEP = 16;

/**
 * Rows and columns of a grid at each pixel of a map, with fractions, given to `visit` row by row. Computed at every sixteenth pixel,
 * straight between: within a centimetre where these lie under a kilometre apart.
 */
export function overPixels(
  pixels: MapPixels,
  frame: GridFrame,
  projection: Projection,
  visit: (index: number, row: number, column: number) => void,
): void {
  const { width, height } = pixels;
  const across = Math.ceil((width - 1) / STEP) + 1;
  const down = Math.ceil((height - 1) / STEP) + 1;
  const row = new Float64Array(across * down);
  const column = new Float64Array(across * down);
  const out = new Float64Array(2);
  for (let j = 0; j < down; j++)
    for (let i = 0; i < across; i++) {
      MERCATOR.toEarth(
        pixels.west_m + i * STEP * pixels.stepEast_m,
        pixels.north_m - j * STEP * pixels.stepNorth_m,
        out,
      );
      projection.toGrid(out[0]!, out[1]!, out);
      row[j * across + i] = rowOf(frame, out[1]!);
      column[j * across + i] = columnOf(frame, out[0]!);
    }
  for (let y = 0, index = 0; y < height; y++) {
    const j = Math.max(0, Math.min(down - 2, Math.floor(y / STEP)));
    const v = y / STEP - j;
    for (let x = 0; x < width; x++, index++) {
      const i = Math.max(0, Math.min(across - 2, Math.floor(x / STEP)));
      const u = x / STEP - i;
      const a = j * across + i;
      visit(index, between(row, a, a + across, u, v), between(column, a, a + across, u, v));
    }
  }
}

const between = (values: Float64Array, a: number, b: number, u: number, v: number): number => {
  const top = values[a]! + u * (values[a + 1]! - values[a]!);
  return top + v * (values[b]! + u * (values[b + 1]! - values[b]!) - top);
};

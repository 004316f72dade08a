/** A coverage as a picture that lies on a map. */
import { boxAround } from '../formats/geodesic.ts';
import { encodePng } from '../formats/png.ts';
import { parseHex } from '../report/palette.ts';
import { FULL_dB, marginColour } from '../report/reach-image.ts';
import { type MapPixels, MERCATOR, overPixels } from './mercator-lattice.ts';
import type { Reach } from './reach.ts';

/** See `ReachPicture` of the server's types. */
export interface ReachMapPicture {
  readonly box: {
    readonly south_deg: number;
    readonly north_deg: number;
    readonly west_deg: number;
    readonly east_deg: number;
  };
  readonly rows: number;
  readonly columns: number;
  readonly png: Uint8Array;
  /** Whole dB, cut at ±127; `NO_MARGIN`: not known, or beyond the radius. */
  readonly margin_dB: Int8Array;
  /** Odds in whole per cent; `IN_SIGHT` more where there is line of sight; `NO_ODDS`: as for the margin. */
  readonly odds: Uint8Array;
  readonly legend: readonly { readonly margin_dB: number; readonly color: string }[];
}

export const NO_MARGIN = -128;
export const IN_SIGHT = 128;
export const NO_ODDS = 255;
const MOST_PIXELS = 800;

/** Margins of a reach on pixels of the web's Mercator, each that of the cell it lies on; about a pixel a cell, at most 800 across. */
export function reachMapPicture({ field, outcome, ground, odds: oddsOf }: Reach): ReachMapPicture {
  const { rows, columns, centre, reach_km, cellHeight_km, cellWidth_km, margin_dB } = field;
  const pixels = pixelsAround(outcome, reach_km, Math.min(cellHeight_km, cellWidth_km));
  const { width, height } = pixels;
  const margins = new Int8Array(width * height).fill(NO_MARGIN);
  const odds = new Uint8Array(width * height).fill(NO_ODDS);
  const data = new Uint8Array(4 * width * height);
  overPixels(pixels, ground.located.grid, ground.located.projection, (k, row, column) => {
    const r = Math.round(row);
    const c = Math.round(column);
    if (!(r >= 0 && r < rows && c >= 0 && c < columns)) return;
    if (Math.hypot((row - centre.row) * cellHeight_km, (column - centre.column) * cellWidth_km) > reach_km) return;
    const margin = margin_dB[r * columns + c]!;
    if (Number.isNaN(margin)) return;
    margins[k] = Math.max(-127, Math.min(127, Math.round(margin)));
    odds[k] = Math.round(100 * oddsOf(r * columns + c)) + (field.sight[r * columns + c] === 1 ? IN_SIGHT : 0);
    if (margin < 0) return;
    const [red, green, blue] = RAMP[Math.min(FULL_dB, Math.round(margin))]!;
    data[4 * k] = red;
    data[4 * k + 1] = green;
    data[4 * k + 2] = blue;
    data[4 * k + 3] = 255;
  });
  const corner = new Float64Array(2);
  MERCATOR.toEarth(pixels.west_m - pixels.stepEast_m / 2, pixels.north_m - (height - 0.5) * pixels.stepNorth_m, corner);
  const [west_deg, south_deg] = [corner[0]!, corner[1]!];
  MERCATOR.toEarth(pixels.west_m + (width - 0.5) * pixels.stepEast_m, pixels.north_m + pixels.stepNorth_m / 2, corner);
  return {
    box: { south_deg, north_deg: corner[1]!, west_deg, east_deg: corner[0]! },
    rows: height,
    columns: width,
    png: encodePng({ width, height, channels: 4, data }, true),
    margin_dB: margins,
    odds,
    legend: [0, 10, 20, 30, 40].map((margin) => ({ margin_dB: margin, color: marginColour(margin) })),
  };
}

const RAMP = Array.from({ length: FULL_dB + 1 }, (_, margin) => parseHex(marginColour(margin)));

/** Square pixels on the map over the circle. */
function pixelsAround(
  place: { readonly latitude_deg: number; readonly longitude_deg: number },
  reach_km: number,
  cell_km: number,
): MapPixels {
  const box = boxAround(place, 1000 * reach_km);
  const corner = new Float64Array(2);
  MERCATOR.toGrid(box.west_deg, Math.max(-85, box.south_deg), corner);
  const [west_m, south_m] = [corner[0]!, corner[1]!];
  MERCATOR.toGrid(box.east_deg, Math.min(85, box.north_deg), corner);
  const [east_m, north_m] = [corner[0]!, corner[1]!];
  const wanted = Math.max(32, Math.min(MOST_PIXELS, Math.ceil((2 * reach_km) / cell_km)));
  const step_m = Math.max(east_m - west_m, north_m - south_m) / wanted;
  const width = Math.max(1, Math.ceil((east_m - west_m) / step_m - 1e-9));
  const height = Math.max(1, Math.ceil((north_m - south_m) / step_m - 1e-9));
  return {
    width,
    height,
    west_m: west_m + step_m / 2,
    north_m: north_m - step_m / 2,
    stepEast_m: step_m,
    stepNorth_m: step_m,
  };
}

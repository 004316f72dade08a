import type { GridFrame, HeightGrid } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';

/** Value of a sample without height. */
const VOID = -32768;
/** Samples along each side of a tile, by its size in bytes: 3 arc-seconds and 1. */
const SIDES = [1201, 3601] as const;
const FORM = 'N46E010.hgt: the degrees of its south-western corner';

/** South-western corner of a tile. */
export interface HgtCorner {
  readonly south_deg: number;
  readonly west_deg: number;
}

/** Corner that a file name tells, with or without folder, .gz or .zip; null when it is not of the form N46E010.hgt. */
export function hgtCorner(path: string): HgtCorner | null {
  const name = path.replace(/^.*[/\\]/, '');
  const match = /^([NS])(\d{2})([EW])(\d{3})(?:\.[A-Z0-9]+)*\.hgt(?:\.gz|\.zip)?$/i.exec(name);
  if (match === null) return null;
  const south_deg = Number(match[2]) * (match[1]!.toUpperCase() === 'S' ? -1 : 1);
  const west_deg = Number(match[4]) * (match[3]!.toUpperCase() === 'W' ? -1 : 1);
  if (south_deg < -90 || south_deg > 89 || west_deg < -180 || west_deg > 179) return null;
  return { south_deg, west_deg };
}

/** Name of the tile that holds a place. */
export function hgtName(latitude_deg: number, longitude_deg: number): string {
  const south = Math.min(89, Math.floor(latitude_deg));
  const west = Math.floor(longitude_deg - 360 * Math.floor((longitude_deg + 180) / 360));
  const digits = (value: number, places: number) => String(Math.abs(value)).padStart(places, '0');
  return `${south < 0 ? 'S' : 'N'}${digits(south, 2)}${west < 0 ? 'W' : 'E'}${digits(west, 3)}.hgt`;
}

/** Samples along a side of a tile of so many bytes; null when no tile has that size. */
export function hgtSide(bytes: number): number | null {
  return SIDES.find((side) => side * side * 2 === bytes) ?? null;
}

/** How a tile lies on the Earth: its name means the centre of the south-western sample, edges are shared with the neighbours. */
export function hgtFrame(corner: HgtCorner, side: number): GridFrame {
  const step_deg = 1 / (side - 1);
  return {
    kind: 'geographic',
    projection: null,
    rows: side,
    columns: side,
    west_u: corner.west_deg,
    north_u: corner.south_deg + 1,
    stepEast_u: step_deg,
    stepNorth_u: step_deg,
    pixelIs: 'point',
  };
}

/**
 * Reads a tile of elevation (SRTM, NASADEM): signed 16-bit big-endian metres, rows from the north, -32768 for void.
 *
 * @throws UserError `hgt.name` or `hgt.size`, naming the file
 */
export function readHgt(bytes: Uint8Array, file: string): HeightGrid {
  const corner = hgtCorner(file);
  if (corner === null)
    throw userError('hgt.name', `The name does not tell where the tile lies: it must be like ${FORM}.`, { file });
  const side = hgtSide(bytes.length);
  if (side === null) throw userError('hgt.size', hgtSizeSentence(bytes.length), { file });
  const height_m = new Float32Array(side * side);
  for (let k = 0, at = 0; k < height_m.length; k++, at += 2) {
    const value = ((bytes[at]! << 24) >> 16) | bytes[at + 1]!;
    height_m[k] = value === VOID ? Number.NaN : value;
  }
  return { ...hgtFrame(corner, side), height_m };
}

/** What is wrong with a tile of so many bytes. */
export function hgtSizeSentence(bytes: number): string {
  const sizes = SIDES.map((side) => side * side * 2);
  const wanted = `a tile has ${sizes[0]} (1201 x 1201 samples, 3 arc-seconds) or ${sizes[1]} (3601 x 3601, 1 arc-second)`;
  const full = sizes.find((size) => size > bytes);
  const guess =
    bytes === 0
      ? 'it is empty'
      : full !== undefined && bytes > full / 8
        ? `it is cut off after ${Math.floor((bytes / full) * 100)} % or is no such tile`
        : 'it is no such tile';
  return `The file has ${bytes} bytes, but ${wanted}: ${guess}. Fetch it again.`;
}

/** Writes a grid of one degree as a tile: whole metres, voids -32768. The name is `hgtName` of its south-western corner. */
export function writeHgt(grid: HeightGrid): Uint8Array {
  const side = SIDES.find((n) => n === grid.rows && n === grid.columns);
  if (side === undefined || grid.kind !== 'geographic' || Math.abs(grid.stepEast_u * (side - 1) - 1) > 1e-9)
    throw new RangeError('a tile is a geographic grid of one degree with 1201 or 3601 samples a side');
  const bytes = new Uint8Array(side * side * 2);
  const view = new DataView(bytes.buffer);
  for (let k = 0; k < grid.height_m.length; k++) {
    const h = grid.height_m[k]!;
    view.setInt16(2 * k, Number.isNaN(h) ? VOID : Math.max(-32767, Math.min(32767, Math.round(h))));
  }
  return bytes;
}

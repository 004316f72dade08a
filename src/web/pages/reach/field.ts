/** The margins of a coverage under a place of the map. */
import type { ReachPicture } from '../../../server/api.ts';
import type { Spot } from '../../state/reach.ts';

const UNKNOWN = -128;

export interface Field {
  readonly box: ReachPicture['box'];
  readonly rows: number;
  readonly columns: number;
  readonly margin_dB: Int8Array;
}

/** Reads the raster of an answer; null when its length is not what it says. */
export function fieldOf({ box, rows, columns, margin_dB }: ReachPicture): Field | null {
  const bytes = atob(margin_dB);
  if (bytes.length !== rows * columns) return null;
  const values = new Int8Array(bytes.length);
  for (let i = 0; i < bytes.length; i++) values[i] = (bytes.charCodeAt(i) << 24) >> 24;
  return { box, rows, columns, margin_dB: values };
}

/** The northing of the web-Mercator map, from the equator, in radians of its sphere. */
export const northing = (latitude_deg: number): number =>
  Math.log(Math.tan(Math.PI / 4 + (latitude_deg * Math.PI) / 360));

/** Margin at a place, whole dB; null where it is not known or beyond the raster. */
export function marginAt({ box, rows, columns, margin_dB }: Field, spot: Spot): number | null {
  const column = Math.floor(((spot.longitude_deg - box.west_deg) / (box.east_deg - box.west_deg)) * columns);
  const top = northing(box.north_deg);
  const row = Math.floor(((top - northing(spot.latitude_deg)) / (top - northing(box.south_deg))) * rows);
  if (!(row >= 0 && row < rows && column >= 0 && column < columns)) return null;
  const value = margin_dB[row * columns + column]!;
  return value === UNKNOWN ? null : value;
}

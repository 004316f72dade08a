/** The margins and odds of a coverage under a place of the map. */
import type { ReachPicture } from '../../../server/api.ts';
import type { Spot } from '../../state/reach.ts';

const UNKNOWN = -128;
const NO_ODDS = 255;
const IN_SIGHT = 128;

export interface Field {
  readonly box: ReachPicture['box'];
  readonly rows: number;
  readonly columns: number;
  readonly margin_dB: Int8Array;
  /** Null in what an older edition of the pages has kept. */
  readonly odds: Uint8Array | null;
}

/** What the coverage says of a place. */
export interface FieldAt {
  /** Whole dB. */
  readonly margin_dB: number;
  /** 0 to 1, and whether the way there is in line of sight; null where it was not told. */
  readonly odds: number | null;
  readonly inSight: boolean;
}

/** Reads the rasters of an answer; null when a length is not what it says. */
export function fieldOf({ box, rows, columns, margin_dB, odds }: ReachPicture): Field | null {
  const margins = bytesOf(margin_dB);
  if (margins.length !== rows * columns) return null;
  const chances = bytesOf((odds as string | undefined) ?? '');
  return {
    box,
    rows,
    columns,
    margin_dB: new Int8Array(margins.buffer),
    odds: chances.length === margins.length ? chances : null,
  };
}

function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}

/** The northing of the web-Mercator map, from the equator, in radians of its sphere. */
export const northing = (latitude_deg: number): number =>
  Math.log(Math.tan(Math.PI / 4 + (latitude_deg * Math.PI) / 360));

/** Margin and odds at a place; null where it is not known or beyond the raster. */
export function fieldAt({ box, rows, columns, margin_dB, odds }: Field, spot: Spot): FieldAt | null {
  const column = Math.floor(((spot.longitude_deg - box.west_deg) / (box.east_deg - box.west_deg)) * columns);
  const top = northing(box.north_deg);
  const row = Math.floor(((top - northing(spot.latitude_deg)) / (top - northing(box.south_deg))) * rows);
  if (!(row >= 0 && row < rows && column >= 0 && column < columns)) return null;
  const k = row * columns + column;
  const margin = margin_dB[k]!;
  if (margin === UNKNOWN) return null;
  const told = odds?.[k] ?? NO_ODDS;
  return told === NO_ODDS
    ? { margin_dB: margin, odds: null, inSight: false }
    : { margin_dB: margin, odds: (told % IN_SIGHT) / 100, inSight: told >= IN_SIGHT };
}

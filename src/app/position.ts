/** A position as somebody types it. */
import { userError } from '../core/units/index.ts';

export interface Position {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

const NUMBER = String.raw`([+-]?\d+(?:\.\d+)?)`;
const PLACE = new RegExp(String.raw`^\s*${NUMBER}\s*([NS])?\s*,\s*${NUMBER}\s*([EW])?\s*(?:,\s*${NUMBER}\s*)?$`, 'i');

/** `46.4,10.2`, `46.4,10.2,5` or `44.3S,168.9E,7`; undefined for anything else, such as a file's name. */
export function parsePosition(text: string): (Position & { readonly height_m: number | undefined }) | undefined {
  const found = PLACE.exec(text);
  if (found === null) return undefined;
  const side = (value: string, letter: string | undefined, minus: string) =>
    Number(value) * (letter?.toUpperCase() === minus ? -1 : 1);
  const latitude_deg = side(found[1]!, found[2], 'S');
  const longitude_deg = side(found[3]!, found[4], 'W');
  if (Math.abs(latitude_deg) > 90)
    throw userError(
      'path.place',
      `"${text}" has the latitude ${latitude_deg}: it lies between -90 and 90; latitude comes first, longitude second`,
      { field: text },
    );
  if (Math.abs(longitude_deg) > 180)
    throw userError('path.place', `"${text}" has the longitude ${longitude_deg}: it lies between -180 and 180`, {
      field: text,
    });
  return { latitude_deg, longitude_deg, height_m: found[5] === undefined ? undefined : Number(found[5]) };
}

/** Where an order's units will stand. */

import { userError } from '../../core/units/index.ts';
import type { ContentOf } from '../../records/bench/index.ts';
import { parsePosition } from '../position.ts';

/** A name, a position as LAT,LON, or both; undefined without either. */
export function placeOf(name: string | undefined, at: string | undefined): ContentOf<'order-placed'>['place'] {
  if (at === undefined) return name === undefined ? undefined : { name };
  const position = parsePosition(at);
  if (position === undefined)
    throw userError('bad-position', `'${at}' is no position: write latitude and longitude in degrees, 46.42,10.19`, {
      field: '--at',
    });
  const { latitude_deg, longitude_deg } = position;
  return { name: name ?? at, latitude_deg, longitude_deg };
}

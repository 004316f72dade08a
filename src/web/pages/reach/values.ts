/** Values of the map at a place, in words. */
import { geodesicBetween } from '../../../formats/geodesic.ts';
import { formatPosition } from '../../../report/index.ts';
import type { Spot } from '../../state/reach.ts';
import { figures } from '../../state/settings.ts';
import { type Field, marginAt } from './field.ts';
import { reader } from './reader.ts';
import { bearingText, distanceText, marginText } from './words.ts';

/** Position, margin, distance and bearing from the perch in hand. */
export function valuesText(at: Spot, field: Field | null, here: Spot | null): string {
  const read = reader();
  const where = formatPosition(at, 4, figures.value);
  if (here === null) return where;
  const margin = field === null ? null : marginAt(field, at);
  const said =
    margin === null
      ? 'not computed'
      : margin >= 0
        ? `reached with ${marginText(read, margin)} to spare`
        : `not reached, ${marginText(read, -margin)} lacking`;
  const way = geodesicBetween(here, at);
  return `${where}: ${said}, ${distanceText(read, way.distance_m / 1000)} at ${bearingText(read, way.azimuth_deg)}`;
}

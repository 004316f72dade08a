/** Values of the map at a place, in words. */

import { computed } from '@preact/signals';
import { coverAt } from '../../../app/cover-profile.ts';
import { geodesicBetween } from '../../../formats/geodesic.ts';
import { formatPosition } from '../../../report/index.ts';
import { cover, kindText } from '../../state/around.ts';
import type { Spot } from '../../state/reach.ts';
import { figures } from '../../state/settings.ts';
import { type Field, fieldAt } from './field.ts';
import { reader } from './reader.ts';
import { bearingText, distanceText, lengthText, marginText, oddsText, type Reader } from './words.ts';

/** Position, margin, odds, distance and bearing from the perch in hand, and what stands on the ground there. */
export function valuesText(at: Spot, field: Field | null, here: Spot | null): string {
  const read = reader();
  const where = formatPosition(at, 4, figures.value);
  if (here === null) return where;
  const way = geodesicBetween(here, at);
  return `${where}: ${reachedText(read, field, at)}, ${distanceText(read, way.distance_m / 1000)} at ${bearingText(read, way.azimuth_deg)}${standsText(read, at)}`;
}

function reachedText(read: Reader, field: Field | null, at: Spot): string {
  const found = field === null ? null : fieldAt(field, at);
  if (found === null) return 'not computed';
  const { margin_dB, odds, inSight } = found;
  const said =
    margin_dB >= 0
      ? `reached with ${marginText(read, margin_dB)} to spare`
      : `not reached, ${marginText(read, -margin_dB)} lacking`;
  return odds === null ? said : `${said}, odds ${oddsText(read, odds)}, ${inSight ? 'in sight' : 'over edges'}`;
}

const kindAt = computed(() => (cover.value === null ? null : coverAt(cover.value)));

function standsText(read: Reader, at: Spot): string {
  const kind = kindAt.value?.(at) ?? 0;
  return kind === 0 ? '' : `; ${kindText(cover.value!, kind, (m) => lengthText(read, 'height_m', m))}`;
}

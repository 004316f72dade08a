/** The request for the coverage of what is in hand, and the text that tells when it is another. */
import { computed } from '@preact/signals';
import type { JobRequest } from '../../server/api.ts';
import { filesKey, filesOfJob, measuredText, onGround } from './around.ts';
import { inHand, otherEnd, perchId, places, radioKey, reachSettings } from './reach.ts';
import { perches } from './workshop.ts';

/** What the coverage hangs on: the same key, the same answer. Empty: there is nothing to compute. */
export const reachKey = computed(() =>
  radioKey.value === ''
    ? ''
    : JSON.stringify([perchId.value, radioKey.value, reachSettings.value, places.value, filesKey.value]),
);

/** At most so many perches go along for measured links. */
const MOST_NAMED = 200;

export function reachRequest(detail: 'coarse' | 'full'): JobRequest {
  const now = reachSettings.value;
  return {
    command: 'reach',
    kit: inHand('kit'),
    perch: inHand('perch'),
    ...otherEnd(now),
    radius_km: now.radius_km,
    detail,
    ...onGround(now),
    ...filesOfJob(),
    ...(places.value.length > 0 ? { places: places.value } : {}),
    ...(measuredText.value === null ? {} : { perches: othersByName() }),
  };
}

/** The other perches that have a place: measured links name them. */
const othersByName = () =>
  perches.value
    .filter((p) => p.id !== perchId.value && p.place !== undefined)
    .slice(0, MOST_NAMED)
    .map((p) => p.id);

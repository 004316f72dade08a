/** The far end of the section: a perch, a place, a point pressed on the map, or where the panorama's bearing leads. */
import { computed } from '@preact/signals';
import { geodesicPoint } from '../../../formats/geodesic.ts';
import { askLink, type LinkEnds, type LinkState, links } from '../../state/links.ts';
import {
  bearing_deg,
  places,
  type ReachSettings,
  reachSettings,
  type Spot,
  sectionEnd,
  spotNow,
} from '../../state/reach.ts';
import { loadRecord } from '../../state/workshop.ts';
import { askPerch, groundOfLink, linkKey, otherPerches, perchKey, textInHand } from './other-perches.ts';

export interface FarEnd {
  readonly name: string;
  readonly at: Spot;
  readonly key: string;
  ask(): void;
}

const fixed = ({ latitude_deg, longitude_deg }: Spot) => `${latitude_deg.toFixed(5)} ${longitude_deg.toFixed(5)}`;

/** The link to a point with the chosen other end there. */
async function endsAt(to: Spot, name: string, height_m: number, settings: ReachSettings): Promise<LinkEnds> {
  const { to: other } = settings;
  const indoors = other === 'traditional' || other === 'efficient' ? other : undefined;
  const farKit = other.startsWith('kit:') ? (await loadRecord(other)).text : undefined;
  return {
    from: spotNow.peek()!,
    to,
    perch: textInHand('perch'),
    kit: textInHand('kit'),
    ...(farKit === undefined ? {} : { farKit }),
    ...(indoors === undefined ? {} : { indoors }),
    far: { name, height_m },
    ...groundOfLink(settings),
  };
}

function pointEnd(name: string, at: Spot, height_m: number): FarEnd {
  const settings = reachSettings.value;
  const key = linkKey(`${fixed(at)} ${name} ${height_m} ${settings.to}`);
  return { name, at, key, ask: () => askLink(key, () => endsAt(at, name, height_m, settings)) };
}

/** What the section leads to, undefined where nothing is chosen or it is gone. */
export const farEnd = computed<FarEnd | undefined>(() => {
  const chosen = sectionEnd.value;
  const here = spotNow.value;
  const { targetHeight_m, radius_km } = reachSettings.value;
  if (here === null || chosen === null) return undefined;
  switch (chosen.kind) {
    case 'perch': {
      const other = otherPerches.value.find(({ record }) => record.id === chosen.id);
      return (
        other && { name: other.record.name, at: other.at, key: perchKey(other.record), ask: () => askPerch(other) }
      );
    }
    case 'place': {
      const place = places.value.find((p) => p.name === chosen.name);
      return place && pointEnd(place.name, place, place.height_m ?? targetHeight_m);
    }
    case 'point':
      return pointEnd('the chosen point', chosen.at, targetHeight_m);
    case 'bearing': {
      const bearing = bearing_deg.value;
      if (bearing === null) return undefined;
      return pointEnd(
        `${Math.round(bearing)}°, at the edge of the circle`,
        geodesicPoint(here, bearing, 1000 * radius_km),
        targetHeight_m,
      );
    }
  }
});

export const farLink = computed<LinkState | undefined>(() => {
  const end = farEnd.value;
  return end === undefined ? undefined : links.value.get(end.key);
});

/** From the perch to the far end, for the map. */
export const sectionLine = computed<readonly [Spot, Spot] | null>(() => {
  const here = spotNow.value;
  const end = farEnd.value;
  return here === null || end === undefined ? null : [here, end.at];
});

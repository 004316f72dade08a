/** What the Reach page has in hand besides kit and perch: the other end, the circle looked at, a bearing, a chosen end of the section. */
import { computed, signal } from '@preact/signals';
import { parseSetting } from '../../formats/setting.ts';
import type { Perch } from '../../records/index.ts';
import { applySettings } from '../../records/override.ts';
import type { CandidateInput, JobRequest, PlaceInput } from '../../server/api.ts';
import * as design from './design.ts';

export interface Spot {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** A bearing chosen in the panorama, from true north; null: none. */
export const bearing_deg = signal<number | null>(null);

/** The other end: a hand-held in the open or in a house, or a kit by its id. */
export type OtherEnd = 'outdoors' | 'traditional' | 'efficient' | `kit:${string}`;

export interface ReachSettings {
  readonly to: OtherEnd;
  readonly targetHeight_m: number;
  readonly radius_km: number;
  /** What stands on the ground where no file tells it: nothing, the same height on all of it, or wood around the other end. */
  readonly ground: 'bare' | 'even' | 'woods';
  readonly clutter_m: number;
  readonly woods_m: number;
}
export const USUAL_SETTINGS: ReachSettings = {
  to: 'outdoors',
  targetHeight_m: 1.5,
  radius_km: 15,
  ground: 'bare',
  clutter_m: 10,
  woods_m: 100,
};
export const reachSettings = signal<ReachSettings>(USUAL_SETTINGS);

/** Opacity of the coverage over the map, 0..1. */
export const opacity = signal(0.7);

/** Places to be reached, and spots that might be taken; they live in this browser until taken off the list. */
export const places = kept<readonly PlaceInput[]>('sunperch.places', []);
export const candidates = kept<readonly CandidateInput[]>('sunperch.candidates', []);

/** The far end of the section below the map. */
export type SectionEnd =
  | { readonly kind: 'perch'; readonly id: string }
  | { readonly kind: 'place'; readonly name: string }
  | { readonly kind: 'point'; readonly at: Spot }
  | { readonly kind: 'bearing' };
export const sectionEnd = signal<SectionEnd | null>(null);

/** A point pressed on the map. */
export const picked = signal<Spot | null>(null);

function kept<T>(key: string, first: T) {
  let start = first;
  try {
    const found: unknown = JSON.parse(localStorage.getItem(key) ?? 'null');
    if (Array.isArray(found)) start = found as T;
  } catch {
    // What cannot be read is begun anew.
  }
  const value = signal<T>(start);
  value.subscribe((now) => {
    try {
      if (now !== start) localStorage.setItem(key, JSON.stringify(now));
    } catch {
      // Without storage the list holds for this visit.
    }
  });
  return value;
}

const round = (value: number, decimals: number) => Number(value.toFixed(decimals));

/** A longitude in -180..180. */
export const turnedLongitude_deg = (longitude_deg: number): number =>
  longitude_deg - 360 * Math.round(longitude_deg / 360);

const settingsOfSpot = ({ latitude_deg, longitude_deg }: Spot) => [
  `perch.latitude_deg=${round(Math.min(90, Math.max(-90, latitude_deg)), 6)}`,
  `perch.longitude_deg=${round(turnedLongitude_deg(longitude_deg), 6)}`,
];

/** The name of the gesture that moves a perch. */
export const MOVE = 'move';

/** Moves the perch in hand; moves until `endMove` are one step to undo. */
export function moveTo(spot: Spot): void {
  design.adjust(settingsOfSpot(spot), MOVE);
}
/** The next move is a step of its own. */
export const endMove = (): void => design.endGesture();

/** A place `north_m` and `east_m` away: by the length of a degree on a sphere of 6371 km, good for steps of the arrow keys. */
export function stepped(spot: Spot, north_m: number, east_m: number): Spot {
  const perDegree_m = (Math.PI / 180) * 6_371_000;
  const along = Math.max(0.01, Math.cos((spot.latitude_deg * Math.PI) / 180));
  return {
    latitude_deg: spot.latitude_deg + north_m / perDegree_m,
    longitude_deg: spot.longitude_deg + east_m / (perDegree_m * along),
  };
}

const spotOf = (perch: Perch | undefined): Spot | null =>
  perch?.latitude_deg === undefined || perch.longitude_deg === undefined
    ? null
    : { latitude_deg: perch.latitude_deg, longitude_deg: perch.longitude_deg };

const savedPerch = computed(() => (design.perchSaved.value?.ok ? design.perchSaved.value.value : undefined));
const perchInHand = computed(() => (design.perchNow.value?.ok ? design.perchNow.value.value : undefined));
export const savedSpot = computed(() => spotOf(savedPerch.value));
export const spotNow = computed(() => spotOf(perchInHand.value) ?? savedSpot.value);
export const heightNow_m = computed(() => perchInHand.value?.height_m);

/** Ids of what is in hand: another revision is the same one. */
export const kitId = computed(() => design.kitRecord.value?.id);
export const perchId = computed(() => design.perchRecord.value?.id);

/** Fields that a move changes, and that saving the position saves. */
export const OF_POSITION = /^perch\.(latitude_deg|longitude_deg|elevation_m|horizon|height_m)=/;
const OF_PLACE = /^perch\.(latitude_deg|longitude_deg)=/;
export const isMoved = computed(() => design.changes.value.some((c) => OF_PLACE.test(c)));

/** All of kit and perch that the radio feels, as text; empty while one of them cannot be read. Saving what was tried changes nothing in it. */
export const radioKey = computed(() => {
  const kit = design.kitNow.value;
  const perch = perchInHand.value;
  if (!kit?.ok || perch === undefined || spotOf(perch) === null) return '';
  const { panel: _, cells: __, charger: ___, cutoff: ____, enclosure: _____, ...radio } = kit.value;
  const { name, latitude_deg, longitude_deg, height_m, environment } = perch;
  return JSON.stringify([radio, name, latitude_deg, longitude_deg, height_m, environment]);
});

/** The raw record of a kind with the changes in hand. */
export function rawInHand(kind: 'kit' | 'perch'): unknown {
  const reading = kind === 'kit' ? design.kitSaved.value : design.perchSaved.value;
  return applySettings(reading?.raw, design.changes.value.map(parseSetting), kind).raw;
}

/** Kit or perch as a job takes it: by id as long as nothing is changed. */
export function inHand(kind: 'kit' | 'perch'): string | { readonly value: unknown } {
  const record = kind === 'kit' ? design.kitRecord.value : design.perchRecord.value;
  const changed = design.changes.value.some((c) => c.startsWith(`${kind}.`));
  return changed || record === null ? { value: rawInHand(kind) } : record.id;
}

/** The other end as jobs take it. */
export function otherEnd({ to, targetHeight_m }: ReachSettings): Pick<JobRequest, 'to' | 'indoors' | 'targetHeight_m'> {
  if (to === 'outdoors') return { to: 'hand-held', targetHeight_m };
  if (to === 'traditional' || to === 'efficient') return { to: 'hand-held', indoors: to, targetHeight_m };
  return { to, targetHeight_m };
}

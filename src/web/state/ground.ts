/** What the terrain says: of the whole, of the ground under the perch in hand, and of the sun that the skyline leaves it. */
import { computed, effect, signal, untracked } from '@preact/signals';
import type { Problem } from '../../core/units/index.ts';
import type { HorizonAnswer, TerrainAnswer } from '../../server/api.ts';
import { getHeight, getTerrain, type RunningJob, runJob, Stopped } from '../api/client.ts';
import * as design from './design.ts';
import { heightNow_m, inHand, isMoved, kitId, MOVE, type Spot, savedSpot, spotNow } from './reach.ts';
import { callProblems } from './workshop.ts';

export const terrain = signal<TerrainAnswer | null>(null);
export const terrainProblems = signal<readonly Problem[]>([]);

export async function loadTerrain(): Promise<void> {
  try {
    terrain.value = await getTerrain();
    terrainProblems.value = [];
  } catch (error) {
    terrainProblems.value = callProblems(error);
  }
}

/** Sun over the skyline at a place: the hours of the darkest month's middle day. */
export interface SunAt {
  readonly key: string;
  readonly month: number;
  readonly open_h: number;
  readonly visible_h: number;
  readonly outcome: HorizonAnswer['outcome'];
}

export const sunNow = signal<SunAt | null>(null);
export const sunSaved = signal<SunAt | null>(null);
export const sunProblems = signal<readonly Problem[]>([]);
/** A perch was moved, and height and skyline of the ground there are not in the move yet. */
export const groundPending = signal(false);

/** Waits until a move has what the ground there says, or it is known that it cannot be had. */
export function groundSettled(): Promise<void> {
  if (!groundPending.peek()) return Promise.resolve();
  return new Promise((resolve) => {
    const end = groundPending.subscribe((pending) => {
      if (pending) return;
      queueMicrotask(() => end());
      resolve();
    });
  });
}

const keyOf = (spot: Spot | null, height_m: number | undefined) =>
  spot === null ? '' : `${spot.latitude_deg} ${spot.longitude_deg} ${height_m ?? ''}`;
const savedHeight_m = () => (design.perchSaved.peek()?.ok ? design.perchSaved.peek() : null);

/** Place and mast in hand; a new text only when one of them is another. */
const groundKey = computed(() => keyOf(spotNow.value, heightNow_m.value));

const REST_ms = 500;
const known = new Map<string, SunAt>();

/** Skyline and sun of a place from the terrain. */
export function lookAround(
  request: Parameters<typeof runJob>[0],
  key: string,
): RunningJob<HorizonAnswer> & { readonly sun: Promise<SunAt> } {
  const job = runJob<HorizonAnswer>(request, () => undefined);
  const sun = job.result.then(({ outcome }): SunAt => {
    const month = outcome.months[outcome.darkestMonth - 1]!;
    return { key, month: month.month, open_h: month.open_h, visible_h: month.visible_h, outcome };
  });
  return { ...job, sun };
}

/** The skyline of a look around, as the field of a perch. */
export const skylineSetting = (horizon: SunAt['outcome']['horizon']) =>
  `perch.horizon=[${horizon.map((h) => `{azimuth_deg: ${h.azimuth_deg}, elevation_deg: ${h.elevation_deg}}`).join(', ')}]`;

/**
 * Looks around when the hands rest. A perch that was moved takes height and skyline of the ground where it stands now, within the
 * step of undo of the move itself.
 */
export function followGround(): () => void {
  let job: ReturnType<typeof lookAround> | undefined;
  let before: ReturnType<typeof lookAround> | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  /** Whose ground the changes in hand have. */
  let taken = '';
  const hasGround = (key: string) => taken === key && design.changes.peek().some((c) => c.startsWith('perch.horizon='));
  const stop = () => {
    clearTimeout(timer);
    job?.stop();
    job = undefined;
  };
  const end = effect(() => {
    const key = groundKey.value;
    const moved = isMoved.value;
    const kit = kitId.value;
    untracked(() => {
      const spot = spotNow.peek();
      const saved = savedSpot.peek();
      stop();
      if (terrain.peek()?.available !== true || spot === null || kit === undefined) {
        groundPending.value = false;
        return;
      }
      groundPending.value = moved && !hasGround(key);
      const found = known.get(key);
      if (found !== undefined) sunNow.value = found;
      if (saved !== null && moved) lookAtSaved(saved);
      timer = setTimeout(() => void look(spot, key, moved), found === undefined || moved ? REST_ms : REST_ms * 4);
    });
  });

  const look = async (spot: Spot, key: string, moved: boolean) => {
    const fail = (error: unknown) => {
      if (!(error instanceof Stopped)) sunProblems.value = callProblems(error);
    };
    try {
      let sun = known.get(key);
      if (sun === undefined) {
        job = lookAround({ command: 'horizon', kit: inHand('kit'), perch: inHand('perch') }, key);
        sun = await job.sun;
        known.set(key, sun);
      }
      if (groundKey.peek() !== key) return;
      sunNow.value = sun;
      sunProblems.value = [];
      if (!moved) sunSaved.value = sun;
      else if (isMoved.peek()) await takeGround(spot, sun);
      taken = key;
    } catch (error) {
      fail(error);
    }
    if (groundKey.peek() === key) groundPending.value = false;
  };
  const lookAtSaved = (saved: Spot) => {
    const reading = savedHeight_m();
    const key = keyOf(saved, reading?.ok ? reading.value.height_m : undefined);
    if (sunSaved.peek()?.key === key || before !== undefined) return;
    before = lookAround({ command: 'horizon', kit: inHand('kit'), perch: design.perchRecord.peek()?.id ?? '' }, key);
    before.sun
      .then((sun) => {
        sunSaved.value = sun;
      })
      .catch(() => undefined)
      .finally(() => {
        before = undefined;
      });
  };
  return () => {
    end();
    stop();
    before?.stop();
    groundPending.value = false;
  };
}

const elevationSetting = (height_m: number) => `perch.elevation_m=${Math.round(height_m)}`;

/** Writes height and skyline of the ground into the move, unless the move has them already. */
async function takeGround(spot: Spot, sun: SunAt): Promise<void> {
  const { height_m } = await getHeight(spot);
  const here = spotNow.peek();
  // Saved, undone or moved on meanwhile.
  if (!isMoved.peek() || here?.latitude_deg !== spot.latitude_deg || here.longitude_deg !== spot.longitude_deg) return;
  const wanted = [skylineSetting(sun.outcome.horizon), ...(height_m === null ? [] : [elevationSetting(height_m)])];
  if (wanted.every((w) => design.changes.peek().includes(w))) return;
  design.adjust(wanted, MOVE);
}

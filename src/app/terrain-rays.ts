/** Ground around a place and along a path, as the pages take it: heights only, so that what stands on them can change there. */
import { profileBetween } from '../core/reach/index.ts';
import { sampleRayAt } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import { boxAround, boxOfPath, type EarthPoint, geodesicPath } from '../formats/geodesic.ts';
import type { Terrain } from '../formats/terrain.ts';
import { groundHeight_m, groundOf, RIM_m } from './ground.ts';
import { cellStep_m, raysFrom } from './skyline.ts';

export interface Rays {
  readonly ground_m: number;
  readonly azimuths: number;
  readonly distance_m: readonly number[];
  /** Ray after ray, quarter metres above the sea; `NO_HEIGHT_qm` where there is none. */
  readonly height_qm: Int16Array;
}

export const NO_HEIGHT_qm = -32768;
const AZIMUTHS = 720;
/** Far points lie so much of their distance apart: 0.2°, less than the half degree between two rays. */
const FAR_STEP = 1 / 300;

/**
 * Ground along 720 rays to all sides, bilinear, at distances that all share: a cell apart near the place, further out 1/300 of the
 * distance. Heights are rounded to quarter metres and end at 8191 m.
 *
 * @throws UserError where the terrain has no height at the place
 */
export async function terrainRays(terrain: Terrain, place: EarthPoint, radius_km: number): Promise<Rays> {
  const patch = await terrain.patch({ area: boxAround(place, 1000 * radius_km + RIM_m), at: place });
  const ground = groundOf(patch, place);
  const ground_m = groundHeight_m(ground, 'The place', place.latitude_deg, place.longitude_deg);
  const at = ground.placeOf(place.latitude_deg, place.longitude_deg);
  const step_m = cellStep_m(ground, at);
  const distances: number[] = [];
  for (let d = step_m; d <= 1000 * radius_km; d += Math.max(step_m, d * FAR_STEP))
    distances.push(Math.round(10 * d) / 10);
  const distance_m = Float64Array.from(distances);
  const fan = raysFrom(ground, at, radius_km, AZIMUTHS);
  const heights = new Float64Array(distance_m.length);
  const height_qm = new Int16Array(AZIMUTHS * distance_m.length);
  for (let ray = 0, k = 0; ray < AZIMUTHS; ray++) {
    sampleRayAt(patch.grid, fan, ray, distance_m, heights);
    for (const h of heights)
      height_qm[k++] = Number.isNaN(h) ? NO_HEIGHT_qm : Math.max(-32767, Math.min(32767, Math.round(4 * h)));
  }
  return { ground_m, azimuths: AZIMUTHS, distance_m: distances, height_qm };
}

export interface GroundProfile {
  readonly distance_km: readonly number[];
  readonly height_m: readonly (number | null)[];
  /** From true north. */
  readonly azimuth_deg: number;
}

const MOST_km = 150;
const MOST_POINTS = 1000;
/** Ground beside the path, degrees of latitude. */
const BESIDE_deg = 0.005;

/**
 * The ground between two places as links take it, a point a cell apart, both ends included. A longer path than 1,000 cells keeps the
 * highest point of each stretch: no ridge is lost.
 *
 * @throws UserError for places over 150 km apart or at one spot, or without terrain
 */
export async function terrainProfile(terrain: Terrain, from: EarthPoint, to: EarthPoint): Promise<GroundProfile> {
  const way = geodesicPath(from, to, 1000);
  const far_km = way.distance_km[way.distance_km.length - 1]!;
  if (!(far_km <= MOST_km))
    throw userError(
      'profile.far',
      `the two places lie ${Math.round(far_km)} km apart: at most ${MOST_km} km; is a latitude exchanged with a longitude?`,
    );
  const box = boxOfPath(way);
  const polewards = Math.max(Math.abs(box.south_deg), Math.abs(box.north_deg));
  const beside_deg = BESIDE_deg / Math.max(0.01, Math.cos((polewards * Math.PI) / 180));
  const area = {
    west_deg: box.west_deg - beside_deg,
    east_deg: box.east_deg + beside_deg,
    south_deg: Math.max(-90, box.south_deg - BESIDE_deg),
    north_deg: Math.min(90, box.north_deg + BESIDE_deg),
  };
  const ground = groundOf(await terrain.patch({ area, at: from }), from);
  const here = ground.placeOf(from.latitude_deg, from.longitude_deg);
  const profile = profileBetween(ground.ground, here, ground.placeOf(to.latitude_deg, to.longitude_deg));
  const kept = thinned(profile.height_m);
  return {
    distance_km: kept.map((i) => profile.distance_km[i]!),
    height_m: kept.map((i) => (Number.isNaN(profile.height_m[i]!) ? null : profile.height_m[i]!)),
    azimuth_deg: (profile.azimuth_deg + ground.gridNorth_deg(here) + 360) % 360,
  };
}

/** Points to keep: all, or the ends and the highest of each stretch; a stretch with an unknown point keeps that one. */
function thinned(height_m: Float64Array): number[] {
  const last = height_m.length - 1;
  if (last < MOST_POINTS) return Array.from(height_m.keys());
  const kept = [0];
  for (let stretch = 0; stretch < MOST_POINTS - 2; stretch++) {
    const begin = 1 + Math.floor((stretch * (last - 1)) / (MOST_POINTS - 2));
    const end = 1 + Math.floor(((stretch + 1) * (last - 1)) / (MOST_POINTS - 2));
    let best = begin;
    for (let i = begin; i < end; i++) {
      if (Number.isNaN(height_m[i]!)) {
        best = i;
        break;
      }
      if (height_m[i]! > height_m[best]!) best = i;
    }
    kept.push(best);
  }
  return [...kept, last];
}

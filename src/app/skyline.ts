/** The skyline of a perch from the terrain, and what it takes of the sun. */
import { cellSize_km, courseOf, type GridPlace } from '../core/reach/index.ts';
import { sunPosition } from '../core/sun/index.ts';
import { effectiveRadius_m, type GridFan, type Horizon, horizonOf, RADIUS_FACTOR } from '../core/terrain/index.ts';
import { MONTH_START, RAD_PER_DEG } from '../core/units/index.ts';
import type { Ground } from './ground.ts';

/** Bounds of the ridges of a panorama, km. */
export const RIDGES_km: readonly number[] = [0.3, 0.6, 1.2, 2.5, 5, 10, 20];
const NODE_km = 0.5;

/** The shorter side of a cell at a place, m. */
export function cellStep_m(ground: Ground, place: GridPlace): number {
  const cell = cellSize_km(ground.ground.frame, place);
  return 1000 * Math.min(cell.height_km, cell.width_km);
}

/** Rays from a place to all sides, at even azimuths from true north, as far as `reach_km` at least. */
export function raysFrom(ground: Ground, place: GridPlace, reach_km: number, azimuths: number): GridFan {
  const { frame } = ground.ground;
  const turn_deg = ground.gridNorth_deg(place);
  const nodes = Math.ceil(reach_km / NODE_km) + 1;
  const fan: GridFan = {
    azimuth_deg: Float64Array.from({ length: azimuths }, (_, k) => (360 * k) / azimuths),
    nodes,
    nodeStep_m: 1000 * NODE_km,
    row: new Float64Array(azimuths * nodes),
    column: new Float64Array(azimuths * nodes),
  };
  fan.azimuth_deg.forEach((azimuth_deg, k) => {
    const course = courseOf(frame, place, (azimuth_deg - turn_deg) * RAD_PER_DEG, (nodes - 1) * NODE_km);
    const [r0, r1, r2, r3, c0, c1, c2, c3] = course as unknown as number[];
    for (let i = 0; i < nodes; i++) {
      const r = i * NODE_km;
      fan.row[k * nodes + i] = r0! + (r1! + (r2! + r3! * r) * r) * r;
      fan.column[k * nodes + i] = c0! + (c1! + (c2! + c3! * r) * r) * r;
    }
  });
  return fan;
}

/** Skyline for light from `eye_m` above the ground, at even azimuths from true north. */
export function skylineOf(ground: Ground, place: GridPlace, eye_m: number, reach_km: number, azimuths = 720): Horizon {
  return horizonOf(ground.located.grid, raysFrom(ground, place, reach_km, azimuths), {
    eyeHeight_m: eye_m,
    step_m: cellStep_m(ground, place),
    range_m: 1000 * reach_km,
    effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.light),
    layerBounds_km: RIDGES_km,
  });
}

/** Elevation of a skyline at any azimuth, degrees, straight between its steps; 0 where no ground is known. */
export function skylineAt_deg(elevation_deg: Float32Array, azimuth_deg: number): number {
  const n = elevation_deg.length;
  const at = ((((azimuth_deg % 360) + 360) % 360) / 360) * n;
  const i = Math.floor(at) % n;
  const low = elevation_deg[i]!;
  const value = low + (at - Math.floor(at)) * (elevation_deg[(i + 1) % n]! - low);
  return Number.isNaN(value) ? 0 : value;
}

/** Sun of a month. */
export interface SunMonth {
  /** 1..12. */
  readonly month: number;
  /** Hours a day in the middle of the month that the sun is above a level horizon, and above the skyline. */
  readonly open_h: number;
  readonly visible_h: number;
  readonly lost_h: number;
}

/** Julian day of 1 January 2025, 0 h UT; the sun's paths move by less than 0.3° from year to year. */
const YEAR_START_jd = 2460676.5;
const STEP_min = 5;

/** The sun above the level horizon through one day, by steps of five minutes. */
export interface SunCourse {
  readonly azimuth_deg: Float64Array;
  readonly elevation_deg: Float64Array;
}

/** Course of the geometric sun (its centre, no refraction) through a day, from midnight to midnight of mean solar time. */
export function sunCourse(latitude_deg: number, longitude_deg: number, month: number, day: number): SunCourse {
  const midnight_jd = YEAR_START_jd + MONTH_START[month - 1]! + day - 1 - longitude_deg / 360;
  const azimuth: number[] = [];
  const elevation: number[] = [];
  for (let minute = STEP_min / 2; minute < 1440; minute += STEP_min) {
    const sun = sunPosition(midnight_jd + minute / 1440, latitude_deg, longitude_deg);
    if (sun.elevation_deg <= 0) continue;
    azimuth.push(sun.azimuth_deg);
    elevation.push(sun.elevation_deg);
  }
  return { azimuth_deg: Float64Array.from(azimuth), elevation_deg: Float64Array.from(elevation) };
}

/** Hours of a course over a level horizon, over a skyline, and between the two. */
export function sunHours(
  course: SunCourse,
  skyline_deg: Float32Array,
): { readonly open_h: number; readonly visible_h: number; readonly lost_h: number } {
  const open = course.elevation_deg.length;
  let visible = 0;
  for (let i = 0; i < open; i++)
    if (course.elevation_deg[i]! > skylineAt_deg(skyline_deg, course.azimuth_deg[i]!)) visible++;
  const hours = (count: number) => (count * STEP_min) / 60;
  return { open_h: hours(open), visible_h: hours(visible), lost_h: hours(open - visible) };
}

/** Hours of sun on the 15th of each month. */
export function sunMonths(latitude_deg: number, longitude_deg: number, elevation_deg: Float32Array): SunMonth[] {
  return Array.from({ length: 12 }, (_, m) => ({
    month: m + 1,
    ...sunHours(sunCourse(latitude_deg, longitude_deg, m + 1, 15), elevation_deg),
  }));
}

/** A skyline thinned to pairs for a perch file, `step_deg` apart: the mean around each azimuth, rounded to 0.1°. */
export function skylinePairs(
  elevation_deg: Float32Array,
  step_deg = 5,
): { readonly azimuth_deg: number; readonly elevation_deg: number }[] {
  const n = elevation_deg.length;
  const pairs: { azimuth_deg: number; elevation_deg: number }[] = [];
  for (let azimuth_deg = 0; azimuth_deg < 360; azimuth_deg += step_deg) {
    let sum = 0;
    let count = 0;
    // The mean over the step: as much sun as the fine skyline leaves, not less.
    for (let k = 0; k < n; k++) {
      const away = Math.abs((((((360 * k) / n - azimuth_deg + 540) % 360) + 360) % 360) - 180);
      if (away > step_deg / 2 || Number.isNaN(elevation_deg[k]!)) continue;
      sum += elevation_deg[k]!;
      count++;
    }
    if (count > 0)
      pairs.push({ azimuth_deg, elevation_deg: Math.round(10 * Math.min(90, Math.max(-10, sum / count))) / 10 });
  }
  return pairs;
}

/** Spots of a terrain that may make good perches: found quickly and roughly, to be judged in full afterwards. */
import { cellSize_km, type GridPlace } from '../core/reach/index.ts';
import type { Ring } from '../formats/geojson.ts';
import type { AreaCells } from './area.ts';
import type { Ground } from './ground.ts';

/** A spot with what is known of it at first sight. */
export interface RoughSpot {
  readonly place: GridPlace;
  readonly height_m: number;
  /** Share of the area's sample points in line of sight, and which ones. */
  readonly openShare: number;
  readonly sees: readonly number[];
}

/** About how many blocks an area is cut into; the best cell of each becomes a spot. */
const BLOCKS = 2500;
const SAMPLES = 400;

/**
 * The highest cell of each block of the area; with `allowed`, of its allowed cells. Returns places at cell centres, blocks by rows.
 */
export function highestCells(ground: Ground, cells: AreaCells, allowed?: Uint8Array): GridPlace[] {
  const { columns, height_m } = ground.ground;
  const block = Math.max(2, Math.round(Math.sqrt(cells.cells.length / BLOCKS)));
  const across = Math.ceil(columns / block);
  const best = new Map<number, number>();
  for (const k of cells.cells) {
    if (allowed !== undefined && allowed[k] === 0) continue;
    const row = Math.floor(k / columns);
    const key = Math.floor(row / block) * across + Math.floor((k - row * columns) / block);
    const before = best.get(key);
    if (before === undefined || height_m[k]! > height_m[before]!) best.set(key, k);
  }
  return [...best.entries()]
    .sort((x, y) => x[0] - y[0])
    .map(([, k]) => ({ row: Math.floor(k / columns), column: k % columns }));
}

/** Sample points spread evenly over an area, about 400. */
export function samplePoints(ground: Ground, cells: AreaCells): GridPlace[] {
  const { columns } = ground.ground;
  const step = Math.max(1, Math.round(Math.sqrt(cells.cells.length / SAMPLES)));
  const points: GridPlace[] = [];
  for (const k of cells.cells) {
    const row = Math.floor(k / columns);
    const column = k - row * columns;
    if (row % step === 0 && column % step === 0) points.push({ row, column });
  }
  return points;
}

/**
 * Which sample points are in plain line of sight of a spot: straight lines of the raster, heights of the nearest cell every two cells, the
 * Earth bent to `radius_km`. Rough on purpose: it only chooses whom to judge in full.
 */
export function lookAround(
  ground: Ground,
  place: GridPlace,
  samples: readonly GridPlace[],
  eye_m: number,
  target_m: number,
  radius_km: number,
): RoughSpot {
  const { rows, columns, height_m, frame, cover } = ground.ground;
  const cell = cellSize_km(frame, place);
  const base_m = height_m[place.row * columns + place.column]!;
  const from_m = base_m + eye_m;
  const sees: number[] = [];
  samples.forEach((to, s) => {
    const dr = to.row - place.row;
    const dc = to.column - place.column;
    const steps = Math.ceil(Math.max(Math.abs(dr), Math.abs(dc)) / 2);
    if (steps === 0) {
      sees.push(s);
      return;
    }
    const all_km = Math.hypot(dr * cell.height_km, dc * cell.width_km);
    const fall = 500 / radius_km;
    const to_m = height_m[to.row * columns + to.column]! + target_m;
    const direct = (to_m - from_m) / all_km - fall * all_km;
    for (let i = 1; i < steps; i++) {
      const t = i / steps;
      const row = Math.round(place.row + t * dr);
      const column = Math.round(place.column + t * dc);
      if (row < 0 || row >= rows || column < 0 || column >= columns) return;
      const r_km = t * all_km;
      const k = row * columns + column;
      const top_m = height_m[k]! + (cover === undefined ? 0 : cover.kinds[cover.kind[k]!]!.height_m);
      // A void counts as ground that hides: what is not known is not promised.
      if (!((top_m - from_m) / r_km - fall * r_km < direct)) return;
    }
    sees.push(s);
  });
  return { place, height_m: base_m, openShare: sees.length / Math.max(1, samples.length), sees };
}

/** Marks the cells that lie within `within_km` of lines. */
export function nearLines(ground: Ground, lines: readonly Ring[], within_km: number): Uint8Array {
  const { rows, columns, frame } = ground.ground;
  const near = new Uint8Array(rows * columns);
  const stamp = (at: GridPlace) => {
    const cell = cellSize_km(frame, at);
    const up = within_km / cell.height_km;
    const side = within_km / cell.width_km;
    const lastRow = Math.min(rows - 1, Math.floor(at.row + up));
    for (let row = Math.max(0, Math.ceil(at.row - up)); row <= lastRow; row++) {
      const half = side * Math.sqrt(Math.max(0, 1 - ((row - at.row) / up) ** 2));
      const first = Math.max(0, Math.ceil(at.column - half));
      const last = Math.min(columns - 1, Math.floor(at.column + half));
      if (last >= first) near.fill(1, row * columns + first, row * columns + last + 1);
    }
  };
  for (const line of lines) {
    let before: GridPlace | undefined;
    for (const [longitude_deg, latitude_deg] of line) {
      const at = ground.placeOf(latitude_deg, longitude_deg);
      const cell = cellSize_km(frame, at);
      const from = before ?? at;
      const km = Math.hypot((at.row - from.row) * cell.height_km, (at.column - from.column) * cell.width_km);
      const steps = Math.min(10_000, Math.max(1, Math.ceil(km / (within_km / 3))));
      for (let i = before === undefined ? steps : 1; i <= steps; i++) {
        const t = i / steps;
        stamp({ row: from.row + t * (at.row - from.row), column: from.column + t * (at.column - from.column) });
      }
      before = at;
    }
  }
  return near;
}

/** Distance from a place to the nearest of some lines, km; Infinity without lines. */
export function lineDistance_km(ground: Ground, place: GridPlace, lines: readonly Ring[]): number {
  const cell = cellSize_km(ground.ground.frame, place);
  let least = Number.POSITIVE_INFINITY;
  for (const line of lines) {
    let bx = Number.NaN;
    let by = Number.NaN;
    for (const [longitude_deg, latitude_deg] of line) {
      const at = ground.placeOf(latitude_deg, longitude_deg);
      const x = (at.column - place.column) * cell.width_km;
      const y = (at.row - place.row) * cell.height_km;
      const dx = x - bx;
      const dy = y - by;
      const length2 = dx * dx + dy * dy;
      const t = length2 > 0 ? Math.max(0, Math.min(1, -(bx * dx + by * dy) / length2)) : 1;
      least = Math.min(least, Number.isNaN(bx) ? Math.hypot(x, y) : Math.hypot(bx + t * dx, by + t * dy));
      bx = x;
      by = y;
    }
  }
  return least;
}

/**
 * The best of many spots, not all on one hill: by falling `worth`, each at least `apart_km` from those taken before.
 */
export function spread<T extends { readonly place: GridPlace }>(
  ground: Ground,
  spots: readonly T[],
  worth: (spot: T) => number,
  apart_km: number,
  most: number,
): T[] {
  const taken: T[] = [];
  for (const spot of [...spots].sort((x, y) => worth(y) - worth(x))) {
    if (taken.length >= most) break;
    const cell = cellSize_km(ground.ground.frame, spot.place);
    const clear = taken.every(
      (t) =>
        Math.hypot(
          (t.place.row - spot.place.row) * cell.height_km,
          (t.place.column - spot.place.column) * cell.width_km,
        ) >= apart_km,
    );
    if (clear) taken.push(spot);
  }
  return taken;
}

/** Ground cover at the points of a profile that came without its terrain: by the polygons themselves. */
import { type EarthPoint, geodesicBetween, geodesicPoint } from '../formats/geodesic.ts';
import type { Ring } from '../formats/geojson.ts';
import type { CoverFile } from './cover-file.ts';
import type { CoverOnPath } from './cover-path.ts';

/**
 * Kinds along the shortest way from one place to another. On a terrain whole cells have a kind: edges may lie half a cell elsewhere there.
 *
 * @param distance_km of the points, from the first place
 */
export function coverOfProfile(
  file: CoverFile,
  from: EarthPoint,
  to: EarthPoint,
  distance_km: Float64Array,
): CoverOnPath {
  const { azimuth_deg } = geodesicBetween(from, to);
  const kindOf = coverAt(file);
  const kind = Uint8Array.from(distance_km, (d_km) => kindOf(geodesicPoint(from, azimuth_deg, 1000 * d_km)));
  return {
    kind,
    woods: Float32Array.from(kind, (k) => (file.kinds[k]!.cover === 'woods' ? 1 : 0)),
    kinds: file.kinds,
  };
}

/** Tells the kind of cover at a place: that of the last polygon that holds it, else open ground. */
export function coverAt(file: CoverFile): (place: EarthPoint) => number {
  const boxed = file.areas.map((area) => ({ ...area, box: boxOf(area.rings[0]!) })).reverse();
  return ({ latitude_deg: y, longitude_deg: x }) =>
    boxed.find(
      ({ box, rings }) => x >= box.west && x <= box.east && y >= box.south && y <= box.north && isInside(rings, x, y),
    )?.kind ?? 0;
}

function boxOf(ring: Ring) {
  const box = {
    west: Number.POSITIVE_INFINITY,
    east: Number.NEGATIVE_INFINITY,
    south: Number.POSITIVE_INFINITY,
    north: Number.NEGATIVE_INFINITY,
  };
  for (const [x, y] of ring) {
    box.west = Math.min(box.west, x);
    box.east = Math.max(box.east, x);
    box.south = Math.min(box.south, y);
    box.north = Math.max(box.north, y);
  }
  return box;
}

/** Even-odd rule over all rings: holes are out. */
function isInside(rings: readonly Ring[], x: number, y: number): boolean {
  let inside = false;
  for (const ring of rings)
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [x1, y1] = ring[i]!;
      const [x2, y2] = ring[j]!;
      if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
    }
  return inside;
}

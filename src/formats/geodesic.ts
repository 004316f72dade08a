import geographiclib from 'geographiclib-geodesic';
import type { Fan, GridFrame, GridMetric } from '../core/terrain/index.ts';
import { planeMetric, xOfColumn_u, yOfRow_u } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import type { Projection } from './projection.ts';

const { WGS84, STANDARD, LONG_UNROLL } = geographiclib.Geodesic;

export interface EarthPoint {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/**
 * Shortest way between two places on the WGS 84 ellipsoid: length, and azimuth at both ends, each looking to the other.
 * Source: Karney 2013, Algorithms for geodesics, J. Geodesy 87; 15 nm.
 */
export function geodesicBetween(
  from: EarthPoint,
  to: EarthPoint,
): { readonly distance_m: number; readonly azimuth_deg: number; readonly backAzimuth_deg: number } {
  const way = WGS84.Inverse(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
  return {
    distance_m: way.s12!,
    azimuth_deg: turned(way.azi1!),
    backAzimuth_deg: turned(way.azi2! + 180),
  };
}

/** The place at a distance and azimuth from another; longitude within ±180. */
export function geodesicPoint(from: EarthPoint, azimuth_deg: number, distance_m: number): EarthPoint {
  const end = WGS84.Direct(from.latitude_deg, from.longitude_deg, azimuth_deg, distance_m);
  return { latitude_deg: end.lat2!, longitude_deg: end.lon2! };
}

const turned = (azimuth_deg: number) => ((azimuth_deg % 360) + 360) % 360;

/** Points on the shortest way; longitudes run on across the date line. */
export interface GeodesicPath {
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly distance_km: Float64Array;
}

/** Points from one place to another at even distances of at most `spacing_m`, ends included; at least `fewest`. */
export function geodesicPath(from: EarthPoint, to: EarthPoint, spacing_m: number, fewest = 5): GeodesicPath {
  const line = WGS84.InverseLine(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
  const length_m = line.s13;
  if (!(length_m > 0))
    throw userError('path.same-place', 'both ends are at the same place: a path needs two, at least a step apart');
  const n = Math.max(fewest, Math.ceil(length_m / spacing_m - 1e-9) + 1);
  const latitude_deg = new Float64Array(n);
  const longitude_deg = new Float64Array(n);
  const distance_km = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const s_m = (length_m * i) / (n - 1);
    const point = line.Position(s_m, STANDARD | LONG_UNROLL);
    latitude_deg[i] = point.lat2!;
    longitude_deg[i] = point.lon2!;
    distance_km[i] = s_m / 1000;
  }
  return { latitude_deg, longitude_deg, distance_km };
}

/**
 * Rays from a place in the given azimuths, out to `range_m` at least, with a node each `nodeStep_m`, in the coordinates of a
 * projection.
 */
export function geodesicFan(
  from: EarthPoint,
  azimuth_deg: Float64Array,
  range_m: number,
  projection: Projection,
  nodeStep_m = 500,
): Fan {
  const nodes = Math.ceil(range_m / nodeStep_m - 1e-9) + 1;
  const x_u = new Float64Array(azimuth_deg.length * nodes);
  const y_u = new Float64Array(azimuth_deg.length * nodes);
  const place = new Float64Array(2);
  for (let ray = 0, k = 0; ray < azimuth_deg.length; ray++) {
    const line = WGS84.DirectLine(from.latitude_deg, from.longitude_deg, azimuth_deg[ray]!, range_m);
    for (let node = 0; node < nodes; node++, k++) {
      const point = line.Position(node * nodeStep_m, STANDARD | LONG_UNROLL);
      projection.toGrid(point.lon2!, point.lat2!, place);
      x_u[k] = place[0]!;
      y_u[k] = place[1]!;
    }
  }
  return { azimuth_deg, nodes, nodeStep_m, x_u, y_u };
}

/** Even azimuths from north, clockwise: 360/step of them. */
export function evenAzimuths_deg(step_deg: number): Float64Array {
  const n = Math.round(360 / step_deg);
  return Float64Array.from({ length: n }, (_, i) => (i * 360) / n);
}

/** Latitudes and longitudes; `east_deg` may lie beyond 180, never below `west_deg`. */
export interface EarthBox {
  readonly west_deg: number;
  readonly east_deg: number;
  readonly south_deg: number;
  readonly north_deg: number;
}

/** The box that holds a circle around a place. Around a pole it takes in all longitudes. */
export function boxAround(place: EarthPoint, range_m: number): EarthBox {
  const { latitude_deg, longitude_deg } = place;
  const north_deg = geodesicReach(latitude_deg, range_m, 0);
  const south_deg = geodesicReach(latitude_deg, range_m, 180);
  if (north_deg >= 90 || south_deg <= -90)
    return { west_deg: -180, east_deg: 180, south_deg: Math.max(-90, south_deg), north_deg: Math.min(90, north_deg) };
  // The widest place of a circle lies a little polewards of its middle: sin(half width) = sin(range)/cos(latitude) on the sphere.
  const sine = Math.sin(range_m / 6_356_752) / Math.cos((latitude_deg * Math.PI) / 180);
  const half_deg = (Math.asin(Math.min(1, sine * 1.0001)) * 180) / Math.PI;
  return { west_deg: longitude_deg - half_deg, east_deg: longitude_deg + half_deg, south_deg, north_deg };
}

/** Latitude that lies `range_m` straight to the north or south; beyond 90 where that passes the pole. */
function geodesicReach(latitude_deg: number, range_m: number, azimuth_deg: 0 | 180): number {
  const toPole_m = WGS84.Inverse(latitude_deg, 0, azimuth_deg === 0 ? 90 : -90, 0).s12!;
  if (range_m >= toPole_m) return azimuth_deg === 0 ? 91 : -91;
  return WGS84.Direct(latitude_deg, 0, azimuth_deg, range_m).lat2!;
}

/** The box that holds points whose longitudes run on. */
export function boxOfPath(path: GeodesicPath): EarthBox {
  const bounds = (list: Float64Array) =>
    list.reduce(
      ([low, high], v) => [Math.min(low!, v), Math.max(high!, v)],
      [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
    ) as [number, number];
  const [west_deg, east_deg] = bounds(path.longitude_deg);
  const [south_deg, north_deg] = bounds(path.latitude_deg);
  return { west_deg, east_deg, south_deg, north_deg };
}

/** Size of a grid's cells on the ground at a row and column, m. */
export function cellSize_m(
  frame: GridFrame,
  row: number,
  column: number,
  projection: Projection,
): { readonly east_m: number; readonly north_m: number } {
  const here = earthAt(frame, row, column, projection);
  const step = 4;
  return {
    east_m: geodesicBetween(here, earthAt(frame, row, column + step, projection)).distance_m / step,
    north_m:
      geodesicBetween(here, earthAt(frame, row + (row > step ? -step : step), column, projection)).distance_m / step,
  };
}

/** How far a projection's metres may differ from those on the ground for a grid to pass as true: 0.2 %. */
const TRUE_SCALE = 0.002;

/**
 * Distances over a grid from a cell, for `viewshed`: the grid's own metres where the projection is true to 0.2 % (UTM), else geodesic
 * lengths, north along the column and east along the parallel half way. Rows beyond the range are Infinity away.
 */
export function metricOf(
  frame: GridFrame,
  row: number,
  column: number,
  range_m: number,
  projection: Projection,
): GridMetric {
  const size = cellSize_m(frame, row, column, projection);
  if (
    frame.kind === 'projected' &&
    Math.abs(size.east_m / frame.stepEast_u - 1) < TRUE_SCALE &&
    Math.abs(size.north_m / frame.stepNorth_u - 1) < TRUE_SCALE
  )
    return planeMetric(frame, row);
  const north_m = new Float64Array(frame.rows).fill(Number.POSITIVE_INFINITY);
  const east_m = new Float64Array(frame.rows).fill(size.east_m);
  const here = earthAt(frame, row, column, projection);
  const step = 4;
  for (const sign of [-1, 1]) {
    for (let r = row; r >= 0 && r < frame.rows; r += sign) {
      north_m[r] = geodesicBetween(here, earthAt(frame, r, column, projection)).distance_m;
      const middle = earthAt(frame, (r + row) / 2, column, projection);
      const beside = earthAt(frame, (r + row) / 2, column + step, projection);
      east_m[r] = geodesicBetween(middle, beside).distance_m / step;
      if (north_m[r]! > range_m) break;
    }
  }
  return { north_m, east_m };
}

/** Place of a row and column, with fractions. */
export function earthAt(frame: GridFrame, row: number, column: number, projection: Projection): EarthPoint {
  const place = new Float64Array(2);
  projection.toEarth(xOfColumn_u(frame, column), yOfRow_u(frame, row), place);
  return { latitude_deg: place[1]!, longitude_deg: place[0]! };
}

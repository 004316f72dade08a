import { RAD_PER_DEG } from '../units/index.ts';

/** World Geodetic System 1984: half axis, km, and square of the eccentricity (NIMA TR8350.2). */
const HALF_AXIS_km = 6378.137;
const ECCENTRICITY2 = 6.69437999014e-3;

/**
 * How a raster lies on the Earth, its rows counted downwards. Geographic: centre of the first cell and steps in degrees (rows go
 * south, columns east). Plane: a projected grid; steps in kilometres, and straight lines of the plane are taken for the shortest ways.
 */
export type CoverageFrame =
  | {
      readonly kind: 'geographic';
      readonly north_deg: number;
      readonly west_deg: number;
      readonly rowStep_deg: number;
      readonly columnStep_deg: number;
    }
  | { readonly kind: 'plane'; readonly rowStep_km: number; readonly columnStep_km: number };

/** A place between cell centres, in rows and columns from the first cell's centre. */
export interface GridPlace {
  readonly row: number;
  readonly column: number;
}

/** Coefficients of row and column along a way from a centre: value = a + (b + (c + e r) r) r, r in km; eight numbers. */
export type Course = Float64Array;

interface Radii {
  readonly north_km: number;
  readonly east_km: number;
}

/** Radii of curvature at a latitude: along the meridian, and across it times the cosine of the latitude. */
function radiiAt(latitude_rad: number): Radii {
  const s = Math.sin(latitude_rad);
  const w2 = 1 - ECCENTRICITY2 * s * s;
  const across_km = HALF_AXIS_km / Math.sqrt(w2);
  return { north_km: (across_km * (1 - ECCENTRICITY2)) / w2, east_km: across_km * Math.cos(latitude_rad) };
}

/**
 * Offsets of a place from a centre along a shortest way: east and north components of the way as it runs at its middle, and half the
 * turn of its direction, so that its azimuth at the centre is atan2(east, north) - halfTurn.
 *
 * Source: Gauss's mid-latitude formulas (Torge 2001, Geodesy, sec. 6.3; from memory), first order. Error against the exact geodesic:
 * 1 cm at 15 km and 0.7 m at 60 km up to 60° of latitude; 0.1 m and 7 m at 80° (checked in test/core/reach/frame.test.ts).
 */
export function offsetFrom(
  centreLatitude_deg: number,
  latitude_deg: number,
  longitudeStep_deg: number,
): { east_km: number; north_km: number; halfTurn_rad: number } {
  const middle_rad = 0.5 * (centreLatitude_deg + latitude_deg) * RAD_PER_DEG;
  const dLat = (latitude_deg - centreLatitude_deg) * RAD_PER_DEG;
  const dLon = longitudeStep_deg * RAD_PER_DEG;
  const { north_km, east_km } = radiiAt(middle_rad);
  return {
    east_km: east_km * dLon,
    north_km: north_km * dLat * Math.cos(dLon / 2),
    halfTurn_rad: 0.5 * dLon * Math.sin(middle_rad),
  };
}

/** Latitude and longitude, as steps from the centre in degrees, at the end of a way: the inverse of `offsetFrom`, by iteration. */
export function stepAlong(
  centreLatitude_deg: number,
  azimuth_rad: number,
  distance_km: number,
): { latitudeStep_deg: number; longitudeStep_deg: number } {
  let dLat = 0;
  let dLon = 0;
  const centre_rad = centreLatitude_deg * RAD_PER_DEG;
  for (let k = 0; k < 6; k++) {
    const middle_rad = centre_rad + dLat / 2;
    const { north_km, east_km } = radiiAt(middle_rad);
    const azimuth = azimuth_rad + 0.5 * dLon * Math.sin(middle_rad);
    dLon = (distance_km * Math.sin(azimuth)) / east_km;
    dLat = (distance_km * Math.cos(azimuth)) / (north_km * Math.cos(dLon / 2));
  }
  return { latitudeStep_deg: dLat / RAD_PER_DEG, longitudeStep_deg: dLon / RAD_PER_DEG };
}

/**
 * The way from a centre towards an azimuth as a cubic in the distance: exact at 0, a third, two thirds and the whole of `reach_km`; with
 * the error of `offsetFrom` within 0.4 m at 46° of latitude for 60 km.
 */
export function courseOf(frame: CoverageFrame, centre: GridPlace, azimuth_rad: number, reach_km: number): Course {
  if (frame.kind === 'plane')
    return Float64Array.of(
      centre.row,
      -Math.cos(azimuth_rad) / frame.rowStep_km,
      0,
      0,
      centre.column,
      Math.sin(azimuth_rad) / frame.columnStep_km,
      0,
      0,
    );
  const latitude_deg = frame.north_deg - centre.row * frame.rowStep_deg;
  const at = [1, 2, 3].map((third) => stepAlong(latitude_deg, azimuth_rad, (third * reach_km) / 3));
  const rows = cubicThrough(at.map((p) => -p.latitudeStep_deg / frame.rowStep_deg) as Triple, reach_km);
  const columns = cubicThrough(at.map((p) => p.longitudeStep_deg / frame.columnStep_deg) as Triple, reach_km);
  return Float64Array.of(centre.row, ...rows, centre.column, ...columns);
}

type Triple = [number, number, number];

/** Coefficients of r, r² and r³ of the cubic through zero and three values at thirds of `reach_km`. */
function cubicThrough([y1, y2, y3]: Triple, reach_km: number): Triple {
  const third = reach_km / 3;
  const second = y2 - 2 * y1;
  const cubic = (y3 - 3 * y2 + 3 * y1) / 6;
  return [(y1 - second / 2 + 2 * cubic) / third, (second / 2 - 3 * cubic) / third ** 2, cubic / third ** 3];
}

/** Distance and azimuth (clockwise from north, on a plane from its grid north) from one place to another. */
export function polarOf(
  frame: CoverageFrame,
  from: GridPlace,
  to: GridPlace,
): { distance_km: number; azimuth_rad: number } {
  const columns = to.column - from.column;
  if (frame.kind === 'plane') {
    const east_km = columns * frame.columnStep_km;
    const north_km = (from.row - to.row) * frame.rowStep_km;
    return { distance_km: Math.hypot(east_km, north_km), azimuth_rad: Math.atan2(east_km, north_km) };
  }
  const { east_km, north_km, halfTurn_rad } = offsetFrom(
    frame.north_deg - from.row * frame.rowStep_deg,
    frame.north_deg - to.row * frame.rowStep_deg,
    columns * frame.columnStep_deg,
  );
  return { distance_km: Math.hypot(east_km, north_km), azimuth_rad: Math.atan2(east_km, north_km) - halfTurn_rad };
}

/** Size of a cell at a place, km from north to south and from west to east. */
export function cellSize_km(frame: CoverageFrame, place: GridPlace): { height_km: number; width_km: number } {
  if (frame.kind === 'plane') return { height_km: frame.rowStep_km, width_km: frame.columnStep_km };
  const { north_km, east_km } = radiiAt((frame.north_deg - place.row * frame.rowStep_deg) * RAD_PER_DEG);
  return {
    height_km: north_km * frame.rowStep_deg * RAD_PER_DEG,
    width_km: east_km * frame.columnStep_deg * RAD_PER_DEG,
  };
}

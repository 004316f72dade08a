import { UserError, userError } from '../core/units/index.ts';
import { FileProblems, shorten } from './file-problems.ts';

/** A point with what its feature says of it. */
export interface GeoPoint {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly properties: Readonly<Record<string, unknown>>;
  /** Number of the feature in the file, from 1. */
  readonly feature: number;
}

/** Longitude and latitude, degrees, by turns. */
export type Ring = readonly (readonly [number, number])[];

/** One geometry of a feature, in the order of the file. */
export interface GeoShape {
  readonly kind: 'point' | 'line' | 'polygon';
  readonly feature: number;
  readonly properties: Readonly<Record<string, unknown>>;
  /** Of a polygon the outer ring first, then holes; a line is one ring, a point none. */
  readonly rings: readonly Ring[];
}

export interface GeoFile {
  readonly points: readonly GeoPoint[];
  readonly lines: readonly Ring[];
  /** Outer ring first, then holes. */
  readonly polygons: readonly (readonly Ring[])[];
  /** All of these again, with their features. */
  readonly shapes: readonly GeoShape[];
}

const MOST = { characters: 20_000_000, positions: 1_000_000, depth: 12 };

/**
 * Reads GeoJSON (RFC 7946): points, lines and polygons out of features, collections or bare geometries; null geometries are passed over.
 *
 * @throws UserError with the number of the feature for what is no GeoJSON, and for coordinates that are off the Earth or exchanged
 */
export function readGeoJson(text: string, file: string): GeoFile {
  const problems = new FileProblems('geojson', file);
  if (text.length > MOST.characters)
    throw userError(
      'geojson.size',
      `The file has more than ${MOST.characters / 1e6} million characters: cut it down.`,
      {
        file,
      },
    );
  let root: unknown;
  try {
    root = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch (error) {
    throw userError('geojson.syntax', `This is no JSON: ${shorten((error as Error).message)}.`, { file });
  }
  const points: GeoPoint[] = [];
  const lines: Ring[] = [];
  const polygons: Ring[][] = [];
  const shapes: GeoShape[] = [];
  let positions = 0;
  let feature = 0;
  const say = (message: string) => problems.add('geometry', `Feature ${feature}: ${message}`);

  const position = (value: unknown): [number, number] | undefined => {
    const [longitude_deg, latitude_deg] = Array.isArray(value) ? (value as unknown[]) : [];
    if (typeof longitude_deg !== 'number' || typeof latitude_deg !== 'number') {
      say('a position is a list of longitude and latitude in degrees.');
      return undefined;
    }
    if (++positions > MOST.positions)
      throw userError('geojson.size', `The file has more than ${MOST.positions} positions: cut it down.`, { file });
    if (!(Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 540)) {
      const exchanged = Math.abs(longitude_deg) <= 90 && Math.abs(latitude_deg) <= 180;
      say(
        `the position ${longitude_deg}, ${latitude_deg} is off the Earth${exchanged ? ': GeoJSON wants the longitude first' : ''}.`,
      );
      return undefined;
    }
    return [longitude_deg, latitude_deg];
  };
  const ring = (value: unknown): Ring => {
    if (!Array.isArray(value)) {
      say('a line is a list of positions.');
      return [];
    }
    return value.flatMap((one) => {
      if (problems.full) return [];
      const found = position(one);
      return found === undefined ? [] : [found];
    });
  };
  const list = (value: unknown): unknown[] => (Array.isArray(value) ? value : [value]);
  const geometry = (value: unknown, properties: Readonly<Record<string, unknown>>, depth: number): void => {
    if (value === null || problems.full) return;
    const { type, coordinates, geometries } = value as { type?: unknown; coordinates?: unknown; geometries?: unknown };
    const point = (one: unknown) => {
      const found = position(one);
      if (!found) return;
      points.push({ longitude_deg: found[0], latitude_deg: found[1], properties, feature });
      shapes.push({ kind: 'point', feature, properties, rings: [] });
    };
    const line = (one: unknown) => {
      const found = ring(one);
      lines.push(found);
      shapes.push({ kind: 'line', feature, properties, rings: [found] });
    };
    const polygon = (one: unknown) => {
      const rings = list(one).map(ring);
      polygons.push(rings);
      shapes.push({ kind: 'polygon', feature, properties, rings });
    };
    if (type === 'Point') point(coordinates);
    else if (type === 'MultiPoint') for (const one of list(coordinates)) point(one);
    else if (type === 'LineString') line(coordinates);
    else if (type === 'MultiLineString') for (const one of list(coordinates)) line(one);
    else if (type === 'Polygon') polygon(coordinates);
    else if (type === 'MultiPolygon') for (const one of list(coordinates)) polygon(one);
    else if (type === 'GeometryCollection' && depth < MOST.depth)
      for (const one of list(geometries)) geometry(one, properties, depth + 1);
    else say(`its geometry is of type ${shorten(String(type))}, which GeoJSON does not know.`);
  };
  const { type, features } = (root ?? {}) as { type?: unknown; features?: unknown };
  const all = type === 'FeatureCollection' ? list(features) : [root];
  for (const one of all) {
    feature++;
    if (problems.full) break;
    if (typeof one !== 'object' || one === null || Array.isArray(one)) {
      say('it is no GeoJSON object.');
      continue;
    }
    const item = one as { type?: unknown; geometry?: unknown; properties?: unknown };
    const properties = typeof item.properties === 'object' && item.properties !== null ? item.properties : {};
    if (item.type !== 'Feature') geometry(item, {}, 0);
    else if (typeof item.geometry !== 'object') say('it has no geometry.');
    else geometry(item.geometry ?? null, properties as Record<string, unknown>, 0);
  }
  if (problems.list.length > 0) throw new UserError(problems.list);
  return { points, lines, polygons, shapes };
}

/** Whether a place lies in a polygon: inside its outer ring and in no hole (crossings of a ray to the east, by parity). */
export function insidePolygon(rings: readonly Ring[], longitude_deg: number, latitude_deg: number): boolean {
  let inside = false;
  for (const ring of rings)
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [x1, y1] = ring[i]!;
      const [x2, y2] = ring[j]!;
      if (y1 > latitude_deg !== y2 > latitude_deg && longitude_deg < ((x2 - x1) * (latitude_deg - y1)) / (y2 - y1) + x1)
        inside = !inside;
    }
  return inside;
}

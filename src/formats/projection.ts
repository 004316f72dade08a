import proj4 from 'proj4';
import { userError } from '../core/units/index.ts';

/** Turns geographic coordinates (WGS 84, degrees) into a grid's own, and back; both write x and y into `out`. */
export interface Projection {
  /** Null for geographic. */
  readonly name: string | null;
  toGrid(longitude_deg: number, latitude_deg: number, out: Float64Array): void;
  toEarth(x_u: number, y_u: number, out: Float64Array): void;
}

const GEOGRAPHIC: Projection = {
  name: null,
  toGrid: (longitude_deg, latitude_deg, out) => {
    out[0] = longitude_deg;
    out[1] = latitude_deg;
  },
  toEarth: (x_u, y_u, out) => {
    out[0] = x_u;
    out[1] = y_u;
  },
};

/** Radius of the sphere that the web's Mercator takes the Earth for, m (EPSG:3857). */
const MERCATOR_RADIUS_m = 6_378_137;
const RAD = Math.PI / 180;

/** The web's Mercator, by hand: longitudes that run on beyond 180 stay in one piece. */
const WEB_MERCATOR: Projection = {
  name: 'EPSG:3857',
  toGrid: (longitude_deg, latitude_deg, out) => {
    out[0] = MERCATOR_RADIUS_m * longitude_deg * RAD;
    out[1] = MERCATOR_RADIUS_m * Math.atanh(Math.sin(latitude_deg * RAD));
  },
  toEarth: (x_u, y_u, out) => {
    out[0] = x_u / MERCATOR_RADIUS_m / RAD;
    out[1] = Math.asin(Math.tanh(y_u / MERCATOR_RADIUS_m)) / RAD;
  },
};

/** Geographic systems that are taken for WGS 84; they differ from it by 2 m at most. */
const GEOGRAPHIC_CODES = new Set([4326, 4258, 4269, 4979, 4937]);

/** Name under which a grid is geographic: null, `EPSG:4326` or one that lies within metres of it. */
export function isGeographic(name: string | null): boolean {
  return name === null || GEOGRAPHIC_CODES.has(Number(/^EPSG:(\d+)$/i.exec(name)?.[1] ?? Number.NaN));
}

/** Definition of the projections that are known by their EPSG code: UTM zones on three datums. */
function definitionOf(code: number): string | undefined {
  const utm = (zone: number, rest: string) => `+proj=utm +zone=${zone} ${rest} +units=m +no_defs`;
  if (code > 32600 && code <= 32660) return utm(code - 32600, '+datum=WGS84');
  if (code > 32700 && code <= 32760) return utm(code - 32700, '+south +datum=WGS84');
  if (code >= 25828 && code <= 25838) return utm(code - 25800, '+ellps=GRS80 +towgs84=0,0,0');
  if (code > 26900 && code <= 26923) return utm(code - 26900, '+ellps=GRS80 +towgs84=0,0,0');
  return undefined;
}

/**
 * The projection of a name: null or a geographic EPSG code, `EPSG:` and a code of UTM (WGS 84 326xx and 327xx, ETRS89 258xx, NAD83
 * 269xx) or 3857, or a definition that begins with `+proj=`, which must be in metres.
 *
 * @throws UserError `projection.unknown` or `projection.definition`
 */
export function projectionOf(name: string | null): Projection {
  if (isGeographic(name)) return GEOGRAPHIC;
  const text = name!;
  const code = /^EPSG:(\d+)$/i.exec(text)?.[1];
  if (Number(code) === 3857) return WEB_MERCATOR;
  const definition = code === undefined ? text : definitionOf(Number(code));
  if (definition === undefined)
    throw userError(
      'projection.unknown',
      `${text} is not among the projections known by number (UTM zones, web Mercator): give its definition, +proj=…, as it stands in the EPSG registry, with --terrain-projection`,
    );
  if (!/\+proj=\w/.test(definition) || /\+units=(?!m\b)|\+to_meter=/.test(definition))
    throw userError(
      'projection.definition',
      `'${text}' is no projection in metres: it begins with +proj= and has +units=m or no units`,
    );
  let converter: proj4.Converter;
  try {
    converter = proj4(definition);
    const probe = converter.inverse([500_000, 100_000]);
    if (!Number.isFinite(probe[0]! + probe[1]!)) throw new Error('it gives no number');
  } catch (error) {
    throw userError('projection.definition', `the projection '${text}' is not understood: ${reasonOf(error)}`);
  }
  return {
    name: text,
    toGrid: (longitude_deg, latitude_deg, out) => {
      const [x, y] = converter.forward([longitude_deg, latitude_deg]);
      out[0] = x!;
      out[1] = y!;
    },
    toEarth: (x_u, y_u, out) => {
      const [longitude_deg, latitude_deg] = converter.inverse([x_u, y_u]);
      out[0] = longitude_deg!;
      out[1] = latitude_deg!;
    },
  };
}

const reasonOf = (error: unknown) => (error instanceof Error ? error.message : String(error));

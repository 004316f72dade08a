/** The ground between two ends: a profile from a file, or from terrain along the geodesic. */
import type { Profile } from '../core/path/index.ts';
import { kindAt, shareAt } from '../core/reach/index.ts';
import { columnOf, profileAlong, rowOf, type TerrainProfile } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import {
  boxOfPath,
  cellSize_m,
  type EarthBox,
  type GeodesicPath,
  geodesicBetween,
  geodesicPath,
} from '../formats/geodesic.ts';
import { readProfileCsv } from '../formats/profile-csv.ts';
import type { Terrain, TerrainPatch } from '../formats/terrain.ts';
import { coverRaster } from './cover.ts';
import type { CoverFile } from './cover-file.ts';
import type { CoverOnPath } from './cover-path.ts';
import type { Position } from './path-ends.ts';
import type { Ports } from './ports.ts';

export interface GroundPath {
  readonly profile: Profile;
  /** Azimuth from A to B; null where no positions are known. */
  readonly azimuth_deg: number | null;
  readonly notes: readonly string[];
  /** Ground cover at the points of the profile. */
  readonly cover?: CoverOnPath | undefined;
}

/** Cells of the terrain on either side of the path, so that its bilinear heights have their neighbours. */
const BESIDE_deg = 0.002;
/** A stretch without heights up to this long is bridged by a straight line, and told. */
const LONGEST_GAP_km = 0.5;
/** No link of this kind of radio is longer; a slip of the coordinates is more likely. */
const LONGEST_km = 1000;

/** Reads a profile file; where both positions are known its length is held against their distance. */
export async function groundFromFile(
  ports: Ports,
  path: string,
  from: Position | undefined,
  to: Position | undefined,
): Promise<GroundPath> {
  const { profile, notes } = readProfileCsv(await ports.readText(path), path);
  if (from === undefined || to === undefined) return { profile, azimuth_deg: null, notes };
  const way = geodesicBetween(from, to);
  const length_km = profile.distance_km[profile.distance_km.length - 1]!;
  const apart_km = way.distance_m / 1000;
  const off = Math.abs(length_km - apart_km) > Math.max(0.02 * apart_km, 0.1);
  const told = `The profile of ${path} is ${length_km.toFixed(2)} km long, but the two places lie ${apart_km.toFixed(2)} km apart: is it of this path? The profile counts.`;
  return { profile, azimuth_deg: way.azimuth_deg, notes: off ? [...notes, told] : notes };
}

/**
 * The ground along the geodesic between two places, a point a cell of the terrain.
 *
 * @throws UserError where an end lies outside the terrain, where more than 500 m on end have no height, and for ends over 1000 km apart
 */
export async function groundFromTerrain(
  terrain: Terrain,
  from: Position,
  to: Position,
  names: readonly [string, string],
  cover?: CoverFile,
): Promise<GroundPath> {
  const { distance_m, azimuth_deg } = geodesicBetween(from, to);
  if (distance_m > LONGEST_km * 1000)
    throw userError(
      'path.far',
      `the two places lie ${Math.round(distance_m / 1000).toLocaleString('en')} km apart: are latitude and longitude in order, and their signs right?`,
    );
  const rough = geodesicPath(from, to, 1000);
  const patch = await terrain.patch({ area: widened(boxOfPath(rough)), at: from });
  const { grid, projection } = patch;
  const out = new Float64Array(2);
  projection.toGrid(from.longitude_deg, from.latitude_deg, out);
  const size = cellSize_m(grid, rowOf(grid, out[1]!), columnOf(grid, out[0]!), projection);
  // With cover the same points as a coverage takes for one link: an edge of a wood then stands at one place in both.
  const cell_m = Math.sqrt(size.east_m * size.north_m);
  const spacing_m =
    cover === undefined
      ? Math.min(size.east_m, size.north_m)
      : (distance_m / Math.max(2, Math.round(distance_m / cell_m))) * (1 + 1e-9);
  const way = geodesicPath(from, to, spacing_m);
  const { ground, x_u, y_u } = alongPath(patch, way);
  const { profile, notes, known } = bridged(ground, names);
  return {
    profile,
    azimuth_deg,
    notes: [...patch.notes, ...notes],
    cover: cover === undefined ? undefined : coverAlong(cover, patch, x_u, y_u, known),
  };
}

function widened(box: EarthBox): EarthBox {
  const polewards = Math.max(Math.abs(box.south_deg), Math.abs(box.north_deg));
  const beside_deg = BESIDE_deg / Math.max(Math.cos((polewards * Math.PI) / 180), 0.01);
  return {
    west_deg: box.west_deg - beside_deg,
    east_deg: box.east_deg + beside_deg,
    south_deg: Math.max(box.south_deg - BESIDE_deg, -90),
    north_deg: Math.min(box.north_deg + BESIDE_deg, 90),
  };
}

/** Cover at those points of a path that have a height. */
function coverAlong(
  file: CoverFile,
  patch: TerrainPatch,
  x_u: Float64Array,
  y_u: Float64Array,
  known: readonly number[] | undefined,
): CoverOnPath {
  const { grid } = patch;
  const { rows, columns } = grid;
  const raster = coverRaster(file, patch);
  const points = known ?? [...x_u.keys()];
  const at = points.map((i) => [rowOf(grid, y_u[i]!), columnOf(grid, x_u[i]!)] as const);
  const { woods } = raster;
  return {
    kinds: raster.kinds,
    kind: Uint8Array.from(at, ([row, column]) => kindAt(rows, columns, raster, row, column)),
    woods: Float32Array.from(at, ([row, column]) =>
      woods === undefined ? 0 : shareAt(rows, columns, woods, row, column),
    ),
  };
}

function alongPath(
  { grid, projection }: TerrainPatch,
  way: GeodesicPath,
): { readonly ground: TerrainProfile; readonly x_u: Float64Array; readonly y_u: Float64Array } {
  const n = way.distance_km.length;
  const x_u = new Float64Array(n);
  const y_u = new Float64Array(n);
  const out = new Float64Array(2);
  for (let i = 0; i < n; i++) {
    projection.toGrid(way.longitude_deg[i]!, way.latitude_deg[i]!, out);
    x_u[i] = out[0]!;
    y_u[i] = out[1]!;
  }
  return { ground: profileAlong(grid, x_u, y_u, way.distance_km), x_u, y_u };
}

/** Leaves points without height out, so that a straight line bridges them; tells it, and refuses where too much is unknown. */
function bridged(
  { distance_km, height_m, voids }: TerrainProfile,
  names: readonly [string, string],
): { profile: Profile; notes: string[]; known?: readonly number[] } {
  if (voids === 0) return { profile: { distance_km, height_m }, notes: [] };
  const known = Array.from(height_m.keys()).filter((i) => !Number.isNaN(height_m[i]!));
  const last = height_m.length - 1;
  for (const [i, name] of [
    [0, names[0]],
    [last, names[1]],
  ] as const)
    if (Number.isNaN(height_m[i]!))
      throw userError(
        'path.unknownGround',
        `the ground at ${name} is not known: no tile covers it, or its height there is void; add the tile that holds it`,
      );
  let longest_km = 0;
  let at_km = 0;
  for (let k = 1; k < known.length; k++) {
    const gap_km = known[k]! - known[k - 1]! > 1 ? distance_km[known[k]!]! - distance_km[known[k - 1]!]! : 0;
    if (gap_km > longest_km) {
      longest_km = gap_km;
      at_km = distance_km[known[k - 1]!]!;
    }
  }
  const where = `${longest_km.toFixed(2)} km on end from ${at_km.toFixed(2)} km`;
  if (longest_km > LONGEST_GAP_km)
    throw userError(
      'path.unknownGround',
      `the ground is not known over ${where}: a tile is missing or void there; a hill in it would not be seen`,
    );
  return {
    known,
    profile: {
      distance_km: Float64Array.from(known, (i) => distance_km[i]!),
      height_m: Float64Array.from(known, (i) => height_m[i]!),
    },
    notes: [`${voids} points of the path have no height (at most ${where}): a straight line bridges them.`],
  };
}

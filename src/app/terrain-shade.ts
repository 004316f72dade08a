/** Shaded relief as tiles of a map, from whatever terrain the user has. */
import { heightAtCell, hillshade, MAP_LIGHT } from '../core/terrain/index.ts';
import { UserError } from '../core/units/index.ts';
import { cellSize_m, type EarthBox, type EarthPoint } from '../formats/geodesic.ts';
import { encodePng } from '../formats/png.ts';
import type { OpenTerrain, TerrainPatch } from '../formats/terrain.ts';
import { tileFrame } from '../formats/terrain-png.ts';
import { SHADE_ZOOM } from './job-kinds.ts';
import { GIRTH_m, MERCATOR, overPixels } from './mercator-lattice.ts';

export interface TilePlace {
  readonly zoom: number;
  readonly x: number;
  readonly y: number;
}

const SIDE = 256;
/** Coarser maps than this are made of four of the next zoom each, so that ground between the pixels counts too. */
const MIDDLE_ZOOM = 11;
/** From a server no coarser one is made: it would fetch hundreds of its tiles. */
const LEAST_ZOOM_FETCHED = 10;
const MOST_RIM = 64;
/** Heights of map tiles that are kept for the coarser ones: 256 kB each. */
const KEPT = 128;
/** Slopes of ground that is seen from further away are stretched, so that it stays readable (own choice, by eye). */
const STRETCH = { near: 1, from_m: 60, power: 0.25 } as const;

export interface Shading {
  /** PNG of 256 x 256 in grey and alpha: clear where the terrain has no height. */
  tile(place: TilePlace): Promise<Uint8Array>;
}

/**
 * Hillshade of a terrain, zoom 6 to 16 of the web's Mercator. Light: `MAP_LIGHT`; slopes: `hillshade`, taken over a cell of the
 * terrain where pixels are finer. Damaged tiles of the terrain are clear here; who computes with them is told.
 */
export function createShading(terrain: OpenTerrain): Shading {
  const clear = greyPng(new Float32Array(SIDE * SIDE).fill(Number.NaN));
  const heights = new Map<string, Float32Array | null>();
  // Pixels of terrain finer than the middle zoom are first taken where there are at most four cells to a pixel.
  const finest_m = terrain.finest_m ?? 30;
  const sampled = Math.max(
    MIDDLE_ZOOM,
    Math.min(SHADE_ZOOM.most, Math.ceil(Math.log2(GIRTH_m / SIDE / (4 * finest_m)))),
  );

  const heightsOf = async (place: TilePlace): Promise<Float32Array | null> => {
    const key = `${place.zoom}/${place.x}/${place.y}`;
    const known = heights.get(key);
    if (known !== undefined) return known;
    const found =
      place.zoom >= sampled ? ((await sample(terrain, place, () => 0))?.height_m ?? null) : await ofChildren(place);
    heights.set(key, found);
    if (heights.size > KEPT) heights.delete(heights.keys().next().value!);
    return found;
  };
  const ofChildren = async ({ zoom, x, y }: TilePlace): Promise<Float32Array | null> => {
    if (!meets(terrain.box, boxOfTile(zoom, x, y, 0))) return null;
    let all: Float32Array | null = null;
    for (const [right, below] of [
      [0, 0],
      [1, 0],
      [0, 1],
      [1, 1],
    ] as const) {
      const part = await heightsOf({ zoom: zoom + 1, x: 2 * x + right, y: 2 * y + below });
      if (part === null) continue;
      all ??= new Float32Array(SIDE * SIDE).fill(Number.NaN);
      halve(part, all, (below * SIDE) / 2, (right * SIDE) / 2);
    }
    return all;
  };

  return {
    async tile(place) {
      const { zoom } = place;
      if (terrain.box === null && zoom < LEAST_ZOOM_FETCHED) return clear;
      const pixel_m = new Float64Array(SIDE);
      for (let r = 0; r < SIDE; r++) pixel_m[r] = pixelAt_m(zoom, place.y * SIDE + r + 0.5);
      const middle_m = pixel_m[SIDE / 2]!;
      let ground: Sampled | null;
      if (zoom >= sampled)
        ground = await sample(terrain, place, (cell_m) =>
          Math.max(1, Math.min(MOST_RIM, Math.round(cell_m / middle_m))),
        );
      else {
        const inner = await heightsOf(place);
        ground = inner === null ? null : withRim(inner);
      }
      if (ground === null) return clear;
      const out = new Float32Array(SIDE * SIDE);
      const exaggeration = STRETCH.near * Math.max(1, middle_m / STRETCH.from_m) ** STRETCH.power;
      hillshade(
        { rows: SIDE, columns: SIDE, ...ground, step_m: pixel_m },
        { ...MAP_LIGHT, stride: ground.rim, exaggeration },
        out,
      );
      return greyPng(out);
    },
  };
}

/** Heights of a tile's pixels, with a rim. */
interface Sampled {
  readonly rim: number;
  readonly height_m: Float32Array;
}

/** Heights straight from the terrain, bilinear; null where it has none. `rimOf` tells the rim, in pixels, from the size of a cell. */
async function sample(
  terrain: OpenTerrain,
  { zoom, x, y }: TilePlace,
  rimOf: (cell_m: number) => number,
): Promise<Sampled | null> {
  const area = boxOfTile(zoom, x, y, MOST_RIM / SIDE);
  const patch = await patchOf(terrain, area, boxOfTile(zoom, x, y, 0));
  if (patch === null) return null;
  const { grid, projection } = patch;
  const cell = cellSize_m(grid, grid.rows / 2, grid.columns / 2, projection);
  const rim = rimOf(Math.max(cell.east_m, cell.north_m));
  const side = SIDE + 2 * rim;
  const frame = tileFrame(zoom, x, y, SIDE);
  const height_m = new Float32Array(side * side);
  let known = false;
  const pixels = {
    width: side,
    height: side,
    west_m: frame.west_u - rim * frame.stepEast_u,
    north_m: frame.north_u + rim * frame.stepNorth_u,
    stepEast_m: frame.stepEast_u,
    stepNorth_m: frame.stepNorth_u,
  };
  overPixels(pixels, grid, projection, (k, row, column) => {
    const h = heightAtCell(grid, row, column);
    height_m[k] = h;
    known ||= !Number.isNaN(h);
  });
  return known ? { rim, height_m } : null;
}

/** Terrain of an area, asked for at a place that it holds; null where there is none to show. */
async function patchOf(terrain: OpenTerrain, area: EarthBox, inside: EarthBox): Promise<TerrainPatch | null> {
  if (!meets(terrain.box, area)) return null;
  for (const at of placesIn(inside, terrain.box)) {
    try {
      return await terrain.patch({ area, at });
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      if (error.problems[0]?.code !== 'terrain.outside') return null;
    }
  }
  return null;
}

/** The middle of what is common first, then places all over it: terrain of a few tiles may lie in a corner. */
function placesIn(inside: EarthBox, known: EarthBox | null): EarthPoint[] {
  const cut = known === null || !meets(known, inside) ? inside : common(known, inside);
  const SPREAD = [0.5, 0.02, 0.98, 0.25, 0.75];
  return SPREAD.flatMap((v) =>
    SPREAD.map((u) => ({
      latitude_deg: cut.south_deg + v * (cut.north_deg - cut.south_deg),
      longitude_deg: cut.west_deg + u * (cut.east_deg - cut.west_deg),
    })),
  );
}

const common = (a: EarthBox, b: EarthBox): EarthBox => ({
  west_deg: Math.max(a.west_deg, b.west_deg),
  east_deg: Math.min(a.east_deg, b.east_deg),
  south_deg: Math.max(a.south_deg, b.south_deg),
  north_deg: Math.min(a.north_deg, b.north_deg),
});

function meets(known: EarthBox | null, area: EarthBox): boolean {
  if (known === null) return true;
  const { west_deg, east_deg, south_deg, north_deg } = common(known, area);
  return west_deg < east_deg && south_deg < north_deg;
}

/** Where a tile lies, with so much of its side around it. */
function boxOfTile(zoom: number, x: number, y: number, around: number): EarthBox {
  const side_m = GIRTH_m / 2 ** zoom;
  const out = new Float64Array(2);
  MERCATOR.toEarth(-GIRTH_m / 2 + (x - around) * side_m, GIRTH_m / 2 - (y + 1 + around) * side_m, out);
  const [west_deg, south_deg] = [out[0]!, out[1]!];
  MERCATOR.toEarth(-GIRTH_m / 2 + (x + 1 + around) * side_m, GIRTH_m / 2 - (y - around) * side_m, out);
  return { west_deg, south_deg, east_deg: out[0]!, north_deg: out[1]! };
}

/** Side of a pixel on the ground, m; rows are counted from the north of the map. */
function pixelAt_m(zoom: number, row: number): number {
  const pixel_m = GIRTH_m / SIDE / 2 ** zoom;
  // Mercator stretches by 1/cos(latitude) = cosh(y/R).
  return pixel_m / Math.cosh((2 * Math.PI * (GIRTH_m / 2 - row * pixel_m)) / GIRTH_m);
}

/** A quarter of a coarser tile: means of four, of those that are known. */
function halve(part: Float32Array, all: Float32Array, firstRow: number, firstColumn: number): void {
  for (let r = 0; r < SIDE / 2; r++)
    for (let c = 0; c < SIDE / 2; c++) {
      const i = 2 * r * SIDE + 2 * c;
      let sum = 0;
      let count = 0;
      for (const k of [i, i + 1, i + SIDE, i + SIDE + 1]) {
        const h = part[k]!;
        if (Number.isNaN(h)) continue;
        sum += h;
        count++;
      }
      all[(firstRow + r) * SIDE + firstColumn + c] = count === 0 ? Number.NaN : sum / count;
    }
}

/** A rim without heights: slopes at the edge go on as they are. */
function withRim(inner: Float32Array): Sampled {
  const width = SIDE + 2;
  const height_m = new Float32Array(width * width).fill(Number.NaN);
  for (let r = 0; r < SIDE; r++) height_m.set(inner.subarray(r * SIDE, (r + 1) * SIDE), (r + 1) * width + 1);
  return { rim: 1, height_m };
}

function greyPng(light: Float32Array): Uint8Array {
  const data = new Uint8Array(2 * light.length);
  for (let k = 0; k < light.length; k++) {
    const value = light[k]!;
    if (Number.isNaN(value)) continue;
    data[2 * k] = Math.round(255 * value);
    data[2 * k + 1] = 255;
  }
  return encodePng({ width: SIDE, height: SIDE, channels: 2, data }, true);
}

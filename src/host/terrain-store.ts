import { homedir } from 'node:os';
import { join } from 'node:path';
import type { Box, HeightGrid } from '../core/terrain/index.ts';
import {
  columnOf,
  createMosaic,
  fillFrom,
  isInside,
  type Mosaic,
  mosaicGaps,
  overlap,
  pasteTile,
  rowOf,
} from '../core/terrain/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { cellSize_m, type EarthBox, type EarthPoint } from '../formats/geodesic.ts';
import { hgtName } from '../formats/hgt.ts';
import type { Projection } from '../formats/projection.ts';
import type { OpenTerrain, TerrainPatch, TerrainRequest } from '../formats/terrain.ts';
import { type HeightEncoding, tileOf } from '../formats/terrain-png.ts';
import { lookThrough } from './terrain-folder.ts';
import type { Contents, Layer, Tile } from './terrain-layer.ts';
import { urlLayer } from './terrain-pyramid.ts';
import { TileCache } from './tile-cache.ts';

export interface TerrainOptions {
  /** For GeoTIFF files that do not tell their own: `EPSG:32632` or `+proj=…`. */
  readonly projection?: string | undefined;
  /** Of z/x/y.png tiles; found out when it is not given. */
  readonly encoding?: HeightEncoding | undefined;
  /** Zoom level that a server is asked for. */
  readonly zoom?: number | undefined;
  /** Folder where tiles from a server are kept. */
  readonly cache?: string | undefined;
}

/** Loaded tiles that are kept, and cells that one question may have. */
const KEPT_BYTES = 160e6;
const MOST_CELLS = 64e6;
const DEFAULT_ZOOM = 12;

/**
 * Opens terrain: a folder or file of .hgt (also .gz, .zip), GeoTIFF or tiles z/x/y.png, or a server's URL template with {z}, {x}
 * and {y}, which alone makes it use the network. Only what a question needs is loaded.
 *
 * @throws UserError `terrain.empty`, `terrain.unreadable`, `terrain.url`
 */
export async function openTerrain(name: string, options: TerrainOptions = {}): Promise<OpenTerrain> {
  const cache = new TileCache<HeightGrid>(KEPT_BYTES);
  if (/^[a-z]+:\/\//i.test(name)) {
    checkTemplate(name);
    return {
      name,
      box: null,
      finest_m: null,
      notes: [],
      patch: async (request) => cut(name, await ofServer(name, options, request), request, cache),
    };
  }
  const contents = await lookThrough(name, options);
  if (contents.layers.length === 0 && contents.badTiles.length === 0) {
    if (contents.passedOver.length > 0) throw new UserError(contents.passedOver.slice(0, 10));
    throw userError(
      'terrain.empty',
      'There is no terrain in this folder: .hgt files, GeoTIFF files (.tif) or tiles z/x/y.png are looked for.',
      { file: name },
    );
  }
  return {
    name,
    ...boundsOf(contents.layers),
    notes: contents.passedOver.map(({ message, place }) => `${place?.file ?? 'A file'} is passed over: ${message}`),
    patch: (request) => cut(name, contents, request, cache),
  };
}

/** Where all layers lie together, and the side of the finest cells. */
function boundsOf(layers: readonly Layer[]): Pick<OpenTerrain, 'box' | 'finest_m'> {
  const boxes = layers.flatMap((layer) => (layer.box === null ? [] : [layer.box]));
  if (boxes.length === 0) return { box: null, finest_m: null };
  const box = {
    west_deg: Math.min(...boxes.map((b) => b.west_deg)),
    east_deg: Math.max(...boxes.map((b) => b.east_deg)),
    south_deg: Math.min(...boxes.map((b) => b.south_deg)),
    north_deg: Math.max(...boxes.map((b) => b.north_deg)),
  };
  const place = new Float64Array(2);
  const sides = layers.flatMap(({ frame, projection, box: own }) => {
    if (own === null) return [];
    projection.toGrid((own.west_deg + own.east_deg) / 2, (own.south_deg + own.north_deg) / 2, place);
    const size = cellSize_m(frame, rowOf(frame, place[1]!), columnOf(frame, place[0]!), projection);
    return [Math.min(size.east_m, size.north_m)];
  });
  return { box, finest_m: Math.min(...sides) };
}

function checkTemplate(template: string): void {
  const absent = ['{z}', '{x}', '{y}'].filter((part) => !template.includes(part));
  if (!/^https?:\/\//i.test(template) || absent.length > 0)
    throw userError(
      'terrain.url',
      `'${template}' is no address of terrain tiles: it begins with https:// and holds {z}, {x} and {y}${absent.length > 0 ? `; ${absent.join(', ')} missing` : ''}`,
    );
}

async function ofServer(template: string, options: TerrainOptions, { at }: TerrainRequest): Promise<Contents> {
  const zoom = options.zoom ?? DEFAULT_ZOOM;
  const cache =
    options.cache ?? join(process.env['XDG_CACHE_HOME'] ?? join(homedir(), '.cache'), 'sunperch', 'terrain');
  const place = tileOf(at.latitude_deg, at.longitude_deg, zoom);
  const count = 2 ** zoom;
  const near = { x: ((Math.floor(place.x) % count) + count) % count, y: Math.floor(place.y) };
  const layer = near.y >= 0 && near.y < count ? await urlLayer(template, zoom, cache, near, options.encoding) : null;
  return { layers: layer === null ? [] : [layer], badTiles: [], passedOver: [], extent: `zoom ${zoom}` };
}

/** Puts the grid of a question together. */
async function cut(
  name: string,
  contents: Contents,
  request: TerrainRequest,
  cache: TileCache<HeightGrid>,
): Promise<TerrainPatch> {
  const { area, at } = request;
  const bad = contents.badTiles.filter((tile) => touches(area, tile.west_deg, tile.south_deg));
  if (bad.length > 0) throw new UserError(bad.map((tile) => tile.problem));
  const ranked = await rankLayers(contents.layers, at);
  const own = ranked[0];
  if (own === undefined || !own.holds) throw outside(name, contents, at);

  const box = boxOn(own.layer, area);
  const tiles = await own.layer.tilesIn(box);
  const cells =
    ((box.east_u - box.west_u) / own.layer.frame.stepEast_u) *
    ((box.north_u - box.south_u) / own.layer.frame.stepNorth_u);
  if (cells > MOST_CELLS)
    throw userError(
      'terrain.large',
      `The area has ${(cells / 1e6).toFixed(0)} million cells of terrain, at most ${MOST_CELLS / 1e6} million are taken at once: choose a smaller radius or coarser terrain.`,
      { file: name },
    );
  const mosaic = createMosaic(own.layer.frame, box);
  await lay(mosaic, tiles, cache);
  const files = tiles.map((tile) => tile.file);
  let resampled = 0;
  for (const { layer } of ranked.slice(1)) {
    if (mosaic.covered.every((one) => one === 1)) break;
    resampled += await fillFromLayer(mosaic, own.layer.projection, layer, area, cache, files);
  }
  const gaps = mosaicGaps(mosaic);
  return {
    grid: mosaic.grid,
    projection: own.layer.projection,
    tile: tiles.length === 1 ? tiles[0]!.frame : null,
    ...gaps,
    resampled,
    files,
    notes: [
      ...(await notesOf(mosaic, gaps, resampled, own.layer, box, contents)),
      ...tiles.flatMap((tile) => tile.notes),
    ],
  };
}

/** Layers that hold the place, finest first, then the others. */
async function rankLayers(layers: readonly Layer[], at: EarthPoint) {
  const place = new Float64Array(2);
  const ranked = [];
  for (const layer of layers) {
    layer.projection.toGrid(at.longitude_deg, at.latitude_deg, place);
    const [x_u, y_u] = [place[0]!, place[1]!];
    if (!Number.isFinite(x_u + y_u)) continue;
    const size = cellSize_m(layer.frame, rowOf(layer.frame, y_u), columnOf(layer.frame, x_u), layer.projection);
    const spot = { west_u: x_u, east_u: x_u, south_u: y_u, north_u: y_u };
    const holds = (await layer.tilesIn(spot)).some((tile) => isInside(tile.frame, x_u, y_u));
    ranked.push({ layer, holds, step_m: Math.max(size.east_m, size.north_m) });
  }
  return ranked.sort((a, b) => Number(b.holds) - Number(a.holds) || a.step_m - b.step_m);
}

/** Box of an area in a layer's unit, from points all around it. */
function boxOn(layer: Layer, area: EarthBox): Box {
  const place = new Float64Array(2);
  let [west_u, south_u, east_u, north_u] = [Infinity, Infinity, -Infinity, -Infinity];
  const SIDES = 16;
  for (let i = 0; i <= SIDES; i++)
    for (let k = 0; k <= SIDES; k++) {
      if (i > 0 && i < SIDES && k > 0 && k < SIDES) continue;
      const longitude_deg = area.west_deg + ((area.east_deg - area.west_deg) * i) / SIDES;
      const latitude_deg = area.south_deg + ((area.north_deg - area.south_deg) * k) / SIDES;
      layer.projection.toGrid(longitude_deg, Math.max(-89.9, Math.min(89.9, latitude_deg)), place);
      if (!Number.isFinite(place[0]! + place[1]!)) continue;
      west_u = Math.min(west_u, place[0]!);
      east_u = Math.max(east_u, place[0]!);
      south_u = Math.min(south_u, place[1]!);
      north_u = Math.max(north_u, place[1]!);
    }
  return { west_u, east_u, south_u, north_u };
}

async function lay(mosaic: Mosaic, tiles: readonly Tile[], cache: TileCache<HeightGrid>): Promise<void> {
  for (const tile of tiles) {
    const window = overlap(mosaic.grid, tile.frame);
    if (window === null) continue;
    // Whole tiles are kept under their name; parts of a GeoTIFF under the part as well.
    const part = /\.tiff?$/i.test(tile.file)
      ? `#${window.firstRow},${window.lastRow},${window.firstColumn},${window.lastColumn}`
      : '';
    pasteTile(
      mosaic,
      await cache.get(
        tile.file + part,
        (grid) => grid.height_m.byteLength,
        () => tile.load(window),
      ),
    );
  }
}

/** Fills what is still open from another layer. */
async function fillFromLayer(
  mosaic: Mosaic,
  projection: Projection,
  layer: Layer,
  area: EarthBox,
  cache: TileCache<HeightGrid>,
  files: string[],
): Promise<number> {
  const box = boxOn(layer, area);
  const tiles = await layer.tilesIn(box);
  if (tiles.length === 0) return 0;
  const other = createMosaic(layer.frame, box);
  await lay(other, tiles, cache);
  const earth = new Float64Array(2);
  const filled = fillFrom(mosaic, other.grid, (x_u, y_u, out) => {
    projection.toEarth(x_u, y_u, earth);
    layer.projection.toGrid(earth[0]!, earth[1]!, out);
  });
  if (filled > 0) files.push(...tiles.map((tile) => tile.file));
  return filled;
}

async function notesOf(
  { grid }: Mosaic,
  { missing, voids }: { readonly missing: number; readonly voids: number },
  resampled: number,
  layer: Layer,
  box: Box,
  contents: Contents,
): Promise<string[]> {
  const all = grid.rows * grid.columns;
  const share = (cells: number) => {
    const percent = (100 * cells) / all;
    return `${cells} of ${all} cells (${percent < 0.1 ? 'under 0.1' : percent.toFixed(1)} %)`;
  };
  const notes: string[] = [];
  if (missing > 0) {
    const absent = await layer.absentIn(box);
    const named =
      absent.length === 0 ? '' : `: ${absent.slice(0, 6).join(', ')}${absent.length > 6 ? ' …' : ''} not there`;
    notes.push(`No tile covers ${share(missing)} of the area${named}. Ground there is unknown, not level.`);
  }
  if (voids > 0)
    notes.push(`The tiles have no height for ${share(voids)} of the area: these are left open, not filled.`);
  if (resampled > 0) notes.push(`${share(resampled)} come from tiles of another spacing or projection, interpolated.`);
  for (const { message, place } of contents.passedOver.slice(0, 5))
    notes.push(`${place?.file ?? 'A file'} is passed over: ${message}`);
  return notes;
}

const touches = (area: EarthBox, west_deg: number, south_deg: number) => {
  const turn = 360 * Math.round((area.west_deg - west_deg) / 360);
  return [turn - 360, turn, turn + 360].some(
    (t) =>
      west_deg + t <= area.east_deg &&
      west_deg + t + 1 >= area.west_deg &&
      south_deg <= area.north_deg &&
      south_deg + 1 >= area.south_deg,
  );
};

function outside(name: string, contents: Contents, at: EarthPoint): UserError {
  const place = `${Math.abs(at.latitude_deg).toFixed(5)}° ${at.latitude_deg < 0 ? 'S' : 'N'}, ${Math.abs(at.longitude_deg).toFixed(5)}° ${at.longitude_deg < 0 ? 'W' : 'E'}`;
  const has = contents.extent === '' ? 'has no tile there' : `has ${contents.extent}`;
  const mend = /\.hgt/i.test(contents.extent) ? `; ${hgtName(at.latitude_deg, at.longitude_deg)} would hold it` : '';
  return userError('terrain.outside', `The place ${place} lies outside the terrain, which ${has}${mend}.`, {
    file: name,
  });
}

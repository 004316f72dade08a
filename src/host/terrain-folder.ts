import { open, readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import type { Box, GridFrame } from '../core/terrain/index.ts';
import { overlap, sameLattice } from '../core/terrain/index.ts';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import type { EarthBox } from '../formats/geodesic.ts';
import { type ByteSource, openGeotiff } from '../formats/geotiff.ts';
import { hgtCorner, hgtFrame, hgtName, hgtSide, hgtSizeSentence, readHgt } from '../formats/hgt.ts';
import { type Projection, projectionOf } from '../formats/projection.ts';
import type { HeightEncoding } from '../formats/terrain-png.ts';
import { systemReason } from './files.ts';
import type { BadTile, Contents, Layer, Tile } from './terrain-layer.ts';
import { pngLayers } from './terrain-pyramid.ts';
import { fromZip } from './zip.ts';

/** Largest tile unpacked, with one byte more so that a longer one is seen. */
const MOST_TILE_BYTES = 3601 * 3601 * 2 + 1;
/** Files looked at in one folder. */
const MOST_FILES = 20_000;

export interface FolderOptions {
  /** For files that do not tell their own. */
  readonly projection?: string | undefined;
  readonly encoding?: HeightEncoding | undefined;
}

/** Looks through a folder, or at a single file, without loading heights. Sub-folders are looked into, pyramids z/x/y.png too. */
export async function lookThrough(path: string, options: FolderOptions): Promise<Contents> {
  const tiles: Tile[] = [];
  const badTiles: BadTile[] = [];
  const passedOver: Problem[] = [];
  let files: string[];
  try {
    files = (await stat(path)).isDirectory() ? await listed(path) : [path];
  } catch (error) {
    if (error instanceof UserError) throw error;
    throw userError('terrain.unreadable', `the terrain cannot be read: ${systemReason(error)}`, { file: path });
  }
  for (const file of files) {
    try {
      if (/\.hgt(\.gz|\.zip)?$/i.test(file)) tiles.push(await hgtTile(file, badTiles));
      else if (/\.tiff?$/i.test(file)) tiles.push(await tifTile(file, options.projection));
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      passedOver.push(...error.problems.filter((problem) => problem.code !== 'hgt.known'));
    }
  }
  const layers: Layer[] = [];
  for (const group of grouped(tiles)) {
    try {
      layers.push(layerOf(group));
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      passedOver.push(...error.problems.map((p) => ({ ...p, place: { file: group[0]!.file } })));
    }
  }
  if ((await stat(path)).isDirectory()) layers.push(...(await pngLayers(path, options.encoding)));
  return { layers, badTiles, passedOver, extent: extentOf(tiles, layers) };
}

/** Files of a folder and the folders in it, two deep, but for pyramids, which are found by number. */
async function listed(folder: string, depth = 2): Promise<string[]> {
  const out: string[] = [];
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) {
      if (depth > 0 && !/^\d+$/.test(entry.name)) out.push(...(await listed(path, depth - 1)));
    } else out.push(path);
    if (out.length > MOST_FILES)
      throw userError('terrain.many', `there are more than ${MOST_FILES} files: name a folder of terrain only`, {
        file: folder,
      });
  }
  return out.sort();
}

/** A tile whose heights are read only when wanted. Its spacing is known from its size, packed ones say it in their frame. */
async function hgtTile(file: string, badTiles: BadTile[]): Promise<Tile> {
  const corner = hgtCorner(file);
  if (corner === null)
    throw userError(
      'hgt.name',
      'The name does not tell where the tile lies: it must be like N46E010.hgt, the degrees of its south-western corner.',
      { file },
    );
  const bytes = await unpackedSize(file);
  const side = bytes === null ? null : hgtSide(bytes);
  if (side === null) {
    const message = bytes === null ? 'The archive is damaged or cut off: fetch it again.' : hgtSizeSentence(bytes);
    badTiles.push({ problem: { code: 'hgt.size', message, place: { file } }, ...corner });
    throw userError('hgt.known', message, { file });
  }
  return {
    file,
    frame: hgtFrame(corner, side),
    notes: [],
    load: async () => readHgt(await unpacked(file), file),
  };
}

/** Bytes that a tile has unpacked; null when its packing is broken. */
async function unpackedSize(file: string): Promise<number | null> {
  if (/\.hgt$/i.test(file)) return (await stat(file)).size;
  try {
    if (/\.zip$/i.test(file)) return (await unpacked(file)).length;
    // A gzip file ends with the length of what it holds (RFC 1952, sec. 2.3.1).
    const handle = await open(file);
    try {
      const { size } = await handle.stat();
      const tail = new Uint8Array(4);
      if (size < 20) return null;
      await handle.read(tail, 0, 4, size - 4);
      return new DataView(tail.buffer).getUint32(0, true);
    } finally {
      await handle.close();
    }
  } catch (error) {
    if (error instanceof UserError) return null;
    throw error;
  }
}

async function unpacked(file: string): Promise<Uint8Array> {
  const bytes = await readBytes(file);
  if (/\.zip$/i.test(file)) return fromZip(bytes, (name) => /\.hgt$/i.test(name), MOST_TILE_BYTES, file);
  if (!/\.gz$/i.test(file)) return bytes;
  try {
    return gunzipSync(bytes, { maxOutputLength: MOST_TILE_BYTES });
  } catch {
    throw userError('hgt.packed', 'The gzip file is damaged or cut off: fetch it again.', { file });
  }
}

async function readBytes(file: string): Promise<Uint8Array> {
  try {
    return await readFile(file);
  } catch (error) {
    throw userError('terrain.unreadable', `cannot be read: ${systemReason(error)}`, { file });
  }
}

async function tifTile(file: string, projection: string | undefined): Promise<Tile> {
  const { frame, notes, isResult } = await withFile(file, (source) => openGeotiff(source, file, projection));
  if (isResult)
    throw userError('geotiff.result', 'It is a result that was written here before, not terrain.', { file });
  return {
    file,
    frame,
    notes: notes.map((note) => `${file}: ${note}`),
    load: (window) =>
      withFile(file, async (source) => {
        const opened = await openGeotiff(source, file, projection);
        return opened.read(window);
      }),
  };
}

/** Works on a file that is read piece by piece, and closes it whatever happens. */
async function withFile<T>(file: string, work: (source: ByteSource) => Promise<T>): Promise<T> {
  const handle = await open(file);
  try {
    const { size } = await handle.stat();
    return await work({
      size,
      read: async (offset, length) => {
        const bytes = new Uint8Array(Math.max(0, Math.min(length, size - offset)));
        const { bytesRead } = await handle.read(bytes, 0, bytes.length, offset);
        return bytesRead === bytes.length ? bytes.buffer : bytes.buffer.slice(0, bytesRead);
      },
    });
  } finally {
    await handle.close();
  }
}

function grouped(tiles: readonly Tile[]): Tile[][] {
  const groups: Tile[][] = [];
  for (const tile of tiles) {
    const group = groups.find(([first]) => sameLattice(first!.frame, tile.frame));
    if (group === undefined) groups.push([tile]);
    else group.push(tile);
  }
  return groups;
}

function layerOf(tiles: readonly Tile[]): Layer {
  const frame = tiles[0]!.frame;
  const isHgt = tiles.every((tile) => hgtCorner(tile.file) !== null);
  const tilesIn = async (box: Box) => {
    const target = boxFrame(frame, box);
    return tiles.filter((tile) => overlap(target, tile.frame) !== null);
  };
  const projection = projectionOf(frame.projection);
  return {
    frame,
    projection,
    box: boxOfTiles(tiles, projection),
    tilesIn,
    absentIn: async (box) => {
      if (!isHgt) return [];
      const there = new Set((await tilesIn(box)).map((tile) => nameOf(tile.frame)));
      const absent: string[] = [];
      for (let south = Math.floor(box.south_u); south < Math.min(90, box.north_u); south++)
        for (let west = Math.floor(box.west_u); west < box.east_u; west++) {
          const name = hgtName(south + 0.5, west + 0.5);
          if (!there.has(name)) absent.push(name);
        }
      return absent;
    },
  };
}

/** Box of all tiles on the Earth, from points along their edges. */
function boxOfTiles(tiles: readonly Tile[], projection: Projection): EarthBox {
  const place = new Float64Array(2);
  let [west_deg, south_deg, east_deg, north_deg] = [Infinity, Infinity, -Infinity, -Infinity];
  const SIDES = 4;
  for (const { frame } of tiles)
    for (let i = 0; i <= SIDES; i++)
      for (let k = 0; k <= SIDES; k++) {
        const x_u = frame.west_u + (i / SIDES) * (frame.columns - 1) * frame.stepEast_u;
        const y_u = frame.north_u - (k / SIDES) * (frame.rows - 1) * frame.stepNorth_u;
        projection.toEarth(x_u, y_u, place);
        if (!Number.isFinite(place[0]! + place[1]!)) continue;
        west_deg = Math.min(west_deg, place[0]!);
        east_deg = Math.max(east_deg, place[0]!);
        south_deg = Math.min(south_deg, place[1]!);
        north_deg = Math.max(north_deg, place[1]!);
      }
  return { west_deg, east_deg, south_deg, north_deg };
}

const nameOf = (frame: GridFrame) => hgtName(frame.north_u - 0.5, frame.west_u + 0.5);

/** A frame on the lattice that covers a box. */
function boxFrame(like: GridFrame, box: Box): GridFrame {
  const firstColumn = Math.floor((box.west_u - like.west_u) / like.stepEast_u);
  const firstRow = Math.floor((like.north_u - box.north_u) / like.stepNorth_u);
  return {
    ...like,
    west_u: like.west_u + firstColumn * like.stepEast_u,
    north_u: like.north_u - firstRow * like.stepNorth_u,
    columns: Math.ceil((box.east_u - box.west_u) / like.stepEast_u) + 2,
    rows: Math.ceil((box.north_u - box.south_u) / like.stepNorth_u) + 2,
  };
}

/** What there is, in a few words: names of up to six tiles. */
function extentOf(tiles: readonly Tile[], layers: readonly Layer[]): string {
  const names = tiles.map((tile) => tile.file.replace(/^.*[/\\]/, ''));
  const shown = names.slice(0, 6).join(', ') + (names.length > 6 ? ` and ${names.length - 6} more` : '');
  const pyramids = layers.length > 0 && tiles.length === 0 ? 'tiles by zoom, column and row' : '';
  return shown === '' ? pyramids : shown;
}

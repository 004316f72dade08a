import { createHash } from 'node:crypto';
import { open, readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Box } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import type { EarthBox } from '../formats/geodesic.ts';
import { projectionOf } from '../formats/projection.ts';
import { type HeightEncoding, readTerrainPng, tileFrame, tileSide } from '../formats/terrain-png.ts';
import { systemReason, writeWhole } from './files.ts';
import type { Layer, Tile } from './terrain-layer.ts';

/** Half the girth of the web's Mercator, m. */
const HALF_m = Math.PI * 6_378_137;
/** Tiles that one question may ask a server for. */
const MOST_FETCHED = 400;
const MOST_TILE_BYTES = 4e6;
const PATIENCE_ms = 20_000;
const AT_ONCE = 6;

/** Layers of a folder of tiles z/x/y.png, one a zoom level. */
export async function pngLayers(folder: string, encoding: HeightEncoding | undefined): Promise<Layer[]> {
  const layers: Layer[] = [];
  for (const zoom of await numbersIn(folder)) {
    if (zoom > 22) continue;
    const columns = await numbersIn(join(folder, String(zoom)));
    const side = await firstSide(join(folder, String(zoom)), columns);
    if (side === null) continue;
    layers.push(
      pyramidLayer(
        zoom,
        side,
        async (x, y) => {
          const file = join(folder, String(zoom), String(x), `${y}.png`);
          if (!(await exists(file))) return null;
          return { file, bytes: () => readFile(file) };
        },
        encoding,
        await boxOfColumns(folder, zoom, columns),
      ),
    );
  }
  return layers;
}

/** The layer of a server's tiles at one zoom level, kept in `cache`. A tile that the server does not have is missing. */
export async function urlLayer(
  template: string,
  zoom: number,
  cache: string,
  near: { readonly x: number; readonly y: number },
  encoding: HeightEncoding | undefined,
): Promise<Layer | null> {
  const folder = join(cache, createHash('sha256').update(template).digest('hex').slice(0, 16), String(zoom));
  const fetched = async (x: number, y: number) => {
    const file = join(folder, String(x), `${y}.png`);
    if (!(await exists(file))) {
      const bytes = await fetchTile(addressOf(template, zoom, x, y));
      if (bytes === null) return null;
      // Only what is a tile is kept.
      tileSide(bytes, addressOf(template, zoom, x, y));
      await writeWhole(file, bytes);
    }
    return { file, bytes: () => readFile(file) };
  };
  const first = await fetched(near.x, near.y);
  if (first === null) return null;
  return pyramidLayer(zoom, tileSide(await first.bytes(), first.file), fetched, encoding, null, MOST_FETCHED);
}

const addressOf = (template: string, zoom: number, x: number, y: number) =>
  template.replaceAll('{z}', String(zoom)).replaceAll('{x}', String(x)).replaceAll('{y}', String(y));

/** A tile from a server; null where it has none. */
async function fetchTile(address: string): Promise<Uint8Array | null> {
  const fail = (what: string) =>
    userError(
      'terrain.fetch',
      `The tile ${address} cannot be fetched: ${what}. Tiles that were fetched before are kept.`,
    );
  let response: Response;
  try {
    response = await fetch(address, { signal: AbortSignal.timeout(PATIENCE_ms) });
  } catch (error) {
    const cause = error instanceof Error && error.cause !== undefined ? error.cause : error;
    throw fail(error instanceof Error && error.name === 'TimeoutError' ? 'no answer in 20 s' : systemReason(cause));
  }
  if (response.status === 404 || response.status === 204) {
    await response.body?.cancel();
    return null;
  }
  if (!response.ok) {
    await response.body?.cancel();
    throw fail(`the server answers ${response.status} ${response.statusText}`.trim());
  }
  const parts: Uint8Array[] = [];
  let size = 0;
  try {
    for await (const part of response.body ?? []) {
      size += part.length;
      if (size > MOST_TILE_BYTES) throw fail(`it has more than ${MOST_TILE_BYTES / 1e6} MB`);
      parts.push(part);
    }
  } catch (error) {
    if (error instanceof Error && error.name === 'UserError') throw error;
    throw fail(systemReason(error));
  }
  return Buffer.concat(parts);
}

type Found = { readonly file: string; readonly bytes: () => Promise<Uint8Array> };

function pyramidLayer(
  zoom: number,
  side: number,
  find: (x: number, y: number) => Promise<Found | null>,
  encoding: HeightEncoding | undefined,
  box: EarthBox | null,
  most = Number.POSITIVE_INFINITY,
): Layer {
  const count = 2 ** zoom;
  const tile_m = (2 * HALF_m) / count;
  const frame = tileFrame(zoom, 0, 0, side);
  /** Columns run on beyond the date line. */
  const numbers = (box: Box) => {
    const list: { x: number; y: number }[] = [];
    const half = frame.stepEast_u / 2;
    const lastY = Math.min(count - 1, Math.floor((HALF_m - box.south_u + half) / tile_m));
    for (let y = Math.max(0, Math.floor((HALF_m - box.north_u - half) / tile_m)); y <= lastY; y++)
      for (
        let x = Math.floor((box.west_u + HALF_m - half) / tile_m);
        x <= Math.floor((box.east_u + HALF_m + half) / tile_m);
        x++
      )
        list.push({ x, y });
    if (list.length > most)
      throw userError(
        'terrain.many-tiles',
        `The area takes ${list.length} tiles at zoom ${zoom}, more than ${most} are not fetched at once: choose a smaller radius or a lower zoom.`,
      );
    return list;
  };
  const wrapped = (x: number) => ((x % count) + count) % count;
  return {
    frame,
    projection: projectionOf('EPSG:3857'),
    box,
    tilesIn: async (box) => {
      const wanted = numbers(box);
      const tiles: Tile[] = [];
      for (let i = 0; i < wanted.length; i += AT_ONCE) {
        const some = wanted.slice(i, i + AT_ONCE);
        const found = await Promise.all(some.map(({ x, y }) => find(wrapped(x), y)));
        found.forEach((one, k) => {
          if (one === null) return;
          const { x, y } = some[k]!;
          tiles.push({
            file: one.file,
            frame: tileFrame(zoom, x, y, side),
            notes: [],
            load: async () => {
              const { grid } = readTerrainPng(await one.bytes(), zoom, x, y, one.file, encoding);
              if (grid.rows !== side)
                throw userError(
                  'terrain-png.head',
                  `The tile has ${grid.rows} pixels a side, others of zoom ${zoom} have ${side}: all must be alike.`,
                  { file: one.file },
                );
              return grid;
            },
          });
        });
      }
      return tiles;
    },
    absentIn: async (box) => {
      const absent: string[] = [];
      for (const { x, y } of numbers(box)) {
        if ((await find(wrapped(x), y)) === null) absent.push(`${zoom}/${wrapped(x)}/${y}.png`);
        if (absent.length >= 8) break;
      }
      return absent;
    },
  };
}

/** Where the tiles of a zoom level lie, from the numbers of the first and the last column and of their rows. */
async function boxOfColumns(folder: string, zoom: number, columns: readonly number[]): Promise<EarthBox | null> {
  let [top, bottom] = [Infinity, -Infinity];
  for (const x of columns) {
    const names = await readdir(join(folder, String(zoom), String(x)));
    for (const name of names) {
      const y = /^(\d{1,8})\.png$/i.exec(name)?.[1];
      if (y === undefined) continue;
      top = Math.min(top, Number(y));
      bottom = Math.max(bottom, Number(y));
    }
  }
  const [left, right] = [columns[0], columns[columns.length - 1]];
  if (left === undefined || right === undefined || top > bottom) return null;
  const tile_m = (2 * HALF_m) / 2 ** zoom;
  const corner = new Float64Array(2);
  const { toEarth } = projectionOf('EPSG:3857');
  toEarth(left * tile_m - HALF_m, HALF_m - (bottom + 1) * tile_m, corner);
  const [west_deg, south_deg] = [corner[0]!, corner[1]!];
  toEarth((right + 1) * tile_m - HALF_m, HALF_m - top * tile_m, corner);
  return { west_deg, south_deg, east_deg: corner[0]!, north_deg: corner[1]! };
}

async function numbersIn(folder: string): Promise<number[]> {
  try {
    const names = await readdir(folder);
    return names
      .filter((name) => /^\d{1,8}$/.test(name))
      .map(Number)
      .sort((a, b) => a - b);
  } catch {
    return [];
  }
}

/** Pixels a side of the first tile found. */
async function firstSide(folder: string, columns: readonly number[]): Promise<number | null> {
  for (const x of columns.slice(0, 50)) {
    const names = (await readdir(join(folder, String(x)))).filter((name) => /^\d+\.png$/i.test(name));
    for (const name of names.slice(0, 20)) {
      const file = join(folder, String(x), name);
      const handle = await open(file);
      try {
        const head = new Uint8Array(33);
        const { bytesRead } = await handle.read(head, 0, 33, 0);
        return tileSide(head.subarray(0, bytesRead), file);
      } catch (error) {
        if (!(error instanceof Error && error.name === 'UserError')) throw error;
      } finally {
        await handle.close();
      }
    }
  }
  return null;
}

async function exists(file: string): Promise<boolean> {
  try {
    return (await stat(file)).isFile();
  } catch {
    return false;
  }
}

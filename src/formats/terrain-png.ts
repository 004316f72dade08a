import { decode } from 'fast-png';
import type { GridFrame, HeightGrid } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';

/**
 * How a tile of open terrain tiles holds heights in its colours, both published: `tenths`, h = -10000 + 0.1 (65536 R + 256 G + B),
 * with 0 for void; `offset`, h = 256 R + G + B/256 - 32768.
 */
export type HeightEncoding = 'tenths' | 'offset';

/** Radius of the sphere of the web's Mercator, m (EPSG:3857). */
const MERCATOR_RADIUS_m = 6_378_137;
const HALF_m = Math.PI * MERCATOR_RADIUS_m;
/** Pixels along a side of a tile. */
const FEWEST = 64;
const MOST = 1024;
/** The letters IEND. */
const END_CHUNK = 0x49454e44;
const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

/** Column or row of tiles at a zoom level that holds a place; fractions tell where in the tile. */
export function tileOf(latitude_deg: number, longitude_deg: number, zoom: number): { x: number; y: number } {
  const n = 2 ** zoom;
  const sine = Math.sin((latitude_deg * Math.PI) / 180);
  return {
    x: n * (longitude_deg / 360 + 0.5),
    y: n * (0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI)),
  };
}

/** How a tile of `side` pixels lies: on the web's Mercator grid, cells are areas. */
export function tileFrame(zoom: number, x: number, y: number, side: number): GridFrame {
  const tile_m = (2 * HALF_m) / 2 ** zoom;
  const step_m = tile_m / side;
  return {
    kind: 'projected',
    projection: 'EPSG:3857',
    rows: side,
    columns: side,
    west_u: -HALF_m + x * tile_m + step_m / 2,
    north_u: HALF_m - y * tile_m - step_m / 2,
    stepEast_u: step_m,
    stepNorth_u: step_m,
    pixelIs: 'area',
  };
}

/** Side of a tile in pixels, from the head of the file. */
export function tileSide(bytes: Uint8Array, file: string): number {
  const fail = (what: string) => userError('terrain-png.head', `${what} Fetch the tile again.`, { file });
  if (bytes.length < 33 || SIGNATURE.some((byte, i) => bytes[i] !== byte))
    throw fail(
      bytes.length === 0 ? 'The file is empty.' : 'The file is no PNG picture; a server may have sent a page instead.',
    );
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const width = view.getUint32(16);
  const height = view.getUint32(20);
  if (width !== height || width < FEWEST || width > MOST)
    throw fail(`The tile has ${width} x ${height} pixels: it must be square, with ${FEWEST} to ${MOST} a side.`);
  return width;
}

/**
 * Reads a tile. Heights in metres; transparent pixels, and black ones in `tenths`, are void. Without `encoding` it is told from the
 * colours: ground on Earth has a red of 0 to 2 in one and of 116 to 163 in the other.
 *
 * @throws UserError `terrain-png.head`, `.damaged`, `.colours` or `.encoding`
 */
export function readTerrainPng(
  bytes: Uint8Array,
  zoom: number,
  x: number,
  y: number,
  file: string,
  encoding?: HeightEncoding,
): { readonly grid: HeightGrid; readonly encoding: HeightEncoding } {
  const side = tileSide(bytes, file);
  if (!isWhole(bytes))
    throw userError('terrain-png.damaged', 'The picture is damaged or cut off before its end: fetch it again.', {
      file,
    });
  let picture: ReturnType<typeof decode>;
  try {
    picture = decode(bytes, { checkCrc: true });
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw userError('terrain-png.damaged', `The picture is damaged or cut off (${reason}): fetch it again.`, { file });
  }
  const { data, channels } = picture;
  if (picture.depth !== 8 || (channels !== 3 && channels !== 4) || picture.palette !== undefined)
    throw userError(
      'terrain-png.colours',
      `The picture has ${channels} channels of ${picture.depth} bits: heights stand in three of 8 bits, red, green and blue.`,
      { file },
    );
  if (data.length < side * side * channels)
    throw userError('terrain-png.damaged', 'The picture is cut off: fetch it again.', { file });
  const used = encoding ?? encodingOf(data, channels);
  if (used === null)
    throw userError(
      'terrain-png.encoding',
      'The colours are heights in neither of the two published encodings: is it a picture of the map, not of its heights?',
      { file },
    );
  const height_m = new Float32Array(side * side);
  for (let k = 0, at = 0; k < height_m.length; k++, at += channels) {
    const red = data[at]!;
    const green = data[at + 1]!;
    const blue = data[at + 2]!;
    const empty = (channels === 4 && data[at + 3] === 0) || (used === 'tenths' && (red | green | blue) === 0);
    if (empty) height_m[k] = Number.NaN;
    else
      height_m[k] =
        used === 'tenths' ? -10000 + (65536 * red + 256 * green + blue) / 10 : 256 * red + green + blue / 256 - 32768;
  }
  return { grid: { ...tileFrame(zoom, x, y, side), height_m }, encoding: used };
}

/** Whether the chunks follow each other up to the one that ends a picture (PNG, third edition, sec. 5.3); the library fills up what is cut off. */
function isWhole(bytes: Uint8Array): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = SIGNATURE.length; at + 12 <= bytes.length; at += 12 + view.getUint32(at)) {
    if (view.getUint32(at + 4) === END_CHUNK) return true;
  }
  return false;
}

/** The encoding in which nine tenths of the pixels are heights on Earth. */
function encodingOf(data: ArrayLike<number>, channels: number): HeightEncoding | null {
  let tenths = 0;
  let offset = 0;
  let all = 0;
  for (let at = 0; at < data.length; at += channels) {
    const red = data[at]!;
    if (red <= 2) tenths++;
    else if (red >= 116 && red <= 163) offset++;
    all++;
  }
  if (tenths >= 0.9 * all) return 'tenths';
  return offset >= 0.9 * all ? 'offset' : null;
}

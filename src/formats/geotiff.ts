import GeoTIFF, { type GeoTIFFImage } from 'geotiff';
import type { GridFrame, HeightGrid } from '../core/terrain/index.ts';
import { frameFault } from '../core/terrain/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { readWindow, type Window } from './geotiff-window.ts';
import { RESULT_MARK } from './geotiff-writer.ts';
import { isGeographic } from './projection.ts';

/** Bytes that can be read from anywhere. Reading past the end gives what there is. */
export interface ByteSource {
  readonly size: number;
  read(offset: number, length: number): Promise<ArrayBuffer>;
}

export interface GeotiffTerrain {
  readonly frame: GridFrame;
  /** What the reader took for granted, in words. */
  readonly notes: readonly string[];
  /** Written by `writeGeotiff` as a result: its values are no heights. */
  readonly isResult: boolean;
  /** Heights of a part of the file, or of all; only the blocks that it touches are read. */
  read(window?: Window): Promise<HeightGrid>;
}

/** Largest block that is decoded at once. */
const MOST_BLOCK_BYTES = 512e6;
const METRES_PER_FOOT: Readonly<Record<number, number>> = { 9002: 0.3048, 9003: 1200 / 3937 };

/** A file held in memory. */
export function bufferSource(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read: async (offset, length) => {
      const from = Math.min(offset, bytes.length);
      // A copy of its own: a view of a larger buffer would bring all of that along.
      return new Uint8Array(bytes.subarray(from, Math.min(bytes.length, from + length))).buffer;
    },
  };
}

/**
 * Opens a GeoTIFF of heights: integers or floating point, tiled or in strips, compressed or not, on a geographic or projected grid
 * with north up. Heights in metres, or in feet where the file says so. The first band counts. Void: the file's own value, NaN, and
 * what is no height on Earth. `projection` stands in where the file does not tell its own or not by a known number.
 *
 * @throws UserError `geotiff.…`, naming the file
 */
export async function openGeotiff(source: ByteSource, file: string, projection?: string): Promise<GeotiffTerrain> {
  return told(file, async () => {
    const tiff = await GeoTIFF.fromSource(libSource(source) as never);
    const image = await tiff.getImage(0);
    const notes: string[] = [];
    checkSize(image, source, file);
    const placed = await placeOf(image, file, projection, notes);
    const voidValue = await voidOf(image);
    const unit_m = METRES_PER_FOOT[Number(image.getGeoKeys()?.VerticalUnitsGeoKey)] ?? 1;
    if (unit_m !== 1) notes.push('Its heights are in feet: they are turned into metres.');
    if (image.getSamplesPerPixel() > 1)
      notes.push(`It has ${image.getSamplesPerPixel()} bands: the first is taken for the heights.`);
    const { frame, southUp } = placed;
    return {
      frame,
      notes,
      isResult: await isResult(image),
      read: (window) => told(file, () => readWindow(image, { frame, southUp, voidValue, unit_m, file }, window)),
    };
  });
}

/** What the library asks of a source; checked so that a damaged file cannot ask for more memory than it has bytes. */
function libSource(source: ByteSource) {
  const one = async ({ offset, length }: { offset: number; length: number }) => {
    if (!(offset >= 0 && length >= 0) || offset > source.size)
      throw new Error(`it points to byte ${offset} of ${source.size}`);
    return source.read(offset, Math.min(length, source.size - offset));
  };
  return {
    fileSize: source.size,
    fetch: (slices: { offset: number; length: number }[]) => Promise.all(slices.map(one)),
    fetchSlice: async (slice: { offset: number; length: number }) => ({ ...slice, data: await one(slice) }),
    close: async () => undefined,
  };
}

/** Runs the library and turns what it throws at a damaged file into a sentence. */
async function told<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof UserError) throw error;
    const reason = error instanceof Error ? error.message : String(error);
    throw userError(
      'geotiff.damaged',
      `The file is no GeoTIFF, damaged or cut off (${reason.replace(/[.\s]+$/, '').slice(0, 160)}): fetch it again.`,
      { file },
    );
  }
}

/** Checks what the library takes on trust: a damaged head could make it count blocks without end. */
function checkSize(image: GeoTIFFImage, source: ByteSource, file: string): void {
  const [width, height] = [image.getWidth(), image.getHeight()];
  const [blockWidth, blockHeight] = [image.getTileWidth(), image.getTileHeight()];
  const bytes = image.getBytesPerPixel();
  const fail = (what: string) => userError('geotiff.size', what, { file });
  const isCount = (n: number, most: number) => Number.isInteger(n) && n >= 1 && n <= most;
  if (!(isCount(width, 1e6) && isCount(height, 1e6) && width >= 2 && height >= 2))
    throw fail(`The grid has ${width} x ${height} cells: 2 to a million each way are read.`);
  if (!(isCount(blockWidth, 1e6) && isCount(blockHeight, 2 ** 32) && isCount(bytes, 1024)))
    throw fail(`Its blocks of ${blockWidth} x ${blockHeight} cells of ${bytes} bytes cannot be: fetch the file again.`);
  const block = blockWidth * Math.min(blockHeight, height) * bytes;
  if (block > MOST_BLOCK_BYTES)
    throw fail(`The file is stored in blocks of ${(block / 1e6).toFixed(0)} MB: write it anew in tiles of 512 x 512.`);
  // The file lists the place and the size of each block.
  if (Math.ceil(width / blockWidth) * Math.ceil(height / blockHeight) > source.size / 2)
    throw fail('The file is too short for its own list of blocks: fetch it again.');
}

async function placeOf(
  image: GeoTIFFImage,
  file: string,
  given: string | undefined,
  notes: string[],
): Promise<{ frame: GridFrame; southUp: boolean }> {
  const directory = image.fileDirectory;
  const list = async (tag: 'ModelTiepoint' | 'ModelPixelScale' | 'ModelTransformation') =>
    directory.hasTag(tag) ? Array.from((await directory.loadValue(tag)) as ArrayLike<number>) : undefined;
  const tie = await list('ModelTiepoint');
  const scale = await list('ModelPixelScale');
  const matrix = await list('ModelTransformation');
  let corner: readonly [number, number];
  let step: readonly [number, number];
  if (matrix !== undefined && matrix.length >= 16) {
    if (matrix[1] !== 0 || matrix[4] !== 0)
      throw userError('geotiff.turned', 'The grid is turned against north: write it anew with north up.', { file });
    corner = [matrix[3]!, matrix[7]!];
    step = [matrix[0]!, -matrix[5]!];
  } else if (tie !== undefined && scale !== undefined && tie.length >= 6 && scale.length >= 2) {
    step = [scale[0]!, scale[1]!];
    corner = [tie[3]! - tie[0]! * step[0], tie[4]! + tie[1]! * step[1]];
  } else
    throw userError('geotiff.place', 'The file does not tell where its cells lie (no tie point and scale).', { file });

  const keys = image.getGeoKeys();
  const pixelIs = keys?.GTRasterTypeGeoKey === 2 ? 'point' : 'area';
  const southUp = step[1] < 0;
  const rows = image.getHeight();
  const stepNorth_u = Math.abs(step[1]);
  const half = pixelIs === 'area' ? 0.5 : 0;
  const firstRow_u = corner[1] - half * step[1];
  const frame: GridFrame = {
    ...systemOf(keys, file, given, notes),
    rows,
    columns: image.getWidth(),
    west_u: corner[0] + half * step[0],
    north_u: southUp ? firstRow_u + (rows - 1) * stepNorth_u : firstRow_u,
    stepEast_u: step[0],
    stepNorth_u,
    pixelIs,
  };
  const fault = frameFault(frame);
  if (fault !== null) throw userError('geotiff.place', `The grid cannot be placed: ${fault}.`, { file });
  return { frame, southUp };
}

/** The coordinate system that the file's keys tell. */
function systemOf(
  keys: ReturnType<GeoTIFFImage['getGeoKeys']>,
  file: string,
  given: string | undefined,
  notes: string[],
): Pick<GridFrame, 'kind' | 'projection'> {
  const model = Number(keys?.GTModelTypeGeoKey ?? 0);
  const code = Number(keys?.ProjectedCSTypeGeoKey ?? 0);
  if (model === 2) {
    const datum = Number(keys?.GeographicTypeGeoKey ?? 4326);
    if (!isGeographic(`EPSG:${datum}`))
      notes.push(`Its datum (EPSG:${datum}) is taken for WGS 84, from which it may lie some hundred metres off.`);
    return { kind: 'geographic', projection: null };
  }
  const unit = Number(keys?.ProjLinearUnitsGeoKey ?? 9001);
  if (model === 1 && unit in METRES_PER_FOOT)
    throw userError('geotiff.unit', 'The coordinates are in feet: write the file anew in metres.', { file });
  if (model === 1 && code > 0 && code < 32767 && given === undefined)
    return { kind: 'projected', projection: `EPSG:${code}` };
  if (given !== undefined)
    return isGeographic(given) ? { kind: 'geographic', projection: null } : { kind: 'projected', projection: given };
  throw userError(
    'geotiff.system',
    'The file does not tell its coordinate system by number: give it with --terrain-projection, EPSG:32632 or +proj=….',
    { file },
  );
}

async function isResult(image: GeoTIFFImage): Promise<boolean> {
  if (!image.fileDirectory.hasTag('ImageDescription')) return false;
  return String(await image.fileDirectory.loadValue('ImageDescription')).startsWith(RESULT_MARK);
}

async function voidOf(image: GeoTIFFImage): Promise<number | null> {
  if (!image.fileDirectory.hasTag('GDAL_NODATA')) return null;
  const text = String(await image.fileDirectory.loadValue('GDAL_NODATA'))
    .replace(/\0/g, '')
    .trim();
  return text === '' || Number.isNaN(Number(text)) ? null : Number(text);
}

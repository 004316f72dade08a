import type { GeoTIFFImage } from 'geotiff';
import type { GridFrame, HeightGrid } from '../core/terrain/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { blockDecoder } from './tiff-blocks.ts';

/** Rows and columns, last ones included. */
export interface Window {
  readonly firstRow: number;
  readonly lastRow: number;
  readonly firstColumn: number;
  readonly lastColumn: number;
}

/** What is known of a file when its heights are read. */
export interface OpenedTiff {
  readonly frame: GridFrame;
  /** Rows of the file run north. */
  readonly southUp: boolean;
  readonly voidValue: number | null;
  /** Metres in its unit of height. */
  readonly unit_m: number;
  readonly file: string;
}

/** Ground outside these heights is none, m: the lowest land lies at -430, the highest at 8850. */
const LOWEST_m = -1000;
const HIGHEST_m = 9500;
const MOST_CELLS = 128e6;

/** Heights of a part of a file; blocks outside it are not read. The library finds and unpacks the blocks, their values are taken here. */
export async function readWindow(image: GeoTIFFImage, opened: OpenedTiff, window?: Window): Promise<HeightGrid> {
  const { frame, southUp, voidValue, unit_m, file } = opened;
  const whole = { firstRow: 0, lastRow: frame.rows - 1, firstColumn: 0, lastColumn: frame.columns - 1 };
  const { firstRow, lastRow, firstColumn, lastColumn } = window ?? whole;
  const rows = lastRow - firstRow + 1;
  const columns = lastColumn - firstColumn + 1;
  if (
    !(
      rows > 0 &&
      columns > 0 &&
      firstRow >= 0 &&
      firstColumn >= 0 &&
      lastRow < frame.rows &&
      lastColumn < frame.columns
    )
  )
    throw new UserError({ code: 'geotiff.window', message: 'The part wanted lies outside the grid.', place: { file } });
  if (rows * columns > MOST_CELLS)
    throw userError('geotiff.large', `${columns} x ${rows} cells are too many at once: choose a smaller area.`, {
      file,
    });

  const decoder = await blockDecoder(image, file);
  const values = valuesOf(image, file);
  const height_m = new Float32Array(rows * columns).fill(Number.NaN);
  // A float32 file holds its void as float32, however many digits the text has.
  const empty = voidValue === null ? Number.NaN : values.round(voidValue);
  const blockWidth = image.getTileWidth();
  const blockHeight = image.getTileHeight();
  const samples = image.planarConfiguration === 2 ? 1 : image.getSamplesPerPixel();
  // From here on rows count as the file has them.
  const top = southUp ? frame.rows - 1 - lastRow : firstRow;
  for (let by = Math.floor(top / blockHeight); by * blockHeight < top + rows; by++) {
    for (let bx = Math.floor(firstColumn / blockWidth); bx * blockWidth <= lastColumn; bx++) {
      const block = values.of((await image.getTileOrStrip(bx, by, 0, decoder as never)).data);
      const fromRow = Math.max(top, by * blockHeight);
      const toRow = Math.min(top + rows, (by + 1) * blockHeight);
      const fromColumn = Math.max(firstColumn, bx * blockWidth);
      const width = Math.min(lastColumn + 1, (bx + 1) * blockWidth) - fromColumn;
      for (let r = fromRow; r < toRow; r++) {
        let from = ((r - by * blockHeight) * blockWidth + fromColumn - bx * blockWidth) * samples;
        if (from + (width - 1) * samples >= block.length) throw new Error('a block is shorter than its cells');
        const line = southUp ? rows - 1 - (r - top) : r - top;
        const to = line * columns + fromColumn - firstColumn;
        for (let c = 0; c < width; c++, from += samples) {
          const value = block[from]!;
          const h = value * unit_m;
          if (value !== empty && h >= LOWEST_m && h <= HIGHEST_m) height_m[to + c] = h;
        }
      }
    }
  }
  return {
    ...frame,
    rows,
    columns,
    west_u: frame.west_u + firstColumn * frame.stepEast_u,
    north_u: frame.north_u - firstRow * frame.stepNorth_u,
    height_m,
  };
}

type Values = ArrayLike<number>;
interface ValueKind {
  of(data: ArrayBufferLike): Values;
  /** A number as a file of this kind would hold it. */
  round(value: number): number;
}

/** Sample formats of TIFF: 1 whole, 2 whole with sign, 3 floating point; all of a whole number of bytes. */
const KINDS = {
  '1-8': Uint8Array,
  '1-16': Uint16Array,
  '1-32': Uint32Array,
  '2-8': Int8Array,
  '2-16': Int16Array,
  '2-32': Int32Array,
  '3-32': Float32Array,
  '3-64': Float64Array,
} as const;

/** How the bytes of a block become numbers. */
function valuesOf(image: GeoTIFFImage, file: string): ValueKind {
  const format = image.getSampleFormat(0);
  const bits = image.getBitsPerSample(0);
  const Kind = KINDS[`${format}-${bits}` as keyof typeof KINDS];
  if (Kind === undefined)
    throw userError(
      'geotiff.kind',
      `Its values have ${bits} bits of kind ${format}: whole numbers of 8, 16 or 32 bits and floating point of 32 or 64 are read.`,
      { file },
    );
  const size = Kind.BYTES_PER_ELEMENT;
  return {
    of: (data) => {
      const bytes = new Uint8Array(data);
      // Every machine that Node runs on here is little-endian; a block belongs to this call and is turned in place.
      if (!image.littleEndian && size > 1) turnBytes(bytes, size);
      return new Kind(data as ArrayBuffer, 0, Math.floor(bytes.length / size));
    },
    round: (value) => (Kind === Float32Array ? Math.fround(value) : value),
  };
}

function turnBytes(bytes: Uint8Array, size: number): void {
  for (let at = 0; at + size <= bytes.length; at += size) bytes.subarray(at, at + size).reverse();
}

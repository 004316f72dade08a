import type { GridFrame } from '../core/terrain/index.ts';

/** Rows of a raster that are stored together. */
const ROWS_PER_STRIP = 64;
const TYPE = { short: 3, long: 4, ascii: 2, double: 12 } as const;
const SIZE: Readonly<Record<number, number>> = { 2: 1, 3: 2, 4: 4, 12: 8 };

interface Tag {
  readonly id: number;
  readonly type: number;
  readonly values: readonly number[];
}

/**
 * What a raster says of itself where it is no terrain: such a file is passed over when it lies among tiles of heights.
 */
export const RESULT_MARK = 'sunperch: a result, not heights';

/**
 * Writes one band as GeoTIFF on a grid's own cells: bytes packed by run length (PackBits), floating point plain. A geographic
 * grid is written as EPSG:4326, a projected one by its EPSG number, or with its definition as citation. `noData` is the value that stands for none.
 *
 * Source: TIFF 6.0 (1992), sec. 2 and 9; OGC 19-008r4 GeoTIFF 1.1, sec. 7. Checked by reading back with a general library and with GDAL.
 */
export function writeGeotiff(
  frame: GridFrame,
  values: Uint8Array | Float32Array,
  noData?: number,
  content: 'heights' | 'result' = 'result',
): Uint8Array {
  const { rows, columns } = frame;
  if (values.length !== rows * columns)
    throw new RangeError(`${values.length} values for a grid of ${rows} x ${columns}`);
  const strips: Uint8Array[] = [];
  for (let row = 0; row < rows; row += ROWS_PER_STRIP) {
    const end = Math.min(rows, row + ROWS_PER_STRIP);
    strips.push(
      values instanceof Uint8Array ? packRows(values, columns, row, end) : plainRows(values, columns, row, end),
    );
  }
  const isByte = values instanceof Uint8Array;
  const half = frame.pixelIs === 'area' ? 0.5 : 0;
  const { keys, citation } = geoKeys(frame);
  const long = (id: number, ...list: number[]): Tag => ({ id, type: TYPE.long, values: list });
  const short = (id: number, ...list: number[]): Tag => ({ id, type: TYPE.short, values: list });
  const text = (id: number, list: string): Tag => ({
    id,
    type: TYPE.ascii,
    values: [...`${list}\0`].map((sign) => sign.charCodeAt(0) & 127),
  });
  const tags: Tag[] = [
    long(256, columns),
    long(257, rows),
    short(258, isByte ? 8 : 32),
    short(259, isByte ? 32773 : 1),
    short(262, 1), // black is zero
    ...(content === 'result' ? [text(270, RESULT_MARK)] : []),
    long(273, ...strips.map(() => 0)), // filled in below
    short(277, 1),
    long(278, ROWS_PER_STRIP),
    long(279, ...strips.map((strip) => strip.length)),
    short(339, isByte ? 1 : 3),
    { id: 33550, type: TYPE.double, values: [frame.stepEast_u, frame.stepNorth_u, 0] },
    {
      id: 33922,
      type: TYPE.double,
      values: [0, 0, 0, frame.west_u - half * frame.stepEast_u, frame.north_u + half * frame.stepNorth_u, 0],
    },
    short(34735, ...keys),
    ...(citation === '' ? [] : [text(34737, citation)]),
    ...(noData === undefined ? [] : [text(42113, Number.isNaN(noData) ? 'nan' : String(noData))]),
  ];
  return assemble(tags, strips);
}

/** Key directory (OGC 19-008r4, sec. 7.1.2): version, count, then key, place, count and value of each. */
function geoKeys(frame: GridFrame): { keys: number[]; citation: string } {
  const raster = [1025, 0, 1, frame.pixelIs === 'area' ? 1 : 2];
  if (frame.kind === 'geographic')
    return { keys: [1, 1, 0, 3, 1024, 0, 1, 2, ...raster, 2048, 0, 1, 4326], citation: '' };
  const code = Number(/^EPSG:(\d+)$/i.exec(frame.projection ?? '')?.[1] ?? Number.NaN);
  if (code > 0 && code < 32767)
    return { keys: [1, 1, 0, 4, 1024, 0, 1, 1, ...raster, 3072, 0, 1, code, 3076, 0, 1, 9001], citation: '' };
  const citation = `${frame.projection ?? ''}|`;
  return {
    keys: [1, 1, 0, 5, 1024, 0, 1, 1, ...raster, 3072, 0, 1, 32767, 3073, 34737, citation.length, 0, 3076, 0, 1, 9001],
    citation,
  };
}

/** Head, directory, long values, strips; little-endian. */
function assemble(tags: readonly Tag[], strips: readonly Uint8Array[]): Uint8Array {
  const directory = 8;
  let extra = directory + 2 + 12 * tags.length + 4;
  const places = tags.map(({ type, values }) => {
    const size = SIZE[type]! * values.length;
    if (size <= 4) return null;
    const at = extra;
    extra += size + (size & 1);
    return at;
  });
  const total = strips.reduce((sum, strip) => sum + strip.length, extra);
  const bytes = new Uint8Array(total);
  const view = new DataView(bytes.buffer);
  view.setUint16(0, 0x4949);
  view.setUint16(2, 42, true);
  view.setUint32(4, directory, true);
  view.setUint16(directory, tags.length, true);
  let at = extra;
  const offsets = strips.map((strip) => {
    bytes.set(strip, at);
    at += strip.length;
    return at - strip.length;
  });
  tags.forEach((tag, i) => {
    const head = directory + 2 + 12 * i;
    const values = tag.id === 273 ? offsets : tag.values;
    view.setUint16(head, tag.id, true);
    view.setUint16(head + 2, tag.type, true);
    view.setUint32(head + 4, values.length, true);
    const place = places[i] ?? null;
    if (place !== null) view.setUint32(head + 8, place, true);
    values.forEach((value, k) => {
      put(view, tag.type, (place ?? head + 8) + k * SIZE[tag.type]!, value);
    });
  });
  return bytes;
}

function put(view: DataView, type: number, at: number, value: number): void {
  if (type === TYPE.ascii) view.setUint8(at, value);
  else if (type === TYPE.short) view.setUint16(at, value, true);
  else if (type === TYPE.long) view.setUint32(at, value, true);
  else view.setFloat64(at, value, true);
}

function plainRows(values: Float32Array, columns: number, from: number, to: number): Uint8Array {
  const strip = new Uint8Array((to - from) * columns * 4);
  const view = new DataView(strip.buffer);
  for (let k = from * columns, at = 0; k < to * columns; k++, at += 4) view.setFloat32(at, values[k]!, true);
  return strip;
}

/** PackBits (TIFF 6.0, sec. 9): each row by itself, runs of up to 128 alike or unlike bytes. */
function packRows(values: Uint8Array, columns: number, from: number, to: number): Uint8Array {
  const room = new Uint8Array((to - from) * (columns + Math.ceil(columns / 128)));
  let size = 0;
  for (let row = from; row < to; row++) {
    const end = (row + 1) * columns;
    let k = row * columns;
    while (k < end) {
      let run = 1;
      while (run < 128 && k + run < end && values[k + run] === values[k]) run++;
      if (run >= 3 || k + run === end) {
        if (run === 1) room[size++] = 0;
        else room[size++] = 257 - run;
        room[size++] = values[k]!;
        k += run;
        continue;
      }
      // Unlike bytes, up to where three alike begin.
      const start = k;
      while (k < end && k - start < 128) {
        if (k + 2 < end && values[k] === values[k + 1] && values[k] === values[k + 2]) break;
        k++;
      }
      room[size++] = k - start - 1;
      for (let i = start; i < k; i++) room[size++] = values[i]!;
    }
  }
  return room.slice(0, size);
}

import { BaseDecoder, type GeoTIFFImage, getDecoder } from 'geotiff';
import { userError } from '../core/units/index.ts';

/** What is known of a block before it is unpacked (the library's own type has the same fields). */
interface BlockShape {
  readonly tileWidth: number;
  readonly tileHeight: number;
  readonly bitsPerSample: number | ArrayLike<number>;
  readonly planarConfiguration: number;
  readonly predictor: number;
}

/** More than `openGeotiff` lets pass, which cuts strips to the height of the grid. */
const MOST_BYTES = 1e9;
const LZW = 5;
const PACK_BITS = 32773;
/**
 * Kinds of packing that are read: none, LZW, Deflate (two numbers), PackBits. The library's Zstandard hangs on damaged files, and pictures'
 * packings lose heights.
 */
const KNOWN = new Set([1, LZW, 8, 32946, PACK_BITS]);

/**
 * Unpacker of a TIFF's blocks for the library. LZW and PackBits are our own, held to the size of the block: the library's run
 * on without end on some damaged files.
 */
export async function blockDecoder(image: GeoTIFFImage, file: string) {
  const tag = async (name: 'Compression' | 'Predictor' | 'BitsPerSample', usual: number) =>
    image.fileDirectory.hasTag(name) ? ((await image.fileDirectory.loadValue(name)) as number) : usual;
  const kind = await tag('Compression', 1);
  const shape: BlockShape = {
    tileWidth: image.getTileWidth(),
    tileHeight: Math.min(image.getTileHeight(), image.getHeight()),
    bitsPerSample: await tag('BitsPerSample', 1),
    planarConfiguration: image.planarConfiguration,
    predictor: await tag('Predictor', 1),
  };
  if (!KNOWN.has(kind))
    throw userError(
      'geotiff.packing',
      `The file is packed by method ${kind} of TIFF, which is not read: write it anew with Deflate or LZW.`,
      { file },
    );
  if (kind === LZW) return new BoundedDecoder(shape, unpackLzw);
  if (kind === PACK_BITS) return new BoundedDecoder(shape, unpackBits);
  return getDecoder(kind, shape as never);
}

type Unpack = (packed: Uint8Array, out: Uint8Array) => number;

/** Unpacks into no more bytes than the block has; the library's base class then undoes the predictor. */
class BoundedDecoder extends BaseDecoder {
  private readonly bytes: number;
  private readonly unpack: Unpack;

  constructor(shape: BlockShape, unpack: Unpack) {
    super(shape as never);
    const bits = typeof shape.bitsPerSample === 'number' ? [shape.bitsPerSample] : Array.from(shape.bitsPerSample);
    this.bytes = Math.ceil((shape.tileWidth * shape.tileHeight * bits.reduce((sum, b) => sum + b, 0)) / 8);
    this.unpack = unpack;
  }

  override decodeBlock(buffer: ArrayBufferLike): ArrayBufferLike {
    if (!(this.bytes <= MOST_BYTES)) throw new Error(`a block of ${this.bytes} bytes is too large`);
    const out = new Uint8Array(this.bytes);
    const size = this.unpack(new Uint8Array(buffer), out);
    // The last strip of a file is shorter than the others.
    return size === out.length ? out.buffer : out.buffer.slice(0, size);
  }
}

/**
 * TIFF's LZW (TIFF 6.0, sec. 13): codes of 9 to 12 bits, highest bit first; 256 clears the table, 257 ends. Returns the bytes
 * written; stops when `out` is full.
 */
export function unpackLzw(packed: Uint8Array, out: Uint8Array): number {
  // Each entry is an earlier entry and one byte more.
  const before = new Uint16Array(4096);
  const last = new Uint8Array(4096);
  const length = new Uint16Array(4096);
  for (let i = 0; i < 256; i++) {
    last[i] = i;
    length[i] = 1;
  }
  let next = 258;
  let width = 9;
  let previous = -1;
  let size = 0;
  let bits = 0;
  let held = 0;
  for (let at = 0; size < out.length; ) {
    while (held < width && at < packed.length) {
      bits = ((bits << 8) | packed[at++]!) & 0xffffff;
      held += 8;
    }
    if (held < width) break;
    held -= width;
    const code = (bits >>> held) & ((1 << width) - 1);
    if (code === 257) break;
    if (code === 256) {
      next = 258;
      width = 9;
      previous = -1;
      continue;
    }
    if (code > next || (code >= 256 && previous < 0) || (code === next && next > 4095))
      throw new Error('a code of its packing is wrong');
    // A code that is not in the table yet means the previous string and its own first byte.
    const source = code < next ? code : previous;
    const copied = length[source]!;
    const end = size + copied;
    for (let i = end - 1, entry = source; i >= size; i--, entry = before[entry]!) {
      if (i < out.length) out[i] = last[entry]!;
    }
    const first = firstOf(source, before);
    if (code === next && end < out.length) out[end] = first;
    size = Math.min(out.length, code === next ? end + 1 : end);
    if (previous >= 0 && next < 4096) {
      before[next] = previous;
      last[next] = first;
      length[next] = length[previous]! + 1;
      next++;
    }
    // The width grows one code early.
    if (next >= (1 << width) - 1 && width < 12) width++;
    previous = code;
  }
  return size;
}

/** First byte of an entry's string; entries point to earlier ones only, so this ends. */
function firstOf(entry: number, before: Uint16Array): number {
  let at = entry;
  while (at >= 258) at = before[at]!;
  return at;
}

/** PackBits (TIFF 6.0, sec. 9). Returns the bytes written; stops when `out` is full or the input ends. */
export function unpackBits(packed: Uint8Array, out: Uint8Array): number {
  let size = 0;
  for (let at = 0; at < packed.length && size < out.length; ) {
    const head = packed[at++]!;
    if (head === 128) continue;
    if (head > 128) {
      const end = Math.min(out.length, size + 257 - head);
      out.fill(packed[at++] ?? 0, size, end);
      size = end;
    } else {
      const count = Math.min(head + 1, packed.length - at, out.length - size);
      out.set(packed.subarray(at, at + count), size);
      at += head + 1;
      size += count;
    }
  }
  return size;
}

import { inflateRawSync } from 'node:zlib';
import { userError } from '../core/units/index.ts';

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;

/**
 * The first file of a zip archive whose name passes, unpacked, at most `most` bytes; stored and deflated files only.
 * Source: PKWARE APPNOTE 6.3, sec. 4.3. Throws UserError `zip.…`.
 */
export function fromZip(bytes: Uint8Array, passes: (name: string) => boolean, most: number, file: string): Uint8Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const damaged = () => userError('zip.damaged', 'The zip archive is damaged or cut off: fetch it again.', { file });
  try {
    // The end record stands last, before a comment of at most 64 kB.
    let end = bytes.length - 22;
    const first = Math.max(0, end - 65535);
    while (end >= first && view.getUint32(end, true) !== END) end--;
    if (end < first) throw damaged();
    const count = view.getUint16(end + 10, true);
    let at = view.getUint32(end + 16, true);
    for (let i = 0; i < count; i++) {
      if (view.getUint32(at, true) !== CENTRAL) throw damaged();
      const nameLength = view.getUint16(at + 28, true);
      const name = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength));
      if (passes(name)) return unpack(bytes, view, at, most, file, damaged);
      at += 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    }
  } catch (error) {
    if (error instanceof RangeError || (error instanceof Error && 'code' in error)) throw damaged();
    throw error;
  }
  throw userError('zip.empty', 'The zip archive has no file that ends in .hgt.', { file });
}

function unpack(
  bytes: Uint8Array,
  view: DataView,
  entry: number,
  most: number,
  file: string,
  damaged: () => Error,
): Uint8Array {
  const method = view.getUint16(entry + 10, true);
  const packed = view.getUint32(entry + 20, true);
  const local = view.getUint32(entry + 42, true);
  if (view.getUint32(local, true) !== LOCAL) throw damaged();
  const start = local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
  if (start + packed > bytes.length) throw damaged();
  const data = bytes.subarray(start, start + packed);
  if (method === 0) return data;
  if (method === 8) return inflateRawSync(data, { maxOutputLength: most });
  throw userError('zip.method', `The zip archive is packed by method ${method}: only deflate is read.`, { file });
}

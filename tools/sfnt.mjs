// A WOFF font without its compression (W3C WOFF File Format 1.0, sections 3 to 5): whoever sets text opens tables many times,
// and unpacking them each time took longer than setting.
import { inflateSync } from 'node:zlib';

/** The same font as plain sfnt (TrueType or OpenType); tables keep their order and checksums. */
export function plainFont(woff) {
  if (woff.toString('latin1', 0, 4) !== 'wOFF') throw new Error('fonts: no WOFF file');
  const count = woff.readUInt16BE(12);
  const tables = Array.from({ length: count }, (_, i) => {
    const at = 44 + 20 * i;
    const [offset, packed, length] = [4, 8, 12].map((field) => woff.readUInt32BE(at + field));
    const bytes = woff.subarray(offset, offset + packed);
    const data = packed < length ? inflateSync(bytes) : bytes;
    if (data.length !== length) throw new Error('fonts: a table has another length than told');
    return { tag: woff.subarray(at, at + 4), checksum: woff.subarray(at + 16, at + 20), data };
  });
  const head = Buffer.alloc(12 + 16 * count);
  woff.copy(head, 0, 4, 8);
  head.writeUInt16BE(count, 4);
  const selector = Math.floor(Math.log2(count));
  const range = 16 * 2 ** selector;
  head.writeUInt16BE(range, 6);
  head.writeUInt16BE(selector, 8);
  head.writeUInt16BE(16 * count - range, 10);
  let offset = head.length;
  const parts = [head];
  for (const [i, { tag, checksum, data }] of tables.entries()) {
    const at = 12 + 16 * i;
    tag.copy(head, at);
    checksum.copy(head, at + 4);
    head.writeUInt32BE(offset, at + 8);
    head.writeUInt32BE(data.length, at + 12);
    const padding = -data.length & 3;
    parts.push(data, Buffer.alloc(padding));
    offset += data.length + padding;
  }
  return Buffer.concat(parts);
}

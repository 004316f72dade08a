import { deflateRawSync } from 'node:zlib';

/** CRC-32 of zip and PNG (ISO 3309). */
export function crc32Of(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

/** A zip archive of some files, deflated (PKWARE APPNOTE 6.3). */
export function zipOf(files: Readonly<Record<string, Uint8Array>>): Uint8Array {
  const parts: Uint8Array[] = [];
  const central: Uint8Array[] = [];
  let at = 0;
  const names = Object.keys(files);
  for (const name of names) {
    const content = files[name]!;
    const packed = deflateRawSync(content, { level: 1 });
    const title = new TextEncoder().encode(name);
    const head = new Uint8Array(30 + title.length);
    const view = new DataView(head.buffer);
    view.setUint32(0, 0x04034b50, true);
    view.setUint16(4, 20, true);
    view.setUint16(8, 8, true);
    view.setUint32(14, crc32Of(content), true);
    view.setUint32(18, packed.length, true);
    view.setUint32(22, content.length, true);
    view.setUint16(26, title.length, true);
    head.set(title, 30);
    const entry = new Uint8Array(46 + title.length);
    const other = new DataView(entry.buffer);
    other.setUint32(0, 0x02014b50, true);
    entry.set(head.subarray(4, 30), 6);
    other.setUint32(42, at, true);
    entry.set(title, 46);
    parts.push(head, packed);
    central.push(entry);
    at += head.length + packed.length;
  }
  const end = new Uint8Array(22);
  const view = new DataView(end.buffer);
  view.setUint32(0, 0x06054b50, true);
  view.setUint16(8, names.length, true);
  view.setUint16(10, names.length, true);
  view.setUint32(
    12,
    central.reduce((sum, e) => sum + e.length, 0),
    true,
  );
  view.setUint32(16, at, true);
  return Buffer.concat([...parts, ...central, end]);
}

/** Several texts as one zip archive, stored as they are. Source: PKWARE APPNOTE 6.3, sec. 4.3. */

/** Reversed polynomial 0xEDB88320 (APPNOTE, sec. 4.4.7), a byte at a time. */
function crc32(bytes: Uint8Array, table: Uint32Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (crc >>> 8) ^ table[(crc ^ byte) & 255]!;
  return (crc ^ 0xffffffff) >>> 0;
}

function crcTable(): Uint32Array {
  return Uint32Array.from({ length: 256 }, (_, n) => {
    let c = n;
    for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
    return c;
  });
}

/** Names of plain letters; in all below 4 GB and 65,536 files. The date in it is the first that zip knows, 1980-01-01. */
export function zipOf(files: Readonly<Record<string, string>>): Uint8Array<ArrayBuffer> {
  const table = crcTable();
  const parts: Uint8Array[] = [];
  const central: Uint8Array[] = [];
  let at = 0;
  for (const [name, text] of Object.entries(files)) {
    const [title, data] = [name, text].map((s) => new TextEncoder().encode(s)) as [Uint8Array, Uint8Array];
    // Version 2.0, names in UTF-8 (bit 11), stored, 1980-01-01, checksum, sizes, length of the name.
    const head = [20, 0x0800, 0, 0, 0x21];
    const common = record([
      ...head.map((v) => [v, 2] as const),
      [crc32(data, table), 4],
      [data.length, 4],
      [data.length, 4],
      [title.length, 2],
      [0, 2],
    ]);
    const offset = at;
    for (const part of [record([[0x04034b50, 4]]), common, title, data]) {
      parts.push(part);
      at += part.length;
    }
    const rest = record([
      [0, 2],
      [0, 2],
      [0, 2],
      [0, 4],
      [offset, 4],
    ]);
    central.push(
      record([
        [0x02014b50, 4],
        [20, 2],
      ]),
      common,
      rest,
      title,
    );
  }
  const size = central.reduce((sum, part) => sum + part.length, 0);
  const count = Object.keys(files).length;
  const end = record([
    [0x06054b50, 4],
    [0, 2],
    [0, 2],
    [count, 2],
    [count, 2],
    [size, 4],
    [at, 4],
    [0, 2],
  ]);
  const zip = new Uint8Array(at + size + end.length);
  let to = 0;
  for (const part of [...parts, ...central, end]) {
    zip.set(part, to);
    to += part.length;
  }
  return zip;
}

/** Whole numbers with their bytes, least first. */
function record(fields: readonly (readonly [value: number, bytes: number])[]): Uint8Array {
  return Uint8Array.from(
    fields.flatMap(([value, bytes]) => Array.from({ length: bytes }, (_, i) => (value >>> (8 * i)) & 255)),
  );
}

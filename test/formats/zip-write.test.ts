import { crc32 } from 'node:zlib';
import { expect, it } from 'vitest';
import { zipOf } from '../../src/formats/zip-write.ts';
import { fromZip } from '../../src/host/zip.ts';

it('packs texts that a general unpacker gives back (checksums by zlib)', () => {
  const files = { 'parts.csv': '\ufeffkey,name\r\nx,Mül\r\n', 'lots.csv': '', 'long.csv': 'a,b\n'.repeat(5000) };
  const zip = zipOf(files);
  const view = new DataView(zip.buffer);
  expect(view.getUint32(14, true)).toBe(crc32(Buffer.from(files['parts.csv'])));
  for (const [name, text] of Object.entries(files))
    expect(Buffer.from(fromZip(zip, (n) => n === name, 1e6, 'x')).toString('utf8')).toBe(text);
});

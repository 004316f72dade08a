import fc from 'fast-check';
import { expect, it } from 'vitest';
import { base64 } from '../../src/formats/base64.ts';

// source: RFC 4648, section 10, test vectors
it.each([
  ['', ''],
  ['f', 'Zg=='],
  ['fo', 'Zm8='],
  ['foo', 'Zm9v'],
  ['foob', 'Zm9vYg=='],
  ['fooba', 'Zm9vYmE='],
  ['foobar', 'Zm9vYmFy'],
])('%s', (plain, coded) => {
  expect(base64(new TextEncoder().encode(plain))).toBe(coded);
});

it('comes back by the platform’s own reader, whatever the array', () => {
  fc.assert(
    fc.property(fc.int16Array({ maxLength: 50 }), fc.nat({ max: 3 }), (values, from) => {
      const part = values.subarray(Math.min(from, values.length));
      const bytes = new Uint8Array(Buffer.from(base64(part), 'base64'));
      expect(new Int16Array(bytes.buffer)).toEqual(Int16Array.from(part));
    }),
    { seed: 1, numRuns: 100 },
  );
  const long = new Uint8Array(100_000).map((_, i) => i * 7);
  expect(base64(long)).toBe(Buffer.from(long).toString('base64'));
});

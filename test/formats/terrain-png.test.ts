import fc from 'fast-check';
import { encode } from 'fast-png';
import { describe, expect, it } from 'vitest';
import { heightAt } from '../../src/core/terrain/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { projectionOf } from '../../src/formats/projection.ts';
import { type HeightEncoding, readTerrainPng, tileFrame, tileOf } from '../../src/formats/terrain-png.ts';

/** A tile of one colour, or of one for each pixel. */
function tile(colour: (k: number) => readonly number[], side = 64, channels = 3): Uint8Array {
  const data = new Uint8Array(side * side * channels);
  for (let k = 0; k < side * side; k++) data.set(colour(k), k * channels);
  return encode({ width: side, height: side, data, channels, depth: 8 });
}
const heightOf = (colour: readonly number[], encoding?: HeightEncoding) =>
  readTerrainPng(
    tile(() => colour, 64, colour.length),
    10,
    1,
    2,
    't.png',
    encoding,
  ).grid.height_m[100]!;

describe('a tile of heights in colours', () => {
  it('has the heights of the published formulas', () => {
    // Formulas as in the documents of the two encodings (shared reference folder, radio/terrain.md), worked by hand.
    expect(heightOf([1, 134, 160])).toBeCloseTo(0, 3); // -10000 + 0.1 (65536 + 134 256 + 160) = 0
    expect(heightOf([1, 230, 66])).toBeCloseTo(2448.2, 2); // 0.1 * 124482 - 10000
    expect(heightOf([128, 0, 0])).toBe(0);
    expect(heightOf([137, 144, 64])).toBeCloseTo(2448.25, 3); // 137 256 + 144 + 64/256 - 32768 = 2448.25
    expect(heightOf([127, 255, 128])).toBeCloseTo(-0.5, 3);
    expect(heightOf([1, 134, 160], 'offset')).toBeCloseTo(256 + 134 + 160 / 256 - 32768, 3);
  });

  it('has no height where it is transparent or empty', () => {
    expect(heightOf([1, 134, 160, 0])).toBeNaN();
    expect(heightOf([0, 0, 0])).toBeNaN();
    expect(heightOf([128, 0, 0, 255])).toBe(0);
  });

  it('lies on the web’s Mercator grid', () => {
    // One tile holds the world at zoom 0: ±20037508.34 m (EPSG:3857); at 46.4° N, 10.2° E zoom 12 has column 2164, row 1457,
    // by the formula in the article on tiled web maps (from memory): floor(4096 (10.2+180)/360), floor(4096 (1 - asinh(tan lat)/pi)/2).
    expect(tileFrame(0, 0, 0, 256).west_u - tileFrame(0, 0, 0, 256).stepEast_u / 2).toBeCloseTo(-20037508.3428, 3);
    const place = tileOf(46.4, 10.2, 12);
    expect([Math.floor(place.x), Math.floor(place.y)]).toEqual([
      Math.floor((4096 * 190.2) / 360),
      Math.floor((4096 * (1 - Math.asinh(Math.tan((46.4 * Math.PI) / 180)) / Math.PI)) / 2),
    ]);
    const { grid } = readTerrainPng(
      tile((k) => [128 + Math.floor(k / 64), k % 64, 0], 64),
      12,
      Math.floor(place.x),
      Math.floor(place.y),
      't.png',
      'offset',
    );
    const at = new Float64Array(2);
    projectionOf('EPSG:3857').toGrid(10.2, 46.4, at);
    const column = (place.x % 1) * 64 - 0.5;
    const row = (place.y % 1) * 64 - 0.5;
    expect(heightAt(grid, at[0]!, at[1]!)).toBeCloseTo(256 * row + column, 2);
  });

  it.each([
    ['nothing', new Uint8Array(0), /is empty/],
    ['a page', new TextEncoder().encode(`<html>${' '.repeat(100)}</html>`), /no PNG picture.*page/],
    ['a map', tile((k) => [k % 256, (k * 7) % 256, 99]), /neither of the two published encodings/],
    [
      'grey',
      encode({ width: 64, height: 64, data: new Uint8Array(4096), channels: 1, depth: 8 }),
      /1 channels of 8 bits/,
    ],
    [
      'oblong',
      encode({ width: 64, height: 128, data: new Uint8Array(64 * 128 * 3), channels: 3, depth: 8 }),
      /must be square/,
    ],
    ['cut off', tile((k) => [1, k % 256, (k * 31) % 256]).slice(0, -300), /damaged or cut off/],
  ])('is refused in a sentence: %s', (_, bytes, sentence) => {
    expect(() => readTerrainPng(bytes, 1, 0, 0, 't.png')).toThrow(sentence);
  });

  it('survives any bytes', () => {
    const whole = tile((k) => [1, (k * 13) % 256, k % 256]);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.integer({ min: 0, max: 255 })), { minLength: 1, maxLength: 5 }),
        fc.nat(whole.length),
        (changes, length) => {
          const bytes = whole.slice(0, length < 40 ? whole.length : length);
          for (const [k, value] of changes) if (k < bytes.length) bytes[k] = value;
          try {
            expect(readTerrainPng(bytes, 3, 1, 1, 't.png').grid.height_m).toHaveLength(64 * 64);
          } catch (error) {
            expect(error).toBeInstanceOf(UserError);
          }
        },
      ),
      { seed: 1, numRuns: 300 },
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        expect(() => readTerrainPng(bytes, 3, 1, 1, 't.png')).toThrow(UserError);
      }),
      { seed: 2, numRuns: 200 },
    );
  });
});

import fc from 'fast-check';
import { decode } from 'fast-png';
import { describe, expect, it } from 'vitest';
import { encodePng } from '../../src/formats/png.ts';
import { dotWidth, setDots } from '../../src/report/bitmap-type.ts';
import { type PanoramaInput, panorama, panoramaSentence } from '../../src/report/panorama.ts';
import { marginColour, type ReachField, reachImage, reachPicture } from '../../src/report/reach-image.ts';
import { checkPicture, descendants } from './xml.ts';

function field(
  margin: (row: number, column: number) => number,
  sight: (row: number, column: number) => number,
): ReachField {
  const size = 81;
  const at = <T>(f: (row: number, column: number) => T) =>
    Array.from({ length: size * size }, (_, k) => f(Math.floor(k / size), k % size));
  return {
    rows: size,
    columns: size,
    cellHeight_km: 0.1,
    cellWidth_km: 0.1,
    centre: { row: 40, column: 40 },
    reach_km: 3.9,
    height_m: new Float32Array(size * size).fill(500),
    margin_dB: Float32Array.from(at(margin)),
    sight: Uint8Array.from(at(sight)),
  };
}
const pixel = (p: { width: number; data: Uint8Array }, x: number, y: number) =>
  Array.from(p.data.subarray(3 * (y * p.width + x), 3 * (y * p.width + x) + 3));
const hex = (text: string) => [1, 3, 5].map((i) => Number.parseInt(text.slice(i, i + 2), 16));

describe('the coverage as pixels', () => {
  // East in sight with 30 dB, west over edges with 10 dB, south not reached.
  const halves = field(
    (row, column) => (row > 55 ? -20 : column > 40 ? 30 : 10),
    (_, column) => (column > 40 ? 1 : 0),
  );

  it('has the colour of the margin, solid in sight and striped over edges', () => {
    const image = reachImage(halves, 400);
    const flat = 0.62 + 0.38 * Math.SQRT1_2 * 1.2;
    const east = pixel(image, 300, 150);
    hex(marginColour(30)).forEach((v, k) => {
      expect(Math.abs(east[k]! - v * flat)).toBeLessThan(4);
    });
    for (let i = 0; i < 6; i++) expect(pixel(image, 300 + i, 150)).toEqual(east);
    const west = new Set(Array.from({ length: 6 }, (_, i) => pixel(image, 100 + i, 150).join()));
    expect(west.size).toBe(2);
    const [r, g, b] = pixel(image, 200, 350);
    // Paper in shade: no colour of the scale.
    expect(Math.max(r!, g!, b!) - Math.min(r!, g!, b!)).toBeLessThan(12);
  });

  it('goes into a PNG that another reader gives back, with its key below', () => {
    const picture = reachPicture(halves, 600);
    const back = decode(encodePng(picture));
    expect([back.width, back.height, back.channels]).toEqual([600, picture.height, 3]);
    expect(Array.from(back.data)).toEqual(Array.from(picture.data));
    expect(picture.height).toBeGreaterThan(picture.width);
    expect(() => encodePng({ width: 2, height: 2, data: new Uint8Array(3) })).toThrow(RangeError);
  });

  it('holds for a window that is smaller than the circle, with voids', () => {
    const small = {
      ...halves,
      rows: 20,
      margin_dB: halves.margin_dB.slice(0, 20 * 81),
      height_m: halves.height_m.slice(0, 20 * 81),
    };
    small.height_m[100] = Number.NaN;
    expect(reachPicture(small, 300).data.length).toBe(3 * 300 * (300 + 104));
  });

  it('sets letters of five by seven dots', () => {
    let dots = 0;
    setDots('1', 0, 7, 1, (x, y) => {
      expect(x >= 0 && x < 5 && y >= 0 && y < 7).toBe(true);
      dots++;
    });
    expect(dots).toBe(10);
    expect(dotWidth('km')).toBe(11);
  });
});

const months = Array.from({ length: 12 }, (_, m) => ({ month: m + 1, open_h: 8 + m / 3, visible_h: 6 + m / 4 }));

describe('the panorama', () => {
  const sights = ['clear', 'grazing', 'blocked'] as const;
  const others = fc.array(
    fc.record({
      name: fc.string({ unit: 'grapheme', maxLength: 20 }),
      azimuth_deg: fc.double({ min: 0, max: 360, noNaN: true }),
      elevation_deg: fc.double({ min: -30, max: 60, noNaN: true }),
      distance_km: fc.double({ min: 0.05, max: 60, noNaN: true }),
      sight: fc.constantFrom(...sights),
      margin_dB: fc.double({ min: -90, max: 90, noNaN: true }),
    }),
    { maxLength: 12 },
  );
  const inputs: fc.Arbitrary<PanoramaInput> = fc.record({
    name: fc.constant('Hut'),
    latitude_deg: fc.double({ min: -78, max: 78, noNaN: true }),
    longitude_deg: fc.double({ min: -180, max: 180, noNaN: true }),
    skyline_deg: fc
      .array(fc.double({ min: -9, max: 60, noNaN: true }), { minLength: 72, maxLength: 72 })
      .map((a) => Float32Array.from(a)),
    layers: fc
      .array(fc.double({ min: -9, max: 60 }), { minLength: 72, maxLength: 72 })
      .map((a) => [1, 5].map((to_km) => ({ to_km, elevation_deg: Float32Array.from(a) }))),
    darkestMonth: fc.integer({ min: 1, max: 12 }),
    months: fc.constant(months),
    others,
  });

  it('is well-formed for any skyline and any perches, wide and narrow, and its words stay inside', () => {
    fc.assert(
      fc.property(inputs, fc.constantFrom(358, 752, 980), (input, width) => {
        const { root } = checkPicture(panorama(input, { width }));
        for (const e of descendants(root).filter((e) => e.name === 'text')) {
          const x = Number(e.attributes.get('x'));
          expect(x).toBeGreaterThanOrEqual(-1);
          expect(x).toBeLessThanOrEqual(width + 1);
        }
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it('marks each perch once on a wide picture, by shape, and says how many are seen', () => {
    const input: PanoramaInput = {
      name: 'Hut',
      latitude_deg: 46.4,
      longitude_deg: 10.2,
      skyline_deg: new Float32Array(72).fill(12),
      layers: [{ to_km: 5, elevation_deg: new Float32Array(72).fill(12) }],
      darkestMonth: 12,
      months,
      others: sights.map((sight, i) => ({
        name: `Perch ${i}`,
        azimuth_deg: 60 + 80 * i,
        elevation_deg: 5,
        distance_km: 3,
        sight,
        margin_dB: 10 - 20 * i,
      })),
    };
    const svg = panorama(input);
    for (const i of [0, 1, 2]) expect(svg.split(`Perch ${i}, 3.0 km`)).toHaveLength(2);
    expect(svg).toContain('−30 dB');
    expect(svg).toMatch(/h hidden/);
    expect(panoramaSentence(input)).toBe(
      'The skyline of Hut rises to 12°. In the middle of December it leaves 8.8 of 11.7 h of sun. Of 3 other perches 1 in clear sight, 1 grazing, 1 blocked.',
    );
  });
});

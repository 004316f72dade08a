import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FIGURES } from '../../src/report/figures.ts';
import { profileChart, sweepChart, sweepSentence } from '../../src/report/index.ts';
import { checkPicture, descendants, type XmlElement } from './xml.ts';

const inside = (root: XmlElement, width: number) => {
  for (const e of descendants(root).filter((e) => e.name === 'text')) {
    const x = Number(e.attributes.get('x'));
    const wide = e.text.length * 6.6;
    const anchor = e.attributes.get('text-anchor') ?? 'start';
    const left = anchor === 'start' ? x : anchor === 'middle' ? x - wide / 2 : x - wide;
    expect(left, e.text).toBeGreaterThan(-12);
    expect(left + wide, e.text).toBeLessThan(width + 12);
  }
};

const ground = { minLength: 5, maxLength: 40 };

describe('the picture of a profile', () => {
  it('is well-formed for any ground, wide and narrow, and its words stay inside', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -400, max: 8000, noNaN: true }), ground),
        fc.double({ min: 0.05, max: 300, noNaN: true }),
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        fc.constantFrom(358, 752),
        (heights, length_km, mast_m, width) => {
          const n = heights.length;
          const distance_km = heights.map((_, i) => (length_km * i) / (n - 1));
          const svg = profileChart(
            {
              from: { name: 'A place with a rather long name up on the hill', height_m: mast_m },
              to: { name: 'B', height_m: mast_m },
              distance_km,
              height_m: heights,
              clutter_m: heights.map((_, i) => (i % 3 === 0 ? 12 : 0)),
              effectiveRadius_km: 8500,
              wavelength_m: 0.345,
              obstacles: [{ distance_km: distance_km[2]!, above_m: 12.3, clutter: true }],
              sentence: 'what it says',
            },
            { width },
          );
          const { root, description } = checkPicture(svg);
          expect(description).toBe('what it says');
          inside(root, width);
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it('takes the reader’s units: round feet and miles on the axes', () => {
    const svg = profileChart(
      {
        from: { name: 'A', height_m: 30.48 },
        to: { name: 'B', height_m: 3.048 },
        distance_km: [0, 8, 16.09344],
        height_m: [0, 100, 0],
        clutter_m: undefined,
        effectiveRadius_km: 8500,
        wavelength_m: 0.345,
        obstacles: [{ distance_km: 8, above_m: 91.44, clutter: false }],
        sentence: 'what it says',
      },
      {
        figures: {
          ...FIGURES,
          height: { symbol: 'ft', shown: (v) => v / 0.3048 },
          distance: { symbol: 'mi', shown: (v) => v / 1.609344 },
        },
      },
    );
    // source: International yard and pound agreement 1959: 1 ft = 0.3048 m, 1 mile = 1609.344 m
    const texts = descendants(checkPicture(svg).root)
      .filter((e) => e.name === 'text')
      .map((e) => e.text);
    for (const text of ['A, 100 ft', 'B, 10 ft', '0', '10', 'mi from A', 'ground 300 ft above the ray'])
      expect(texts).toContain(text);
    expect(texts).toContain('ft above the sea, the Earth’s curve put on');
  });

  it('draws the first Fresnel zone as wide as it is, and the bulge of the Earth', () => {
    // 10 km at 868 MHz: half way the zone has a radius of sqrt(0.3454·2500) = 29.4 m, the bulge is 500/8500·25 = 1.47 m.
    const svg = profileChart({
      from: { name: 'A', height_m: 100 },
      to: { name: 'B', height_m: 100 },
      distance_km: [0, 5, 10],
      height_m: [0, 0, 0],
      clutter_m: undefined,
      effectiveRadius_km: 8500,
      wavelength_m: 0.3454,
      obstacles: [],
      sentence: 's',
    });
    const { root } = checkPicture(svg);
    const all = descendants(root);
    const ticks = all.filter(
      (e) => e.name === 'text' && /^\d+$/.test(e.text) && e.attributes.get('text-anchor') === 'end',
    );
    const [first, second] = [ticks[0]!, ticks[1]!].map((e) => [Number(e.text), Number(e.attributes.get('y'))] as const);
    const px_m = (first![1] - second![1]) / (second![0] - first![0]);
    const zone = all.find((e) => e.name === 'path' && e.attributes.get('class') === 'sp-f-lake')!.attributes.get('d')!;
    const ys = [...zone.matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)].map((m) => Number(m[2]));
    expect((Math.max(...ys) - Math.min(...ys)) / px_m).toBeCloseTo(2 * 29.38, 0);
    const line = all.find((e) => e.name === 'path' && e.attributes.get('class') === 'sp-s-ink')!.attributes.get('d')!;
    const groundYs = [...line.matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)].map((m) => Number(m[2]));
    expect((groundYs[0]! - groundYs[1]!) / px_m).toBeCloseTo(1.47, 1);
  });
});

const curve = (name: string, vswr: readonly number[]) => ({
  name,
  frequency_MHz: vswr.map((_, i) => 860 + i),
  vswr,
  returnLoss_dB: vswr.map((s) => (s === 1 ? Number.POSITIVE_INFINITY : -20 * Math.log10((s - 1) / (s + 1)))),
});

describe('the picture of sweeps', () => {
  it('is well-formed for any ratios, perfect and infinite ones among them, wide and narrow', () => {
    const ratio = fc.oneof(
      fc.double({ min: 1, max: 50, noNaN: true }),
      fc.constant(1),
      fc.constant(Number.POSITIVE_INFINITY),
    );
    fc.assert(
      fc.property(
        fc.array(fc.array(ratio, { minLength: 2, maxLength: 20 }), { minLength: 1, maxLength: 8 }),
        fc.constantFrom(358, 752),
        fc.boolean(),
        (lists, width, band) => {
          const sweeps = lists.map((list, i) => curve(`unit-${i}.s1p`, list));
          const svg = sweepChart(
            {
              sweeps,
              markers: [{ frequency_MHz: 860.5 }],
              limitVswr: 2,
              band: band ? { from_MHz: 700, to_MHz: 861 } : null,
              outliers: ['unit-1.s1p'],
            },
            { width },
          );
          inside(checkPicture(svg).root, width);
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it('says what it shows', () => {
    const picture = { sweeps: [curve('a', [3, 1.5, 2])], markers: [], limitVswr: 2, band: null };
    expect(sweepSentence(picture)).toBe('Lowest standing-wave ratio 1.5 at 861 MHz; the limit is 2.');
    expect(sweepSentence({ ...picture, sweeps: [] })).toBe('No sweep was given.');
  });
});

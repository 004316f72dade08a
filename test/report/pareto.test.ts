import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ParetoPoint, paretoChart, paretoRange, paretoSentence, stairOf } from '../../src/report/pareto.ts';
import { checkPicture, descendants } from './xml.ts';

const point = fc.record({
  name: fc.string({ minLength: 1, maxLength: 40 }),
  reachedShare: fc.double({ min: 0, max: 1, noNaN: true }),
  light_kWh_m2: fc.double({ min: 0, max: 200, noNaN: true }),
  onFront: fc.boolean(),
});
const beats = (a: ParetoPoint, b: ParetoPoint) =>
  a.reachedShare >= b.reachedShare &&
  a.light_kWh_m2 >= b.light_kWh_m2 &&
  (a.reachedShare > b.reachedShare || a.light_kWh_m2 > b.light_kWh_m2);

describe('the picture of the candidates', () => {
  it('is well-formed for any candidates, wide and narrow, and shows each of them inside its frame', () => {
    fc.assert(
      fc.property(fc.array(point, { maxLength: 20 }), fc.constantFrom(300, 640), (points, width) => {
        const { root } = checkPicture(paretoChart({ points, month: 12 }, { width }));
        const circles = descendants(root).filter((e) => e.name === 'circle');
        // Two to each candidate, two in the key.
        expect(circles.length).toBe(2 * points.length + 2);
        for (const c of circles) {
          expect(Number(c.attributes.get('cx'))).toBeGreaterThanOrEqual(40);
          expect(Number(c.attributes.get('cx'))).toBeLessThanOrEqual(width - 12);
        }
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it('has axes from zero, and marks where its range says', () => {
    const points: ParetoPoint[] = [
      { name: 'A', reachedShare: 0.4, light_kWh_m2: 20, onFront: true },
      { name: 'B', reachedShare: 0.2, light_kWh_m2: 50, onFront: true },
    ];
    // A tenth of room: 44 % and 55 kWh/m²; the frame reaches from 40 to 628 and from 36 to 282.
    const { most_pct, most_kWh_m2 } = paretoRange(points);
    expect(most_pct).toBeCloseTo(44, 9);
    expect(most_kWh_m2).toBeCloseTo(55, 9);
    const { root } = checkPicture(paretoChart({ points, month: 12 }, { width: 640 }));
    const [a] = descendants(root).filter((e) => e.name === 'circle');
    expect(Number(a!.attributes.get('cx'))).toBeCloseTo(40 + (588 * 40) / 44, 1);
    expect(Number(a!.attributes.get('cy'))).toBeCloseTo(282 - (246 * 20) / 55, 1);
  });

  it('joins exactly those of the front that no other beats in what is drawn', () => {
    fc.assert(
      fc.property(fc.array(point, { maxLength: 12 }), (points) => {
        const stair = stairOf(points);
        for (const p of points) expect(stair.includes(p)).toBe(p.onFront && !points.some((q) => beats(q, p)));
        for (let i = 1; i < stair.length; i++)
          expect(stair[i]!.light_kWh_m2).toBeLessThanOrEqual(stair[i - 1]!.light_kWh_m2);
      }),
      { seed: 1, numRuns: 80 },
    );
  });

  it('says the front in words', () => {
    const points: ParetoPoint[] = [
      { name: 'A', reachedShare: 0.4, light_kWh_m2: 20, onFront: true },
      { name: 'B', reachedShare: 0.2, light_kWh_m2: 10, onFront: false },
    ];
    expect(paretoSentence({ points, month: 12 })).toBe(
      'Beaten by none, area reached and light in December: A (40 %, 20.0 kWh/m²). 1 other is beaten.',
    );
    expect(paretoSentence({ points: [], month: 12 })).toBe('No candidate is ranked.');
  });
});

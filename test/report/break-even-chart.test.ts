import { describe, expect, it } from 'vitest';
import {
  type BreakEvenPicture,
  breakEvenChart,
  breakEvenSentence,
  breakEvenWidest,
} from '../../src/report/break-even-chart.ts';
import { parseXml, type XmlElement } from './xml.ts';

/* Heizer & Render's line of thought, with the figures of the shared reference folder: 12,000 paid once, 95 against 55, 300 units. */
const PICTURE: BreakEvenPicture = {
  name: '<Alder>',
  currency: 'EUR',
  fixed: 12_000,
  earned: 95,
  cost: { low: 50, middle: 55, high: 60 },
  units: { low: 267, middle: 300, high: 343 },
  planned: 200,
};

const all = (e: XmlElement): XmlElement[] => [e, ...e.children.flatMap(all)];
const number = (e: XmlElement, name: string) => Number(e.attributes.get(name));

describe('break-even picture', () => {
  it('marks the crossing where both lines are, and draws the spread', () => {
    const svg = parseXml(breakEvenChart(PICTURE));
    const lines = all(svg).filter((e) => e.name === 'line' && e.attributes.get('stroke-width') === '2');
    expect(lines).toHaveLength(2);
    const [cost, brings] = lines.map((l) => {
      const [x1, y1, x2, y2] = ['x1', 'y1', 'x2', 'y2'].map((name) => number(l, name)) as [
        number,
        number,
        number,
        number,
      ];
      return (x: number) => y1 + ((x - x1) / (x2 - x1)) * (y2 - y1);
    });
    const dot = all(svg)
      .filter((e) => e.name === 'circle')
      .at(-1)!;
    const x = number(dot, 'cx');
    expect(cost!(x)).toBeCloseTo(number(dot, 'cy'), 1);
    expect(brings!(x)).toBeCloseTo(number(dot, 'cy'), 1);
    expect(all(svg).some((e) => e.attributes.get('fill-opacity') !== undefined)).toBe(true);
    expect(all(svg).some((e) => e.text === 'paid after 300 (267 to 343)')).toBe(true);
    expect(breakEvenWidest(PICTURE)).toBeGreaterThan(343);
  });

  it('says so where a unit earns nothing, or where its spread does', () => {
    const never = { ...PICTURE, earned: 40, units: { low: null, middle: null, high: null } };
    expect(all(parseXml(breakEvenChart(never, { width: 300 }))).some((e) => e.text === 'never paid')).toBe(true);
    expect(breakEvenSentence(never)).toContain('they never meet');
    const doubtful = { ...PICTURE, units: { low: 267, middle: 300, high: null } };
    expect(breakEvenSentence(doubtful)).toContain('they meet at 300 units, 267 to never in nine cases of ten');
    const nothing = { ...PICTURE, fixed: 0, earned: 0, cost: { low: 0, middle: 0, high: 0 }, planned: 1 };
    expect(() => parseXml(breakEvenChart(nothing))).not.toThrow();
  });
});

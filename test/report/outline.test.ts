import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stepPath, thinnedLine } from '../../src/report/outline.ts';
import type { Point } from '../../src/report/svg.ts';

const line = fc
  .array(fc.tuple(fc.double({ min: 0.05, max: 3, noNaN: true }), fc.double({ min: -200, max: 200, noNaN: true })), {
    minLength: 1,
    maxLength: 80,
  })
  .map((steps) => {
    let x = -20;
    return steps.map(([dx, y]): Point => {
      x += dx;
      return [x, y];
    });
  });

describe('a thinned line', () => {
  it('passes every point within the tolerance, keeps its ends, and takes nothing but its points (by interpolation)', () => {
    fc.assert(
      fc.property(line, fc.double({ min: 0, max: 60, noNaN: true }), (points, tolerance) => {
        const kept = thinnedLine(points, tolerance);
        expect([kept[0], kept.at(-1)]).toEqual([points[0], points.at(-1)]);
        for (const point of kept) expect(points).toContain(point);
        for (const [x, y] of points) {
          const i = Math.max(
            1,
            kept.findIndex(([kx]) => kx >= x),
          );
          const [[x0, y0], [x1, y1]] = [kept[i - 1]!, kept[i] ?? kept[i - 1]!];
          const at = x1 === x0 ? y0 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
          expect(Math.abs(at - y)).toBeLessThanOrEqual(tolerance + 1e-9);
        }
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('of points on a straight line is its ends; a line that goes back is refused', () => {
    const straight = Array.from({ length: 50 }, (_, i): Point => [i, 3 * i]);
    expect(thinnedLine(straight, 1e-9)).toEqual([straight[0], straight[49]]);
    expect(() =>
      thinnedLine(
        [
          [0, 0],
          [-1, 0],
        ],
        1,
      ),
    ).toThrow(RangeError);
  });
});

describe('a path in steps', () => {
  it('comes back within a twentieth of a pixel at every point, however long it is', () => {
    fc.assert(
      fc.property(line, (points) => {
        const numbers = stepPath(points)
          .match(/-?[\d.]+(?:e-?\d+)?/g)!
          .map(Number);
        let [x, y] = [0, 0];
        points.forEach(([px, py], i) => {
          x = (i === 0 ? 0 : x) + numbers[2 * i]!;
          y = (i === 0 ? 0 : y) + numbers[2 * i + 1]!;
          expect(Math.max(Math.abs(x - px), Math.abs(y - py))).toBeLessThanOrEqual(0.05 + 1e-6);
        });
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('breaks where a point is missing (by hand)', () => {
    const gap: Point = [Number.NaN, 0];
    expect(stepPath([[1, 2], [2.04, 1.5], [3, 1.5], gap, [9, -9]])).toBe('M1 2l1-0.5 1 0M9-9');
    expect(stepPath([gap])).toBe('');
  });
});

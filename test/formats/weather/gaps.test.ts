import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fillShortRuns, missingRuns } from '../../../src/formats/weather/gaps.ts';

describe('fillShortRuns', () => {
  it('draws straight lines, also over the end, and leaves what is too long', () => {
    const { NaN: no } = Number;
    const values = Float32Array.of(no, 1, no, no, 4, no, no, no, 8, 9, no);
    const long: [number, number][] = [];
    expect(fillShortRuns(values, values.length, 2, (first, run) => long.push([first, run]))).toBe(4);
    expect(Array.from(values).map((v) => Math.round(v * 1000) / 1000)).toEqual([
      3.667,
      1,
      2,
      3,
      4,
      no,
      no,
      no,
      8,
      9,
      6.333,
    ]);
    expect(long).toEqual([[5, 3]]);
    expect(fillShortRuns(new Float32Array(5).fill(no), 5, 2, () => {})).toBe(-1);
    expect(missingRuns(Float32Array.of(no, 1, no, no), 4)).toEqual([
      { first: 0, length: 1 },
      { first: 2, length: 2 },
    ]);
  });

  it('keeps every known value, and values filled lie between their neighbours', () => {
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.integer({ min: -50, max: 50 }), { nil: Number.NaN }), { minLength: 1, maxLength: 60 }),
        fc.nat(6),
        (list, longest) => {
          const values = Float32Array.from(list);
          let left = 0;
          const filled = fillShortRuns(values, values.length, longest, (_, run) => {
            expect(run).toBeGreaterThan(longest);
            left += run;
          });
          const missing = list.filter(Number.isNaN).length;
          if (filled === -1) expect(missing).toBe(list.length);
          else expect(filled + left).toBe(missing);
          const known = list.filter((v) => !Number.isNaN(v));
          for (let i = 0; i < list.length; i++) {
            if (!Number.isNaN(list[i])) expect(values[i]).toBe(list[i]);
            else if (!Number.isNaN(values[i])) {
              expect(values[i]).toBeGreaterThanOrEqual(Math.min(...known) - 1e-4);
              expect(values[i]).toBeLessThanOrEqual(Math.max(...known) + 1e-4);
            }
          }
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });
});

import { describe, expect, it } from 'vitest';
import { fastAtan2 } from '../../../src/core/sun/fast-angle.ts';

describe('fastAtan2', () => {
  it('keeps to its published bound all around', () => {
    // Source: Abramowitz & Stegun 1964, eq. 4.4.49: |error| ≤ 2e-8; a hair more for the digits carried here.
    let worst = 0;
    for (let k = -36000; k <= 36000; k++) {
      const angle = (k / 36000) * Math.PI;
      const [x, y] = [3 * Math.cos(angle), 3 * Math.sin(angle)];
      worst = Math.max(worst, Math.abs(fastAtan2(y, x) - Math.atan2(y, x)));
    }
    expect(worst).toBeLessThan(2.05e-8);
  });
  it('takes the axes and the origin', () => {
    expect(fastAtan2(0, 1)).toBe(0);
    expect(fastAtan2(1, 0)).toBe(Math.PI / 2);
    expect(fastAtan2(-1, 0)).toBe(-Math.PI / 2);
    expect(fastAtan2(0, -1)).toBe(Math.PI);
    expect(fastAtan2(0, 0)).toBe(0);
  });
});

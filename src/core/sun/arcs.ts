import { geocentricSun } from './ephemeris.ts';

/** Spacing of the nodes at which the ephemeris is evaluated, days. */
export const ARC_d = 4;
/** Values of one arc: four coefficients each of hour angle offset (rad), sine and cosine of declination. */
export const ARC_SIZE = 12;

/**
 * The sun's slow coordinates as cubics in time, arc after arc of four days, for kernels that need many positions.
 *
 * The offset Q is what is left of the Greenwich hour angle when one turn a day since `start_JD` is taken away: it moves
 * by some minutes of time in a month, so that a cubic through four nodes (Lagrange, the middle interval) holds it and the
 * declination to 0.0001° (tests of series). `load(k, out)` writes the coefficients of arc k, which begins at
 * start + 4k days; its variable runs from 0 to 1. Arcs are cheapest in rising order: three of four nodes are kept.
 */
export function createSunArcs(start_JD: number): { load(arc: number, out: Float64Array): void } {
  const nodes: { arc: number; q: number; sinDec: number; cosDec: number }[] = [];
  const evaluate = (arc: number, near: number) => {
    const sun = geocentricSun(start_JD + arc * ARC_d);
    const q = sun.siderealTime_rad - sun.rightAscension_rad;
    return {
      arc,
      q: q - 2 * Math.PI * Math.round((q - near) / (2 * Math.PI)),
      sinDec: Math.sin(sun.declination_rad),
      cosDec: Math.cos(sun.declination_rad),
    };
  };
  const nodeAt = (arc: number) => {
    const slot = ((arc % 4) + 4) % 4;
    const held = nodes[slot];
    if (held !== undefined && held.arc === arc) return held;
    const near = nodes.find((n) => n !== undefined)?.q ?? 0;
    const fresh = evaluate(arc, near);
    nodes[slot] = fresh;
    return fresh;
  };
  const cubic = (a: number, b: number, c: number, d: number, out: Float64Array, at: number) => {
    // Lagrange through -1, 0, 1, 2 in powers of the variable.
    out[at] = b;
    out[at + 1] = c - a / 3 - b / 2 - d / 6;
    out[at + 2] = (a + c) / 2 - b;
    out[at + 3] = (b - c) / 2 + (d - a) / 6;
  };
  return {
    load(arc, out) {
      const a = nodeAt(arc - 1);
      const b = nodeAt(arc);
      const c = nodeAt(arc + 1);
      const d = nodeAt(arc + 2);
      cubic(a.q, b.q, c.q, d.q, out, 0);
      cubic(a.sinDec, b.sinDec, c.sinDec, d.sinDec, out, 4);
      cubic(a.cosDec, b.cosDec, c.cosDec, d.cosDec, out, 8);
    },
  };
}

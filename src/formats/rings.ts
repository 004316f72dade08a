import type { Ring } from './geojson.ts';

/** What is wrong with a ring of a polygon, in words that follow "ring N"; null: nothing. */
export function ringFault(ring: Ring): string | null {
  const n = ring.length;
  const told = (p: readonly [number, number]) => `${p[0]}, ${p[1]}`;
  if (n === 0) return 'has no positions';
  const [first, last] = [ring[0]!, ring[n - 1]!];
  if (first[0] !== last[0] || first[1] !== last[1])
    return `is not closed: it begins at ${told(first)} and ends at ${told(last)}; repeat the first position at the end`;
  if (n < 4) return `has ${n} positions: at least four are needed, the first repeated at the end`;
  return null;
}

/** Whether a closed ring encloses no area. */
export function isFlat(ring: Ring): boolean {
  const first = ring[0]!;
  let doubled = 0;
  for (let i = 1; i < ring.length; i++)
    doubled +=
      (ring[i - 1]![0] - first[0]) * (ring[i]![1] - first[1]) - (ring[i]![0] - first[0]) * (ring[i - 1]![1] - first[1]);
  return doubled === 0;
}

/** Rings of more positions are not looked through for crossings: it takes the square of their number. */
export const MOST_CROSSED = 1500;

/**
 * Where a closed ring crosses itself: the first such place, longitude and latitude; null where it does not, or only touches itself.
 * Every edge against every other, so for rings of up to `MOST_CROSSED` positions.
 */
export function ringCrossing(ring: Ring): readonly [number, number] | null {
  const n = ring.length - 1;
  const side = (a: readonly [number, number], b: readonly [number, number], p: readonly [number, number]) =>
    Math.sign((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]));
  for (let i = 0; i < n; i++) {
    const [a, b] = [ring[i]!, ring[i + 1]!];
    const west = Math.min(a[0], b[0]);
    const east = Math.max(a[0], b[0]);
    const south = Math.min(a[1], b[1]);
    const north = Math.max(a[1], b[1]);
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [p, q] = [ring[j]!, ring[j + 1]!];
      if (Math.min(p[0], q[0]) > east || Math.max(p[0], q[0]) < west) continue;
      if (Math.min(p[1], q[1]) > north || Math.max(p[1], q[1]) < south) continue;
      if (side(a, b, p) * side(a, b, q) >= 0 || side(p, q, a) * side(p, q, b) >= 0) continue;
      const along = (b[0] - a[0]) * (q[1] - p[1]) - (b[1] - a[1]) * (q[0] - p[0]);
      const t = ((p[0] - a[0]) * (q[1] - p[1]) - (p[1] - a[1]) * (q[0] - p[0])) / along;
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    }
  }
  return null;
}

/**
 * Upper convex hull of a profile that grows outwards: points are added in order of x, and what lies on or below the hull
 * falls out. Rays that graze the ground from outside touch only hull points, so a search among a few of them replaces one
 * along the whole profile.
 *
 * Source: monotone chain (Andrew 1979, Information Processing Letters 9(5)).
 */
export interface Hull {
  readonly x: Float64Array;
  readonly y: Float64Array;
  size: number;
}

/** An empty hull with room for `capacity` points. */
export function createHull(capacity: number): Hull {
  return { x: new Float64Array(capacity), y: new Float64Array(capacity), size: 0 };
}

/** Makes one hull the same as another. */
export function copyHull(from: Hull, to: Hull): void {
  for (let i = 0; i < from.size; i++) {
    to.x[i] = from.x[i]!;
    to.y[i] = from.y[i]!;
  }
  to.size = from.size;
}

/** Adds a point to the right of all others. */
export function pushPoint(hull: Hull, x: number, y: number): void {
  const { x: xs, y: ys } = hull;
  let size = hull.size;
  while (size >= 2) {
    const x1 = xs[size - 1]!;
    const y1 = ys[size - 1]!;
    // The last point stays only when the chain bends down there.
    if ((y1 - ys[size - 2]!) * (x - x1) > (y - y1) * (x1 - xs[size - 2]!)) break;
    size--;
  }
  xs[size] = x;
  ys[size] = y;
  hull.size = size + 1;
}

/**
 * Steepest rise from a point right of the hull back to it: the largest (y_k - y) / (x - x_k) over its points, by bisection.
 * -Infinity for an empty hull.
 */
export function steepestBack(hull: Hull, x: number, y: number): number {
  const { x: xs, y: ys, size } = hull;
  if (size === 0) return Number.NEGATIVE_INFINITY;
  // The edges' extensions reach x ever lower from left to right; the tangent point ends the last edge that passes above (x, y).
  let low = 0;
  let high = size - 1;
  while (low < high) {
    const k = (low + high + 1) >> 1;
    const run = xs[k]! - xs[k - 1]!;
    if ((y - ys[k]!) * run <= (ys[k]! - ys[k - 1]!) * (x - xs[k]!)) low = k;
    else high = k - 1;
  }
  return (ys[low]! - y) / (x - xs[low]!);
}

/** Largest y_k - slope x_k over the hull's points, by bisection; -Infinity for an empty hull. */
export function highestOver(hull: Hull, slope: number): number {
  const { x: xs, y: ys, size } = hull;
  if (size === 0) return Number.NEGATIVE_INFINITY;
  let low = 0;
  let high = size - 1;
  while (low < high) {
    const k = (low + high + 1) >> 1;
    if (ys[k]! - ys[k - 1]! > slope * (xs[k]! - xs[k - 1]!)) low = k;
    else high = k - 1;
  }
  return ys[low]! - slope * xs[low]!;
}

import { SIGHT } from './sight.ts';

/** The line in hand: cell `j` at `base + j`. */
export interface Line {
  readonly level_m: Float32Array;
  readonly base: number;
  /** Its distance from the observer, in lines. */
  readonly n: number;
  /** First and last cell that is loaded; the one after them repeats the last. */
  readonly left: number;
  readonly right: number;
}

/** Rays -rays..rays meet line n at n/rays cells apart; ray 0 stands at `rays + 1`. */
export interface SectorRays {
  rays: number;
  /** Steepest slope that each has met, in m a line. */
  readonly steepest: Float64Array;
  /** Least slope of each chunk of rays, or less. */
  readonly floors: Float64Array;
}

/** Cells, and rays, are looked at by chunks of 2^6: where all the ground of one lies below all its rays, it is done at once. */
const CHUNK_BITS = 6;
/** Slope, in m a line, below any that ground can have. */
const NOTHING_YET = -1e9;
/** The coarsest set has fewer rays than this to either side of the sector's axis. */
const FEW_RAYS = 32;
/** Keeps rays that meet a cell's centre from falling below it by rounding, in cells. */
const NUDGE = 1e-9;

/** The coarsest set of rays for a sector of so many lines, with room for the finest. */
export function createRays(lastLine: number): SectorRays {
  // The finest set has one a cell on the last line, coarser ones halve it.
  let rays = Math.max(1, lastLine);
  while (rays >= FEW_RAYS) rays = Math.ceil(rays / 2);
  let finest = rays;
  while (finest < lastLine) finest *= 2;
  return {
    rays,
    steepest: new Float64Array(2 * finest + 3).fill(NOTHING_YET),
    floors: new Float64Array(((2 * finest + 3) >> CHUNK_BITS) + 1).fill(NOTHING_YET),
  };
}

/** Room for `findTops` over a buffer of levels. */
export const createTops = (levels: number): Float64Array => new Float64Array((levels >> CHUNK_BITS) + 1);

/** Fills in the highest level of each chunk of a line's cells; tells whether one has no height. */
export function findTops({ level_m, base, left, right }: Line, tops: Float64Array): boolean {
  let hasVoid = false;
  const last = base + right + 1;
  for (let at = base + left; at <= last; ) {
    const chunk = at >> CHUNK_BITS;
    const end = Math.min(last, ((chunk + 1) << CHUNK_BITS) - 1);
    let top = Number.NEGATIVE_INFINITY;
    for (; at <= end; at++) {
      const z = level_m[at]!;
      if (z <= top) continue;
      if (z > top) top = z;
      else hasVoid = true;
    }
    tops[chunk] = top;
  }
  return hasVoid;
}

/** Judges the cells `from`..`to` of a line against the rays beside each, chunk by chunk. */
export function markCells(
  { level_m, base, n }: Line,
  { steepest, floors, rays }: SectorRays,
  tops: Float64Array,
  from: number,
  to: number,
  marks: Uint8Array,
  markAt: number,
  target_m: number,
  hasVoid: boolean,
  counts: Int32Array,
): void {
  const perCell = rays / n;
  const mid = rays + 1 + NUDGE;
  // Beyond the outer rays there is nothing: their neighbours repeat them.
  steepest[0] = steepest[1]!;
  steepest[2 * rays + 2] = steepest[2 * rays + 1]!;
  let visible = 0;
  let voids = 0;
  for (let j = from; j <= to; ) {
    const chunk = (base + j) >> CHUNK_BITS;
    const end = Math.min(to, ((chunk + 1) << CHUNK_BITS) - 1 - base);
    const lastRay = ((end * perCell + mid) | 0) + 1;
    let floor = Number.POSITIVE_INFINITY;
    for (let k = ((j * perCell + mid) | 0) >> CHUNK_BITS; k <= lastRay >> CHUNK_BITS; k++)
      floor = Math.min(floor, floors[k]!);
    if (tops[chunk]! + target_m < floor * n && !hasVoid) {
      marks.fill(SIGHT.hidden, markAt + j, markAt + end + 1);
      j = end + 1;
      continue;
    }
    for (; j <= end; j++) {
      const z = level_m[base + j]!;
      const u = j * perCell + mid;
      const ray = u | 0;
      const a = steepest[ray]!;
      const need_m = (a + (u - ray) * (steepest[ray + 1]! - a)) * n;
      if (Number.isNaN(z)) {
        marks[markAt + j] = SIGHT.outOfRange;
        voids++;
        continue;
      }
      const seen = z + target_m >= need_m ? SIGHT.visible : SIGHT.hidden;
      marks[markAt + j] = seen;
      visible += seen;
    }
  }
  counts[0]! += visible;
  counts[1]! += voids;
}

/** Carries the rays over a line, chunk by chunk; those that stand above all the ground there are left. Void ground moves none. */
export function moveRays({ level_m, base, n, left, right }: Line, fan: SectorRays, tops: Float64Array): void {
  const { steepest, floors, rays } = fan;
  const perRay = n / rays;
  const perLine = 1 / n;
  const first = Math.max(-rays, Math.ceil((left * rays) / n - NUDGE)) + rays + 1;
  const last = Math.min(rays, Math.floor((right * rays) / n + NUDGE)) + rays + 1;
  const origin = base - (rays + 1) * perRay + NUDGE;
  for (let i = first; i <= last; ) {
    const chunk = i >> CHUNK_BITS;
    const end = Math.min(last, ((chunk + 1) << CHUNK_BITS) - 1);
    let x = origin + i * perRay;
    let top = Number.NEGATIVE_INFINITY;
    for (let k = (x | 0) >> CHUNK_BITS; k <= (((origin + end * perRay) | 0) + 1) >> CHUNK_BITS; k++)
      top = Math.max(top, tops[k]!);
    if (top <= floors[chunk]! * n) {
      i = end + 1;
      continue;
    }
    let floor = Number.POSITIVE_INFINITY;
    for (; i <= end; i++) {
      const c = x | 0;
      const z = level_m[c]!;
      const slope = (z + (x - c) * (level_m[c + 1]! - z)) * perLine;
      let own = steepest[i]!;
      if (slope > own) {
        own = slope;
        steepest[i] = slope;
      }
      if (own < floor) floor = own;
      x += perRay;
    }
    // Of a chunk that the range cuts, the rays outside are not looked at any more.
    floors[chunk] = floor;
  }
}

/** Puts a ray between each two, with the mean of their slopes; in place. */
export function doubleRays(fan: SectorRays): void {
  const { steepest, floors, rays } = fan;
  let right = steepest[2 * rays + 1]!;
  steepest[4 * rays + 1] = right;
  for (let k = 2 * rays; k >= 1; k--) {
    const own = steepest[k]!;
    steepest[2 * k] = 0.5 * (own + right);
    steepest[2 * k - 1] = own;
    right = own;
  }
  floors.fill(Number.POSITIVE_INFINITY);
  for (let k = 0; k <= 4 * rays + 2; k++) floors[k >> CHUNK_BITS] = Math.min(floors[k >> CHUNK_BITS]!, steepest[k]!);
  fan.rays = 2 * rays;
}

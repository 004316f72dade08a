/** Ground cover of one kind: what an area of the ground carries. */
export interface CoverKind {
  readonly cover: CoverClass;
  /** Representative height above the ground, m. */
  readonly height_m: number;
  /** Loss of an antenna that stands in it, dB, where somebody has told it; undefined: computed. */
  readonly loss_dB: number | undefined;
}

export type CoverClass = 'open' | 'water' | 'low plants' | 'houses' | 'town' | 'dense town' | 'woods';

/** Ground cover on the cells of a height grid. */
export interface CoverRaster {
  /** One a cell, an index of `kinds`. */
  readonly kind: Uint8Array;
  /** Share of each cell that is wooded, 0 to 255; undefined where there are no woods at all. */
  readonly woods: Uint8Array | undefined;
  /** The first is open ground. */
  readonly kinds: readonly CoverKind[];
}

/** An area of one kind, its rings by turns column and row, with fractions, closed or not; the first is the outer one, the others are holes. */
export interface CoverShape {
  /** Index of `kinds`. */
  readonly kind: number;
  readonly rings: readonly Float64Array[];
}

/** Open ground, where nothing else is told. */
export const OPEN_GROUND: CoverKind = { cover: 'open', height_m: 0, loss_dB: undefined };

/**
 * Puts shapes on the cells of a raster, one over the other: a cell is of a shape that covers half of it or more.
 *
 * The covered share of each cell is exact for straight edges (signed areas summed along a row, the way outlines of letters are
 * filled); edges are straight on the raster. `kinds` are counted from open ground at 0. Arrays are the caller's, zeroed.
 */
export function paintCover(
  rows: number,
  columns: number,
  shapes: readonly CoverShape[],
  kinds: readonly CoverKind[],
  kind: Uint8Array,
  woods: Uint8Array | undefined,
): void {
  let sums = new Float32Array(0);
  for (const shape of shapes) {
    const box = boxOf(shape, rows, columns);
    if (box === null) continue;
    const { top, left, high, wide } = box;
    const stride = wide + 2;
    const room = stride * high;
    if (sums.length < room) sums = new Float32Array(room);
    else sums.fill(0, 0, room);
    shape.rings.forEach((ring, i) => {
      addRing(sums, stride, high, wide, ring, left, top, i === 0 ? 1 : -1);
    });
    const wooded = kinds[shape.kind]!.cover === 'woods';
    const whole = wooded ? 255 : 0;
    for (let r = 0; r < high; r++) {
      let sum = 0;
      let full = 0;
      const from = r * stride;
      const to = (top + r) * columns + left;
      for (let c = 0; c <= wide; c++) {
        // Most cells lie wholly inside or outside: they are passed over, and what is inside is filled at one go.
        const step = c < wide ? sums[from + c]! : -sum;
        if (step === 0) continue;
        if (Math.abs(sum) > 0.998 && c - full > 8) {
          kind.fill(shape.kind, to + full, to + c);
          woods?.fill(whole, to + full, to + c);
        } else if (sum !== 0)
          for (let i = full; i < c; i++) blend(kind, woods, to + i, shape.kind, Math.abs(sum), wooded);
        full = c;
        sum += step;
        if (Math.abs(sum) < 0.002) sum = 0;
      }
    }
  }
}

/** A cell that a shape covers by a share. */
function blend(
  kind: Uint8Array,
  woods: Uint8Array | undefined,
  k: number,
  own: number,
  share: number,
  wooded: boolean,
): void {
  if (share >= 0.5) kind[k] = own;
  if (woods === undefined) return;
  const rest = (1 - Math.min(1, share)) * woods[k]!;
  woods[k] = Math.round(wooded ? 255 * Math.min(1, share) + rest : rest);
}

/** Cells that a shape's outer ring may touch. */
function boxOf(shape: CoverShape, rows: number, columns: number) {
  let [west, east, north, south] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, 0];
  south = Number.NEGATIVE_INFINITY;
  const ring = shape.rings[0]!;
  for (let i = 0; i < ring.length; i += 2) {
    west = Math.min(west, ring[i]!);
    east = Math.max(east, ring[i]!);
    north = Math.min(north, ring[i + 1]!);
    south = Math.max(south, ring[i + 1]!);
  }
  const left = Math.max(0, Math.floor(west + 0.5));
  const top = Math.max(0, Math.floor(north + 0.5));
  const wide = Math.min(columns - 1, Math.floor(east + 0.5)) - left + 1;
  const high = Math.min(rows - 1, Math.floor(south + 0.5)) - top + 1;
  return wide > 0 && high > 0 ? { top, left, high, wide } : null;
}

/** Adds a ring's signed areas, turned so that the outer ring counts up and holes count down. */
function addRing(
  sums: Float32Array,
  stride: number,
  high: number,
  wide: number,
  ring: Float64Array,
  left: number,
  top: number,
  sign: number,
): void {
  const n = ring.length / 2;
  let doubled = 0;
  for (let i = 0, j = n - 1; i < n; j = i++)
    doubled += ring[2 * j]! * ring[2 * i + 1]! - ring[2 * i]! * ring[2 * j + 1]!;
  const turn = doubled < 0 ? -sign : sign;
  // A cell reaches half a step beyond its centre.
  for (let i = 0, j = n - 1; i < n; j = i++)
    addEdge(
      sums,
      stride,
      high,
      wide,
      ring[2 * j]! + 0.5 - left,
      ring[2 * j + 1]! + 0.5 - top,
      ring[2 * i]! + 0.5 - left,
      ring[2 * i + 1]! + 0.5 - top,
      turn,
    );
}

/** Adds one edge: in each row that it crosses, the area to its right is spread over the cell that it crosses and the next. */
function addEdge(
  sums: Float32Array,
  stride: number,
  high: number,
  wide: number,
  xa: number,
  ya: number,
  xb: number,
  yb: number,
  turn: number,
): void {
  if (ya === yb) return;
  const down = ya < yb;
  const [x0, y0, x1, y1] = down ? [xa, ya, xb, yb] : [xb, yb, xa, ya];
  const sign = down ? turn : -turn;
  const slope = (x1 - x0) / (y1 - y0);
  const last = Math.min(high, Math.ceil(y1));
  for (let row = Math.max(0, Math.floor(y0)); row < last; row++) {
    const from = Math.max(y0, row);
    const to = Math.min(y1, row + 1);
    const hold = (x: number) => Math.max(0, Math.min(wide, x));
    const p = hold(x0 + (from - y0) * slope);
    const q = hold(x0 + (to - y0) * slope);
    addSpan(sums, row * stride, Math.min(p, q), Math.max(p, q), sign * (to - from));
  }
}

/** An edge that falls by `fall` of a row between columns `low` and `high`. */
function addSpan(sums: Float32Array, at: number, low: number, high: number, fall: number): void {
  const first = Math.floor(low);
  const end = Math.ceil(high);
  if (end <= first + 1) {
    const over = 0.5 * (low + high) - first;
    sums[at + first]! += fall * (1 - over);
    sums[at + first + 1]! += fall * over;
    return;
  }
  // Covered area of a cell from the edge's mean depth in it, as running differences.
  const perCell = fall / (high - low);
  let before = 0;
  for (let c = first; c < end; c++) {
    const a = Math.max(low, c);
    const b = Math.min(high, c + 1);
    // Rows passed before this cell cover it wholly, what passes in it covers what lies right of the edge.
    const whole = perCell * (a - low) + perCell * (b - a) * (c + 1 - 0.5 * (a + b));
    sums[at + c]! += whole - before;
    before = whole;
  }
  sums[at + end]! += fall - before;
}

/** Perch and named places on a map made of pixels: marks, and names where there is room. */
import { DOT_ROWS, dotWidth, isDrawn, setDots } from './bitmap-type.ts';
import { type Box, placeName } from './name-places.ts';

/** Names on a map of pixels. */
export interface NamedMarks {
  readonly perch: string;
  /** The most important first; `x` and `y` as shares of the map's side. */
  readonly places: readonly {
    readonly name: string;
    readonly x: number;
    readonly y: number;
    readonly reached: boolean;
  }[];
}

/** Side of a dot of the letters, px. */
const DOT_px = 2;
/** A name longer than this is cut, in letters. */
const MOST_LETTERS = 28;
const MARK_px = 6;

const shown = (name: string) => (name.length > MOST_LETTERS ? `${name.slice(0, MOST_LETTERS - 2)}..` : name);

/**
 * Draws the marks and as many names as have room, the first first: `paint` sets a pixel to ink or paper.
 * Gives how many names are left out, those in letters that are not drawn here among them.
 */
export function drawNames(
  { perch, places }: NamedMarks,
  side: number,
  paint: (x: number, y: number, ink: boolean) => void,
): number {
  const middle = side / 2;
  const around = (x: number, y: number, r: number): Box => ({ left: x - r, right: x + r, top: y - r, bottom: y + r });
  const spots = places.map(({ name, reached, x, y }) => ({ name, reached, cx: x * side, cy: y * side }));
  const taken = [around(middle, middle, 8), ...spots.map(({ cx, cy }) => around(cx, cy, MARK_px))];
  for (const { cx, cy, reached } of spots) drawMark(cx, cy, reached, paint);
  const tall = (DOT_ROWS.above + DOT_ROWS.below) * DOT_px;
  const write = (name: string, cx: number, cy: number): boolean => {
    const text = shown(name);
    if (!isDrawn(text)) return false;
    const at = placeName({ wide: dotWidth(text) * DOT_px, tall }, cx, cy, side, taken);
    if (at === undefined) return false;
    const [x, y] = [Math.round(at.left), Math.round(at.top) + DOT_ROWS.above * DOT_px];
    const dots: (readonly [number, number])[] = [];
    setDots(text, x, y, DOT_px, (dx, dy) => dots.push([dx, dy]));
    const square = ([dx, dy]: readonly [number, number], more: number, ink: boolean) => {
      for (let py = dy - more; py < dy + DOT_px + more; py++)
        for (let px = dx - more; px < dx + DOT_px + more; px++) paint(px, py, ink);
    };
    for (const dot of dots) square(dot, 2, false);
    for (const dot of dots) square(dot, 0, true);
    return true;
  };
  write(perch, middle, middle);
  return spots.filter(({ name, cx, cy }) => !write(name, cx, cy)).length;
}

/** A disc where it is reached, a ring where it is not, with a rim of paper. */
export function drawMark(
  cx: number,
  cy: number,
  reached: boolean,
  paint: (x: number, y: number, ink: boolean) => void,
): void {
  const [x, y] = [Math.round(cx), Math.round(cy)];
  for (let dy = -MARK_px; dy <= MARK_px; dy++)
    for (let dx = -MARK_px; dx <= MARK_px; dx++) {
      const d = Math.hypot(dx, dy);
      if (d <= MARK_px + 0.3) paint(x + dx, y + dy, d < 4.6 && (reached || d > 2.4));
    }
}

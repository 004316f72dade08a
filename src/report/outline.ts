/** Long lines in few characters: points that nobody would miss left out, the rest as steps in tenths of a pixel. */
import type { Point } from './svg.ts';

/**
 * A line over rising x with fewer points: none of those left out lies farther from the new line than `tolerance`, up or down.
 * First and last stay. The cone of slopes that still pass all points since the last one kept: sleeve fitting (Zhao and Saalfeld
 * 1997, from memory). Throws RangeError where x does not rise or a value is not finite.
 */
export function thinnedLine(points: readonly Point[], tolerance: number): Point[] {
  const kept: Point[] = points.slice(0, 1);
  let anchor = 0;
  let least = -Infinity;
  let most = Infinity;
  for (let i = 1; i < points.length; i++) {
    const [x, y] = points[i]!;
    const [px] = points[i - 1]!;
    if (!(x > px) || !Number.isFinite(y)) throw new RangeError(`thinnedLine: point ${i} is (${x}, ${y}) after x ${px}`);
    let [ax, ay] = points[anchor]!;
    const slope = (y - ay) / (x - ax);
    if (slope < least || slope > most) {
      anchor = i - 1;
      kept.push(points[anchor]!);
      [ax, ay] = points[anchor]!;
      least = -Infinity;
      most = Infinity;
    }
    least = Math.max(least, (y - tolerance - ay) / (x - ax));
    most = Math.min(most, (y + tolerance - ay) / (x - ax));
  }
  if (points.length > 1) kept.push(points.at(-1)!);
  return kept;
}

/** Path data through points in steps of a tenth of a pixel, without drift; a point that is not finite breaks the line. */
export function stepPath(points: readonly Point[]): string {
  let data = '';
  let pen = 'M';
  let [x, y] = [0, 0];
  for (const [px, py] of points) {
    if (!Number.isFinite(px) || !Number.isFinite(py)) {
      pen = 'M';
      continue;
    }
    const [nx, ny] = [Math.round(10 * px), Math.round(10 * py)];
    if (pen === 'M') data += `M${tenths(nx)}${joined(ny)}`;
    else data += `${pen}${pen === 'l' ? tenths(nx - x) : joined(nx - x)}${joined(ny - y)}`;
    pen = pen === 'M' ? 'l' : '';
    [x, y] = [nx, ny];
  }
  return data;
}

const tenths = (n: number) => String(n / 10 + 0);
/** A sign parts numbers as well as a blank does. */
const joined = (n: number) => (n < 0 ? tenths(n) : ` ${tenths(n)}`);

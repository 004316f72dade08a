/** Values under the pointer, read off a picture without knowing how it was drawn: its frame is the widest outlined rectangle. */

export interface PlotBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** A place in the plotting area, 0..1 from the left and from the top. */
export interface Place {
  readonly x: number;
  /** Null above, below, and where the keyboard moves only across. */
  readonly y: number | null;
  /** Which of the picture's stops it is, where it has some. */
  readonly stop?: number;
}

/** Px from a stop within which the pointer is at it. */
const NEAR_px = 22;

/** The plotting area in the picture's own units, or the whole picture where none stands out. */
export function plotBox(svg: SVGSVGElement): PlotBox {
  const number = (e: Element, name: string) => Number(e.getAttribute(name) ?? Number.NaN);
  const widest = <T extends { readonly width: number }>(list: readonly T[]) =>
    list.reduce<T | undefined>((a, b) => (a && a.width >= b.width ? a : b), undefined);
  const { width, height } = svg.viewBox.baseVal;
  const frame = widest(
    [...svg.querySelectorAll('rect.sp-s-ink, rect.sp-s-hairline')]
      .map((e) => ({
        left: number(e, 'x'),
        top: number(e, 'y'),
        width: number(e, 'width'),
        height: number(e, 'height'),
      }))
      .filter((b) => Object.values(b).every(Number.isFinite)),
  );
  if (frame && frame.width > width / 3) return frame;
  const line = widest(
    [...svg.querySelectorAll('line.sp-s-ink, line.sp-s-hairline')]
      .map((e) => ({ left: number(e, 'x1'), width: number(e, 'x2') - number(e, 'x1') }))
      .filter((l) => l.width > width / 3),
  );
  return line ? { ...line, top: 0, height } : { left: 0, top: 0, width, height };
}

/** Px of the screen for one unit of the picture. */
const scaleOf = (svg: SVGSVGElement) => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;

/** Place of a point on the screen in the plotting area, or null beside it. With stops: the nearest one that is near enough. */
export function placeAt(svg: SVGSVGElement, clientX: number, clientY: number, stops?: readonly Place[]): Place | null {
  const bounds = svg.getBoundingClientRect();
  if (bounds.width === 0) return null;
  const box = plotBox(svg);
  const scale = scaleOf(svg);
  const x = ((clientX - bounds.left) / scale - box.left) / box.width;
  const y = ((clientY - bounds.top) / scale - box.top) / box.height;
  if (stops !== undefined) return nearest(stops, x, y, box.width * scale, box.height * scale);
  return x >= 0 && x < 1 ? { x, y: y >= 0 && y < 1 ? y : null } : null;
}

function nearest(stops: readonly Place[], x: number, y: number, width_px: number, height_px: number): Place | null {
  let best = -1;
  let least_px = Number.POSITIVE_INFINITY;
  stops.forEach((s, i) => {
    const away_px = Math.hypot((s.x - x) * width_px, s.y === null ? 0 : (s.y - y) * height_px);
    if (away_px < least_px) [best, least_px] = [i, away_px];
  });
  const stop = stops[best];
  // Stops that stand side by side divide the width between them; scattered ones have to be met.
  return stop === undefined || (stop.y !== null && least_px > NEAR_px) ? null : { ...stop, stop: best };
}

/** Where a place stands on the screen, px from the picture's left upper corner; without a height, the top. */
export function screenOffset(svg: SVGSVGElement, { x, y }: Place): { readonly left: number; readonly top: number } {
  const box = plotBox(svg);
  const scale = scaleOf(svg);
  return { left: (box.left + x * box.width) * scale, top: y === null ? 0 : (box.top + y * box.height) * scale };
}

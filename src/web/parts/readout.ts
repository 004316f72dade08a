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
}

/** The plotting area in the picture's own units, or the whole picture where none stands out. */
export function plotBox(svg: SVGSVGElement): PlotBox {
  const number = (e: Element, name: string) => Number(e.getAttribute(name) ?? Number.NaN);
  const widest = <T extends { readonly width: number }>(list: readonly T[]) =>
    list.reduce<T | undefined>((a, b) => (a && a.width >= b.width ? a : b), undefined);
  const { width, height } = svg.viewBox.baseVal;
  const frame = widest(
    [...svg.querySelectorAll('rect.sp-s-ink')]
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

/** Place of a point on the screen in the plotting area, or null beside it. */
export function placeAt(svg: SVGSVGElement, clientX: number, clientY: number): Place | null {
  const bounds = svg.getBoundingClientRect();
  if (bounds.width === 0) return null;
  const box = plotBox(svg);
  const scale = svg.viewBox.baseVal.width / bounds.width;
  const x = ((clientX - bounds.left) * scale - box.left) / box.width;
  const y = ((clientY - bounds.top) * scale - box.top) / box.height;
  return x >= 0 && x < 1 ? { x, y: y >= 0 && y < 1 ? y : null } : null;
}

/** Where a place 0..1 across stands on the screen, px from the left edge of the picture. */
export function screenOffset(svg: SVGSVGElement, x: number): number {
  const box = plotBox(svg);
  return ((box.left + x * box.width) / svg.viewBox.baseVal.width) * svg.getBoundingClientRect().width;
}

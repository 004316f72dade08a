/** Where names stand on a map: beside their marks, none over another. */
import { clamp } from './scale.ts';

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const meet = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/** Widest gap to the mark, on either side and above or below; smaller towards the corners. */
const GAP = { beside: 10, corner: 7, over: 6 };
const EDGE = 4;

/**
 * A free place for a name of that size near a mark at `cx`, `cy` on a square map: right of it, left, above, below, then the
 * corners. It is added to what is taken. Undefined where all are taken.
 */
export function placeName(
  { wide, tall }: { readonly wide: number; readonly tall: number },
  cx: number,
  cy: number,
  side: number,
  taken: Box[],
): { readonly left: number; readonly top: number } | undefined {
  const { beside, corner, over } = GAP;
  const tries: readonly (readonly [number, number])[] = [
    [cx + beside, cy - tall / 2],
    [cx - beside - wide, cy - tall / 2],
    [cx - wide / 2, cy - beside - tall],
    [cx - wide / 2, cy + beside],
    [cx + corner, cy - over - tall],
    [cx + corner, cy + over],
    [cx - corner - wide, cy - over - tall],
    [cx - corner - wide, cy + over],
  ];
  for (const [x, top] of tries) {
    const left = clamp(x, EDGE, side - wide - EDGE);
    const box = { left: left - 2, right: left + wide + 2, top, bottom: top + tall };
    if (top < 2 || box.bottom > side - 2 || taken.some((t) => meet(t, box))) continue;
    taken.push(box);
    return { left, top };
  }
  return undefined;
}

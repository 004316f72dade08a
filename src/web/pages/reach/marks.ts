/** Marks on the map: shape and word tell the state, colour only underlines it. */
import { escapeText } from '../../../report/index.ts';

export type MarkState = 'in hand' | 'reached' | 'on the edge' | 'not reached' | 'not judged';

export interface Mark {
  readonly name: string;
  readonly kind: 'perch' | 'place' | 'candidate' | 'point';
  readonly state: MarkState;
}

export const MARK_px = 28;

/** Outline of each kind, and its left half. */
const OUTLINES: Readonly<Record<Mark['kind'], readonly [outline: string, half: string]>> = {
  perch: ['M14 7a7 7 0 1 0 0 14a7 7 0 1 0 0 -14Z', 'M14 7a7 7 0 0 0 0 14Z'],
  place: ['M7.5 7.5h13v13h-13Z', 'M7.5 7.5h6.5v13h-6.5Z'],
  candidate: ['M14 6L21.5 20h-15Z', 'M14 6v14h-7.5Z'],
  point: ['M14 4v20M4 14h20', ''],
};

/** Ring with a dot: in hand. Full disc: reached; half: on the edge; ring: not reached; ring of dots: not judged. Squares are places, triangles candidates. */
export function markSvg({ kind, state }: Pick<Mark, 'kind' | 'state'>): string {
  const [outline, half] = OUTLINES[kind];
  const halo = `<path d="${outline}" class="halo"/>`;
  if (state === 'in hand')
    return `<svg viewBox="0 0 28 28" width="28" height="28" aria-hidden="true"><circle cx="14" cy="14" r="11.5" class="paper line"/><circle cx="14" cy="14" r="6" class="lake"/></svg>`;
  if (kind === 'point')
    return `<svg viewBox="0 0 28 28" width="28" height="28" aria-hidden="true">${halo}<path d="${outline}" class="line"/></svg>`;
  const inside =
    state === 'reached'
      ? `<path d="${outline}" class="full"/>`
      : state === 'on the edge'
        ? `<path d="${outline}" class="paper"/><path d="${half}" class="full"/>`
        : `<path d="${outline}" class="paper"/>`;
  const dotted = state === 'not judged' ? ' stroke-dasharray="1.5 3"' : '';
  return `<svg viewBox="0 0 28 28" width="28" height="28" aria-hidden="true">${halo}${inside}<path d="${outline}" class="line"${dotted}/></svg>`;
}

/** The mark with its name, as markup. */
export const markHtml = (mark: Mark): string =>
  `${markSvg(mark)}${mark.kind === 'point' ? '' : `<span class="mark-name">${escapeText(mark.name)}</span>`}`;

/** What a screen reader says of a mark. */
export function markLabel(mark: Mark, movable: boolean): string {
  const what = mark.state === 'in hand' ? 'the perch in hand' : `${mark.kind}, ${mark.state}`;
  return `${mark.name}, ${what}${movable ? '; arrow keys move it by 10 m, with shift by 100 m' : ''}`;
}

export interface LabelBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Which labels can be written without lying over each other: the first ones have the right of way. */
export function freeLabels(boxes: readonly LabelBox[]): boolean[] {
  const taken: LabelBox[] = [];
  return boxes.map((box) => {
    const meets = taken.some(
      (t) => t.left < box.right && box.left < t.right && t.top < box.bottom && box.top < t.bottom,
    );
    if (!meets) taken.push(box);
    return !meets;
  });
}

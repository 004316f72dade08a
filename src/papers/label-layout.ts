/** Where labels lie on their sheets, and whether the grid fits the paper. */

import { type Problem, UserError, userError } from '../core/units/index.ts';
import { PAPER_pt, PT_PER_MM } from './paper.ts';
import type { LabelLayout, LabelSheet } from './types.ts';

export interface LabelPlace {
  readonly page: number;
  readonly x_mm: number;
  readonly y_mm: number;
}

/** Rounding in the packet's own figures is let pass. */
const SLACK_mm = 0.1;
const LEAST_mm = 8;
const MOST_LABELS = 10_000;

/** Width and height of a page, mm. */
export function pageSize_mm(layout: LabelLayout): readonly [number, number] {
  if (layout.kind === 'roll') return [layout.labelWidth_mm, layout.labelHeight_mm];
  const [width, height] = PAPER_pt[layout.paper];
  return [width / PT_PER_MM, height / PT_PER_MM];
}

const told = (value: number) => String(Math.round(value * 100) / 100);

/** Whether one side of the grid fits; the sentence says by how much it does not, and what would. */
function sideProblem(sheet: LabelSheet, side: 'columns' | 'rows'): Problem | undefined {
  const across = side === 'columns';
  const count = sheet[side];
  const size = across ? sheet.labelWidth_mm : sheet.labelHeight_mm;
  const gap = across ? sheet.gapX_mm : sheet.gapY_mm;
  const margin = across ? sheet.marginLeft_mm : sheet.marginTop_mm;
  const page = pageSize_mm(sheet)[across ? 0 : 1];
  const need = margin + count * size + (count - 1) * gap;
  if (need <= page + SLACK_mm) return undefined;
  const fits = Math.floor((page + SLACK_mm - margin + gap) / (size + gap));
  const mend =
    fits >= 1
      ? `take ${fits} ${fits === 1 ? side.slice(0, -1) : side}, or check the sizes on the packet of labels`
      : 'check the sizes on the packet of labels';
  return {
    code: 'label-grid',
    message: `${count} ${count === 1 ? side.slice(0, -1) : side} of ${told(size)} mm with gaps of ${told(gap)} mm after a margin of ${told(margin)} mm need ${told(need)} mm, and ${sheet.paper === 'A4' ? 'A4' : 'Letter'} is ${told(page)} mm ${across ? 'wide' : 'high'}: ${mend}`,
    place: { field: side },
  };
}

/** Throws UserError with all that is wrong with a layout. */
export function checkLayout(layout: LabelLayout): void {
  const problems: Problem[] = [];
  const wrong = (field: string, message: string) => problems.push({ code: 'label-layout', message, place: { field } });
  for (const field of ['labelWidth_mm', 'labelHeight_mm'] as const)
    if (!(layout[field] >= LEAST_mm))
      wrong(field, `${field} is ${layout[field]}: a label has at least ${LEAST_mm} mm each way`);
  if (!(layout.corner_mm >= 0 && layout.corner_mm <= Math.min(layout.labelWidth_mm, layout.labelHeight_mm) / 2))
    wrong(
      'corner_mm',
      `corner_mm is ${layout.corner_mm}: a corner's radius lies between 0 and half of the label's shorter side`,
    );
  if (layout.kind === 'sheet') {
    for (const field of ['rows', 'columns'] as const)
      if (!Number.isInteger(layout[field]) || layout[field] < 1)
        wrong(field, `${field} is ${layout[field]}: a whole number from 1 is wanted`);
    for (const field of ['marginLeft_mm', 'marginTop_mm', 'gapX_mm', 'gapY_mm'] as const)
      if (!(layout[field] >= 0)) wrong(field, `${field} is ${layout[field]}: it is 0 or more`);
    if (problems.length === 0)
      for (const side of ['columns', 'rows'] as const) {
        const problem = sideProblem(layout, side);
        if (problem !== undefined) problems.push(problem);
      }
  }
  if (problems.length > 0) throw new UserError(problems);
}

/**
 * Places of `count` labels, row by row; `startAt` is the first free place of the first sheet, from 1. Throws UserError when the
 * layout does not fit or the place is not on the sheet.
 */
export function placeLabels(layout: LabelLayout, count: number, startAt = 1): LabelPlace[] {
  checkLayout(layout);
  if (!Number.isInteger(count) || count < 0 || count > MOST_LABELS)
    throw userError('label-count', `${count} labels: from 0 to ${MOST_LABELS} are made at once`, { field: 'count' });
  if (layout.kind === 'roll') return Array.from({ length: count }, (_, i) => ({ page: i, x_mm: 0, y_mm: 0 }));
  const each = layout.rows * layout.columns;
  if (!Number.isInteger(startAt) || startAt < 1 || startAt > each)
    throw userError('label-start', `startAt is ${startAt}: the sheet has the places 1 to ${each}`, {
      field: 'startAt',
    });
  return Array.from({ length: count }, (_, i) => {
    const at = startAt - 1 + i;
    const inPage = at % each;
    return {
      page: Math.floor(at / each),
      x_mm: layout.marginLeft_mm + (inPage % layout.columns) * (layout.labelWidth_mm + layout.gapX_mm),
      y_mm: layout.marginTop_mm + Math.floor(inPage / layout.columns) * (layout.labelHeight_mm + layout.gapY_mm),
    };
  });
}

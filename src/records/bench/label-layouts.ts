/** Layouts of labels to begin with; the examples hold the same as files. */
import type { LabelLayout } from './label-layout.ts';

export const LABEL_LAYOUTS: readonly LabelLayout[] = [
  {
    kind: 'sheet',
    name: 'A4, 3 x 8',
    paper: 'A4',
    columns: 3,
    rows: 8,
    labelWidth_mm: 63.5,
    labelHeight_mm: 33.9,
    marginLeft_mm: 7.2,
    marginTop_mm: 12.9,
    gapX_mm: 2.5,
    gapY_mm: 0,
    corner_mm: 2,
  },
  {
    kind: 'sheet',
    name: 'Letter, 2 x 5',
    paper: 'letter',
    columns: 2,
    rows: 5,
    labelWidth_mm: 101.6,
    labelHeight_mm: 50.8,
    marginLeft_mm: 4,
    marginTop_mm: 12.7,
    gapX_mm: 4.8,
    gapY_mm: 0,
    corner_mm: 2,
  },
  { kind: 'roll', name: 'Roll, 70 x 40 mm', labelWidth_mm: 70, labelHeight_mm: 40, corner_mm: 1 },
];

/** How labels lie on their sheets or rolls: a file of the maker's, from the figures on the packet. */
import * as z from 'zod';
import { countOf, label, within } from '../fields.ts';
import { isMapping } from '../loose.ts';
import { type RecordSource, readFields } from '../read.ts';

const size = (what: string) => within(`${what} in mm`, 8, 300);
const sides = {
  name: label().optional().describe('What you call it'),
  labelWidth_mm: size('the width of a label').describe('Width of a label, mm'),
  labelHeight_mm: size('the height of a label').describe('Height of a label, mm'),
  corner_mm: within("a corner's radius in mm", 0, 100)
    .default(0)
    .describe('Radius of the corners, mm: kept clear of print, drawn on a trial print'),
};

export const labelSheetSchema = z.strictObject({
  kind: z.literal('sheet'),
  paper: z.enum(['A4', 'letter']).describe('Paper of the sheet'),
  rows: countOf('the number of rows', 1, 60),
  columns: countOf('the number of columns', 1, 30),
  ...sides,
  marginLeft_mm: within('a margin in mm', 0, 200).describe("From the paper's left edge to the first label, mm"),
  marginTop_mm: within('a margin in mm', 0, 200).describe("From the paper's upper edge to the first label, mm"),
  gapX_mm: within('a gap in mm', 0, 100).default(0).describe('Between two labels beside each other, edge to edge, mm'),
  gapY_mm: within('a gap in mm', 0, 100).default(0).describe('Between two labels below each other, edge to edge, mm'),
});
/** A printer that takes one label after the other: each page is a label. */
export const labelRollSchema = z.strictObject({ kind: z.literal('roll'), ...sides });

export const labelLayoutSchema = z
  .discriminatedUnion('kind', [labelSheetSchema, labelRollSchema])
  .describe('sheet: a grid of labels on paper; roll: one label after the other');

export type LabelSheet = Readonly<z.output<typeof labelSheetSchema>>;
export type LabelRoll = Readonly<z.output<typeof labelRollSchema>>;
export type LabelLayout = LabelSheet | LabelRoll;

/**
 * A layout of labels from its parsed file.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readLabelLayout(source: RecordSource): LabelLayout {
  // By its kind, so that only what such a layout wants is told; without one it is taken for a sheet.
  const roll = isMapping(source.value) && source.value['kind'] === 'roll';
  return roll ? readFields(source, 'layout', labelRollSchema) : readFields(source, 'layout', labelSheetSchema);
}

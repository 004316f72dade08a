/** What lies in a parcel, by line and by serial. */

import { userError } from '../core/units/index.ts';
import { closeBenchPaper, facts, heading, list, openBenchPaper } from './bench-blocks.ts';
import { tableBlocks } from './table-blocks.ts';
import type { PackingList, PaperSetting } from './types.ts';

/** Throws UserError where the count of a line is not that of its serials. */
export async function packingListPdf(packing: PackingList, setting: PaperSetting): Promise<Uint8Array> {
  for (const { what, count, serials } of packing.lines)
    if (!Number.isInteger(count) || count < 1 || (serials.length > 0 && serials.length !== count))
      throw userError(
        'packing-count',
        `'${what}' says ${count} and names ${serials.length} serials: each piece has its own, or none has one`,
        { field: 'lines' },
      );
  const pieces = packing.lines.reduce((sum, l) => sum + l.count, 0);
  const made = openBenchPaper(setting, {
    kind: 'Packing list',
    thing: packing.number,
    title: `${pieces} ${pieces === 1 ? 'piece' : 'pieces'} for ${packing.customer[0] ?? 'the customer'}`,
  });
  const { paper, flow, width } = made;
  flow.place(
    facts(
      paper,
      [
        ['to', packing.customer.join('\n')],
        ['from', [packing.maker, ...packing.address].join('\n')],
        ['day', packing.day],
      ],
      width,
    ),
  );
  const cell = (text: string, face: 'regular' | 'bold' | 'mono' = 'regular') => ({ spans: [{ text, face }] });
  flow.place(
    tableBlocks(
      paper,
      {
        head: [cell('count', 'bold'), cell('what', 'bold'), cell('serials', 'bold'), cell('packed', 'bold')],
        figures: [true, false, false, false],
        rows: packing.lines.map((l) => ({
          cells: [cell(String(l.count), 'mono'), cell(l.what), cell(l.serials.join('  '), 'mono'), cell('○')],
        })),
      },
      width,
      14,
    ),
  );
  const narrow = Math.min(width, 470);
  if (packing.notes.length > 0)
    flow.place([heading(paper, 'Notes', width), ...list(paper, packing.notes, narrow, 'dash')]);
  if (packing.cautions.length > 0)
    flow.place([heading(paper, 'Cautions', width), ...list(paper, packing.cautions, narrow, 'bar')]);
  return closeBenchPaper(made);
}

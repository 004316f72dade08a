/** Tables: widths of the columns, rows as blocks whose head comes again on each page. */

import { type Block, baseLine, textBlock } from './flow.ts';
import { HAIRLINE, INK, type Paper } from './paper.ts';
import type { Line, Span } from './type.ts';

export interface Cell {
  readonly spans: readonly Span[];
  /** A picture before the text. */
  readonly picture?: { readonly width: number; readonly height: number; readonly draw: (x: number, y: number) => void };
}

export interface PaperTable {
  readonly caption?: string;
  /** Cells stay on one line where all of them have room so. */
  readonly tight?: boolean;
  /** The column that takes what room is to spare; all columns of words share it otherwise. */
  readonly spare?: number;
  readonly head: readonly Cell[];
  /** Columns set to the right. */
  readonly figures: readonly boolean[];
  readonly rows: readonly { readonly cells: readonly Cell[]; readonly sum?: boolean }[];
}

export const TABLE_SIZE = 8.6;
const STEP = TABLE_SIZE * 1.36;
const PAD = 3.2;
const GAP = 11;

/** Room that a cell's picture takes before its text. */
const pictured = (cell: Cell) => (cell.picture === undefined ? 0 : cell.picture.width + 4);

export function tableBlocks(paper: Paper, table: PaperTable, width: number, gap = 0): Block[] {
  const widths = columnWidths(paper, table, width);
  const lefts = widths.map((_, i) => widths.slice(0, i).reduce((sum, w) => sum + w + GAP, 0));
  const part = paper.group('Table');
  const lay = (cells: readonly Cell[]) =>
    cells.map((cell, i): Line[] =>
      cell.spans.length === 0 ? [] : paper.type.lines(cell.spans, widths[i]! - pictured(cell), TABLE_SIZE, INK),
    );
  const high = (cells: readonly Cell[], lines: readonly Line[][]) =>
    2 * PAD + Math.max(STEP, ...cells.map((c, i) => Math.max(c.picture?.height ?? 0, lines[i]!.length * STEP)));
  const rule = (x: number, y: number, colour: string) =>
    paper.artifact(() => {
      paper.doc
        .moveTo(x, y)
        .lineTo(x + width, y)
        .lineWidth(0.5)
        .stroke(colour);
    });
  const setCells = (
    cells: readonly Cell[],
    lines: readonly Line[][],
    x: number,
    y: number,
    tag: 'TH' | 'TD',
    low: number,
  ) => {
    const row = paper.group('TR');
    row.within(() => {
      cells.forEach((cell, i) => {
        paper.tagged(tag === 'TD' && i === 0 ? 'TH' : tag, () => {
          cell.picture?.draw(x + lefts[i]!, y + PAD + Math.max(0, (STEP - cell.picture.height) / 2));
          lines[i]!.forEach((line, k) => {
            const shift = table.figures[i] ? widths[i]! - line.width : pictured(cell);
            // Heads stand at the foot of their row.
            const down = (Math.max(low - lines[i]!.length, 0) + k) * STEP;
            paper.setLine(line, x + lefts[i]! + shift, y + PAD + down + baseLine(TABLE_SIZE, STEP));
          });
        });
      });
    });
    row.end();
  };

  const headLines = lay(table.head);
  const headHeight = high(table.head, headLines);
  const head: Block = {
    height: headHeight,
    keep: true,
    draw: (x, y) => {
      part.within(() => setCells(table.head, headLines, x, y, 'TH', Math.max(...headLines.map((l) => l.length))));
      rule(x, y + headHeight, INK);
      if (table.rows.length === 0) part.end();
    },
  };
  const blocks: Block[] = [];
  if (table.caption !== undefined && table.caption !== '')
    blocks.push(textBlock(paper, table.caption, width, { size: 8, keep: true, gap, tag: 'P' }));
  blocks.push(table.caption === undefined || table.caption === '' ? { ...head, gap } : head);
  const last = table.rows.length - 1;
  table.rows.forEach(({ cells, sum }, i) => {
    const lines = lay(cells);
    const height = high(cells, lines);
    blocks.push({
      height,
      head,
      // No row alone at the foot or at the top of a page.
      keep: i < last && (i === 0 || i === last - 1),
      draw: (x, y) => {
        if (sum) rule(x, y, INK);
        part.within(() => setCells(cells, lines, x, y, 'TD', 0));
        rule(x, y + height, HAIRLINE);
        if (i === last) part.end();
      },
    });
  });
  return blocks;
}

/**
 * Widths as browsers share them out: each column its narrowest, then the rest by what is wanted beyond; what no text wants goes to
 * the columns of words. Narrowest beyond the room are scaled down, and long words broken.
 */
function columnWidths(paper: Paper, table: PaperTable, width: number): number[] {
  const all = [table.head, ...table.rows.map((r) => r.cells)];
  const wide = (cell: Cell | undefined, part: (text: string) => string[]): number => {
    if (cell === undefined) return 0;
    if (cell.spans.length === 0) return cell.picture?.width ?? 0;
    // A cell of one span is by far the most frequent; words that run over spans are measured together.
    const text = cell.spans.map((s) => s.text).join('');
    const face = cell.spans.some((s) => s.face === 'mono')
      ? 'mono'
      : cell.spans.some((s) => s.face === 'bold')
        ? 'bold'
        : 'regular';
    return pictured(cell) + Math.max(0, ...part(text).map((p) => paper.type.widthOf(p, face, TABLE_SIZE)));
  };
  const columns = table.head.map((_, i) => all.map((row) => row[i]));
  const words = (text: string) => text.split(/[ \n]+/);
  const rows = (text: string) => text.split('\n');
  const least = columns.map((c) =>
    Math.min(Math.max(...c.map((cell, r) => wide(cell, table.tight && r > 0 ? rows : words))), width / 2),
  );
  const most = columns.map((c, i) => Math.max(least[i]!, ...c.map((cell) => wide(cell, rows))) + 0.5);
  const room = width - GAP * (columns.length - 1);
  const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
  const [low, high] = [sum(least), sum(most)];
  if (low >= room) return least.map((w) => (w * room) / low);
  if (high > room) return least.map((w, i) => w + ((most[i]! - w) * (room - low)) / Math.max(high - low, 1e-9));
  if (table.spare !== undefined) return most.map((w, i) => (i === table.spare ? w + room - high : w));
  const texts = table.figures.filter((f) => !f).length;
  const spare = (room - high) / Math.max(texts === 0 ? columns.length : texts, 1);
  return most.map((w, i) => (texts === 0 || !table.figures[i] ? w + spare : w));
}

/** Blocks one below the other over as many pages as they need. */

import { INK, MARGIN_pt, type Paper, type Tag } from './paper.ts';
import type { Line, Span } from './type.ts';

export interface Block {
  readonly height: number;
  /** Free room above it, not at the top of a page. */
  readonly gap?: number;
  /** Stands on one page with what follows. */
  readonly keep?: boolean;
  /** What is set again when a page begins with this block, such as the head of its table. */
  readonly head?: Block;
  readonly draw: (x: number, y: number) => void;
}

export class Flow {
  readonly paper: Paper;
  readonly x: number;
  readonly width: number;
  readonly top: number;
  readonly bottom: number;
  #y = Number.POSITIVE_INFINITY;

  constructor(paper: Paper) {
    this.paper = paper;
    this.x = MARGIN_pt.side;
    this.width = paper.width - 2 * MARGIN_pt.side;
    this.top = MARGIN_pt.top;
    this.bottom = paper.height - MARGIN_pt.bottom;
  }

  /** Height that is left on the page in hand. */
  get room(): number {
    return Math.max(0, this.bottom - this.#y);
  }

  /** Places blocks; those kept together go to the next page together where a page holds them. */
  place(blocks: readonly Block[]): void {
    for (let i = 0; i < blocks.length; ) {
      let end = i + 1;
      while (end < blocks.length && blocks[end - 1]!.keep) end++;
      const group = blocks.slice(i, end);
      const fits = this.#y + stackHeight(group) + (group[0]!.gap ?? 0) <= this.bottom;
      if (!fits && stackHeight(group) <= this.bottom - this.top) this.#turn(group[0]!);
      for (const block of group) {
        if (this.#y + (block.gap ?? 0) + block.height > this.bottom) this.#turn(block);
        const gap = this.#y > this.top ? (block.gap ?? 0) : 0;
        block.draw(this.x, this.#y + gap);
        this.#y += gap + block.height;
      }
      i = end;
    }
  }

  /** What comes next begins a page. */
  newPage(): void {
    this.paper.addPage();
    this.#y = this.top;
  }

  #turn(next: Block): void {
    if (this.#y <= this.top) return;
    this.paper.addPage();
    this.#y = this.top;
    if (next.head === undefined) return;
    next.head.draw(this.x, this.#y);
    this.#y += next.head.height;
  }
}

/** Height of blocks one below the other, without the gap above the first. */
export function stackHeight(blocks: readonly Block[]): number {
  return blocks.reduce((sum, block, i) => sum + block.height + (i === 0 ? 0 : (block.gap ?? 0)), 0);
}

/** Blocks one below the other as one that stays together. */
export function stacked(blocks: readonly Block[], more: Pick<Block, 'gap' | 'keep'> = {}): Block {
  return {
    ...more,
    height: stackHeight(blocks),
    draw: (x, y) => {
      let at = y;
      blocks.forEach((block, i) => {
        at += i === 0 ? 0 : (block.gap ?? 0);
        block.draw(x, at);
        at += block.height;
      });
    },
  };
}

/** Two stacks side by side. */
export function beside(left: Block, right: Block, shift: number, more: Pick<Block, 'gap' | 'keep'> = {}): Block {
  return {
    ...more,
    height: Math.max(left.height, right.height),
    draw: (x, y) => {
      left.draw(x, y);
      right.draw(x + shift, y);
    },
  };
}

export interface TextBlock extends Pick<Block, 'gap' | 'keep'> {
  readonly size: number;
  /** Line distance in sizes. */
  readonly leading?: number;
  readonly tag?: Tag;
  readonly colour?: string;
  readonly indent?: number;
  /** Line in this colour down the left side. */
  readonly bar?: string;
  /** Set at the indent's left on the first line. */
  readonly mark?: string;
  /** Title of a bookmark to it. */
  readonly bookmark?: string;
}

const ASCENT = 0.82;

/** A paragraph or heading, set to `width`; lines stay together. */
export function textBlock(paper: Paper, text: string | readonly Span[], width: number, options: TextBlock): Block {
  const { size, leading = 1.4, tag = 'P', colour = INK, indent = 0, bar, mark, bookmark, ...more } = options;
  const face = tag === 'H1' || tag === 'H2' || tag === 'H3' ? ('bold' as const) : ('regular' as const);
  const spans: readonly Span[] = typeof text === 'string' ? [{ text, face }] : text;
  const lines = paper.type.lines(spans, width - indent, size, colour);
  const step = size * leading;
  const height = lines.length * step;
  return {
    ...more,
    height,
    draw: (x, y) => {
      if (bar !== undefined)
        paper.artifact(() => {
          paper.doc
            .moveTo(x + 1, y)
            .lineTo(x + 1, y + height)
            .lineWidth(2)
            .stroke(bar);
        });
      if (bookmark !== undefined) paper.bookmark(bookmark, y);
      paper.tagged(tag, () => {
        if (mark !== undefined) paper.setText(mark, x, y + baseLine(size, step), size, { colour });
        setLines(paper, lines, x + indent, y, size, step);
      });
    },
  };
}

/** Base line of the first of lines that are `step` apart, below their top. */
export const baseLine = (size: number, step: number): number => (step - size) / 2 + size * ASCENT;

/** Lines one below the other, each ending with a space for those who copy the text. */
export function setLines(paper: Paper, lines: readonly Line[], x: number, y: number, size: number, step: number): void {
  lines.forEach((line, i) => {
    paper.setLine(line, x, y + i * step + baseLine(size, step));
  });
}

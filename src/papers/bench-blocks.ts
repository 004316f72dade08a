/** Parts that the bench's papers share: head, headings, facts, lists, steps. */

import { LIGHT } from '../report/theme.ts';
import { type Block, Flow, textBlock } from './flow.ts';
import { SIZE } from './page-blocks.ts';
import { Paper } from './paper.ts';
import { tableBlocks } from './table-blocks.ts';
import type { Face, Span } from './type.ts';
import type { PaperSetting } from './types.ts';

interface Head {
  readonly kind: string;
  readonly title: string;
  readonly thing: string;
}

export interface BenchPaper {
  readonly paper: Paper;
  readonly flow: Flow;
  readonly width: number;
}

/**
 * A paper with its kind on top, the answer below it, and a footer with the day and the version.
 *
 * @param all what the whole file is about, where it holds several papers of one kind
 */
export function openBenchPaper(setting: PaperSetting, head: Head, all: string = head.thing): BenchPaper {
  const { kind, title } = head;
  const day = setting.created.toISOString().slice(0, 10);
  const paper = new Paper({
    paper: setting.paper,
    fonts: setting.fonts,
    title: `${kind}: ${all}`,
    subject: title,
    created: setting.created,
    footer: `${kind} · ${all} · printed ${day} · sunperch ${setting.version}`,
  });
  const flow = new Flow(paper);
  const made = { paper, flow, width: flow.width };
  placeHead(made, head);
  return made;
}

/** The kind of a paper and its answer, at the place in hand. */
export function placeHead({ paper, flow, width }: BenchPaper, { kind, title, thing }: Head): void {
  flow.place([
    textBlock(paper, [{ text: kind, face: 'bold' }, { text: ` · ${thing}` }], width, { size: 9.5, keep: true }),
    textBlock(paper, title, Math.min(width, 490), {
      size: 17,
      leading: 1.25,
      tag: 'H1',
      gap: 8,
      bookmark: title,
    }),
  ]);
}

/** Places the last note on characters that the type lacks, and gives the file. */
export async function closeBenchPaper({ paper, flow, width }: BenchPaper): Promise<Uint8Array> {
  const missing = [...paper.type.missing].map(
    (c) => `U+${c.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`,
  );
  if (missing.length > 0)
    flow.place([
      textBlock(paper, `Not in the type of this paper, and set as \ufffd: ${missing.slice(0, 12).join(', ')}.`, width, {
        size: SIZE.small,
        gap: 8,
      }),
    ]);
  return paper.bytes();
}

const UNIT = /(\d) (?=(?:%|°C|°|[µmk]?[AVWm]|[km]?Wh|m?Ah|[kM]Hz|cm|dB[im]?|min|[hs])(?![A-Za-z]))/g;
/** Keeps a figure and its unit on one line. */
const bound = (text: string) => text.replace(UNIT, '$1\u00a0');

export function heading(paper: Paper, text: string, width: number, gap = 16): Block {
  return textBlock(paper, text, width, { size: 12, leading: 1.25, tag: 'H2', gap, keep: true, bookmark: text });
}

export function prose(
  paper: Paper,
  text: string,
  width: number,
  more: { readonly size?: number; readonly gap?: number } = {},
): Block {
  return textBlock(paper, bound(text), width, { size: more.size ?? SIZE.list, gap: more.gap ?? 4 });
}

/** Items with a bar beside them, as cautions have, with numbers, or with a dash. */
export function list(
  paper: Paper,
  items: readonly string[],
  width: number,
  kind: 'bar' | 'number' | 'dash',
  size: number = SIZE.list,
): Block[] {
  const part = paper.group('L');
  return items.map((item, i) => {
    const block = textBlock(paper, bound(item), width, {
      size,
      leading: 1.34,
      tag: 'LI',
      gap: i === 0 ? 4 : kind === 'bar' ? 6 : 3,
      indent: kind === 'number' ? 15 : 10,
      ...(kind === 'bar' ? { bar: LIGHT.dusk } : { mark: kind === 'number' ? `${i + 1}.` : '–' }),
    });
    return {
      ...block,
      draw: (x, y) => {
        part.within(() => block.draw(x, y));
        if (i === items.length - 1) part.end();
      },
    };
  });
}

/** Names with their values. */
export function facts(paper: Paper, rows: readonly (readonly [string, string])[], width: number, gap = 8): Block[] {
  return plainTable(paper, ['what', 'value'], rows, width, gap, 1);
}

/** A table of texts, the head in bold. */
export function plainTable(
  paper: Paper,
  head: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
  gap = 6,
  spare?: number,
): Block[] {
  const cell = (text: string, face: Face) => ({ spans: [{ text: bound(text), face }] as Span[] });
  return tableBlocks(
    paper,
    {
      ...(spare === undefined ? {} : { spare }),
      head: head.map((h) => cell(h, 'bold')),
      figures: head.map(() => false),
      rows: rows.map((row) => ({ cells: row.map((text) => cell(text, 'regular')) })),
    },
    width,
    gap,
  );
}

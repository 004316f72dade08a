/** A report page as a PDF file: the same sections, pictures and words as the HTML page, set on A4 or Letter. */

import type { Page } from '../report/layout.ts';
import { type Block, Flow, textBlock } from './flow.ts';
import { parseMarkup } from './markup.ts';
import { blocksOf, SIZE } from './page-blocks.ts';
import { HAIRLINE, Paper, type PaperName } from './paper.ts';
import type { PaperFonts, Span } from './type.ts';

export interface PagePdfOptions {
  readonly paper: PaperName;
  readonly fonts: PaperFonts;
  /** When it was made; told in the footer as a day. */
  readonly created: Date;
  readonly version: string;
}

const SIGN = { 'stays up': '●', 'on the edge': '◐', 'goes dark': '○' } as const;

/**
 * Sets a page of the report as PDF 1.7: text that can be selected and searched, pictures as vectors, bookmarks, language, structure for
 * screen readers, page numbers. The same page, options and fonts give the same bytes. Characters that no given font has are set as �
 * and named at the end.
 */
export async function pagePdf(
  page: Page,
  { paper: name, fonts, created, version }: PagePdfOptions,
): Promise<Uint8Array> {
  const day = created.toISOString().slice(0, 10);
  const [thing = ''] = page.thing;
  const paper = new Paper({
    paper: name,
    fonts,
    title: page.title,
    subject: page.verdict,
    created,
    footer: `${thing} · ${day} · sunperch ${version} · estimates; local law, codes and licensed practice decide`,
  });
  const flow = new Flow(paper);
  const { width } = flow;
  flow.place(headBlocks(paper, page, width));
  const set = (parts: readonly string[]) => {
    for (const part of parts) if (part !== '') flow.place(blocksOf(paper, parseMarkup(part), width));
  };
  set(page.main);
  set(page.aside);
  set(page.below ?? []);
  const method = 'How this was computed';
  flow.place([
    textBlock(paper, method, width, { size: SIZE.h2, leading: 1.25, tag: 'H2', gap: 20, keep: true, bookmark: method }),
    ...blocksOf(paper, parseMarkup(page.method.join('')), width),
    ...madeFrom(paper, page.generatedFrom, width),
    textBlock(paper, 'Sunperch. All figures are estimates; local law, codes and licensed practice decide.', width, {
      size: SIZE.small,
      gap: 10,
    }),
  ]);
  const missing = [...paper.type.missing];
  if (missing.length > 0)
    flow.place([
      textBlock(
        paper,
        `The type of this paper lacks some characters, which stand as \ufffd: ${missing
          .slice(0, 12)
          .map((c) => `U+${c.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`)
          .join(', ')}${missing.length > 12 ? ' and more' : ''}. The HTML page shows them.`,
        width,
        { size: SIZE.small, gap: 6 },
      ),
    ]);
  return paper.bytes();
}

/** The thing in hand, the state, the answer. */
function headBlocks(paper: Paper, page: Page, width: number): Block[] {
  const [first = '', ...rest] = page.thing;
  const blocks: Block[] = [
    textBlock(
      paper,
      [{ text: first, face: 'bold', size: 10.5 }, ...rest.flatMap((t): Span[] => [{ text: ' · ' }, { text: t }])],
      width,
      {
        size: 8.4,
        leading: 1.6,
        keep: true,
      },
    ),
    {
      height: 22,
      keep: true,
      draw: (x, y) =>
        paper.artifact(() => {
          paper.doc
            .moveTo(x, y + 4)
            .lineTo(x + width, y + 4)
            .lineWidth(0.5)
            .stroke(HAIRLINE);
        }),
    },
  ];
  if (page.state !== undefined)
    blocks.push(
      textBlock(paper, [{ text: `${SIGN[page.state]} ${page.state}`, face: 'bold' }], width, { size: 10, keep: true }),
    );
  blocks.push(
    textBlock(paper, page.verdict, Math.min(width, 490), {
      size: 18,
      leading: 1.24,
      tag: 'H1',
      gap: 4,
      keep: true,
      bookmark: page.verdict,
    }),
  );
  if (page.lead !== undefined)
    blocks.push(textBlock(paper, page.lead, Math.min(width, 460), { size: 11.5, leading: 1.35, gap: 7 }));
  return blocks;
}

function madeFrom(paper: Paper, sources: readonly string[], width: number): Block[] {
  if (sources.length === 0) return [];
  const spans = sources.flatMap((s, i): Span[] => [
    { text: i === 0 ? 'Made from ' : ', ' },
    { text: s, face: 'mono', size: SIZE.list * 0.95 },
  ]);
  return [textBlock(paper, [...spans, { text: '.' }], width, { size: SIZE.list, gap: 6 })];
}

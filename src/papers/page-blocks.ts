/** The parts of a report page, as its markup has them, as blocks for paper. */

import { LIGHT } from '../report/theme.ts';
import { drawPicture, pictureSize, pictureWords } from './draw-picture.ts';
import { type Block, beside, stacked, textBlock } from './flow.ts';
import { elementsOf, findElement, hasClass, type Markup, textOf } from './markup.ts';
import { type Paper, PT_PER_MM } from './paper.ts';
import { type Cell, tableBlocks } from './table-blocks.ts';
import type { Face, Span } from './type.ts';

export const SIZE = { body: 9.8, small: 8.2, list: 9, h2: 12.5, h3: 10.4 } as const;
/** Room between the columns of a pair. */
const GUTTER = 20;
/** Most height of one picture: it and its words stay on one page. */
const MOST_MAP = 148 * PT_PER_MM;

/** Text of inline markup: code in the figures' font, bold, line breaks. */
export function spansOf(children: readonly (Markup | string)[], face: Face = 'regular'): Span[] {
  return children.flatMap((child): Span[] => {
    if (typeof child === 'string') return [{ text: child.replace(/\n/g, ' '), face }];
    if (child.name === 'br') return [{ text: '\n', face }];
    if (child.name === 'code') return spansOf(child.children, 'mono');
    if (child.name === 'b' || child.name === 'strong') return spansOf(child.children, 'bold');
    return spansOf(child.children, face);
  });
}

/** Sections, pairs of sections and what stands between them. */
export function blocksOf(paper: Paper, nodes: readonly (Markup | string)[], width: number): Block[] {
  return elementsOf(nodes).flatMap((node) => {
    if (node.name === 'section') return sectionBlocks(paper, node, width, 20);
    if (hasClass(node, 'pair')) return pairBlocks(paper, elementsOf(node.children), width);
    return contentBlocks(paper, node, width);
  });
}

function pairBlocks(paper: Paper, sections: readonly Markup[], width: number): Block[] {
  const column = (width - GUTTER) / 2;
  const stacks = sections.map((s) => stacked(sectionBlocks(paper, s, column, 0)));
  const out: Block[] = [];
  for (let i = 0; i < stacks.length; i += 2) {
    const right = stacks[i + 1];
    const left = stacks[i]!;
    out.push(right === undefined ? { ...left, gap: 20 } : beside(left, right, column + GUTTER, { gap: 20 }));
  }
  return out;
}

function sectionBlocks(paper: Paper, section: Markup, width: number, gap: number): Block[] {
  const parts = elementsOf(section.children);
  const blocks: Block[] = [];
  const withPicture = parts.some((p) => p.name === 'figure');
  parts.forEach((part, i) => {
    const content = contentBlocks(paper, part, width, section.attributes.id === 'cautions');
    const first = content[0];
    // A heading and what is said under it stand with what they speak of; a picture with its words.
    const together =
      i < parts.length - 1 && (part.name === 'h2' || part.name === 'h3' || hasClass(part, 'said') || withPicture);
    content.forEach((block, k) => {
      blocks.push({
        ...block,
        ...(block === first && i === 0 ? { gap } : {}),
        ...(together && k === content.length - 1 ? { keep: true } : {}),
      });
    });
  });
  return blocks;
}

function contentBlocks(paper: Paper, node: Markup, width: number, barred = false): Block[] {
  switch (node.name) {
    case 'h2':
      return [
        textBlock(paper, textOf(node), width, { size: SIZE.h2, leading: 1.25, tag: 'H2', bookmark: textOf(node) }),
      ];
    case 'h3':
      return [textBlock(paper, textOf(node), width, { size: SIZE.h3, tag: 'H3', gap: 10 })];
    case 'p': {
      const size = hasClass(node, 'note') ? SIZE.small : SIZE.body;
      // Lines of prose stay short enough to be followed.
      return [textBlock(paper, spansOf(node.children), Math.min(width, 46 * size), { size, gap: 3 })];
    }
    case 'figure':
      return figureBlocks(paper, node, width);
    case 'ul':
      return listBlocks(paper, node, width, barred);
    case 'dl':
      return termBlocks(paper, node, width);
    case 'table':
      return tableOf(paper, node, width);
    case 'section':
      return sectionBlocks(paper, node, width, 20);
    case 'div': {
      const inner = elementsOf(node.children).flatMap((child) => contentBlocks(paper, child, width));
      return hasClass(node, 'way') ? [stacked(inner, { gap: 12 })] : inner;
    }
    default:
      throw new RangeError(`page: <${node.name}> is not known`);
  }
}

/** Pictures: of two layouts the wide one where there is room for it. */
function figureBlocks(paper: Paper, figure: Markup, width: number): Block[] {
  const parts = elementsOf(figure.children);
  const pick = width > 350 ? 'wide' : 'narrow';
  const map = parts.find((p) => hasClass(p, 'map'));
  const svgs = parts
    .filter((p) => p !== map && (hasClass(p, pick) || p.name === 'svg'))
    .flatMap((p) => (p.name === 'svg' ? [p] : elementsOf(p.children)));
  const pictures = svgs.map((svg) => pictureBlock(paper, svg, width));
  return map === undefined
    ? pictures
    : [{ ...mapBlock(paper, map, Math.min(width, MOST_MAP)), keep: true }, ...pictures];
}

function pictureBlock(paper: Paper, svg: Markup, width: number): Block {
  const size = pictureSize(svg);
  const height = (size.height * width) / size.width;
  return {
    height,
    gap: 7,
    draw: (x, y) => paper.tagged('Figure', () => drawPicture(paper, svg, x, y, width), { alt: pictureWords(svg) }),
  };
}

/** A picture of pixels with marks and names over it. */
function mapBlock(paper: Paper, map: Markup, side: number): Block {
  const image = findElement(map.children, 'img')?.attributes.src;
  const wide = elementsOf(map.children).find((c) => hasClass(c, 'wide'));
  const svg = wide === undefined ? undefined : findElement(wide.children, 'svg');
  if (image === undefined || svg === undefined) throw new RangeError('page: the map lacks its picture');
  return {
    height: side,
    gap: 7,
    draw: (x, y) =>
      paper.tagged(
        'Figure',
        () => {
          paper.doc.image(image, x, y, { width: side, height: side });
          drawPicture(paper, svg, x, y, side);
        },
        { alt: pictureWords(svg) },
      ),
  };
}

function listBlocks(paper: Paper, list: Markup, width: number, barred: boolean): Block[] {
  const plain = barred || hasClass(list, 'plain');
  const items = elementsOf(list.children);
  const part = paper.group('L');
  return items.map((item, i) => {
    const block = textBlock(paper, spansOf(item.children), Math.min(width, 52 * SIZE.list), {
      size: SIZE.list,
      tag: 'LI',
      gap: i === 0 ? 4 : plain ? 7 : 2,
      indent: 11,
      ...(plain ? { bar: LIGHT.dusk } : { mark: '–' }),
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

function termBlocks(paper: Paper, list: Markup, width: number): Block[] {
  return elementsOf(list.children).map((item) =>
    textBlock(paper, spansOf(item.children, item.name === 'dt' ? 'bold' : 'regular'), Math.min(width, 52 * SIZE.list), {
      size: SIZE.list,
      tag: 'P',
      ...(item.name === 'dt' ? { gap: 6, keep: true } : {}),
    }),
  );
}

const withoutPictures = (nodes: readonly (Markup | string)[]): (Markup | string)[] =>
  nodes
    .filter((n) => typeof n === 'string' || n.name !== 'svg')
    .map((n) => (typeof n === 'string' ? n : { ...n, children: withoutPictures(n.children) }));

function tableOf(paper: Paper, table: Markup, width: number): Block[] {
  const parts = elementsOf(table.children);
  const of = (name: string) => parts.find((p) => p.name === name);
  const rowsOf = (part: Markup | undefined) => elementsOf(part?.children ?? []);
  const head = elementsOf(rowsOf(of('thead'))[0]?.children ?? []);
  const cell = (node: Markup, bold: boolean): Cell => {
    const face = bold ? 'bold' : hasClass(node, 'f') ? 'mono' : 'regular';
    const spans = textOf(node).trim() === '' ? [] : spansOf(withoutPictures(node.children), face);
    const svg = findElement(node.children, 'svg');
    if (svg === undefined) return { spans };
    const size = pictureSize(svg);
    const width = Math.min(size.width * 0.62, 105);
    const height = (size.height * width) / size.width;
    return { spans, picture: { width, height, draw: (x, y) => drawPicture(paper, svg, x, y, width) } };
  };
  const caption = of('caption');
  return tableBlocks(
    paper,
    {
      ...(caption === undefined ? {} : { caption: textOf(caption) }),
      tight: hasClass(table, 'tight'),
      head: head.map((h) => cell(h, true)),
      figures: head.map((h) => hasClass(h, 'n')),
      rows: rowsOf(of('tbody')).map((row) => ({
        cells: elementsOf(row.children).map((c) => cell(c, hasClass(row, 'here') || hasClass(row, 'differs'))),
        sum: hasClass(row, 'sum'),
      })),
    },
    width,
    5,
  );
}

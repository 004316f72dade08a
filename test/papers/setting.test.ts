import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawPicture } from '../../src/papers/draw-picture.ts';
import { type Block, Flow } from '../../src/papers/flow.ts';
import { elementsOf, type Markup, parseMarkup, textOf } from '../../src/papers/markup.ts';
import { Paper } from '../../src/papers/paper.ts';
import { type Span, TypeCase } from '../../src/papers/type.ts';
import { escapeText } from '../../src/report/index.ts';
import { testFonts } from './fonts.ts';

const fonts = testFonts();
const type = new TypeCase(fonts);
const open = () => new Paper({ paper: 'A4', fonts, title: 't', created: new Date(0) });
const latin = fc.string({
  unit: fc.constantFrom(...'abcde fgh-/ijk lmno pqrst  uvwxyz ÄÖÜßłč.,;:(){}0123456789 °%µ≤●'),
  maxLength: 120,
});

describe('lines', () => {
  it('are no wider than their measure, and lose nothing but the spaces where they break', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ text: latin, face: fc.constantFrom('regular', 'bold', 'mono') }), { maxLength: 4 }),
        fc.integer({ min: 20, max: 400 }),
        (spans, width) => {
          const lines = type.lines(spans as Span[], width, 10, '#000000');
          for (const line of lines) {
            // One letter alone is set even where it is too wide.
            if (line.pieces.map((p) => p.text).join('').length > 1) expect(line.width).toBeLessThanOrEqual(width + 2.5);
          }
          const set = lines.map((l) => l.pieces.map((p) => p.text).join('')).join('');
          const bare = (text: string) => text.replace(/ /g, '');
          expect(bare(set)).toBe(bare(spans.map((s) => s.text).join('')));
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it('break at spaces, never at those that bind; a long word breaks at a joint', () => {
    const texts = (text: string, width: number) =>
      type.lines([{ text }], width, 10, '#000000').map((l) => l.pieces.map((p) => p.text).join(''));
    expect(texts('one two three', type.widthOf('one two', 'regular', 10) + 1)).toEqual(['one two', 'three']);
    expect(texts('in 65\u00a0h', type.widthOf('65 h', 'regular', 10) + 1)).toEqual(['in', '65 h']);
    expect(texts('kit.panel.power_W', type.widthOf('kit.panel.po', 'regular', 10))).toEqual(['kit.panel.', 'power_W']);
    expect(texts('a\nb', 100)).toEqual(['a', 'b']);
  });
});

describe('markup', () => {
  it('gives back any text that was escaped', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        // What XML forbids is dropped when it is escaped.
        const clean = parseMarkup(escapeText(text)).map(textOf).join('');
        const [node] = parseMarkup(`<p class="${escapeText(text)}"><b>${escapeText(text)}</b><br>x</p>`) as [Markup];
        expect(textOf(node)).toBe(`${clean}x`);
        expect(node.attributes.class).toBe(clean);
        expect(elementsOf(node.children).map((c) => c.name)).toEqual(['b', 'br']);
      }),
      { seed: 1, numRuns: 200 },
    );
  });
  it('refuses what does not close', () => {
    expect(() => parseMarkup('<p><b></p>')).toThrow(RangeError);
    expect(() => parseMarkup('<p>')).toThrow(RangeError);
  });
});

describe('pages', () => {
  it('every block stands inside a page, in order, and what is kept together is not parted', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            height: fc.integer({ min: 1, max: 300 }),
            gap: fc.integer({ min: 0, max: 30 }),
            keep: fc.boolean(),
          }),
          { minLength: 1, maxLength: 30 },
        ),
        (list) => {
          const paper = open();
          const flow = new Flow(paper);
          const at: { page: number; y: number; height: number }[] = [];
          const blocks: Block[] = list.map(({ height, ...b }, i) => ({
            ...b,
            height,
            keep: b.keep && i % 2 === 0,
            draw: (_, y) => at.push({ page: paper.doc.bufferedPageRange().count, y, height }),
          }));
          flow.place(blocks);
          expect(at.length).toBe(list.length);
          at.forEach((a, i) => {
            expect(a.y).toBeGreaterThanOrEqual(flow.top - 1e-9);
            expect(a.y + a.height).toBeLessThanOrEqual(flow.bottom + 1e-9);
            const next = at[i + 1];
            if (next === undefined) return;
            expect(next.page > a.page || next.y >= a.y + a.height - 1e-9).toBe(true);
            if (blocks[i]!.keep) expect(next.page).toBe(a.page);
          });
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });
  it('a picture with an element that is not known is refused, not left out', () => {
    const paper = open();
    paper.addPage();
    const [svg] = parseMarkup('<svg viewBox="0 0 10 10"><ellipse rx="1" ry="2"/></svg>') as [Markup];
    expect(() => drawPicture(paper, svg, 0, 0, 10)).toThrow(/<ellipse> is not known/);
  });
});

/** One PDF document: paper, type, colours, footers, bookmarks and the structure that screen readers follow. */

import PDFDocument from 'pdfkit';
import { LIGHT } from '../report/theme.ts';
import { type Line, type PaperFonts, type Piece, type Sign, type Span, TypeCase } from './type.ts';

export type PaperName = 'A4' | 'letter';
/** Width and height, pt (1/72 inch): ISO 216 A4, 210 x 297 mm; US Letter, 8.5 x 11 inches. */
export const PAPER_pt: Readonly<Record<PaperName, readonly [number, number]>> = {
  A4: [595.28, 841.89],
  letter: [612, 792],
};
export const PT_PER_MM = 72 / 25.4;

export interface PaperOptions {
  readonly paper: PaperName;
  readonly fonts: PaperFonts;
  readonly title: string;
  readonly subject?: string;
  /** Day and time that the file states as its own; with the same one, the same input gives the same bytes. */
  readonly created: Date;
  /** Left in the footer of each page; the page number stands right. Without it there is no footer. */
  readonly footer?: string;
  /** pt; width and height in place of the paper's own, for label printers. */
  readonly size_pt?: readonly [number, number];
}

export const INK = LIGHT.ink;
export const HAIRLINE = LIGHT.hairline;
export const MARGIN_pt = { side: 14 * PT_PER_MM, top: 14 * PT_PER_MM, bottom: 19 * PT_PER_MM } as const;
/** Footer's base line above the paper's lower edge, pt. */
const FOOTER_pt = 10 * PT_PER_MM;
const FOOTER_SIZE = 7.5;

export type Tag = 'H1' | 'H2' | 'H3' | 'P' | 'Figure' | 'Table' | 'TR' | 'TH' | 'TD' | 'L' | 'LI' | 'Caption' | 'Span';

export class Paper {
  readonly doc: PDFKit.PDFDocument;
  readonly type: TypeCase;
  readonly width: number;
  readonly height: number;
  readonly #footer: string | undefined;
  readonly #known = new Set<string>();
  readonly #root: PDFKit.PDFStructureElement;
  #parent: PDFKit.PDFStructureElement;
  /** The part whose content is being drawn. */
  #open: { readonly part: PDFKit.PDFStructureElement; readonly tag: Tag } | undefined;

  constructor(options: PaperOptions) {
    [this.width, this.height] = options.size_pt ?? PAPER_pt[options.paper];
    this.type = new TypeCase(options.fonts);
    this.#footer = options.footer;
    this.doc = new PDFDocument({
      size: [this.width, this.height],
      margin: 0,
      autoFirstPage: false,
      bufferPages: true,
      // No font of its own, so that none is read from a disk.
      font: '',
      lang: 'en',
      displayTitle: true,
      tagged: true,
      pdfVersion: '1.7',
      info: {
        Title: options.title,
        ...(options.subject === undefined ? {} : { Subject: options.subject }),
        Creator: 'sunperch',
        CreationDate: options.created,
      },
    });
    this.#root = this.doc.struct('Document');
    this.doc.addStructure(this.#root);
    this.#parent = this.#root;
  }

  addPage(): void {
    this.doc.addPage();
  }

  /** Sets a line with its base line at `y`; gives its width. */
  setLine(line: Line, x: number, y: number): void {
    let at = x;
    for (const piece of line.pieces) {
      this.#setPiece(piece, at, y);
      at += piece.width;
    }
  }

  /** One line of text, left, centred or right at `x`. */
  setText(text: string | readonly Span[], x: number, y: number, size: number, options: TextOptions = {}): number {
    const spans = typeof text === 'string' ? [{ text, face: options.face ?? 'regular' } as Span] : text;
    const pieces = spans.flatMap((span) => this.type.pieces(span, size, options.colour ?? INK));
    const width = pieces.reduce((sum, piece) => sum + piece.width, 0);
    const shift = options.align === 'right' ? width : options.align === 'centre' ? width / 2 : 0;
    this.setLine({ pieces, width }, x - shift, y);
    return width;
  }

  #setPiece(piece: Piece, x: number, y: number): void {
    if (piece.sign === undefined) {
      this.#setString(piece, piece.text, x, y);
      return;
    }
    const open = this.#open;
    if (open === undefined) {
      this.#drawSign(piece, piece.sign, x, y);
      return;
    }
    // Read aloud as the sign it stands for. Programs that know no structure find the letter below it.
    const { doc } = this;
    doc.endMarkedContent();
    const span = doc.struct('Span', { actual: piece.text });
    open.part.add(span);
    span.add(doc.markStructureContent('Span'));
    this.#drawSign(piece, piece.sign, x, y);
    doc.endMarkedContent();
    span.end();
    open.part.add(doc.markStructureContent(open.tag));
  }

  #drawSign(piece: Piece, { base, strokes = [], disc }: Sign, x: number, y: number): void {
    const { doc } = this;
    const em = piece.size / 1000;
    if (base !== undefined) this.#setString(piece, base, x, y);
    doc.save().lineCap('round');
    for (const [x1, y1, x2, y2] of strokes)
      doc
        .moveTo(x + x1 * em, y - y1 * em)
        .lineTo(x + x2 * em, y - y2 * em)
        .lineWidth(72 * em)
        .stroke(piece.colour);
    if (disc !== undefined) {
      const [cx, cy, r] = [x + 400 * em, y - 310 * em, 300 * em];
      doc.lineWidth(80 * em);
      if (disc === 'full') doc.circle(cx, cy, r).fillAndStroke(piece.colour, piece.colour);
      else doc.circle(cx, cy, r).stroke(piece.colour);
      if (disc === 'half') doc.path(`M${cx} ${cy - r}A${r} ${r} 0 0 0 ${cx} ${cy + r}Z`).fill(piece.colour);
    }
    doc.restore();
  }

  #setString({ font, size, colour }: Piece, text: string, x: number, y: number): void {
    const { doc } = this;
    if (!this.#known.has(font)) {
      doc.registerFont(font, this.type.font(font) as never);
      this.#known.add(font);
    }
    doc.font(font).fontSize(size).fillColor(colour).fillOpacity(1);
    doc.text(text, x, y, { lineBreak: false, baseline: 'alphabetic' });
  }

  /** Marks what `draw` draws as a part of the document's structure; parts drawn within become its children. */
  tagged(tag: Tag, draw: () => void, options: { readonly alt?: string } = {}): void {
    const { doc } = this;
    const part = doc.struct(tag, options as PDFKit.Mixins.StructureElementOptions);
    this.#parent.add(part);
    part.add(doc.markStructureContent(tag));
    this.#open = { part, tag };
    draw();
    this.#open = undefined;
    doc.endMarkedContent();
    part.end();
  }

  /** A part that holds only parts, such as a table its rows; it may run over several pages. Begins when it is first drawn in. */
  group(tag: Tag): { readonly within: (draw: () => void) => void; readonly end: () => void } {
    let part: PDFKit.PDFStructureElement | undefined;
    return {
      within: (draw) => {
        const before = this.#parent;
        if (part === undefined) {
          part = this.doc.struct(tag);
          before.add(part);
        }
        this.#parent = part;
        draw();
        this.#parent = before;
      },
      end: () => part?.end(),
    };
  }

  /** Lines, footers and the like, which no reader needs. */
  artifact(draw: () => void): void {
    this.doc.markContent('Artifact', { type: 'Layout' });
    draw();
    this.doc.endMarkedContent();
  }

  /** A bookmark to this place of the page in hand. */
  bookmark(title: string, y: number): void {
    const options = { left: this.width, top: Math.max(0, y - 12) };
    this.doc.outline.addItem(title, options as never);
  }

  /** Footers, then the whole file. */
  async bytes(): Promise<Uint8Array> {
    const { doc } = this;
    const { count } = doc.bufferedPageRange();
    if (this.#footer !== undefined) for (let i = 0; i < count; i++) this.#setFooter(this.#footer, i, count);
    this.#root.end();
    const parts: Uint8Array[] = [];
    doc.on('data', (part: Uint8Array) => parts.push(part));
    const over = new Promise<void>((resolve, reject) => doc.on('end', resolve).on('error', reject));
    doc.end();
    await over;
    const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
    let at = 0;
    for (const part of parts) {
      out.set(part, at);
      at += part.length;
    }
    return out;
  }

  #setFooter(footer: string, index: number, count: number): void {
    this.doc.switchToPage(index);
    this.artifact(() => {
      const y = this.height - FOOTER_pt;
      const right = this.width - MARGIN_pt.side;
      this.doc
        .moveTo(MARGIN_pt.side, y - 13)
        .lineTo(right, y - 13)
        .lineWidth(0.5)
        .stroke(HAIRLINE);
      const number = `${index + 1} / ${count}`;
      const room = right - MARGIN_pt.side - this.type.widthOf(number, 'regular', FOOTER_SIZE) - 16;
      const lines = this.type.lines([{ text: footer }], room, FOOTER_SIZE, INK);
      lines.slice(0, 2).forEach((line, i) => {
        this.setLine(line, MARGIN_pt.side, y + i * 9);
      });
      this.setText(number, right, y, FOOTER_SIZE, { align: 'right' });
    });
  }
}

export interface TextOptions {
  readonly face?: 'regular' | 'bold' | 'mono';
  readonly colour?: string;
  readonly align?: 'left' | 'centre' | 'right';
}

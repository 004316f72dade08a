/** Type on paper: embedded fonts, width of text, lines broken by width, lines set. */

import { create, type Font } from 'fontkit';

export type Face = 'regular' | 'bold' | 'mono';
/** WOFF2 (or WOFF, OTF, TTF) files; those that end in `Ext` hold the letters that the first lack, such as ł, č, ő. */
export interface PaperFonts {
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
  readonly mono: Uint8Array;
  readonly regularExt?: Uint8Array;
  readonly boldExt?: Uint8Array;
  readonly monoExt?: Uint8Array;
}

export interface Span {
  readonly text: string;
  readonly face?: Face;
  /** pt; the paragraph's own by default. */
  readonly size?: number;
  readonly colour?: string;
}

/** Text of one font, or a sign that no font has and that is drawn. */
export interface Piece {
  readonly text: string;
  /** Name under which the document knows the font. */
  readonly font: keyof PaperFonts;
  readonly size: number;
  readonly colour: string;
  readonly width: number;
  readonly sign?: Sign;
}

export interface Line {
  readonly pieces: readonly Piece[];
  readonly width: number;
}

/** Strokes in thousandths of the size, y up from the base line; `base` is a letter of the font that they go with. */
export interface Sign {
  readonly base?: string;
  readonly width?: number;
  readonly strokes?: readonly (readonly [number, number, number, number])[];
  readonly disc?: 'full' | 'half' | 'ring';
}

const SIGNS: Readonly<Record<string, Sign>> = {
  '●': { width: 800, disc: 'full' },
  '◐': { width: 800, disc: 'half' },
  '○': { width: 800, disc: 'ring' },
  // Not on '=', which programs that read the letters alone would take for its contrary.
  '≠': {
    base: '/',
    width: 560,
    strokes: [
      [40, 240, 500, 240],
      [40, 400, 500, 400],
    ],
  },
  '≤': { base: '<', strokes: [[50, 10, 480, 10]] },
  '≥': { base: '>', strokes: [[50, 10, 480, 10]] },
  µ: { base: 'u', strokes: [[88, 40, 88, -190]] },
  μ: { base: 'u', strokes: [[88, 40, 88, -190]] },
  '→': {
    width: 900,
    strokes: [
      [80, 260, 800, 260],
      [800, 260, 600, 420],
      [800, 260, 600, 100],
    ],
  },
};
const MISSING = '\ufffd';
/** What has no width and no shape of its own. */
const SHAPELESS =
  /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]|[\ufe00-\ufe0f]/gu;

const FILES: Readonly<Record<Face, readonly (keyof PaperFonts)[]>> = {
  regular: ['regular', 'regularExt'],
  bold: ['bold', 'boldExt'],
  mono: ['mono', 'monoExt', 'regular', 'regularExt'],
};

/** The fonts of one document: which has a character, how wide text is, where a line ends. */
export class TypeCase {
  readonly #files: PaperFonts;
  readonly #fonts = new Map<keyof PaperFonts, Font>();
  readonly #widths = new Map<string, number>();
  /** Characters asked for that no font has; they are set as �. */
  readonly missing = new Set<string>();

  constructor(fonts: PaperFonts) {
    this.#files = fonts;
  }

  /** The font file of that name, opened when it is first wanted. */
  font(name: keyof PaperFonts): Font | undefined {
    const bytes = this.#files[name];
    if (bytes === undefined) return undefined;
    let font = this.#fonts.get(name);
    if (font === undefined) {
      font = create(bytes as never) as Font;
      this.#fonts.set(name, font);
    }
    return font;
  }

  /** Outlines of a line of text, each with its shift in pt; for halos. */
  outlines(
    text: string,
    face: Face,
    size: number,
  ): { readonly path: string; readonly x: number; readonly scale: number }[] {
    let x = 0;
    return this.pieces({ text, face, size }, size, '').flatMap((piece) => {
      const start = x;
      x += piece.width;
      if (piece.sign !== undefined) return [];
      const font = this.font(piece.font)!;
      const scale = size / font.unitsPerEm;
      const run = font.layout(piece.text);
      let pen = 0;
      return run.glyphs.map((glyph, i) => {
        const at = start + pen * scale;
        pen += run.positions[i]!.xAdvance;
        return { path: glyph.path.toSVG(), x: at, scale };
      });
    });
  }

  /** A span cut where its font changes, spaces kept. */
  pieces(span: Span, size: number, colour: string): Piece[] {
    const face = span.face ?? 'regular';
    const of = (text: string, font: keyof PaperFonts, sign?: Sign): Piece => ({
      text,
      font,
      size: span.size ?? size,
      colour: span.colour ?? colour,
      width:
        sign?.width !== undefined
          ? (sign.width / 1000) * (span.size ?? size)
          : this.#width(sign?.base ?? text, font) * (span.size ?? size),
      ...(sign === undefined ? {} : { sign }),
    });
    const out: Piece[] = [];
    let run = '';
    let name: keyof PaperFonts = face;
    const end = () => {
      if (run !== '') out.push(of(run, name));
      run = '';
    };
    for (const given of span.text
      .normalize('NFC')
      .replace(SHAPELESS, '')
      .replace(/[\t\n\u000b]/g, ' ')) {
      let character = given === '\u00a0' || given === '\u202f' ? ' ' : given;
      let font = this.#fontOf(character, face);
      const sign = font === undefined ? SIGNS[character] : undefined;
      if (sign !== undefined) {
        end();
        out.push(of(character, face, sign));
        continue;
      }
      if (font === undefined) {
        this.missing.add(character);
        font = this.#fontOf(MISSING, face) ?? face;
        character = MISSING;
      }
      if (font !== name) end();
      name = font;
      run += character;
    }
    end();
    return out;
  }

  widthOf(text: string, face: Face, size: number): number {
    return this.pieces({ text, face }, size, '').reduce((sum, piece) => sum + piece.width, 0);
  }

  /** Lines no wider than `width`, broken at spaces; a word that is wider by itself is broken inside. A line break in the text is kept. */
  lines(spans: readonly Span[], width: number, size: number, colour: string): Line[] {
    const lines: Line[] = [];
    let line: Span[] = [];
    let used = 0;
    const end = () => {
      lines.push(this.#line(line, size, colour));
      line = [];
      used = 0;
    };
    const measure = (span: Span, text: string) => this.widthOf(text, span.face ?? 'regular', span.size ?? size);
    for (const word of wordsOf(spans)) {
      if (word === 'break') {
        end();
        continue;
      }
      const space = used > 0 && word.space !== undefined ? measure(word.space, ' ') : 0;
      const wide = word.spans.reduce((sum, span) => sum + measure(span, span.text), 0);
      if (used > 0 && used + space + wide > width + 0.01) end();
      else if (space > 0) {
        line.push({ ...word.space!, text: ' ' });
        used += space;
      }
      for (const span of word.spans) {
        let rest = span.text;
        while (used + measure(span, rest) > width + 0.01) {
          const fit = this.#fit(rest, width - used, (text) => measure(span, text));
          if (fit === 0 && used > 0) {
            end();
            continue;
          }
          const head = [...rest].slice(0, Math.max(fit, 1)).join('');
          line.push({ ...span, text: head });
          rest = rest.slice(head.length);
          end();
          if (rest === '') break;
        }
        if (rest === '') continue;
        line.push({ ...span, text: rest });
        used += measure(span, rest);
      }
    }
    if (line.length > 0 || lines.length === 0) end();
    return lines;
  }

  /** How many characters of a word fit: after a joint of it where there is one in the second half. */
  #fit(text: string, width: number, measure: (text: string) => number): number {
    const characters = [...text];
    let low = 0;
    let high = characters.length;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (measure(characters.slice(0, middle).join('')) <= width) low = middle;
      else high = middle - 1;
    }
    for (let i = low; i > low / 2; i--) if (/[-/.,=_:;]/.test(characters[i - 1]!)) return i;
    return low;
  }

  #line(spans: readonly Span[], size: number, colour: string): Line {
    const joined: Span[] = [];
    for (const span of spans) {
      const last = joined.at(-1);
      if (last !== undefined && last.face === span.face && last.size === span.size && last.colour === span.colour)
        joined[joined.length - 1] = { ...last, text: last.text + span.text };
      else joined.push(span);
    }
    const pieces = joined.flatMap((span) => this.pieces(span, size, colour));
    return { pieces, width: pieces.reduce((sum, piece) => sum + piece.width, 0) };
  }

  #fontOf(character: string, face: Face): keyof PaperFonts | undefined {
    const point = character.codePointAt(0)!;
    return FILES[face].find((name) => this.font(name)?.hasGlyphForCodePoint(point));
  }

  /** Width of text at a size of one. */
  #width(text: string, font: keyof PaperFonts): number {
    const key = `${font} ${text}`;
    const seen = this.#widths.get(key);
    if (seen !== undefined) return seen;
    const of = this.font(font)!;
    const width = of.layout(text).advanceWidth / of.unitsPerEm;
    this.#widths.set(key, width);
    return width;
  }
}

interface Word {
  readonly spans: readonly Span[];
  /** The span whose space stands before the word. */
  readonly space: Span | undefined;
}

/** Words at spaces that may break; a word may run over several spans. */
function wordsOf(spans: readonly Span[]): (Word | 'break')[] {
  const out: (Word | 'break')[] = [];
  let word: Span[] = [];
  let space: Span | undefined;
  const end = () => {
    if (word.length > 0) out.push({ spans: word, space });
    word = [];
  };
  for (const span of spans) {
    for (const part of span.text.split(/([ \t\r]+|\n)/)) {
      if (part === '') continue;
      if (part === '\n') {
        end();
        space = undefined;
        out.push('break');
      } else if (/^[ \t\r]/.test(part)) {
        end();
        space = span;
      } else word.push({ ...span, text: part });
    }
  }
  end();
  return out;
}

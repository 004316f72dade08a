/** A very small builder of SVG text: elements, escaped text, paths, and the frame that every picture shares. */
import type { Figures } from './figures.ts';
import { pictureStyle } from './theme.ts';

export type AttributeValue = string | number | undefined;
export type Attributes = Readonly<Record<string, AttributeValue>>;

/** What every picture takes. */
export interface PictureOptions {
  /** Width in px; the picture is laid out for it. */
  readonly width?: number;
  /** Prefix of the ids inside the picture; must be unique in a page. */
  readonly id?: string;
  /** False inside a page that holds `pictureStyle()` already; true (the default) gives a file that stands alone. */
  readonly standalone?: boolean;
  /** How numbers, days and measures are written; our way when left out. */
  readonly figures?: Figures;
}

// What XML 1.0 (section 2.2) does not allow: control characters, lone surrogates, two non-characters.
const ILLEGAL =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;
const ENTITY: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text made safe for element content and attribute values of SVG and HTML; characters that XML forbids are dropped. */
export function escapeText(text: string): string {
  return text.replace(ILLEGAL, '').replace(/[&<>"']/g, (character) => ENTITY[character]!);
}

/** A coordinate with two decimals at most. Throws RangeError when it is not finite: a picture must have left it out. */
export function coordinate(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`coordinate ${value} is not finite`);
  return String(Math.round(value * 100) / 100 + 0);
}

/** An element; children are markup already, text goes through `escapeText` or `label`. Undefined attributes are left out. */
export function element(name: string, attributes: Attributes = {}, children: string | readonly string[] = ''): string {
  let head = `<${name}`;
  for (const key of Object.keys(attributes)) {
    const value = attributes[key];
    if (value === undefined) continue;
    head += ` ${key}="${typeof value === 'number' ? coordinate(value) : escapeText(value)}"`;
  }
  const body = typeof children === 'string' ? children : children.join('');
  return body === '' ? `${head}/>` : `${head}>${body}</${name}>`;
}

/** A line of text at a point. */
export function label(x: number, y: number, text: string, attributes: Attributes = {}): string {
  return element('text', { x, y, ...attributes }, escapeText(text));
}

export function line(x1: number, y1: number, x2: number, y2: number, className: string, more: Attributes = {}): string {
  return element('line', { x1, y1, x2, y2, class: className, ...more });
}

export function rect(x: number, y: number, width: number, height: number, more: Attributes = {}): string {
  return element('rect', { x, y, width: Math.max(width, 0), height: Math.max(height, 0), ...more });
}

export type Point = readonly [x: number, y: number];

/** Path data through points; a point that is not finite breaks the line. */
export function linePath(points: readonly Point[]): string {
  let data = '';
  let pen = 'M';
  for (const [x, y] of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      pen = 'M';
      continue;
    }
    data += `${pen}${coordinate(x)} ${coordinate(y)}`;
    pen = 'L';
  }
  return data;
}

/** Path data of the band between two lines over the same x; stretches where either is not finite are left out. */
export function bandPath(xs: readonly number[], upper: readonly number[], lower: readonly number[]): string {
  let data = '';
  let start = 0;
  for (let i = 0; i <= xs.length; i++) {
    if (i < xs.length && Number.isFinite(xs[i]! + upper[i]! + lower[i]!)) continue;
    if (i - start > 1) {
      const there: Point[] = [];
      const back: Point[] = [];
      for (let j = start; j < i; j++) {
        there.push([xs[j]!, upper[j]!]);
        back.push([xs[j]!, lower[j]!]);
      }
      data += `${linePath([...there, ...back.reverse()])}Z`;
    }
    start = i + 1;
  }
  return data;
}

/** An id of letters, digits, `-` and `_` only. */
export function safeId(id: string): string {
  const clean = id.replace(/[^A-Za-z0-9_-]/g, '-');
  return /^[A-Za-z]/.test(clean) ? clean : `p-${clean}`;
}

/** Width of a line of text by a rule of thumb that errs on the wide side: 0.6 of the size per character. */
export function textWidth(text: string, size_px = 12.8): number {
  return text.length * size_px * 0.6;
}

export interface Picture {
  readonly id: string;
  readonly width: number;
  readonly height: number;
  readonly title: string;
  /** What a reader who does not see the picture needs to know. */
  readonly description: string;
  readonly body: readonly string[];
  readonly standalone: boolean;
}

/** The `<svg>` around a picture: view box, role, title and description; with its own colours when it stands alone. */
export function picture(p: Picture): string {
  const id = safeId(p.id);
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${coordinate(p.width)} ${coordinate(p.height)}`,
      width: p.width,
      height: p.height,
      class: 'sp',
      role: 'img',
      'aria-labelledby': `${id}-t ${id}-d`,
    },
    [
      element('title', { id: `${id}-t` }, escapeText(p.title)),
      element('desc', { id: `${id}-d` }, escapeText(p.description)),
      ...(p.standalone
        ? [element('style', {}, pictureStyle(':root')), rect(0, 0, p.width, p.height, { class: 'sp-f-paper' })]
        : []),
      ...p.body,
    ],
  );
}

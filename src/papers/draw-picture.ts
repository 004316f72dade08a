/** The report's own SVG pictures as vectors on paper: the elements, classes and paints that `report/svg.ts` writes, no others. */

import { type ColourName, LIGHT, TYPE_px } from '../report/theme.ts';
import { classesOf, elementsOf, type Markup, textOf } from './markup.ts';
import type { Paper } from './paper.ts';

/** On paper, paper is white. */
const COLOURS: Readonly<Record<ColourName, string>> = { ...LIGHT, paper: '#FFFFFF' };
const HALO_px = 4;
const SMALL_px = 11;

/** Attributes that go down from a group to what is in it. */
const INHERITED = [
  'fill',
  'stroke',
  'stroke-width',
  'fill-opacity',
  'stroke-opacity',
  'stroke-linejoin',
  'stroke-linecap',
  'class',
];

interface Drawing {
  readonly paper: Paper;
  readonly byId: ReadonlyMap<string, Markup>;
  readonly box: Box;
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const number = (text: string | undefined, other = 0): number => {
  const value = Number.parseFloat(text ?? '');
  return Number.isFinite(value) ? value : other;
};

/** Size of a picture by its view box, px. */
export function pictureSize(svg: Markup): { readonly width: number; readonly height: number } {
  const [, , width = 0, height = 0] = (svg.attributes.viewBox ?? '').split(' ').map(Number);
  return { width, height };
}

/** What a picture says to those who do not see it. */
export function pictureWords(svg: Markup): string {
  const of = (name: string) => elementsOf(svg.children).find((e) => e.name === name);
  return [of('title'), of('desc')]
    .map((e) => (e === undefined ? '' : textOf(e)))
    .join('. ')
    .replace(/^\. |\. $/, '');
}

/** Draws a picture with its upper left corner at `x`, `y`, `width` wide. Throws RangeError on an element that it does not know. */
export function drawPicture(paper: Paper, svg: Markup, x: number, y: number, width: number): void {
  const size = pictureSize(svg);
  const byId = new Map<string, Markup>();
  const note = (element: Markup) => {
    if (element.attributes.id !== undefined) byId.set(element.attributes.id, element);
    elementsOf(element.children).forEach(note);
  };
  note(svg);
  const scale = width / size.width;
  paper.doc.save().translate(x, y).scale(scale);
  const drawing = { paper, byId, box: { x: 0, y: 0, ...size } };
  for (const child of elementsOf(svg.children)) drawElement(drawing, child, {});
  paper.doc.restore();
}

type Attributes = Readonly<Record<string, string>>;

function drawElement(drawing: Drawing, element: Markup, inherited: Attributes): void {
  const { doc } = drawing.paper;
  const { name } = element;
  if (name === 'title' || name === 'desc' || name === 'style' || name === 'defs') return;
  const a: Attributes = { ...inherited, ...element.attributes };
  doc.save();
  place(doc, element.attributes.transform);
  clip(drawing, element.attributes['clip-path']);
  if (name === 'g' || name === 'svg') {
    const down: Record<string, string> = {};
    for (const key of INHERITED) if (a[key] !== undefined) down[key] = a[key];
    for (const child of elementsOf(element.children)) drawElement(drawing, child, down);
  } else if (name === 'text') drawText(drawing, element, a);
  else if (name === 'use') {
    const shape = reference(drawing, `url(${a['href']})`);
    drawShape(drawing, shape.name, { ...a, ...shape.attributes });
  } else drawShape(drawing, name, a);
  doc.restore();
}

function place(doc: PDFKit.PDFDocument, transform: string | undefined): void {
  for (const [, what, list] of (transform ?? '').matchAll(/(\w+)\(([^)]*)\)/g)) {
    const [a = 0, b, c = 0, d = 0, e = 0, f = 0] = list!
      .trim()
      .split(/[\s,]+/)
      .map(Number);
    if (what === 'translate') doc.translate(a, b ?? 0);
    else if (what === 'scale') doc.scale(a, b ?? a);
    else if (what === 'rotate') doc.rotate(a, b === undefined ? {} : { origin: [b, c] });
    else if (what === 'matrix') doc.transform(a, b ?? 0, c, d, e, f);
    else throw new RangeError(`picture: transform ${what} is not known`);
  }
}

const reference = (drawing: Drawing, url: string): Markup => {
  const found = drawing.byId.get(/^url\(#(.+)\)$/.exec(url)?.[1] ?? '');
  if (found === undefined) throw new RangeError(`picture: ${url} is not in it`);
  return found;
};

function clip(drawing: Drawing, url: string | undefined): void {
  if (url === undefined) return;
  for (const shape of elementsOf(reference(drawing, url).children))
    trace(drawing.paper.doc, shape.name, shape.attributes);
  drawing.paper.doc.clip();
}

/** The outline of a shape as the path in hand. False when there is none to draw. */
function trace(doc: PDFKit.PDFDocument, name: string, a: Attributes): boolean {
  const n = (key: string) => number(a[key]);
  switch (name) {
    case 'rect':
      if (n('width') <= 0 || n('height') <= 0) return false;
      if (a.rx === undefined) doc.rect(n('x'), n('y'), n('width'), n('height'));
      else doc.roundedRect(n('x'), n('y'), n('width'), n('height'), n('rx'));
      return true;
    case 'circle':
      if (n('r') <= 0) return false;
      doc.circle(n('cx'), n('cy'), n('r'));
      return true;
    case 'line':
      doc.moveTo(n('x1'), n('y1')).lineTo(n('x2'), n('y2'));
      return true;
    case 'path':
      if ((a.d ?? '') === '') return false;
      doc.path(a.d!);
      return true;
    default:
      throw new RangeError(`picture: <${name}> is not known`);
  }
}

/** Paint by the style sheet of the pictures: a class before an attribute; strokes alone are not filled; black by default. */
function paints(a: Attributes): { readonly fill: string; readonly stroke: string } {
  const classes = classesOf({ name: '', attributes: a, children: [] });
  const by = (prefix: string) => {
    const last = classes.filter((c) => c.startsWith(prefix)).at(-1);
    return last === undefined ? undefined : COLOURS[last.slice(prefix.length) as ColourName];
  };
  const stroke = by('sp-s-');
  return {
    fill: by('sp-f-') ?? (stroke === undefined ? (a.fill ?? '#000000') : 'none'),
    stroke: stroke ?? a.stroke ?? 'none',
  };
}

function drawShape(drawing: Drawing, name: string, a: Attributes): void {
  const { doc } = drawing.paper;
  const { fill, stroke } = paints(a);
  if (fill.startsWith('url(')) fillWith(drawing, name, a, reference(drawing, fill));
  else if (fill !== 'none' && name !== 'line' && trace(doc, name, a))
    doc.fillOpacity(number(a['fill-opacity'], 1)).fill(fill);
  if (stroke === 'none') return;
  const dashes = (a['stroke-dasharray'] ?? '')
    .split(/[\s,]+/)
    .map(Number)
    .filter((d) => d > 0);
  if (!trace(doc, name, a)) return;
  doc.lineWidth(number(a['stroke-width'], 1)).strokeOpacity(number(a['stroke-opacity'], 1));
  doc
    .lineCap((a['stroke-linecap'] as 'round' | undefined) ?? 'butt')
    .lineJoin((a['stroke-linejoin'] as 'round' | undefined) ?? 'miter');
  if (dashes.length > 0) doc.dash(dashes as never, {});
  doc.stroke(stroke);
  if (dashes.length > 0) doc.undash();
}

/** Fills a shape with a gradient from left to right or with slanted stripes. */
function fillWith(drawing: Drawing, name: string, a: Attributes, paint: Markup): void {
  const { doc } = drawing.paper;
  const box =
    name === 'rect'
      ? { x: number(a.x), y: number(a.y), width: number(a.width), height: number(a.height) }
      : drawing.box;
  if (paint.name === 'linearGradient') {
    const gradient = doc.linearGradient(box.x, box.y, box.x + box.width, box.y);
    for (const stop of elementsOf(paint.children))
      gradient.stop(number(stop.attributes.offset), stop.attributes['stop-color'] ?? '#000000');
    if (trace(doc, name, a)) doc.fill(gradient as never);
    return;
  }
  if (paint.name !== 'pattern') throw new RangeError(`picture: paint <${paint.name}> is not known`);
  doc.save();
  if (trace(doc, name, a)) {
    doc.clip();
    stripes(doc, paint, box);
  }
  doc.restore();
}

/** A pattern of bands over a box: the ground where the pattern has one, and each band as one long line. */
function stripes(doc: PDFKit.PDFDocument, paint: Markup, box: Box): void {
  const step = number(paint.attributes.width, 4);
  const turned = (number(/rotate\((-?[\d.]+)\)/.exec(paint.attributes.patternTransform ?? '')?.[1]) * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turned), Math.sin(turned)];
  const corners = [
    [box.x, box.y],
    [box.x + box.width, box.y],
    [box.x, box.y + box.height],
    [box.x + box.width, box.y + box.height],
  ] as const;
  // The box in the pattern's own axes: u across the bands, v along them.
  const us = corners.map(([x, y]) => x * cos + y * sin);
  const vs = corners.map(([x, y]) => y * cos - x * sin);
  const [u0, u1, v0, v1] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
  for (const part of elementsOf(paint.children)) {
    const { fill, stroke } = paints(part.attributes);
    const isBand = part.name === 'path';
    const wide = isBand ? number(part.attributes['stroke-width'], 1) : number(part.attributes.width);
    if (!isBand && wide >= step) {
      doc.rect(box.x, box.y, box.width, box.height).fill(fill);
      continue;
    }
    const middle = isBand
      ? number(/^M(-?[\d.]+)/.exec(part.attributes.d ?? '')?.[1])
      : number(part.attributes.x) + wide / 2;
    for (let u = Math.floor(u0 / step) * step + middle; u <= u1 + wide; u += step)
      doc.moveTo(u * cos - v0 * sin, u * sin + v0 * cos).lineTo(u * cos - v1 * sin, u * sin + v1 * cos);
    doc.lineWidth(wide).stroke(isBand ? stroke : fill);
  }
}

function drawText(drawing: Drawing, element: Markup, a: Attributes): void {
  const { paper } = drawing;
  const classes = classesOf({ name: '', attributes: a, children: [] });
  const has = (name: string) => classes.includes(name);
  const text = textOf(element);
  const size = has('sp-q') ? SMALL_px : TYPE_px.small;
  const face = has('sp-b') ? 'bold' : 'regular';
  const width = paper.type.widthOf(text, face, size);
  const anchor = a['text-anchor'];
  const x = number(a.x) - (anchor === 'end' ? width : anchor === 'middle' ? width / 2 : 0);
  const y = number(a.y) + number(a.dy);
  if (has('sp-h')) {
    const { doc } = paper;
    for (const glyph of paper.type.outlines(text, face, size)) {
      if (glyph.path === '') continue;
      doc
        .save()
        .translate(x + glyph.x, y)
        .scale(glyph.scale, -glyph.scale);
      doc
        .path(glyph.path)
        .lineWidth(HALO_px / glyph.scale)
        .lineJoin('round')
        .stroke(COLOURS.paper);
      doc.restore();
    }
  }
  paper.setText(text, x, y, size, {
    face,
    colour: has('sp-on-b') ? '#000000' : has('sp-on-w') ? '#FFFFFF' : COLOURS.ink,
  });
}

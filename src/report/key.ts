/** Keys to colour scales, hatching, and the shapes that tell a state. */

import { chanceColour, chargeColour } from './palette.ts';
import { element, label, rect, textWidth } from './svg.ts';

interface Ramp {
  readonly colour: (value: number) => string;
  /** Value at a place 0..1 along the key. */
  readonly value: (place: number) => number;
  readonly marks: readonly { readonly place: number; readonly text: string }[];
}

function ramp(x: number, y: number, width: number, name: string, r: Ramp): string[] {
  const steps = 32;
  const cell = width / steps;
  const out: string[] = [];
  for (let i = 0; i < steps; i++) {
    out.push(
      rect(x + i * cell, y, cell + (i < steps - 1 ? 0.5 : 0), 8, { fill: r.colour(r.value((i + 0.5) / steps)) }),
    );
  }
  out.push(rect(x, y, width, 8, { class: 'sp-s-ink', 'stroke-width': 0.5 }));
  for (const { place, text } of r.marks) {
    const anchor = place === 0 ? 'start' : place === 1 ? 'end' : 'middle';
    out.push(label(x + place * width, y + 20, text, { 'text-anchor': anchor, class: 'sp-q' }));
  }
  out.push(label(x, y - 6, name, { class: 'sp-q' }));
  return out;
}

/** Key to `chanceColour`; 34 px high with its name, `y` is the top of the ramp. */
export function chanceKey(x: number, y: number, width: number, name: string): string[] {
  const marks = [0, 0.05, 0.2, 0.5, 1].map((chance, i, all) => ({
    place: Math.sqrt(chance),
    text: `${chance * 100}${i === all.length - 1 ? ' %' : ''}`,
  }));
  return ramp(x, y, width, name, { colour: chanceColour, value: (place) => place * place, marks });
}

/** Key to `chargeColour`. */
export function chargeKey(x: number, y: number, width: number, name: string): string[] {
  const marks = [0, 0.25, 0.5, 0.75, 1].map((soc) => ({ place: soc, text: `${soc * 100}${soc === 1 ? ' %' : ''}` }));
  return ramp(x, y, width, name, { colour: chargeColour, value: (place) => place, marks });
}

/** A pattern of slanted lines on paper: reads in black and white beside any palette. */
export function hatch(id: string, className = 'sp-s-dusk', gap = 4, lineWidth = 1.6): string {
  return element('defs', {}, [
    element(
      'pattern',
      { id, width: gap, height: gap, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
      [
        rect(0, 0, gap, gap, { class: 'sp-f-paper' }),
        element('path', { d: `M${gap / 2} 0V${gap}`, class: className, 'stroke-width': lineWidth }),
      ],
    ),
  ]);
}

export type State = 'stays up' | 'on the edge' | 'goes dark';

/** The shape of a state: full, half or empty disc. Drawn, so that it does not hang on a font. */
export function stateShape(state: State, x: number, y: number, radius: number): string {
  const ring = { cx: x, cy: y, r: radius, class: 'sp-s-ink', 'stroke-width': Math.max(radius / 4, 1.2) };
  if (state === 'stays up') return element('circle', { ...ring, class: 'sp-s-ink sp-f-ink' });
  if (state === 'goes dark') return element('circle', ring);
  const half = `M${x} ${y - radius}A${radius} ${radius} 0 0 0 ${x} ${y + radius}Z`;
  return element('circle', ring) + element('path', { d: half, class: 'sp-f-ink' });
}

/** The character that goes with a state in running text. */
export function stateSign(state: State): string {
  return state === 'stays up' ? '●' : state === 'on the edge' ? '◐' : '○';
}

/** Room in px that a state's shape and word take. */
export function stateWidth(state: State, size_px = 12.8): number {
  return size_px * 1.4 + textWidth(state, size_px);
}

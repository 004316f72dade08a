/** The year strip: one thin band of twelve months, the small picture of a kit at a perch. */

import type { YearStrip } from '../core/energy/index.ts';
import { FIGURES, type Figures } from './figures.ts';
import { chanceKey, type State, stateShape, stateSign, stateWidth } from './key.ts';
import { chanceColour, inkOn } from './palette.ts';
import { clamp } from './scale.ts';
import { element, label, linePath, type PictureOptions, type Point, picture, rect, textWidth } from './svg.ts';
import { monthName, shortMonth } from './words.ts';

export interface StripOptions extends PictureOptions {
  /** Height of the whole picture, px; from 40 on the months are named, from 96 on the key is drawn. */
  readonly height?: number;
  /** What the strip is of, for the title. */
  readonly name?: string;
  /** Told by shape before the band, and by word where there is room. */
  readonly state?: State;
  /** Month 1..12 that stands first; January when left out. */
  readonly firstMonth?: number;
}

/** The strip in words, for those who do not see it: the months with a chance of being dark, and the lowest charge. */
export function stripDescription(strip: YearStrip, figures: Figures = FIGURES): string {
  const months = strip.darkShare
    .map((share, m) => ({ share, text: `${monthName(m + 1)} ${figures.percent(share)}` }))
    .filter(({ share }) => share > 0);
  const dark =
    months.length === 0
      ? 'No month had a dark hour.'
      : `Chance of a dark hour in the month: ${months.map((m) => m.text).join(', ')}${months.length < 12 ? '; none in the others' : ''}.`;
  let low = -1;
  strip.lowStateOfCharge.forEach((soc, m) => {
    if (Number.isFinite(soc) && (low < 0 || soc < strip.lowStateOfCharge[low]!)) low = m;
  });
  if (low < 0) return dark;
  return `${dark} State of charge undercut on one day in ten: lowest in ${monthName(low + 1)}, ${figures.percent(strip.lowStateOfCharge[low]!)}.`;
}

/**
 * Band of twelve months coloured by the chance of a dark hour (viridis turned round: bright never, dark always), with
 * the state of charge undercut on one day in ten as a line (bottom 0, top 100 %). Works from 120 x 16 px to full width.
 * Throws RangeError when the strip does not have twelve months.
 */
export function yearStrip(strip: YearStrip, options: StripOptions = {}): string {
  const { width = 120, height = 16, state, firstMonth = 1, id = 'strip', figures = FIGURES } = options;
  if (strip.darkShare.length !== 12 || strip.lowStateOfCharge.length !== 12)
    throw new RangeError('yearStrip: twelve months');
  const named = height >= 40;
  const keyed = height >= 96;
  const body: string[] = [];
  const top = keyed ? 4 : 0;
  const bandHeight = keyed ? height - 76 : named ? height - 20 : height;
  let left = 0;
  if (state !== undefined) {
    const worded = width >= 360;
    const radius = Math.min(bandHeight / 2 - 1.5, 7);
    body.push(stateShape(state, radius + 1.5, top + bandHeight / 2, radius));
    left = radius * 2 + 8;
    if (worded) {
      body.push(label(left, top + bandHeight / 2 + 4.5, state, { class: 'sp-b' }));
      left = Math.ceil(stateWidth(state)) + 16;
    }
  }
  const step = (width - left) / 12;
  const line: Point[] = [];
  for (let i = 0; i < 12; i++) {
    const m = (firstMonth - 1 + i) % 12;
    const x = left + i * step;
    const share = strip.darkShare[m]!;
    const colour = Number.isFinite(share) ? chanceColour(share) : undefined;
    body.push(
      rect(x, top, step + (i < 11 ? 0.5 : 0), bandHeight, colour ? { fill: colour } : { class: 'sp-f-hairline' }),
    );
    const soc = strip.lowStateOfCharge[m]!;
    const y = Number.isFinite(soc) ? top + (1 - clamp(soc, 0, 1)) * (bandHeight - 2) + 1 : Number.NaN;
    line.push([x, y], [x + step, y]);
    const whole = figures.percent(share);
    const told = textWidth(whole, 11) < step - 4 ? whole : whole.replace(' %', '');
    if (bandHeight >= 28 && share > 0 && colour && textWidth(told, 11) < step) {
      // In the half of the band that the line leaves free.
      const ty = soc > 0.5 ? top + bandHeight - 6 : top + 13;
      body.push(
        label(x + step / 2, ty, told, {
          'text-anchor': 'middle',
          class: `sp-q ${inkOn(colour) === '#ffffff' ? 'sp-on-w' : 'sp-on-b'}`,
        }),
      );
    }
    if (named) {
      body.push(
        label(x + step / 2, top + bandHeight + 15, shortMonth(m + 1).slice(0, step >= 26 ? 3 : 1), {
          'text-anchor': 'middle',
          class: 'sp-q',
        }),
      );
    }
  }
  const d = linePath(line);
  if (d !== '') {
    const thick = bandHeight >= 28 ? 2 : 1.4;
    body.push(
      element('path', { d, fill: 'none', stroke: '#ffffff', 'stroke-width': thick + 2, 'stroke-opacity': 0.85 }),
      element('path', { d, fill: 'none', stroke: '#000000', 'stroke-width': thick }),
    );
  }
  body.push(rect(left, top, width - left, bandHeight, { class: 'sp-s-ink', 'stroke-width': 0.75 }));
  if (keyed) body.push(...stripKey(left, height, width - left));
  const name = options.name ?? 'Year strip';
  return picture({
    id,
    width,
    height,
    title: state === undefined ? name : `${name}: ${state} ${stateSign(state)}`,
    description: stripDescription(strip, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

function stripKey(left: number, height: number, width: number): string[] {
  const y = height - 26;
  const half = Math.min(width / 2 - 12, 240);
  const x = left + half + 24;
  const narrow = width < 480;
  return [
    ...chanceKey(left, y, half, narrow ? 'chance of a dark hour' : 'chance of a dark hour in the month'),
    element('path', { d: `M${x} ${y + 6}h12v-5h12`, fill: 'none', class: 'sp-s-ink', 'stroke-width': 2 }),
    label(x + 32, y + 1, narrow ? 'state of charge,' : 'state of charge undercut', { class: 'sp-q' }),
    label(x + 32, y + 15, narrow ? '1 day in 10 is below' : 'on one day in ten (top: 100 %)', { class: 'sp-q' }),
  ];
}

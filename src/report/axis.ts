/** Axes: thin grid, ticks with figures, the unit at the head of the axis, months by name. */

import { MONTH_START } from '../core/units/index.ts';
import type { Scale } from './scale.ts';
import { label, line, textWidth } from './svg.ts';
import { shortMonth } from './words.ts';

/** The rectangle in which data are drawn. */
export interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface Tick {
  readonly at: number;
  readonly text: string;
}

/** Horizontal grid lines with figures to the left, and the unit above them. */
export function yAxis(frame: Frame, scale: Scale, ticks: readonly Tick[], unit: string): string[] {
  return [
    ...ticks.flatMap(({ at, text }) => {
      const y = scale(at);
      return [
        line(frame.left, y, frame.right, y, 'sp-s-hairline'),
        label(frame.left - 6, y + 4, text, { 'text-anchor': 'end', class: 'sp-q' }),
      ];
    }),
    label(0, frame.top - 12, unit, { class: 'sp-q' }),
  ];
}

/** Ticks and figures below the frame; the name of the axis under them at the right end. */
export function xAxis(frame: Frame, scale: Scale, ticks: readonly Tick[], name: string): string[] {
  return [
    line(frame.left, frame.bottom, frame.right, frame.bottom, 'sp-s-ink'),
    ...ticks.flatMap(({ at, text }) => {
      const x = scale(at);
      return [
        line(x, frame.bottom, x, frame.bottom + 4, 'sp-s-ink'),
        label(Math.min(x, frame.right + 8 - textWidth(text, 11) / 2), frame.bottom + 17, text, {
          'text-anchor': 'middle',
          class: 'sp-q',
        }),
      ];
    }),
    label(frame.right, frame.bottom + 33, name, { 'text-anchor': 'end', class: 'sp-q' }),
  ];
}

/** A month's place on an axis of 365 days that begins with `startDay`. */
export interface MonthSpan {
  /** 1..12. */
  readonly month: number;
  /** Days from the start of the axis, 0..365. */
  readonly from: number;
  readonly to: number;
}

/**
 * The months along a year that begins with any day, in order; a month that the start cuts appears at both ends.
 * Throws RangeError when `startDay` is not a whole day 0..364.
 */
export function monthSpans(startDay: number): MonthSpan[] {
  if (!Number.isInteger(startDay) || startDay < 0 || startDay > 364) throw new RangeError(`startDay ${startDay}`);
  const spans: MonthSpan[] = [];
  for (const lap of [0, 365]) {
    for (let m = 0; m < 12; m++) {
      const from = Math.max(MONTH_START[m]! + lap - startDay, 0);
      const to = Math.min(MONTH_START[m + 1]! + lap - startDay, 365);
      if (to > from) spans.push({ month: m + 1, from, to });
    }
  }
  return spans;
}

/** Months by name under a frame; every second name where there is no room for all. */
export function monthAxis(frame: Frame, scale: Scale, startDay: number): string[] {
  const spans = monthSpans(startDay);
  const everyOne = (frame.right - frame.left) / 12 >= 27;
  return [
    line(frame.left, frame.bottom, frame.right, frame.bottom, 'sp-s-ink'),
    ...spans.flatMap(({ month, from, to }, i) => {
      const x = scale(from);
      const wide = to - from > 20 && (everyOne || i % 2 === 0);
      return [
        line(x, frame.bottom, x, frame.bottom + 4, 'sp-s-ink'),
        wide
          ? label(scale((from + to) / 2), frame.bottom + 16, shortMonth(month), {
              'text-anchor': 'middle',
              class: 'sp-q',
            })
          : '',
      ];
    }),
  ];
}

/** Vertical hairlines where months begin. */
export function monthGrid(frame: Frame, scale: Scale, startDay: number): string[] {
  return monthSpans(startDay)
    .filter(({ from }) => from > 0)
    .map(({ from }) => line(scale(from), frame.top, scale(from), frame.bottom, 'sp-s-hairline'));
}

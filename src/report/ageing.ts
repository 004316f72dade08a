/** Capacity of the cells over the years, by two models. */

import type { AgeingCurve } from '../core/energy/index.ts';
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { clamp, finiteMax, finiteMin, linearScale, niceTicks, spreadLabels } from './scale.ts';
import { bandPath, element, label, line, linePath, type PictureOptions, picture } from './svg.ts';

/** Years to 80 % in a sentence. */
export function ageingSentence(a: AgeingCurve, figures: Figures = FIGURES): string {
  if (!a.modelled) return 'Ageing is not modelled for these cells.';
  if (a.yearsTo80 === null)
    return `The cells stay above 80 % for the ${figures.number(finiteMax(a.years, 0))} years drawn.`;
  const { low, high } = a.yearsTo80;
  const same = figures.number(low, 1) === figures.number(high, 1);
  return `The cells come down to 80 % after ${same ? figures.number(low, 1) : `${figures.number(low, 1)} to ${figures.number(high, 1)}`} years; the two models differ by that much.`;
}

/** Two lines of the capacity share with the band between them, and the 80 % line with the years at which they cross it. */
export function ageingChart(a: AgeingCurve, options: PictureOptions = {}): string {
  const { width = 360, id = 'ageing', figures = FIGURES } = options;
  const height = 256;
  const frame: Frame = { left: 34, right: width - 76, top: 28, bottom: height - 44 };
  const description = ageingSentence(a, figures);
  const known = a.modelled && a.years.length > 1;
  const share = (values: readonly number[]) =>
    a.years.map((_, i) => (values[i] === undefined ? Number.NaN : values[i]! * 100));
  const first = share(a.capacityShare);
  const second = share(a.capacityShareSecond);
  const least = clamp(finiteMin([...first, ...second, 78], 70), 0, 78);
  const ticks = niceTicks(least, 100, 5);
  const y = linearScale([ticks[0]!, 100], [frame.bottom, frame.top]);
  const lastYear = Math.max(finiteMax(a.years, 10), 1e-3);
  const x = linearScale([0, lastYear], [frame.left, frame.right]);
  const xs = a.years.map((v) => (Number.isFinite(v) ? x(clamp(v, 0, lastYear)) : Number.NaN));
  const ys = (values: readonly number[]) => values.map((v) => (Number.isFinite(v) ? y(clamp(v, 0, 100)) : Number.NaN));
  const [upper, lower] = [ys(first), ys(second)];
  const yearTicks = niceTicks(0, lastYear, 5).filter((t) => t <= lastYear);
  const body = [
    ...yAxis(
      frame,
      y,
      ticks.filter((t) => t <= 100).map((at) => ({ at, text: figures.number(at) })),
      'capacity, % of new',
    ),
    ...xAxis(
      frame,
      x,
      yearTicks.map((at) => ({ at, text: figures.number(at, at % 1 === 0 ? 0 : 1) })),
      'age, years',
    ),
  ];
  if (known) {
    body.push(
      element('path', { d: bandPath(xs, upper, lower), class: 'sp-f-lake', 'fill-opacity': 0.25 }),
      curve(xs, upper, 'sp-s-lake', 2.25),
      curve(xs, lower, 'sp-s-lake', 1.25, '5 3'),
      line(frame.left, y(80), frame.right, y(80), 'sp-s-ink', { 'stroke-dasharray': '1 3' }),
      label(frame.left + 4, y(80) + 13, figures.percent(0.8), { class: 'sp-q sp-h' }),
      ...whisker(a, x, y(80), lastYear),
      ...endLabels(upper, lower, frame),
    );
  } else {
    body.push(
      label((frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2, 'not modelled', {
        'text-anchor': 'middle',
      }),
    );
  }
  return picture({
    id,
    width,
    height,
    title: 'Ageing of the cells',
    description,
    body,
    standalone: options.standalone ?? true,
  });
}

function curve(xs: readonly number[], ys: readonly number[], className: string, width: number, dash?: string): string {
  return element('path', {
    d: linePath(xs.map((v, i) => [v, ys[i]!] as const)),
    class: className,
    'stroke-width': width,
    'stroke-dasharray': dash,
  });
}

/** From the earlier to the later year at which the capacity is down to 80 %. */
function whisker(a: AgeingCurve, x: (year: number) => number, y: number, lastYear: number): string[] {
  if (a.yearsTo80 === null || !Number.isFinite(a.yearsTo80.low) || a.yearsTo80.low > lastYear) return [];
  const from = x(Math.max(a.yearsTo80.low, 0));
  const to = x(clamp(a.yearsTo80.high, 0, lastYear, lastYear));
  return [
    line(from, y, to, y, 'sp-s-ink', { 'stroke-width': 2.5 }),
    line(from, y - 5, from, y + 5, 'sp-s-ink', { 'stroke-width': 2 }),
    // An arrow where the later year lies beyond the picture.
    element('path', {
      d: a.yearsTo80.high <= lastYear ? `M${to} ${y - 5}v10` : `M${to - 6} ${y - 5}l6 5l-6 5`,
      class: 'sp-s-ink',
      'stroke-width': 2,
    }),
  ];
}

function endLabels(upper: readonly number[], lower: readonly number[], frame: Frame): string[] {
  const ends = [upper, lower].map((v) => v.findLast((p) => Number.isFinite(p)) ?? Number.NaN);
  const at = spreadLabels(
    ends.map((v) => clamp(v, frame.top, frame.bottom, frame.bottom) - 2),
    28,
    frame.top + 4,
    frame.bottom - 14,
  );
  return [
    ['default', 'model'],
    ['second', 'opinion'],
  ].flatMap((words, i) =>
    Number.isFinite(ends[i]!)
      ? words.map((word, k) =>
          label(frame.right + 6, at[i]! + k * 12, word, { class: `sp-q${i === 0 ? ' sp-b' : ''}` }),
        )
      : [],
  );
}

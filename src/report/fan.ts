/** The fan chart: state of charge over the year, with its quantiles over all years. */

import type { YearPictures } from '../core/energy/index.ts';
import { type Frame, monthAxis, monthGrid, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { chanceKey } from './key.ts';
import { chanceColour } from './palette.ts';
import { clamp, finiteMax, linearScale, spreadLabels } from './scale.ts';
import { bandPath, element, label, line, linePath, type PictureOptions, picture, rect, textWidth } from './svg.ts';

/** Runs of days with the same colour, as rectangles. */
export function dayBand(
  shares: readonly number[],
  x: (day: number) => number,
  top: number,
  height: number,
): { readonly markup: string[]; readonly runs: number } {
  const markup: string[] = [];
  let from = 0;
  // 16 steps of the square root that the palette uses: finer ones cannot be told apart in so thin a band.
  const level = (share: number) =>
    Number.isFinite(share) ? Math.ceil(Math.sqrt(clamp(share, 0, 1)) * 16) : Number.NaN;
  for (let day = 1; day <= shares.length; day++) {
    if (day < shares.length && Object.is(level(shares[day]!), level(shares[from]!))) continue;
    const l = level(shares[from]!);
    markup.push(
      rect(x(from), top, x(day) - x(from), height, {
        ...(Number.isNaN(l) ? { class: 'sp-f-hairline' } : { fill: chanceColour((l / 16) ** 2) }),
        'shape-rendering': 'crispEdges',
      }),
    );
    from = day;
  }
  return { markup, runs: markup.length };
}

/** What the fan shows, in a sentence. */
export function fanSentence(p: Pick<YearPictures, 'fan' | 'startDay' | 'marks'>, figures: Figures = FIGURES): string {
  let worst = -1;
  p.fan.p10.forEach((v, d) => {
    if (Number.isFinite(v) && (worst < 0 || v < p.fan.p10[worst]!)) worst = d;
  });
  if (worst < 0) return 'No state of charge was given.';
  const when = figures.day(p.startDay + worst);
  const peak = finiteMax(p.fan.dark, 0);
  const at = p.fan.dark.indexOf(peak);
  const dark =
    peak > 0
      ? `the chance of a dark hour is highest about ${figures.day(p.startDay + at)}, ${figures.percent(peak)}.`
      : 'no day had a dark hour.';
  return `Lowest about ${when}: one year in ten is below ${figures.percent(p.fan.p10[worst]!)}; ${dark}`;
}

/**
 * Quantiles 1, 10, 50 and 90 % of the daily state of charge (0..1, 365 values each from `startDay`), lines for ceiling,
 * cut-off and reconnect, and the chance of being dark as a band below.
 */
export function fanChart(
  p: Pick<YearPictures, 'fan' | 'startDay' | 'marks'>,
  options: PictureOptions & { readonly height?: number } = {},
): string {
  const { width = 752, id = 'fan', figures = FIGURES } = options;
  const narrow = width < 560;
  const height = options.height ?? (narrow ? 340 : 396);
  const frame: Frame = { left: 34, right: width - (narrow ? 4 : 96), top: 24, bottom: height - 100 };
  const x = linearScale([0, 365], [frame.left, frame.right]);
  const y = linearScale([0, 1], [frame.bottom, frame.top]);
  const days = p.fan.p50.map((_, day) => x(day + 0.5));
  const ys = (values: readonly number[]) => values.map((v) => (Number.isFinite(v) ? y(clamp(v, 0, 1)) : Number.NaN));
  const lines = { p90: ys(p.fan.p90), p50: ys(p.fan.p50), p10: ys(p.fan.p10), p01: ys(p.fan.p01) };
  const stroke = (values: readonly number[], className: string, strokeWidth: number, dash?: string) =>
    element('path', {
      d: linePath(values.map((v, i) => [days[i]!, v] as const)),
      class: className,
      'stroke-width': strokeWidth,
      'stroke-dasharray': dash,
      'stroke-linejoin': 'round',
    });
  const percentTicks = [0, 0.25, 0.5, 0.75, 1].map((at) => ({ at, text: String(at * 100) }));
  const bandTop = frame.bottom + 26;
  const body = [
    ...yAxis(frame, y, percentTicks, 'state of charge, %'),
    ...monthGrid(frame, x, p.startDay),
    element('path', { d: bandPath(days, lines.p10, lines.p01), class: 'sp-f-lake', 'fill-opacity': 0.16 }),
    element('path', { d: bandPath(days, lines.p90, lines.p10), class: 'sp-f-lake', 'fill-opacity': 0.34 }),
    stroke(lines.p90, 'sp-s-lake', 0.75),
    stroke(lines.p10, 'sp-s-lake', 1),
    stroke(lines.p01, 'sp-s-dusk', 1.25, '4 2'),
    stroke(lines.p50, 'sp-s-lake', 2.25),
    ...marks(p.marks, frame, y, narrow, figures),
    ...quantileLabels(lines, days, frame),
    ...monthAxis(frame, x, p.startDay),
    ...dayBand(p.fan.dark, x, bandTop, 14).markup,
    rect(frame.left, bandTop, frame.right - frame.left, 14, { class: 'sp-s-ink', 'stroke-width': 0.75 }),
    ...chanceKey(frame.left, height - 26, narrow ? 220 : 300, 'band above: chance of a dark hour on that day'),
  ];
  return picture({
    id,
    width,
    height,
    title: 'State of charge over the year',
    description: `Fan of the 1, 10, 50 and 90 % quantiles over all years. ${fanSentence(p, figures)}`,
    body,
    standalone: options.standalone ?? true,
  });
}

function marks(
  m: YearPictures['marks'],
  frame: Frame,
  y: (soc: number) => number,
  narrow: boolean,
  figures: Figures,
): string[] {
  const list = [
    { name: 'ceiling', soc: m.ceiling },
    { name: 'reconnect', soc: m.reconnect },
    { name: 'cut-off', soc: m.cutoff },
  ].filter(({ soc }) => Number.isFinite(soc) && soc >= 0 && soc <= 1);
  const text = list.map(({ name, soc }) => `${name} ${figures.percent(soc)}`);
  const at = spreadLabels(
    list.map(({ soc }) => y(soc) + (narrow ? -4 : 4)),
    13,
    frame.top,
    frame.bottom + (narrow ? -4 : 4),
  );
  return list.flatMap(({ soc }, i) => [
    line(frame.left, y(soc), frame.right, y(soc), 'sp-s-ink', { 'stroke-width': 1, 'stroke-dasharray': '1 3' }),
    narrow
      ? label(frame.left + 4, at[i]!, text[i]!, { class: 'sp-q sp-h' })
      : label(frame.right + 6, at[i]!, text[i]!, { class: 'sp-q' }),
  ]);
}

const middle = { 'text-anchor': 'middle', class: 'sp-q sp-h' } as const;

/** Names at the curves themselves, where they lie farthest apart. */
function quantileLabels(
  lines: Readonly<Record<'p90' | 'p50' | 'p10' | 'p01', readonly number[]>>,
  days: readonly number[],
  frame: Frame,
): string[] {
  let best = -1;
  let widest = -1;
  for (let i = 0; i < days.length; i++) {
    const gaps = [lines.p50[i]! - lines.p90[i]!, lines.p10[i]! - lines.p50[i]!, lines.p01[i]! - lines.p10[i]!];
    const least = Math.min(...gaps) + 0.2 * (lines.p01[i]! - lines.p90[i]!);
    const room = days[i]! > frame.left + 90 && days[i]! < frame.right - 60;
    if (room && least > widest) [best, widest] = [i, least];
  }
  if (best < 0) return [];
  if (lines.p01[best]! - lines.p90[best]! < 72) {
    const mid = Math.floor(days.length / 2);
    const near = (values: readonly number[]) => (Number.isFinite(values[mid]) ? values[mid]! : values[best]!);
    const [upper, lower] = [near(lines.p90), near(lines.p01)];
    // Too close for a name each: one line beside the band, on the side that has room.
    const y = lower + 20 < frame.bottom - 24 ? lower + 20 : upper - 12;
    return [label((frame.left + frame.right) / 2, y, 'from the top: 90 %, half, 10 % and 1 % of the years', middle)];
  }
  const names = [
    ['p90', '90 %'],
    ['p50', 'half of the years'],
    ['p10', '10 %'],
    ['p01', '1 % of the years'],
  ] as const;
  const at = spreadLabels(
    names.map(([key]) => lines[key][best]! + 4),
    14,
    frame.top + 8,
    frame.bottom - 4,
  );
  return names.map(([, text], i) =>
    label(clamp(days[best]! - textWidth(text, 11) / 2, frame.left + 2, frame.right), at[i]!, text, {
      class: `sp-q sp-h${i === 1 ? ' sp-b' : ''}`,
    }),
  );
}

/** The carpet: one year's state of charge, day by hour, with the dark hours hatched. */

import { type Frame, monthAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { chargeKey, hatch } from './key.ts';
import { chargeColour } from './palette.ts';
import { linearScale } from './scale.ts';
import { element, label, type PictureOptions, picture, rect, safeId } from './svg.ts';

/** Steps of the state of charge that get a colour of their own. */
const LEVELS = 25;
const DARK = -1;
const MISSING = -2;

function levelOf(value: number): number {
  if (!Number.isFinite(value)) return MISSING;
  return value < 0 ? DARK : Math.min(Math.floor(value * LEVELS), LEVELS - 1);
}

/**
 * Path data, one for each level, in units of days across and hours down: runs of equal hours within a day, joined with
 * the same run of the days that follow. At most 8,760 rectangles of some 14 characters, usually a tenth of that.
 */
export function carpetPaths(values: ArrayLike<number>): Map<number, string> {
  const days = Math.floor(values.length / 24);
  const paths = new Map<number, string>();
  // Open rectangles of the day before, by "start hour, length, level".
  let open = new Map<string, { day: number; hour: number; hours: number; level: number }>();
  const close = (r: { day: number; hour: number; hours: number; level: number }, day: number) => {
    const w = day - r.day;
    paths.set(r.level, `${paths.get(r.level) ?? ''}M${r.day} ${r.hour}h${w}v${r.hours}h${-w}z`);
  };
  for (let day = 0; day < days; day++) {
    const next: typeof open = new Map();
    let hour = 0;
    while (hour < 24) {
      const level = levelOf(values[day * 24 + hour]!);
      let end = hour + 1;
      while (end < 24 && levelOf(values[day * 24 + end]!) === level) end++;
      const key = `${hour},${end},${level}`;
      next.set(key, open.get(key) ?? { day, hour, hours: end - hour, level });
      open.delete(key);
      hour = end;
    }
    for (const r of open.values()) close(r, day);
    open = next;
  }
  for (const r of open.values()) close(r, days);
  return paths;
}

/** Dark hours of a carpet, and how they lie. */
export function carpetSentence(values: ArrayLike<number>, startDay: number, figures: Figures = FIGURES): string {
  let dark = 0;
  let longest = 0;
  let longestEnd = 0;
  let run = 0;
  let known = 0;
  for (let i = 0; i < values.length; i++) {
    const level = levelOf(values[i]!);
    if (level !== MISSING) known++;
    run = level === DARK ? run + 1 : 0;
    if (level === DARK) dark++;
    if (run > longest) [longest, longestEnd] = [run, i];
  }
  if (known === 0) return 'No hours were given.';
  if (dark === 0) return 'Even the worst year has no dark hour.';
  const from = figures.day(startDay + Math.floor((longestEnd - longest + 1) / 24));
  return `The worst year has ${figures.number(dark)} dark ${dark === 1 ? 'hour' : 'hours'}; the longest spell begins on ${from} and lasts ${figures.number(longest)} h.`;
}

/**
 * Day of the year across, hour of the day down, one cell an hour: state of charge in cividis, dark hours (values below
 * zero) hatched, missing ones left grey. `values` holds whole days of 24 hours from `startDay`, usually 8,760.
 */
export function carpetPlot(
  values: ArrayLike<number>,
  startDay: number,
  options: PictureOptions & { readonly year?: number } = {},
): string {
  const { width = 752, id = 'carpet', figures = FIGURES } = options;
  const narrow = width < 560;
  const frame: Frame = { left: 34, right: width - 4, top: 24, bottom: narrow ? 168 : 216 };
  const height = frame.bottom + 84;
  const days = Math.max(Math.floor(values.length / 24), 1);
  const x = linearScale([0, days], [frame.left, frame.right]);
  const y = linearScale([0, 24], [frame.top, frame.bottom]);
  const hatchId = `${safeId(id)}-hatch`;
  const paths = carpetPaths(values);
  const cells = [...paths]
    .sort(([a], [b]) => b - a)
    .map(([level, d]) =>
      element('path', {
        d,
        ...(level === MISSING
          ? { class: 'sp-f-hairline' }
          : level === DARK
            ? { class: 'sp-f-paper' }
            : { fill: chargeColour((level + 0.5) / LEVELS) }),
      }),
    );
  const placed = `translate(${frame.left} ${frame.top}) scale(${(frame.right - frame.left) / days} ${(frame.bottom - frame.top) / 24})`;
  const hours = [0, 6, 12, 18, 24].map((at) => ({ at, text: String(at) }));
  const keyTop = height - 26;
  const keyWidth = narrow ? 190 : 300;
  const body = [
    hatch(hatchId),
    ...yAxis(frame, y, hours, 'hour of the day'),
    element('g', { transform: placed, 'shape-rendering': 'crispEdges' }, cells),
    darkHatch(paths.get(DARK), x, y, hatchId),
    rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top, {
      class: 'sp-s-ink',
      'stroke-width': 0.75,
    }),
    ...monthAxis(frame, linearScale([0, 365], [frame.left, frame.right]), startDay),
    ...chargeKey(frame.left, keyTop, keyWidth, 'state of charge'),
    rect(frame.left + keyWidth + 24, keyTop - 2, 24, 12, { fill: `url(#${hatchId})` }),
    rect(frame.left + keyWidth + 24, keyTop - 2, 24, 12, { class: 'sp-s-dusk' }),
    label(frame.left + keyWidth + 54, keyTop + 8, 'dark', { class: 'sp-q' }),
  ];
  return picture({
    id,
    width,
    height,
    title:
      options.year === undefined ? 'The worst year, hour by hour' : `The worst year (${options.year}), hour by hour`,
    description: carpetSentence(values, startDay, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** The dark hours once more at the size of the picture, so that the hatching is not stretched with the cells. */
function darkHatch(
  d: string | undefined,
  x: (day: number) => number,
  y: (hour: number) => number,
  hatchId: string,
): string {
  if (d === undefined) return '';
  // The paths are in days and hours: h and v are steps along either axis.
  const across = x(1) - x(0);
  const down = y(1) - y(0);
  const scaled = d.replace(/M(\d+) (\d+)h(\d+)v(\d+)h-\d+z/g, (_, day, hour, w, h) => {
    const r = (v: number) => Math.round(v * 10) / 10;
    return `M${r(x(Number(day)))} ${r(y(Number(hour)))}h${r(w * across)}v${r(h * down)}h${-r(w * across)}z`;
  });
  return element('path', { d: scaled, fill: `url(#${hatchId})` });
}

/** Candidates for a perch: area reached across, winter light up; those that nobody beats stand out and are joined by a stair. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { finiteMax, linearScale, niceTicks } from './scale.ts';
import { element, label, linePath, type PictureOptions, type Point, picture, rect, textWidth } from './svg.ts';
import { monthName } from './words.ts';

export interface ParetoPoint {
  readonly name: string;
  /** Of the area, 0..1. */
  readonly reachedShare: number;
  /** On the panel in the darkest month. */
  readonly light_kWh_m2: number;
  /** Beaten by none, in these two and in what else was ranked. */
  readonly onFront: boolean;
}

export interface ParetoPicture {
  readonly points: readonly ParetoPoint[];
  /** 1..12. */
  readonly month: number;
  /** In hand now. */
  readonly chosen?: string;
}

/** The front in words, for those who do not see the picture. */
export function paretoSentence({ points, month }: ParetoPicture, figures: Figures = FIGURES): string {
  const told = points
    .filter((p) => p.onFront)
    .map((p) => `${p.name} (${figures.percent(p.reachedShare)}, ${figures.number(p.light_kWh_m2, 1)} kWh/m²)`);
  const rest = points.length - told.length;
  return told.length === 0
    ? 'No candidate is ranked.'
    : `Beaten by none, area reached and light in ${monthName(month)}: ${told.join('; ')}.${rest > 0 ? ` ${rest} ${rest === 1 ? 'other is' : 'others are'} beaten.` : ''}`;
}

/** Of the points on the front, those that no other beats in the two values drawn, by area from the least. */
export function stairOf(points: readonly ParetoPoint[]): ParetoPoint[] {
  return points
    .filter(
      (p) =>
        p.onFront &&
        !points.some(
          (q) =>
            q.reachedShare >= p.reachedShare &&
            q.light_kWh_m2 >= p.light_kWh_m2 &&
            (q.reachedShare > p.reachedShare || q.light_kWh_m2 > p.light_kWh_m2),
        ),
    )
    .sort((a, b) => a.reachedShare - b.reachedShare);
}

/** Ends of the axes, which begin at zero: zero means something on both; a tenth of room, so that no mark lies on the edge. */
export function paretoRange(points: readonly ParetoPoint[]): {
  readonly most_pct: number;
  readonly most_kWh_m2: number;
} {
  const most = (of: (q: ParetoPoint) => number, least: number) =>
    Math.max(least, 1.1 * finiteMax(points.map(of), least));
  return {
    most_pct: Math.min(100, 100 * most((q) => q.reachedShare, 0.01)),
    most_kWh_m2: most((q) => q.light_kWh_m2, 1),
  };
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}
const meet = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/** Scatter of the candidates; discs are on the front, rings are beaten, a larger ring is in hand. */
export function paretoChart(p: ParetoPicture, options: PictureOptions = {}): string {
  const { width = 560, id = 'pareto', figures = FIGURES } = options;
  const height = 360;
  const frame: Frame = { left: 40, right: width - 12, top: 36, bottom: height - 78 };
  const { most_pct, most_kWh_m2 } = paretoRange(p.points);
  const x = linearScale([0, most_pct], [frame.left, frame.right]);
  const y = linearScale([0, most_kWh_m2], [frame.bottom, frame.top]);
  const ticks = (high: number, count: number) => niceTicks(0, high, count).filter((v) => v <= high + 1e-9);
  const digits = (list: readonly number[]) => (list.some((v) => !Number.isInteger(v)) ? 1 : 0);
  const xs = ticks(x.domain[1], width < 420 ? 4 : 8);
  const ys = ticks(y.domain[1], 5);
  const spots = p.points
    .filter((q) => Number.isFinite(q.reachedShare) && Number.isFinite(q.light_kWh_m2))
    .map((q) => ({ ...q, cx: x(100 * q.reachedShare), cy: y(q.light_kWh_m2) }));
  const stair = stairOf(spots) as typeof spots;
  const path: Point[] = [];
  stair.forEach((s, i) => {
    if (i === 0) path.push([frame.left, s.cy]);
    else path.push([stair[i - 1]!.cx, s.cy]);
    path.push([s.cx, s.cy]);
    if (i === stair.length - 1) path.push([s.cx, frame.bottom]);
  });
  const taken: Box[] = spots.map(({ cx, cy }) => ({ left: cx - 7, right: cx + 7, top: cy - 7, bottom: cy + 7 }));
  const names = [...spots]
    .sort((a, b) => Number(b.onFront) - Number(a.onFront))
    .flatMap(({ name, cx, cy, onFront }) => {
      const text = name.length > 24 ? `${name.slice(0, 23)}…` : name;
      const wide = textWidth(text, 12);
      const tries: Point[] = [
        [cx + 9, cy + 4],
        [cx - 9 - wide, cy + 4],
        [cx - wide / 2, cy - 10],
        [cx - wide / 2, cy + 19],
      ];
      for (const [left, base] of tries) {
        const box = { left, right: left + wide, top: base - 12, bottom: base + 3 };
        if (left < frame.left + 2 || box.right > frame.right || box.top < frame.top - 12 || base > frame.bottom - 2)
          continue;
        if (taken.some((t) => meet(t, box))) continue;
        taken.push(box);
        return [label(left, base, text, { class: onFront ? 'sp-h sp-b' : 'sp-h' })];
      }
      return [];
    });
  const keyY = height - 12;
  const body = [
    ...yAxis(
      frame,
      y,
      ys.map((at) => ({ at, text: figures.number(at, digits(ys)) })),
      `light on the panel in ${monthName(p.month)}, kWh/m²`,
    ),
    ...xAxis(
      frame,
      x,
      xs.map((at) => ({ at, text: figures.number(at, digits(xs)) })),
      'area reached, %',
    ),
    rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top, {
      class: 'sp-s-ink',
      'stroke-width': 0.5,
      'stroke-opacity': 0.35,
    }),
    element('path', { d: linePath(path), class: 'sp-s-lake', 'stroke-width': 1.5, 'stroke-dasharray': '5 4' }),
    ...spots.flatMap(({ name, cx, cy, onFront }) => [
      ...(name === p.chosen ? [element('circle', { cx, cy, r: 10, class: 'sp-s-lake', 'stroke-width': 1.5 })] : []),
      element('circle', { cx, cy, r: 5.5, class: onFront ? 'sp-f-lake' : 'sp-f-paper' }),
      element('circle', { cx, cy, r: 5.5, class: onFront ? 'sp-s-lake' : 'sp-s-ink', 'stroke-width': 1.5 }),
    ]),
    ...names,
    element('circle', { cx: frame.left + 6, cy: keyY - 4, r: 5.5, class: 'sp-f-lake' }),
    label(frame.left + 18, keyY, 'beaten by none', { class: 'sp-q' }),
    element('circle', { cx: frame.left + 126, cy: keyY - 4, r: 5.5, class: 'sp-s-ink', 'stroke-width': 1.5 }),
    label(frame.left + 138, keyY, 'beaten', { class: 'sp-q' }),
  ];
  return picture({
    id,
    width,
    height,
    title: 'Candidates: area reached and winter light',
    description: paretoSentence(p, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

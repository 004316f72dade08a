/** Charts whose limits change, or that have a memory: shares, moving averages, cumulative sums. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES } from './figures.ts';
import { finiteMax, finiteMin, linearScale, niceStep, niceTicks, spreadLabels } from './scale.ts';
import { element, escapeText, label, line, linePath, type PictureOptions, type Point, picture } from './svg.ts';

/** A row of figures with its name, drawn from left to right. */
export interface TrendRow {
  readonly name: string;
  readonly values: readonly number[];
}

export interface TrendPicture {
  readonly title: string;
  /** Name of the axis upwards, with unit. */
  readonly axis: string;
  /** What is judged: dots joined by a line. Cumulative sums have two. */
  readonly rows: readonly TrendRow[];
  readonly centre: { readonly name: string; readonly at: number };
  /** Limits at each point; the same figure again and again where they do not change. */
  readonly limits: readonly TrendRow[];
  /** Points that stand out, from 1. */
  readonly outside: readonly number[];
  /** The picture in words. */
  readonly said: string;
}

export function trendChart(input: TrendPicture, options: PictureOptions = {}): string {
  const { width = 752, id = 'trend', figures = FIGURES } = options;
  const frame: Frame = { left: 52, right: width - 104, top: 34, bottom: 264 };
  const count = Math.max(1, ...input.rows.map((r) => r.values.length));
  const all = [...input.rows, ...input.limits].flatMap((r) => r.values).concat(input.centre.at);
  const [least, most] = [finiteMin(all, 0), finiteMax(all, 1)];
  const room = (most - least || Math.abs(most) || 1) * 0.06;
  const y = linearScale([least === 0 ? 0 : least - room, most + room], [frame.bottom, frame.top]);
  const width_px = (frame.right - frame.left) / count;
  const x = linearScale([0.5, count + 0.5], [frame.left, frame.right]);
  const ticks = niceTicks(y.domain[0], y.domain[1], 5).filter((v) => v >= y.domain[0] && v <= y.domain[1]);
  const decimals = Math.max(0, ...ticks.map((v) => (String(v).split('.')[1] ?? '').length));
  const every = Math.max(1, niceStep(count, Math.max(2, Math.floor((frame.right - frame.left) / 64))));
  const numbers = Array.from({ length: count }, (_, i) => i + 1).filter((n) => n === 1 || n % every === 0);
  const outside = new Set(input.outside);
  const points = (values: readonly number[]): Point[] => values.map((v, i) => [x(i + 1), y(v)]);
  /** Limits are steps: one level the width of its point. */
  const stairs = (values: readonly number[]): Point[] =>
    values.flatMap((v, i): Point[] => [
      [x(i + 1) - width_px / 2, y(v)],
      [x(i + 1) + width_px / 2, y(v)],
    ]);
  const named: [string, number][] = [
    [input.centre.name, input.centre.at],
    ...input.limits.map((r): [string, number] => [r.name, r.values.at(-1)!]),
    ...(input.rows.length > 1 ? input.rows.map((r): [string, number] => [r.name, r.values.at(-1)!]) : []),
  ];
  const places = spreadLabels(
    named.map(([, at]) => y(at)),
    13,
    frame.top,
    frame.bottom,
  );
  const body = [
    ...yAxis(
      frame,
      y,
      ticks.map((at) => ({ at, text: figures.number(at, decimals) })),
      input.axis,
    ),
    line(frame.left, y(input.centre.at), frame.right, y(input.centre.at), 'sp-s-ink'),
    ...input.limits.map((r) =>
      element('path', {
        d: linePath(stairs(r.values)),
        class: 'sp-s-lake',
        'stroke-width': 1.5,
        'stroke-dasharray': '6 4',
        fill: 'none',
      }),
    ),
    ...input.rows.flatMap(({ name, values }) => [
      element('path', {
        d: linePath(points(values)),
        class: 'sp-s-ink',
        'stroke-width': 1,
        'stroke-opacity': 0.45,
        fill: 'none',
      }),
      ...points(values).map(([cx, cy], i) => {
        const stands = outside.has(i + 1) && beyond(input, values[i]!, i);
        const title = element('title', {}, escapeText(`${name} ${i + 1}: ${figures.figures(values[i]!)}`));
        const shape = stands
          ? element('path', {
              d: `M${cx} ${cy - 6}L${cx + 6} ${cy}L${cx} ${cy + 6}L${cx - 6} ${cy}Z`,
              class: 'sp-f-dusk',
            })
          : element('circle', { cx, cy, r: 2.6, class: 'sp-f-ink' });
        return element('g', {}, [title, shape]);
      }),
    ]),
    ...named.map(([name], i) => label(frame.right + 6, places[i]! + 4, name, { class: 'sp-q' })),
    ...xAxis(
      frame,
      x,
      numbers.map((at) => ({ at, text: String(at) })),
      'in their order',
    ),
  ];
  return picture({
    id,
    width,
    height: 310,
    title: input.title,
    description: input.said,
    body,
    standalone: options.standalone ?? true,
  });
}

/** Of two rows only the one that is beyond a limit stands out. */
function beyond({ limits, centre }: TrendPicture, value: number, i: number): boolean {
  return limits.some(({ values }) => (values[i]! > centre.at ? value > values[i]! : value < values[i]!));
}

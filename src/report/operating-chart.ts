/** Operating characteristic of a sampling plan: how likely a lot is accepted, by its share of defective units. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { linearScale, niceTicks } from './scale.ts';
import { element, label, line, linePath, type PictureOptions, type Point, picture } from './svg.ts';

export interface OperatingPicture {
  /** The plan in words: "13 of 60, accept with none". */
  readonly name: string;
  /** Ascending shares, from 0. */
  readonly curve: readonly { readonly share: number; readonly chance: number }[];
  /** A lot on its own: only whole numbers of defective units, so dots and no line. */
  readonly dots: boolean;
  /** Shares accepted with a chance of 95, 50 and 10 %. */
  readonly accepted: { readonly p95: number; readonly p50: number; readonly p10: number };
}

export function operatingSentence({ name, accepted }: OperatingPicture, figures: Figures = FIGURES): string {
  const share = (v: number) => `${figures.figures(100 * v)} %`;
  return `${name}: with ${share(accepted.p95)} defective accepted nineteen times in twenty, with ${share(accepted.p50)} every other time, with ${share(accepted.p10)} one time in ten.`;
}

export function operatingChart(input: OperatingPicture, options: PictureOptions = {}): string {
  const { width = 640, id = 'operating', figures = FIGURES } = options;
  const frame: Frame = { left: 48, right: width - 24, top: 34, bottom: 270 };
  const most = 100 * Math.max(input.curve.at(-1)?.share ?? 0, 1.15 * input.accepted.p10, 1e-6);
  const x = linearScale([0, most], [frame.left, frame.right]);
  const y = linearScale([0, 100], [frame.bottom, frame.top]);
  const xs = niceTicks(0, most, width < 420 ? 4 : 8).filter((v) => v <= most * (1 + 1e-9));
  const decimals = Math.max(0, ...xs.map((v) => (String(v).split('.')[1] ?? '').length));
  const place = (p: { share: number; chance: number }): Point => [x(100 * p.share), y(100 * p.chance)];
  const marks = (
    [
      [0.95, input.accepted.p95],
      [0.5, input.accepted.p50],
      [0.1, input.accepted.p10],
    ] as const
  ).flatMap(([chance, share]) => {
    const [px, py] = [x(100 * share), y(100 * (input.dots ? chanceOf(input, share) : chance))];
    const text = `${figures.percent(chance)} at ${figures.figures(100 * share)} %`;
    const left = px > frame.right - 110;
    return [
      line(px, py, px, frame.bottom, 'sp-s-lake', { 'stroke-dasharray': '3 3' }),
      element('circle', { cx: px, cy: py, r: 4.5, class: 'sp-f-lake' }),
      label(
        px + (left ? -9 : 9),
        Math.max(py - 7, frame.top + 12),
        input.dots ? figures.figures(100 * share).concat(' %') : text,
        {
          'text-anchor': left ? 'end' : 'start',
        },
      ),
    ];
  });
  const body = [
    ...yAxis(
      frame,
      y,
      [0, 20, 40, 60, 80, 100].map((at) => ({ at, text: String(at) })),
      'accepted, % of such lots',
    ),
    input.dots
      ? ''
      : element('path', { d: linePath(input.curve.map(place)), class: 'sp-s-ink', 'stroke-width': 2, fill: 'none' }),
    ...(input.dots
      ? input.curve.map((p) => element('circle', { cx: place(p)[0], cy: place(p)[1], r: 2.6, class: 'sp-f-ink' }))
      : []),
    ...marks,
    ...xAxis(
      frame,
      x,
      xs.map((at) => ({ at, text: figures.number(at, decimals) })),
      'defective in the lot, %',
    ),
  ];
  return picture({
    id,
    width,
    height: 316,
    title: `Operating characteristic: ${input.name}`,
    description: operatingSentence(input, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** Chance at the point of a share; the shares of a lot on its own are among those of the curve. */
function chanceOf({ curve }: OperatingPicture, share: number): number {
  return curve.reduce((best, p) => (Math.abs(p.share - share) < Math.abs(best.share - share) ? p : best), curve[0]!)
    .chance;
}

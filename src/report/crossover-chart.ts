/** What an own tool saves by number of pieces, with the spread of each, and the spread of the number from which it pays. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { linearScale, niceTicks } from './scale.ts';
import { bandPath, element, label, line, linePath, type PictureOptions, picture, textWidth } from './svg.ts';

export interface CrossoverPicture {
  readonly currency: string;
  /** In the currency's usual unit; 5 %, 50 %, 95 %. Quantities rise. */
  readonly savings: readonly {
    readonly quantity: number;
    readonly low: number;
    readonly middle: number;
    readonly high: number;
  }[];
  /** Number from which the tool pays; null where it never does. */
  readonly from: { readonly low: number | null; readonly middle: number | null; readonly high: number | null };
}

/** The picture in words. */
export function crossoverSentence({ currency, savings }: CrossoverPicture, figures: Figures = FIGURES): string {
  const n = (v: number) => figures.number(v, 0);
  const each = savings.map((s) => `${s.quantity}: ${n(s.middle)} (${n(s.low)} to ${n(s.high)})`);
  return `What an own tool saves, ${currency}, by number of pieces, with nine cases of ten: ${each.join('; ')}.`;
}

/** Where the pieces lie across the plot, 0 to 1. */
export const crossoverAt = ({ savings }: CrossoverPicture, quantity: number): number =>
  quantity / (1.08 * savings[savings.length - 1]!.quantity);

export function crossoverChart(p: CrossoverPicture, options: PictureOptions = {}): string {
  const { width = 640, id = 'crossover', figures = FIGURES } = options;
  const frame: Frame = { left: 62, right: width - 16, top: 60, bottom: 264 };
  const least = Math.min(0, ...p.savings.map((s) => s.low));
  const most = Math.max(0, ...p.savings.map((s) => s.high));
  const room = 0.06 * (most - least || 1);
  const widest = 1.08 * p.savings[p.savings.length - 1]!.quantity;
  const x = linearScale([0, widest], [frame.left, frame.right]);
  const y = linearScale([least - room, most + room], [frame.bottom, frame.top]);
  const ys = niceTicks(y.domain[0]!, y.domain[1]!, 5).filter((v) => v >= y.domain[0]! && v <= y.domain[1]!);
  const xs = niceTicks(0, widest, width < 420 ? 4 : 8).filter((v) => Number.isInteger(v) && v <= widest);
  const cap = (at: number, v: number) => line(x(at) - 5, y(v), x(at) + 5, y(v), 'sp-s-ink', { 'stroke-width': 1.5 });
  const body = [
    ...yAxis(
      frame,
      y,
      ys.map((v) => ({ at: v, text: figures.number(v, Number.isInteger(v) ? 0 : 1) })),
      `saved, ${p.currency}`,
    ),
    line(frame.left, y(0), frame.right, y(0), 'sp-s-ink'),
    ...fromMark(p, frame, x, widest),
    element('path', {
      d: bandPath(
        p.savings.map((s) => x(s.quantity)),
        p.savings.map((s) => y(s.high)),
        p.savings.map((s) => y(s.low)),
      ),
      class: 'sp-f-lake',
      'fill-opacity': 0.18,
    }),
    element('path', {
      d: linePath(p.savings.map((s) => [x(s.quantity), y(s.middle)] as const)),
      class: 'sp-s-lake',
      'stroke-width': 1.5,
    }),
    ...p.savings.flatMap((s) => [
      line(x(s.quantity), y(s.low), x(s.quantity), y(s.high), 'sp-s-ink', { 'stroke-width': 1.5 }),
      cap(s.quantity, s.low),
      cap(s.quantity, s.high),
      element('circle', { cx: x(s.quantity), cy: y(s.middle), r: 4, class: s.middle < 0 ? 'sp-f-dusk' : 'sp-f-lake' }),
    ]),
    ...xAxis(
      frame,
      x,
      xs.map((v) => ({ at: v, text: figures.number(v, 0) })),
      'housings',
    ),
  ];
  return picture({
    id,
    width,
    height: 314,
    title: 'Own tool or bought in',
    description: crossoverSentence(p, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** From how many it pays: a whisker above the plot, its middle led down to where nothing is saved and nothing lost. */
function fromMark(p: CrossoverPicture, frame: Frame, x: (v: number) => number, widest: number): string[] {
  const { low, middle, high } = p.from;
  if (low === null || middle === null) return [];
  const level = frame.top - 12;
  const at = (v: number | null) => x(Math.min(widest, v ?? widest));
  const text = `pays from ${middle} (${low} to ${high ?? 'never'})`;
  const half = textWidth(text, 12) / 2;
  return [
    line(at(low), level, at(high), level, 'sp-s-lake', { 'stroke-width': 3 }),
    ...(middle > widest
      ? []
      : [
          element('circle', { cx: at(middle), cy: level, r: 4.5, class: 'sp-f-lake' }),
          line(at(middle), level, at(middle), frame.bottom, 'sp-s-lake', { 'stroke-dasharray': '3 3' }),
        ]),
    label(Math.min(frame.right - half, Math.max(frame.left + 70 + half, at(middle))), level - 10, text, {
      'text-anchor': 'middle',
      class: 'sp-q',
    }),
  ];
}

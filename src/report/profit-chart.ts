/** Profit as a spread of outcomes: how likely each is, the losing part marked, middle and nine cases of ten named. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { linearScale, niceStep, niceTicks, type Scale } from './scale.ts';
import { element, label, line, type PictureOptions, picture, rect, textWidth } from './svg.ts';

export interface ProfitPicture {
  readonly name: string;
  readonly currency: string;
  /** Profits at evenly spaced chances from 0 to 1, ascending, in the currency's usual unit. */
  readonly quantiles: readonly number[];
  readonly lossChance: number;
}

const at = (q: readonly number[], p: number) => q[Math.round(p * (q.length - 1))]!;

/** The picture in words. */
export function profitSentence(
  { name, currency, quantiles, lossChance }: ProfitPicture,
  figures: Figures = FIGURES,
): string {
  const n = (p: number) => figures.number(at(quantiles, p), 0);
  return `${name}: profit ${n(0.5)} ${currency} as likely as not, ${n(0.05)} to ${n(0.95)} ${currency} in nine cases of ten; chance of a loss ${figures.percent(lossChance)}.`;
}

/** Share of the outcomes in each of the bars: between two quantiles they are taken as spread evenly. */
export function profitBars(
  quantiles: readonly number[],
): { readonly from: number; readonly to: number; readonly share: number }[] {
  const least = quantiles[0]!;
  const most = quantiles[quantiles.length - 1]!;
  if (!(most > least)) return [{ from: least - 0.5, to: least + 0.5, share: 1 }];
  const step = niceStep(most - least, 16);
  // A bar never holds both losses and gains: the edges are multiples of the step, nought among them.
  const first = Math.floor(least / step);
  const last = Math.floor(most / step);
  const shares = new Array<number>(last - first + 1).fill(0);
  const each = 1 / (quantiles.length - 1);
  for (let i = 1; i < quantiles.length; i++) {
    const [low, high] = [quantiles[i - 1]!, quantiles[i]!];
    if (!(high > low)) {
      shares[Math.floor(low / step) - first]! += each;
      continue;
    }
    for (let bar = Math.floor(low / step); bar <= Math.floor(high / step); bar++) {
      const held = Math.min(high, (bar + 1) * step) - Math.max(low, bar * step);
      shares[bar - first]! += each * Math.max(0, held / (high - low));
    }
  }
  return shares.map((share, i) => ({ from: (first + i) * step, to: (first + i + 1) * step, share }));
}

export function profitChart(p: ProfitPicture, options: PictureOptions = {}): string {
  const { width = 640, id = 'profit', figures = FIGURES } = options;
  const frame: Frame = { left: 58, right: width - 16, top: 60, bottom: 264 };
  const bars = profitBars(p.quantiles);
  const highest = Math.max(...bars.map((b) => b.share));
  const x = linearScale([bars[0]!.from, bars[bars.length - 1]!.to], [frame.left, frame.right]);
  const y = linearScale([0, 100 * highest * 1.08], [frame.bottom, frame.top]);
  const within = (v: number) => v >= x.domain[0]! - 1e-9 && v <= x.domain[1]! + 1e-9;
  const xs = niceTicks(x.domain[0]!, x.domain[1]!, width < 420 ? 4 : 8).filter(within);
  const ys = niceTicks(0, y.domain[1]!, 4).filter((v) => v <= y.domain[1]!);
  const digits = xs.some((v) => !Number.isInteger(v)) ? 2 : 0;
  const mark = (share: number, dash?: string) =>
    line(x(at(p.quantiles, share)), frame.top, x(at(p.quantiles, share)), frame.bottom, 'sp-s-ink', {
      'stroke-width': 1.5,
      'stroke-dasharray': dash,
    });
  const body = [
    ...yAxis(
      frame,
      y,
      ys.map((v) => ({ at: v, text: figures.number(v, Number.isInteger(v) ? 0 : 1) })),
      'chance, %',
    ),
    ...bars.map((bar) =>
      rect(x(bar.from) + 0.5, y(100 * bar.share), x(bar.to) - x(bar.from) - 1, frame.bottom - y(100 * bar.share), {
        class: bar.to <= 1e-9 ? 'sp-f-dusk' : 'sp-f-lake',
      }),
    ),
    mark(0.5),
    mark(0.05, '4 3'),
    mark(0.95, '4 3'),
    ...span(p, frame, x, figures),
    ...xAxis(
      frame,
      x,
      xs.map((v) => ({ at: v, text: figures.number(v, digits) })),
      `profit, ${p.currency}`,
    ),
  ];
  return picture({
    id,
    width,
    height: 314,
    title: `Profit: ${p.name}`,
    description: profitSentence(p, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** Middle and nine cases of ten: a whisker above the plot, with its figures. */
function span({ quantiles, currency }: ProfitPicture, frame: Frame, x: Scale, figures: Figures): string[] {
  const [low, middle, high] = [0.05, 0.5, 0.95].map((share) => at(quantiles, share)) as [number, number, number];
  const level = frame.top - 12;
  const n = (v: number) => figures.number(v, 0);
  const text = `${n(middle)} ${currency} (${n(low)} to ${n(high)} in nine cases of ten)`;
  const half = textWidth(text, 11) / 2;
  return [
    line(x(low), level, x(high), level, 'sp-s-ink', { 'stroke-width': 3 }),
    element('circle', { cx: x(middle), cy: level, r: 4.5, class: 'sp-f-ink' }),
    label(Math.min(frame.right - half, Math.max(frame.left + 4 + half, x(middle))), level - 10, text, {
      'text-anchor': 'middle',
      class: 'sp-q',
    }),
  ];
}

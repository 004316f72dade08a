/** What units bring against what they cost, with the spread of the cost as a band and the crossing marked. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { linearScale, niceTicks, type Scale } from './scale.ts';
import { bandPath, element, label, line, type PictureOptions, picture, textWidth } from './svg.ts';

export interface BreakEvenPicture {
  readonly name: string;
  /** In the currency's usual unit. */
  readonly currency: string;
  readonly fixed: number;
  /** Of one unit, after fees; and its cost at the mean, at 5 % and at 95 % of its spread. */
  readonly earned: number;
  readonly cost: { readonly low: number; readonly middle: number; readonly high: number };
  /** Units that have earned what is paid once; null where none do. */
  readonly units: { readonly low: number | null; readonly middle: number | null; readonly high: number | null };
  /** Units that are to be sold. */
  readonly planned: number;
}

const many = (n: number | null) => (n === null ? 'never' : String(n));

/** The picture in words. */
export function breakEvenSentence(p: BreakEvenPicture, figures: Figures = FIGURES): string {
  const n = (v: number) => figures.number(v, 0);
  const { low, middle, high } = p.units;
  const span = low === high ? '' : `, ${many(low)} to ${many(high)} in nine cases of ten`;
  const crossing = middle === null ? 'they never meet' : `they meet at ${middle} units${span}`;
  return `${p.name}: ${n(p.earned)} ${p.currency} a unit against ${n(p.fixed)} ${p.currency} paid once and ${n(p.cost.middle)} ${p.currency} a unit: ${crossing}.`;
}

/** Units at the right end of the picture. */
export function breakEvenWidest({ units, planned }: BreakEvenPicture): number {
  const crossing =
    units.high !== null && units.middle !== null && units.high < 3 * units.middle ? units.high : (units.middle ?? 0);
  return Math.max(planned, Math.ceil(1.25 * crossing), 2);
}

export function breakEvenChart(p: BreakEvenPicture, options: PictureOptions = {}): string {
  const { width = 640, id = 'break-even', figures = FIGURES } = options;
  const frame: Frame = { left: 62, right: width - 16, top: 60, bottom: 284 };
  const widest = breakEvenWidest(p);
  const costAt = (unit: number) => p.fixed + widest * unit;
  const most = Math.max(widest * p.earned, costAt(p.cost.high), 1e-9) * 1.1;
  const x = linearScale([0, widest], [frame.left, frame.right]);
  const y = linearScale([0, most], [frame.bottom, frame.top]);
  const ys = niceTicks(0, most, 5).filter((v) => v <= most);
  const xs = niceTicks(0, widest, width < 420 ? 4 : 8).filter((v) => Number.isInteger(v) && v <= widest);
  const ends = [0, widest];
  const band = (unit: number) => ends.map((n) => y(p.fixed + n * unit));
  const through = (from: number, each: number, className: string) =>
    line(x(0), y(from), x(widest), y(from + widest * each), className, { 'stroke-width': 2 });
  // Names stand outside the gap between the two lines: clear of a rising line at the end that is nearest to it.
  const up = widest * p.earned >= costAt(p.cost.middle);
  const named = (from: number, each: number, above: boolean, text: string) => {
    const right = x(0.97 * widest);
    const near = ((above ? right : right - textWidth(text)) - frame.left) / (frame.right - frame.left);
    return label(right, y(from + near * widest * each) + (above ? -10 : 20), text, {
      'text-anchor': 'end',
      class: 'sp-h',
    });
  };
  const body = [
    ...yAxis(
      frame,
      y,
      ys.map((v) => ({ at: v, text: figures.number(v, Number.isInteger(v) ? 0 : 1) })),
      p.currency,
    ),
    element('path', {
      d: bandPath(
        ends.map((n) => x(n)),
        band(p.cost.high),
        band(p.cost.low),
      ),
      class: 'sp-f-dusk',
      'fill-opacity': 0.22,
    }),
    through(p.fixed, p.cost.middle, 'sp-s-dusk'),
    through(0, p.earned, 'sp-s-lake'),
    ...crossing(p, frame, x, y),
    named(0, p.earned, up, 'brings, after fees'),
    named(p.fixed, up ? p.cost.low : p.cost.high, !up, 'costs'),
    ...xAxis(
      frame,
      x,
      xs.map((v) => ({ at: v, text: figures.number(v, 0) })),
      'units sold',
    ),
  ];
  return picture({
    id,
    width,
    height: 334,
    title: `When it has paid: ${p.name}`,
    description: breakEvenSentence(p, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** From how many it has paid: a whisker above the plot, its middle led down to the crossing and on to the axis. */
function crossing(p: BreakEvenPicture, frame: Frame, x: Scale, y: Scale): string[] {
  const { low, middle, high } = p.units;
  const widest = x.domain[1];
  const level = frame.top - 12;
  const at = (v: number | null) => x(Math.min(widest, v ?? widest));
  const text =
    middle === null ? 'never paid' : `paid after ${middle}${low === high ? '' : ` (${many(low)} to ${many(high)})`}`;
  const half = textWidth(text, 12) / 2;
  const over = middle === null ? frame.right : at(middle);
  const name = label(Math.min(frame.right - half, Math.max(frame.left + 40 + half, over)), level - 10, text, {
    'text-anchor': 'middle',
    class: 'sp-q',
  });
  if (middle === null || low === null) return [name];
  return [
    line(at(low), level, at(high), level, 'sp-s-lake', { 'stroke-width': 3 }),
    element('circle', { cx: at(middle), cy: level, r: 4.5, class: 'sp-f-lake' }),
    line(at(middle), level, at(middle), frame.bottom, 'sp-s-lake', { 'stroke-dasharray': '3 3' }),
    element('circle', { cx: at(middle), cy: y(middle * p.earned), r: 4.5, class: 'sp-f-paper' }),
    element('circle', { cx: at(middle), cy: y(middle * p.earned), r: 4.5, class: 'sp-s-ink', 'stroke-width': 1.5 }),
    name,
  ];
}

/** Control chart: values in their order with centre and limits, the gate's own limits, and the units that stand out; ranges below. */
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { finiteMax, finiteMin, linearScale, niceStep, niceTicks, type Scale, spreadLabels } from './scale.ts';
import { element, escapeText, label, line, linePath, type PictureOptions, type Point, picture, rect } from './svg.ts';

export interface ControlChartInput {
  readonly name: string;
  /** Unit of the values; empty for none. */
  readonly unit: string;
  /** Name of each value. */
  readonly names: readonly string[];
  readonly values: readonly number[];
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  readonly movingRange: { readonly values: readonly number[]; readonly centre: number; readonly upper: number };
  /** What the chart below shows; ranges of neighbours when left out. */
  readonly rangesOf?: 'samples';
  /** Limits of the gate. */
  readonly low: number | null;
  readonly high: number | null;
  /** What sets those limits; a gate when left out. */
  readonly limitsOf?: string;
  /** Values that complete a run. */
  readonly signals: readonly { readonly index: number }[];
}

/** The chart in words, for those who do not see it. */
export function controlChartSentence(input: ControlChartInput, figures: Figures = FIGURES): string {
  const { name, values, unit, centre, lower, upper, signals } = input;
  const tail = unit === '' ? '' : ` ${unit}`;
  const told = [...new Set(signals.map(({ index }) => input.names[index]!))];
  return `${name}, ${values.length} values: centre ${figures.figures(centre)}, limits ${figures.figures(lower)} to ${figures.figures(upper)}${tail}; ${told.length === 0 ? 'no run stands out' : `a run stands out at ${told.slice(0, 8).join(', ')}${told.length > 8 ? ` and ${told.length - 8} more` : ''}`}.`;
}

const HEIGHT = { values: 190, ranges: 88, gap: 44 } as const;

/** Frame of the values within the picture of a width. */
export const controlChartFrame = (width: number): Frame => ({
  left: 48,
  right: width - 96,
  top: 30,
  bottom: 30 + HEIGHT.values,
});

/** Place of a value across, px. */
export const controlChartX = (frame: Frame, index: number, count: number): number =>
  frame.left + ((index + 0.5) / Math.max(1, count)) * (frame.right - frame.left);

/** Range of the upper axis: all values and all limits with a little room. */
export function controlChartRange(input: ControlChartInput): [number, number] {
  const all = [...input.values, input.lower, input.upper, input.low ?? Number.NaN, input.high ?? Number.NaN];
  const least = finiteMin(all, 0);
  const most = finiteMax(all, 1);
  const room = (most - least || Math.abs(most) || 1) * 0.06;
  return [least - room, most + room];
}

export function controlChart(input: ControlChartInput, options: PictureOptions = {}): string {
  const { width = 752, id = 'chart', figures = FIGURES } = options;
  const frame = controlChartFrame(width);
  const below: Frame = { ...frame, top: frame.bottom + HEIGHT.gap, bottom: frame.bottom + HEIGHT.gap + HEIGHT.ranges };
  const height = below.bottom + 42;
  const count = input.values.length;
  const at = (index: number) => controlChartX(frame, index, count);
  const [least, most] = controlChartRange(input);
  const y = linearScale([least, most], [frame.bottom, frame.top]);
  const ranges = input.movingRange;
  const range = linearScale([0, finiteMax([...ranges.values, ranges.upper], 1) * 1.06], [below.bottom, below.top]);
  const marked = new Set(input.signals.map(({ index }) => index));
  const lines: [number, string, string][] = [
    [input.centre, 'centre', 'sp-s-ink'],
    [input.upper, 'upper limit', 'sp-s-lake'],
    [input.lower, 'lower limit', 'sp-s-lake'],
  ];
  const { limitsOf = 'gate', rangesOf } = input;
  if (input.high !== null) lines.push([input.high, `${limitsOf}, at most`, 'sp-s-dusk']);
  if (input.low !== null) lines.push([input.low, `${limitsOf}, at least`, 'sp-s-dusk']);
  const unit = input.unit === '' ? input.name : `${input.name}, ${input.unit}`;
  const dot = count > 400 ? 1.3 : 2.6;
  // A moving range stands below the second of its two values.
  const shift = rangesOf === 'samples' ? 0 : 1;
  const rangesName = `${rangesOf === 'samples' ? 'range' : 'moving range'}${input.unit === '' ? '' : `, ${input.unit}`}`;
  const every = Math.max(1, niceStep(count, Math.max(2, Math.floor((frame.right - frame.left) / 64))));
  const numbers = input.names
    .map((_, i) => ({ at: i, text: String(i + 1) }))
    .filter(({ at: i }) => (i + 1) % every === 0 || i === 0);
  const across = Object.assign(at, { domain: [0, count] as const, range: [frame.left, frame.right] as const }) as Scale;
  const body = [
    ...yAxis(frame, y, ticksOf(least, most, figures), unit),
    box(frame),
    ...lines.map(([value, , className]) =>
      line(frame.left, y(value), frame.right, y(value), className, {
        'stroke-width': className === 'sp-s-ink' ? 1 : 1.5,
        'stroke-dasharray': className === 'sp-s-lake' ? '6 4' : className === 'sp-s-dusk' ? '2 3' : undefined,
      }),
    ),
    ...namedLines(lines, y, frame),
    rowOf(input.values, (i) => [at(i), y(input.values[i]!)]),
    ...input.values.map((value, i) =>
      mark(at(i), y(value), marked.has(i), `${input.names[i]}: ${figures.figures(value)}`, dot),
    ),
    ...yAxis(below, range, ticksOf(0, range.domain[1], figures, 2), rangesName),
    box(below),
    line(below.left, range(ranges.centre), below.right, range(ranges.centre), 'sp-s-ink'),
    line(below.left, range(ranges.upper), below.right, range(ranges.upper), 'sp-s-lake', {
      'stroke-width': 1.5,
      'stroke-dasharray': '6 4',
    }),
    rowOf(ranges.values, (i) => [at(i + shift), range(ranges.values[i]!)]),
    ...ranges.values.map((value, i) =>
      mark(at(i + shift), range(value), value > ranges.upper, figures.figures(value), dot),
    ),
    ...xAxis(
      below,
      across,
      numbers,
      rangesOf === 'samples' ? 'samples, in their order' : 'in the order of measurement',
    ),
  ];
  return picture({
    id,
    width,
    height,
    title: `Control chart: ${input.name}`,
    description: controlChartSentence(input, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** Ticks that lie on the axis, all with the same decimals. */
function ticksOf(low: number, high: number, figures: Figures, count = 5) {
  const list = niceTicks(low, high, count).filter((v) => v >= low && v <= high);
  const decimals = Math.max(0, ...list.map((v) => (String(v).split('.')[1] ?? '').length));
  return list.map((at) => ({ at, text: figures.number(at, decimals) }));
}

const box = (frame: Frame) =>
  rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top, {
    class: 'sp-s-ink',
    'stroke-width': 0.5,
    'stroke-opacity': 0.35,
  });

/** Names of the lines at their right ends, moved apart. */
function namedLines(lines: readonly [number, string, string][], y: Scale, frame: Frame): string[] {
  const places = spreadLabels(
    lines.map(([value]) => y(value)),
    13,
    frame.top,
    frame.bottom,
  );
  return lines.map(([, name], i) => label(frame.right + 6, places[i]! + 4, name, { class: 'sp-q' }));
}

function rowOf(values: readonly number[], place: (index: number) => Point): string {
  return element('path', {
    d: linePath(values.map((_, i) => place(i))),
    class: 'sp-s-ink',
    'stroke-width': 1,
    'stroke-opacity': 0.45,
  });
}

/** A value: a dot, or a large diamond where a run is complete. */
function mark(x: number, y: number, stands: boolean, text: string, r: number): string {
  const title = element('title', {}, escapeText(text));
  const shape = stands
    ? element('path', { d: `M${x} ${y - 6}L${x + 6} ${y}L${x} ${y + 6}L${x - 6} ${y}Z`, class: 'sp-f-dusk' })
    : element('circle', { cx: x, cy: y, r, class: 'sp-f-ink' });
  return element('g', {}, [title, shape]);
}

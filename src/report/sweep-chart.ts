/** Match of an antenna against frequency: standing-wave ratio above, return loss below, with band, limit and markers. */

import { type Frame, xAxis, yAxis } from './axis.ts';
import { clamp, finiteMax, finiteMin, linearScale, niceTicks, type Scale, spreadLabels } from './scale.ts';
import {
  bandPath,
  element,
  label,
  line,
  linePath,
  type PictureOptions,
  picture,
  rect,
  safeId,
  textWidth,
} from './svg.ts';
import { formatNumber } from './words.ts';

export interface SweepCurve {
  readonly name: string;
  readonly frequency_MHz: ArrayLike<number>;
  readonly vswr: ArrayLike<number>;
  readonly returnLoss_dB: ArrayLike<number>;
}

export interface SweepPicture {
  readonly sweeps: readonly SweepCurve[];
  readonly markers: readonly { readonly frequency_MHz: number }[];
  readonly limitVswr: number;
  /** The band that the antenna must serve. */
  readonly band: { readonly from_MHz: number; readonly to_MHz: number } | null;
  /** Names of the sweeps that stand out from the batch. */
  readonly outliers?: readonly string[];
}

const trim = (value: number, decimals = 2) =>
  formatNumber(value, decimals)
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');

/** Value of a curve at a frequency, straight between its points; NaN outside. */
function at(curve: SweepCurve, values: ArrayLike<number>, frequency_MHz: number): number {
  const f = curve.frequency_MHz;
  for (let i = 0; i < f.length; i++) {
    if (f[i] === frequency_MHz) return values[i]!;
    if (i > 0 && f[i - 1]! < frequency_MHz && frequency_MHz < f[i]!) {
      const share = (frequency_MHz - f[i - 1]!) / (f[i]! - f[i - 1]!);
      return values[i - 1]! + share * (values[i]! - values[i - 1]!);
    }
  }
  return Number.NaN;
}

/** What the picture shows, in a sentence. */
export function sweepSentence(p: SweepPicture): string {
  const best = p.sweeps.map((curve) => {
    let low = 0;
    for (let i = 1; i < curve.vswr.length; i++) if (curve.vswr[i]! < curve.vswr[low]!) low = i;
    return { name: curve.name, frequency_MHz: curve.frequency_MHz[low]!, vswr: curve.vswr[low]! };
  });
  const first = best[0];
  if (first === undefined) return 'No sweep was given.';
  if (best.length === 1)
    return `Lowest standing-wave ratio ${trim(first.vswr)} at ${trim(first.frequency_MHz, 3)} MHz; the limit is ${trim(p.limitVswr)}.`;
  const f = best.map((b) => b.frequency_MHz);
  const out = p.outliers ?? [];
  return `${best.length} antennas, best matched from ${trim(Math.min(...f), 3)} to ${trim(Math.max(...f), 3)} MHz.${out.length === 0 ? '' : ` Out of the ordinary: ${out.join(', ')}.`}`;
}

/** Ratio up to which the upper panel is drawn: what lies above is cut off at its edge. */
function topRatio(p: SweepPicture): number {
  const highest = Math.max(...p.sweeps.map((c) => finiteMax(Array.from(c.vswr), 1)));
  return clamp(Math.ceil(highest), Math.ceil(p.limitVswr) + 1, Math.max(6, Math.ceil(p.limitVswr * 2)));
}

/** Two panels over one frequency axis. No chart on the complex plane: what counts is told in ratio and decibels. */
export function sweepChart(p: SweepPicture, options: PictureOptions = {}): string {
  const { width = 752, id = 'sweep' } = options;
  const narrow = width < 560;
  const one = p.sweeps.length === 1;
  const frame: Frame = { left: 34, right: width - (narrow ? 8 : 16), top: 44, bottom: 268 };
  const below: Frame = { ...frame, top: 312, bottom: 464 };
  const height = below.bottom + 44;
  const all = p.sweeps.flatMap((c) => Array.from(c.frequency_MHz));
  const low = finiteMin(all, 0);
  const high = finiteMax(all, 1);
  const x = linearScale([low, high], [frame.left, frame.right]);
  const top = topRatio(p);
  const y = linearScale([1, top], [frame.bottom, frame.top]);
  const deepest = Math.max(...p.sweeps.map((c) => finiteMax(Array.from(c.returnLoss_dB), 10)));
  const floor = clamp(Math.ceil(deepest / 10) * 10, 20, 50);
  const yLoss = linearScale([0, floor], [below.top, below.bottom]);
  const clips = [frame, below].map((f, i) =>
    element('clipPath', { id: `${safeId(id)}-c${i}` }, rect(f.left, f.top, f.right - f.left, f.bottom - f.top)),
  );
  const xTicks = niceTicks(low, high, narrow ? 4 : 8)
    .filter((v) => v >= low && v <= high)
    .map((v) => ({ at: v, text: trim(v, 3) }));
  const ratioTicks = Array.from({ length: top }, (_, i) => ({ at: i + 1, text: String(i + 1) }));
  const lossTicks = Array.from({ length: floor / 10 + 1 }, (_, i) => ({ at: i * 10, text: String(i * 10) }));
  const body = [
    element('defs', {}, clips),
    ...bandShade(p, x, frame, below),
    ...yAxis(frame, y, ratioTicks, 'standing-wave ratio'),
    ...yAxis(below, yLoss, lossTicks, 'return loss, dB'),
    ...limitLine(p, frame, y),
    ...spreadBand(p, x, y, `${safeId(id)}-c0`),
    ...curves(p, x, y, 'vswr', `${safeId(id)}-c0`),
    ...curves(p, x, yLoss, 'returnLoss_dB', `${safeId(id)}-c1`),
    line(frame.left, frame.bottom, frame.right, frame.bottom, 'sp-s-ink'),
    ...xAxis(below, x, xTicks, 'MHz'),
    ...markers(p, x, y, yLoss, frame, below),
    ...(one ? [] : outlierNames(p, x, yLoss, below)),
  ];
  return picture({
    id,
    width,
    height,
    title: one ? `Match of ${p.sweeps[0]!.name}` : `Match of ${p.sweeps.length} antennas`,
    description: sweepSentence(p),
    body,
    standalone: options.standalone ?? true,
  });
}

function bandShade(p: SweepPicture, x: Scale, frame: Frame, below: Frame): string[] {
  if (p.band === null) return [];
  const from = clamp(x(p.band.from_MHz), frame.left, frame.right);
  const to = clamp(x(p.band.to_MHz), frame.left, frame.right);
  const name = `band ${trim(p.band.from_MHz, 3)}–${trim(p.band.to_MHz, 3)} MHz`;
  const half = textWidth(name, 11) / 2;
  return [
    ...[frame, below].map((f) =>
      rect(from, f.top, Math.max(to - from, 1), f.bottom - f.top, { class: 'sp-f-sun', 'fill-opacity': 0.18 }),
    ),
    label(clamp((from + to) / 2, frame.left + 130 + half, frame.right - half), frame.top - 28, name, {
      'text-anchor': 'middle',
      class: 'sp-q',
    }),
  ];
}

function limitLine(p: SweepPicture, frame: Frame, y: Scale): string[] {
  return [
    line(frame.left, y(p.limitVswr), frame.right, y(p.limitVswr), 'sp-s-ink', { 'stroke-dasharray': '5 3' }),
    label(frame.right - 2, y(p.limitVswr) - 5, `limit ${trim(p.limitVswr)}`, {
      'text-anchor': 'end',
      class: 'sp-q sp-h',
    }),
  ];
}

/** From the lowest to the highest ratio of a batch, on the grid of the first sweep; outliers are drawn on their own. */
function spreadBand(p: SweepPicture, x: Scale, y: Scale, clip: string): string[] {
  const ordinary = p.sweeps.filter((c) => !(p.outliers ?? []).includes(c.name));
  const first = ordinary[0];
  if (first === undefined || ordinary.length < 3) return [];
  const f = Array.from(first.frequency_MHz);
  const rows = f.map((v) => ordinary.map((c) => at(c, c.vswr, v)));
  const d = bandPath(
    f.map(x),
    rows.map((r) => y(Math.min(Math.max(...r), 1e3))),
    rows.map((r) => y(Math.min(Math.min(...r), 1e3))),
  );
  return [
    element('g', { 'clip-path': `url(#${clip})` }, element('path', { d, class: 'sp-f-lake', 'fill-opacity': 0.16 })),
  ];
}

function curves(p: SweepPicture, x: Scale, y: Scale, key: 'vswr' | 'returnLoss_dB', clip: string): string[] {
  const out = new Set(p.outliers ?? []);
  const wide = p.sweeps.length === 1 ? 2.25 : 1;
  const drawn = [...p.sweeps].sort((a, b) => Number(out.has(a.name)) - Number(out.has(b.name)));
  const paths = drawn.map((c) =>
    element('path', {
      // A value without end is drawn far outside the panel, where it is cut off.
      d: linePath(Array.from(c[key], (v, i) => [x(c.frequency_MHz[i]!), y(clamp(v, -1e3, 1e3, Number.NaN))] as const)),
      class: out.has(c.name) ? 'sp-s-dusk' : 'sp-s-lake',
      'stroke-width': out.has(c.name) ? 2.25 : wide,
      'stroke-dasharray': out.has(c.name) ? '6 3' : undefined,
      'stroke-linejoin': 'round',
    }),
  );
  return [element('g', { 'clip-path': `url(#${clip})` }, paths)];
}

/** Vertical lines with the value of a single sweep written at the curve. */
function markers(p: SweepPicture, x: Scale, y: Scale, yLoss: Scale, frame: Frame, below: Frame): string[] {
  const only = p.sweeps.length === 1 ? p.sweeps[0] : undefined;
  return p.markers.flatMap(({ frequency_MHz }) => {
    const mx = x(frequency_MHz);
    const name = `${trim(frequency_MHz, 3)} MHz`;
    const half = textWidth(name, 11) / 2;
    const head = label(clamp(mx, frame.left + half, frame.right - half), frame.top - 8, name, {
      'text-anchor': 'middle',
      class: 'sp-q sp-b sp-h',
    });
    const rules = [frame, below].map((f) => line(mx, f.top, mx, f.bottom, 'sp-s-ink', { 'stroke-width': 0.75 }));
    if (only === undefined) return [...rules, head];
    // A little to the right, where the text goes: it stands on the side from which the curve falls away.
    const beside = frequency_MHz + (20 / (frame.right - frame.left)) * (x.domain[1] - x.domain[0]);
    const ratio = at(only, only.vswr, frequency_MHz);
    const loss = at(only, only.returnLoss_dB, frequency_MHz);
    return [
      ...rules,
      head,
      ...dot(mx, y(ratio), y(at(only, only.vswr, beside)), frame, trim(ratio)),
      ...dot(mx, yLoss(loss), yLoss(at(only, only.returnLoss_dB, beside)), below, `${formatNumber(loss, 1)} dB`),
    ];
  });
}

function dot(mx: number, my: number, besideY: number, frame: Frame, text: string): string[] {
  if (!Number.isFinite(my)) return [];
  const inside = my >= frame.top && my <= frame.bottom;
  const toLeft = mx + 8 + textWidth(text, 11) > frame.right;
  return [
    ...(inside ? [element('circle', { cx: mx, cy: my, r: 3.5, class: 'sp-f-lake' })] : []),
    label(mx + (toLeft ? -7 : 7), clamp(my + (besideY < my ? 15 : -4), frame.top + 10, frame.bottom - 4), text, {
      'text-anchor': toLeft ? 'end' : 'start',
      class: 'sp-q sp-h',
    }),
  ];
}

/** Names of the outliers under their dip of return loss, at most six. */
function outlierNames(p: SweepPicture, x: Scale, yLoss: Scale, below: Frame): string[] {
  const out = p.sweeps.filter((c) => (p.outliers ?? []).includes(c.name)).slice(0, 6);
  const spots = out.map((c) => {
    let best = 0;
    for (let i = 1; i < c.vswr.length; i++) if (c.vswr[i]! < c.vswr[best]!) best = i;
    const loss = clamp(c.returnLoss_dB[best]!, 0, 1e3, 0);
    return { name: c.name.split(/[\\/]/).at(-1)!, x: x(c.frequency_MHz[best]!), y: yLoss(loss) };
  });
  const low = below.top + 12;
  const high = below.bottom - 4;
  const ys = spreadLabels(
    spots.map((s) => clamp(s.y + 16, low, high)),
    13,
    low,
    high,
  );
  return spots.map((s, i) => {
    const half = textWidth(s.name, 11) / 2;
    return label(clamp(s.x, below.left + half, below.right - half), ys[i]!, s.name, {
      'text-anchor': 'middle',
      class: 'sp-q sp-h sp-b',
    });
  });
}

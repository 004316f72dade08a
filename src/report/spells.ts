/** Dark spells: how little sun the worst days in a row bring, once in so many years. */

import type { YearPictures } from '../core/energy/index.ts';
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { finiteMax, linearScale, logScale, niceTicks, spreadLabels } from './scale.ts';
import { element, label, line, linePath, type PictureOptions, picture } from './svg.ts';

type Spells = YearPictures['spells'];

const usable = (spells: Spells) =>
  spells.filter(
    (s) => Number.isFinite(s.share) && s.share >= 0 && Number.isFinite(s.period_years) && s.period_years > 0,
  );

/** The spell lengths given, shortest first, each with its points by return period. */
function series(spells: Spells): { days: number; points: { period_years: number; share: number }[] }[] {
  const lengths = [...new Set(spells.map((s) => s.days))].sort((a, b) => a - b);
  return lengths.map((days) => ({
    days,
    points: spells.filter((s) => s.days === days).sort((a, b) => a.period_years - b.period_years),
  }));
}

/** The ten-year spells in a sentence. */
export function spellsSentence(spells: Spells, figures: Figures = FIGURES): string {
  const known = usable(spells);
  if (known.length === 0) return 'No dark spells were computed.';
  const period = known.reduce((a, b) =>
    Math.abs(Math.log(a.period_years / 10)) <= Math.abs(Math.log(b.period_years / 10)) ? a : b,
  ).period_years;
  const told = known
    .filter((s) => s.period_years === period)
    .sort((a, b) => a.days - b.days)
    .map((s) => `${s.days} days ${figures.percent(s.share)}`);
  return `Once in ${figures.number(period)} years the darkest days in a row bring, as a share of the mean: ${told.join(', ')}.`;
}

/** Lines of the share of the mean against the return period, one for each length of spell, with its own marks. */
export function spellsChart(spells: Spells, options: PictureOptions = {}): string {
  const { width = 360, id = 'spells', figures = FIGURES } = options;
  const height = 256;
  const frame: Frame = { left: 34, right: width - 56, top: 28, bottom: height - 44 };
  const known = usable(spells);
  const periods = [...new Set(known.map((s) => s.period_years))].sort((a, b) => a - b);
  const first = periods[0] ?? 2;
  const last = Math.max(periods[periods.length - 1] ?? 100, first * 1.01);
  const x = logScale([first, last], [frame.left + 8, frame.right - 8]);
  const ticks = niceTicks(
    0,
    Math.max(
      finiteMax(
        known.map((s) => s.share * 100),
        100,
      ),
      1e-6,
    ),
    5,
  );
  const y = linearScale([0, ticks[ticks.length - 1]!], [frame.bottom, frame.top]);
  const lines = series(known);
  const ends = lines.map((l) => y(l.points[l.points.length - 1]!.share * 100) + 4);
  const at = spreadLabels(ends, 13, frame.top, frame.bottom);
  const shown = periods.filter((p, i) => i === 0 || x(p) - x(periods[i - 1]!) > 16 || p === last);
  const body = [
    ...yAxis(
      frame,
      y,
      ticks.map((t) => ({ at: t, text: figures.number(t, t % 1 === 0 ? 0 : 1) })),
      'share of the mean radiation, %',
    ),
    ...xAxis(
      frame,
      x,
      shown.map((p) => ({ at: p, text: figures.number(p) })),
      'return period, years',
    ),
    ...(first <= 10 && last >= 10
      ? [line(x(10), frame.top, x(10), frame.bottom, 'sp-s-ink', { 'stroke-dasharray': '1 3' })]
      : []),
    ...lines.flatMap(({ days, points }, i) => [
      element('path', {
        d: linePath(points.map((p) => [x(p.period_years), y(p.share * 100)] as const)),
        class: 'sp-s-dusk',
        'stroke-width': 1.75,
      }),
      ...points.map((p) => mark(i, x(p.period_years), y(p.share * 100))),
      label(frame.right + 2, at[i]!, `${days} days`, { class: 'sp-q' }),
    ]),
  ];
  return picture({
    id,
    width,
    height,
    title: 'Dark spells',
    description: spellsSentence(spells, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** A different mark for each line, so that they can be told apart without colour. */
function mark(index: number, x: number, y: number): string {
  const shapes = [
    'M-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0z',
    'M-3 -3h6v6h-6z',
    'M0 -4l4 7h-8z',
    'M0 -4.5l4.5 4.5l-4.5 4.5l-4.5 -4.5z',
  ];
  return element('path', {
    d: shapes[index % shapes.length]!,
    transform: `translate(${Math.round(x * 100) / 100} ${Math.round(y * 100) / 100})`,
    class: index < shapes.length ? 'sp-f-dusk' : 'sp-s-dusk',
  });
}

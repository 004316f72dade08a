/** Monthly harvest against need. */

import type { MonthSummary } from '../core/energy/index.ts';
import { type Frame, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { hatch } from './key.ts';
import { finiteMax, linearScale, niceTicks } from './scale.ts';
import { element, label, line, linePath, type PictureOptions, type Point, picture, rect, safeId } from './svg.ts';
import { monthName, shortMonth } from './words.ts';

/** The month in which harvest covers the need least, in a sentence. */
export function harvestSentence(months: readonly MonthSummary[], figures: Figures = FIGURES): string {
  const known = months.filter((m) => m.harvest_Wh_day >= 0 && m.need_Wh_day > 0 && Number.isFinite(m.harvest_Wh_day));
  if (known.length === 0) return 'No monthly harvest was given.';
  const worst = known.reduce((a, b) => (a.harvest_Wh_day / a.need_Wh_day <= b.harvest_Wh_day / b.need_Wh_day ? a : b));
  const short = known.filter((m) => m.harvest_Wh_day < m.need_Wh_day).length;
  const times = worst.harvest_Wh_day / worst.need_Wh_day;
  return `${monthName(worst.month)} is tightest: ${figures.figures(worst.harvest_Wh_day)} Wh a day against a need of ${figures.figures(worst.need_Wh_day)}, ${figures.number(times, 1)} times. ${short === 0 ? 'On average, every month covers its need.' : `On average, ${short} ${short === 1 ? 'month falls' : 'months fall'} short.`}`;
}

/** Bars of the mean harvest of each month, a line of the need, Wh a day; months that fall short are hatched. */
export function harvestChart(months: readonly MonthSummary[], options: PictureOptions = {}): string {
  const { width = 360, id = 'harvest', figures = FIGURES } = options;
  const height = 256;
  const frame: Frame = { left: 34, right: width - 4, top: 28, bottom: height - 28 };
  const most = finiteMax(
    months.flatMap((m) => [m.harvest_Wh_day, m.need_Wh_day]),
    1,
  );
  const ticks = niceTicks(0, Math.max(most, 1e-6) * 1.02, 5);
  const y = linearScale([0, ticks[ticks.length - 1]!], [frame.bottom, frame.top]);
  const decimals = Math.min(3, Math.max(...ticks.map((t) => (String(t).split('.')[1] ?? '').length)));
  const step = (frame.right - frame.left) / Math.max(months.length, 1);
  const hatchId = `${safeId(id)}-hatch`;
  const body: string[] = [
    hatch(hatchId, 'sp-s-sun', 5, 2),
    ...yAxis(
      frame,
      y,
      ticks.map((at) => ({ at, text: figures.number(at, decimals) })),
      'Wh a day',
    ),
  ];
  const need: Point[] = [];
  months.forEach((m, i) => {
    const x = frame.left + i * step;
    if (Number.isFinite(m.harvest_Wh_day)) {
      const top = y(Math.max(m.harvest_Wh_day, 0));
      const short = m.harvest_Wh_day < m.need_Wh_day;
      body.push(
        rect(
          x + step * 0.16,
          top,
          step * 0.68,
          frame.bottom - top,
          short ? { fill: `url(#${hatchId})` } : { class: 'sp-f-sun' },
        ),
      );
      if (short)
        body.push(
          rect(x + step * 0.16, top, step * 0.68, frame.bottom - top, { class: 'sp-s-sun', 'stroke-width': 1.25 }),
        );
    }
    const at = Number.isFinite(m.need_Wh_day) ? y(Math.max(m.need_Wh_day, 0)) : Number.NaN;
    need.push([x, at], [x + step, at]);
    if (step >= 26 || i % 2 === 0)
      body.push(
        label(x + step / 2, frame.bottom + 16, shortMonth(m.month), { 'text-anchor': 'middle', class: 'sp-q' }),
      );
  });
  body.push(
    element('path', { d: linePath(need), class: 'sp-s-paper', 'stroke-width': 4.5 }),
    element('path', { d: linePath(need), class: 'sp-s-ink', 'stroke-width': 2 }),
    line(frame.left, frame.bottom, frame.right, frame.bottom, 'sp-s-ink'),
    ...legend(frame, hatchId),
  );
  return picture({
    id,
    width,
    height,
    title: 'Harvest against need by month',
    description: harvestSentence(months, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

function legend(frame: Frame, hatchId: string): string[] {
  const y = frame.top - 20;
  const x = frame.right - 236;
  return [
    rect(x, y, 12, 10, { class: 'sp-f-sun' }),
    label(x + 16, y + 9, 'harvest', { class: 'sp-q' }),
    rect(x + 70, y, 12, 10, { fill: `url(#${hatchId})` }),
    rect(x + 70, y, 12, 10, { class: 'sp-s-sun', 'stroke-width': 1.25 }),
    label(x + 86, y + 9, 'falls short', { class: 'sp-q' }),
    line(x + 166, y + 5, x + 186, y + 5, 'sp-s-ink', { 'stroke-width': 2 }),
    label(x + 190, y + 9, 'need', { class: 'sp-q' }),
  ];
}

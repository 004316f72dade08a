/** The design map: panel watts across, cells up, coloured by the share of dark years, with the frontier of a target. */

import type { FrontierMap } from '../core/energy/index.ts';
import type { Frame } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { chanceKey } from './key.ts';
import { chanceColour } from './palette.ts';
import { clamp } from './scale.ts';
import { element, label, line, linePath, type PictureOptions, type Point, picture, rect } from './svg.ts';

/** At most two decimals. */
const trim = (figures: Figures, value: number) =>
  figures.number(value, [0, 1].find((d) => Number(value.toFixed(2)) === Number(value.toFixed(d))) ?? 2);

/** The frontier and where the kit stands, in a sentence. */
export function frontierSentence(map: FrontierMap, figures: Figures = FIGURES): string {
  const target = `no more than ${figures.percent(map.target)} of winters dark`;
  const points = map.frontier.filter((p) => Number.isFinite(p.panel_W) && Number.isFinite(p.cells));
  if (points.length === 0) return `No design on the map meets the target of ${target}.`;
  const told = [...points]
    .sort((a, b) => a.panel_W - b.panel_W)
    .map((p) => `${trim(figures, p.panel_W)} W with ${figures.number(p.cells)} ${p.cells === 1 ? 'cell' : 'cells'}`);
  const some = told.length > 4 ? [...told.slice(0, 3), told[told.length - 1]!] : told;
  const holds =
    map.kit && points.some((p) => p.panel_W <= map.kit!.panel_W && p.cells <= map.kit!.cells)
      ? ' This kit lies on the side that holds.'
      : map.kit
        ? ' This kit lies on the side that does not.'
        : '';
  return `Smallest designs with ${target}: ${some.join(', ')}.${holds}`;
}

/** Where a value lies among the middles of unevenly spaced columns, in columns; clamped to half a column outside. */
export function columnPlace(values: readonly number[], value: number): number {
  const n = values.length;
  if (n === 1 || value <= values[0]!) return value < values[0]! ? 0.1 : 0.5;
  for (let i = 1; i < n; i++) {
    if (value <= values[i]!) return i - 0.5 + (value - values[i - 1]!) / (values[i]! - values[i - 1]! || 1);
  }
  return value > values[n - 1]! ? n - 0.1 : n - 0.5;
}

/** Heat map in viridis turned round (bright: never dark), frontier as a stair, the kit at hand as a ring with a cross. */
export function frontierChart(map: FrontierMap, options: PictureOptions = {}): string {
  const { width = 360, id = 'frontier', figures = FIGURES } = options;
  const height = 328;
  const frame: Frame = { left: 34, right: width - 4, top: 28, bottom: height - 104 };
  const columns = Math.max(map.panel_W.length, 1);
  const rows = Math.max(map.cells.length, 1);
  const w = (frame.right - frame.left) / columns;
  const h = (frame.bottom - frame.top) / rows;
  const x = (column: number) => frame.left + column * w;
  const y = (row: number) => frame.bottom - row * h;
  const body: string[] = [label(0, frame.top - 12, 'cells', { class: 'sp-q' })];
  map.cells.forEach((_, r) => {
    map.panel_W.forEach((__, c) => {
      const share = map.darkYearShare[r]?.[c] ?? Number.NaN;
      body.push(
        rect(x(c), y(r + 1), w, h, {
          ...(Number.isFinite(share) ? { fill: chanceColour(share) } : { class: 'sp-f-hairline' }),
          'shape-rendering': 'crispEdges',
        }),
      );
    });
  });
  body.push(
    rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top, {
      class: 'sp-s-ink',
      'stroke-width': 0.75,
    }),
  );
  const everyRow = Math.ceil(13 / h);
  map.cells.forEach((cells, r) => {
    if (r % everyRow === 0)
      body.push(label(frame.left - 6, y(r + 0.5) + 4, figures.number(cells), { 'text-anchor': 'end', class: 'sp-q' }));
  });
  const everyColumn = Math.ceil(34 / w);
  map.panel_W.forEach((panel, c) => {
    if (c % everyColumn !== 0) return;
    body.push(
      line(x(c + 0.5), frame.bottom, x(c + 0.5), frame.bottom + 4, 'sp-s-ink'),
      label(x(c + 0.5), frame.bottom + 17, trim(figures, panel), { 'text-anchor': 'middle', class: 'sp-q' }),
    );
  });
  body.push(
    label(frame.right, frame.bottom + 33, 'panel, W', { 'text-anchor': 'end', class: 'sp-q' }),
    ...stair(map, x, y, frame),
    ...kitMark(map, x, y),
  );
  body.push(
    ...chanceKey(frame.left, height - 26, 180, 'share of dark years'),
    ...lineKey(frame.left + 204, height - 26, map, figures),
  );
  return picture({
    id,
    width,
    height,
    title: 'Panel and cells that hold',
    description: frontierSentence(map, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

function stair(map: FrontierMap, x: (c: number) => number, y: (r: number) => number, frame: Frame): string[] {
  const steps = map.frontier
    .map((p) => ({ column: map.panel_W.indexOf(p.panel_W), row: map.cells.indexOf(p.cells) }))
    .filter((s) => s.column >= 0 && s.row >= 0)
    .sort((a, b) => a.column - b.column || a.row - b.row);
  const first = steps[0];
  if (first === undefined) return [];
  const points: Point[] = [[x(first.column), frame.top]];
  for (const s of steps) {
    const last = points[points.length - 1]!;
    points.push([x(s.column), last[1]], [x(s.column), y(s.row)]);
  }
  points.push([frame.right, points[points.length - 1]![1]]);
  const d = linePath(points);
  return [
    element('path', { d, fill: 'none', stroke: '#ffffff', 'stroke-width': 5 }),
    element('path', { d, fill: 'none', stroke: '#000000', 'stroke-width': 2.25 }),
  ];
}

function kitMark(map: FrontierMap, x: (c: number) => number, y: (r: number) => number): string[] {
  if (map.kit === null || map.panel_W.length === 0 || map.cells.length === 0) return [];
  if (!Number.isFinite(map.kit.panel_W) || !Number.isFinite(map.kit.cells)) return [];
  const cx = x(clamp(columnPlace(map.panel_W, map.kit.panel_W), 0, map.panel_W.length));
  const cy = y(clamp(columnPlace(map.cells, map.kit.cells), 0, map.cells.length));
  return kitShape(cx, cy);
}

function kitShape(cx: number, cy: number): string[] {
  const cross = `M${cx - 4} ${cy}h8M${cx} ${cy - 4}v8`;
  return [
    element('circle', { cx, cy, r: 8, fill: '#ffffff', stroke: '#000000', 'stroke-width': 2 }),
    element('path', { d: cross, fill: 'none', stroke: '#000000', 'stroke-width': 2 }),
  ];
}

function lineKey(x: number, y: number, map: FrontierMap, figures: Figures): string[] {
  return [
    ...(map.frontier.length > 0
      ? [
          line(x, y + 1, x + 18, y + 1, 'sp-s-ink', { 'stroke-width': 2.25 }),
          label(x + 26, y + 5, `frontier, ${figures.percent(map.target)}`, { class: 'sp-q' }),
        ]
      : []),
    ...(map.kit ? [...kitShape(x + 9, y + 16), label(x + 26, y + 20, 'this kit', { class: 'sp-q' })] : []),
  ];
}

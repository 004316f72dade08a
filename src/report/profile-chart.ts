/** The ground between two antennas with the ray, the first Fresnel zone and what stands in the way. */

import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures, type Measure } from './figures.ts';
import { clamp, finiteMax, finiteMin, linearScale, niceTicks, type Scale, spreadLabels } from './scale.ts';
import {
  bandPath,
  element,
  label,
  line,
  linePath,
  type PictureOptions,
  type Point,
  picture,
  rect,
  safeId,
  textWidth,
} from './svg.ts';

export interface ProfileEnd {
  readonly name: string;
  /** Of the antenna above the ground. */
  readonly height_m: number;
}

export interface ProfilePicture {
  readonly from: ProfileEnd;
  readonly to: ProfileEnd;
  readonly distance_km: ArrayLike<number>;
  /** Ground above the sea. */
  readonly height_m: ArrayLike<number>;
  /** Trees or houses on it. */
  readonly clutter_m: ArrayLike<number> | undefined;
  readonly effectiveRadius_km: number;
  readonly wavelength_m: number;
  readonly obstacles: readonly { readonly distance_km: number; readonly above_m: number; readonly clutter: boolean }[];
  /** The answer in a sentence, for those who do not see the picture. */
  readonly sentence: string;
}

/** Points along the zone: smooth whatever the spacing of the profile. */
const ZONE_POINTS = 121;
const NAMED = { wide: 4, narrow: 2 };

/** All heights with the bulge of the Earth put on, so that the ray is a straight line. */
function geometry(p: ProfilePicture) {
  const d_km = p.distance_km[p.distance_km.length - 1]!;
  const bulge_m = (at_km: number) => (500 / p.effectiveRadius_km) * at_km * (d_km - at_km);
  const ground = Array.from(p.distance_km, (at, i) => p.height_m[i]! + bulge_m(at));
  const top = ground.map((g, i) => g + (i === 0 || i === ground.length - 1 ? 0 : (p.clutter_m?.[i] ?? 0)));
  const from_m = ground[0]! + p.from.height_m;
  const to_m = ground[ground.length - 1]! + p.to.height_m;
  const ray_m = (at_km: number) => from_m + ((to_m - from_m) * at_km) / d_km;
  const zoneAt_km = Array.from({ length: ZONE_POINTS }, (_, i) => (d_km * i) / (ZONE_POINTS - 1));
  const radius_m = zoneAt_km.map((at) => Math.sqrt(Math.max((1000 * p.wavelength_m * at * (d_km - at)) / d_km, 0)));
  return { d_km, bulge_m, ground, top, from_m, to_m, ray_m, zoneAt_km, radius_m };
}

/** Side view of a path. Curvature is drawn into the ground; the sea or the lowest ground is the bottom. */
export function profileChart(p: ProfilePicture, options: PictureOptions = {}): string {
  const { width = 752, id = 'profile', figures = FIGURES } = options;
  const narrow = width < 560;
  const g = geometry(p);
  const frame: Frame = { left: 42, right: width - 12, top: 52, bottom: narrow ? 252 : 300 };
  const height = frame.bottom + 64;
  const upper = g.zoneAt_km.map((at, i) => g.ray_m(at) + g.radius_m[i]!);
  const lower = g.zoneAt_km.map((at, i) => g.ray_m(at) - g.radius_m[i]!);
  const high = Math.max(finiteMax(upper, 1), finiteMax(g.top, 1));
  const low = Math.min(finiteMin(g.ground, 0), finiteMin(lower, 0));
  const room = Math.max((high - low) * 0.08, 2);
  const bottom = low - room;
  const x = linearScale([0, g.d_km], [frame.left, frame.right]);
  const y = linearScale([bottom, high + room], [frame.bottom, frame.top]);
  const clip = `${safeId(id)}-clip`;
  const xs = Array.from(p.distance_km, (at) => x(at));
  const zoneXs = g.zoneAt_km.map(x);
  const base = g.ground.map(() => frame.bottom);
  const ticks = roundTicks(figures.height, bottom, high + room, 5);
  const kmTicks = roundTicks(figures.distance, 0, g.d_km, narrow ? 4 : 8);
  const body = [
    element(
      'defs',
      {},
      element(
        'clipPath',
        { id: clip },
        rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top),
      ),
    ),
    ...yAxis(
      frame,
      y,
      ticks.map(({ at, shown }) => ({ at, text: figures.number(shown) })),
      `${figures.height.symbol} above the sea, the Earth’s curve put on`,
    ),
    element('path', { d: bandPath(zoneXs, upper.map(y), lower.map(y)), class: 'sp-f-lake', 'fill-opacity': 0.2 }),
    ...clutterShape(p, g, xs, y),
    element('path', { d: bandPath(xs, g.ground.map(y), base), class: 'sp-f-hairline' }),
    element('path', {
      d: linePath(xs.map((v, i): Point => [v, y(g.ground[i]!)])),
      class: 'sp-s-ink',
      'stroke-width': 1.5,
      'stroke-linejoin': 'round',
    }),
    ...seaLine(g, x, y, bottom),
    element('path', {
      d: `${linePath(zoneXs.map((v, i): Point => [v, y(upper[i]!)]))}${linePath(zoneXs.map((v, i): Point => [v, y(lower[i]!)]))}`,
      class: 'sp-s-lake',
      'stroke-width': 1,
      'stroke-dasharray': '3 3',
      'clip-path': `url(#${clip})`,
    }),
    line(x(0), y(g.from_m), x(g.d_km), y(g.to_m), 'sp-s-lake', { 'stroke-width': 2 }),
    ...mast(x(0), y(g.ground[0]!), y(g.from_m)),
    ...mast(x(g.d_km), y(g.ground[g.ground.length - 1]!), y(g.to_m)),
    ...ends(p, frame, narrow, figures),
    ...obstacles(p, g, frame, x, y, narrow, figures),
    ...xAxis(
      frame,
      x,
      kmTicks.map(({ at, shown }) => ({ at, text: figures.figures(shown) })),
      `${figures.distance.symbol} from ${p.from.name}`,
    ),
    ...key(p, frame.left, frame.bottom + 52, narrow),
  ];
  return picture({
    id,
    width,
    height,
    title: `Profile from ${p.from.name} to ${p.to.name}`,
    description: p.sentence,
    body,
    standalone: options.standalone ?? true,
  });
}

/** Values that are round as they are shown, with where they lie in SI. */
function roundTicks({ shown }: Measure, low: number, high: number, count: number) {
  const ratio = shown(1);
  return niceTicks(low * ratio, high * ratio, count)
    .map((value) => ({ at: value / ratio, shown: value }))
    .filter(({ at }) => at >= low - 1e-9 && at <= high + 1e-9);
}

type Geometry = ReturnType<typeof geometry>;

function clutterShape(p: ProfilePicture, g: Geometry, xs: readonly number[], y: Scale): string[] {
  if (p.clutter_m === undefined) return [];
  return [element('path', { d: bandPath(xs, g.top.map(y), g.ground.map(y)), class: 'sp-f-sun', 'fill-opacity': 0.55 })];
}

/** Sea level, where it lies in the picture. */
function seaLine(g: Geometry, x: Scale, y: Scale, bottom: number): string[] {
  if (bottom > 0 || g.bulge_m(g.d_km / 2) < 0) return [];
  const points = g.zoneAt_km.map((at): Point => [x(at), y(g.bulge_m(at))]);
  return [element('path', { d: linePath(points), class: 'sp-s-ink', 'stroke-width': 0.75, 'stroke-dasharray': '1 4' })];
}

function mast(x: number, ground: number, top: number): string[] {
  return [
    line(x, ground, x, Math.min(top, ground - 3), 'sp-s-ink', { 'stroke-width': 2.5 }),
    element('circle', { cx: x, cy: top, r: 4, class: 'sp-f-lake' }),
  ];
}

function ends(p: ProfilePicture, frame: Frame, narrow: boolean, figures: Figures): string[] {
  const text = (end: ProfileEnd) => {
    const height = figures.height.shown(end.height_m);
    const tall = `, ${figures.number(height, height % 1 === 0 ? 0 : 1)} ${figures.height.symbol}`;
    const most = narrow ? 18 : 34;
    const name = end.name.length > most ? `${end.name.slice(0, most - 1)}…` : end.name;
    return name + tall;
  };
  return [
    label(frame.left - 4, frame.top - 34, text(p.from), { class: 'sp-b' }),
    label(frame.right + 4, frame.top - 34, text(p.to), { class: 'sp-b', 'text-anchor': 'end' }),
  ];
}

/** A marker at each obstacle, its length from the ray to the top; the worst ones are named. */
function obstacles(
  p: ProfilePicture,
  g: Geometry,
  frame: Frame,
  x: Scale,
  y: Scale,
  narrow: boolean,
  figures: Figures,
): string[] {
  const shown = p.obstacles.slice(0, narrow ? NAMED.narrow : NAMED.wide);
  const texts = shown.map(({ above_m, clutter }) => {
    const what = clutter ? 'trees or houses' : 'ground';
    const length = figures.height.shown(Math.abs(above_m));
    const size = `${figures.number(length, length < 10 ? 1 : 0)} ${figures.height.symbol}`;
    const side = above_m > 0 ? 'above' : 'below';
    return narrow ? `${size} ${side} the ray` : `${what} ${size} ${side} the ray`;
  });
  const tops = shown.map(({ distance_km, above_m }) => y(g.ray_m(distance_km) + above_m));
  const labelYs = spreadLabels(
    tops.map((t) => t - 10),
    15,
    frame.top + 10,
    frame.bottom - 8,
  );
  return shown.flatMap(({ distance_km }, i) => {
    const ox = x(distance_km);
    const ray = y(g.ray_m(distance_km));
    const half = textWidth(texts[i]!, narrow ? 11 : 12) / 2;
    return [
      line(ox, ray, ox, tops[i]!, 'sp-s-dusk', { 'stroke-width': 2 }),
      element('path', { d: `M${ox - 5} ${tops[i]! - 5}h10l-5 5z`, class: 'sp-f-dusk' }),
      label(clamp(ox, frame.left + half + 2, frame.right - half - 2), labelYs[i]!, texts[i]!, {
        'text-anchor': 'middle',
        class: 'sp-q sp-h sp-b',
      }),
    ];
  });
}

function key(p: ProfilePicture, x: number, y: number, narrow: boolean): string[] {
  const zone = [
    rect(x, y - 9, 18, 10, { class: 'sp-f-lake', 'fill-opacity': 0.2 }),
    line(x, y - 9, x + 18, y - 9, 'sp-s-lake', { 'stroke-dasharray': '3 3' }),
    label(x + 24, y, narrow ? 'first Fresnel zone' : 'first Fresnel zone: 60 % of it free counts as clear', {
      class: 'sp-q',
    }),
  ];
  if (p.clutter_m === undefined) return zone;
  const at = x + (narrow ? 150 : 330);
  return [
    ...zone,
    rect(at, y - 9, 18, 10, { class: 'sp-f-sun', 'fill-opacity': 0.55 }),
    label(at + 24, y, 'trees or houses', { class: 'sp-q' }),
  ];
}

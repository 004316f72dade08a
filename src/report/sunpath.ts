/** The sun's paths over the horizon of a place: solstices, equinox and the darkest month. */

import { horizonAt_deg, sunPosition } from '../core/sun/index.ts';
import { MONTH_START } from '../core/units/index.ts';
import { type Frame, xAxis, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { clamp, finiteMax, linearScale } from './scale.ts';
import { element, label, linePath, type PictureOptions, type Point, picture, textWidth } from './svg.ts';
import { monthName } from './words.ts';

export interface SunPathInput {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** Horizon elevation by whole degree of azimuth (360 values, clockwise from north), or none: level. */
  readonly horizon_deg: Float32Array | null;
  /** Month 1..12 whose middle is drawn with emphasis. */
  readonly darkestMonth: number;
}

// The paths move by less than 0.3° from year to year; one year is drawn.
/** Julian day of 1 January 2025, 0 h UT. */
const YEAR_START_jd = 2460676.5;
const DAYS = [
  { month: 6, day: 21 },
  { month: 3, day: 20 },
  { month: 12, day: 21 },
] as const;
const STEP_min = 5;

interface Sample {
  readonly hour: number;
  readonly azimuth_deg: number;
  readonly elevation_deg: number;
}

/** Places of the sun through one day of mean solar time at the longitude, every five minutes. */
export function dayPath(latitude_deg: number, longitude_deg: number, month: number, day: number): Sample[] {
  const midnight_jd = YEAR_START_jd + MONTH_START[month - 1]! + day - 1 - longitude_deg / 360;
  const samples: Sample[] = [];
  for (let minute = 0; minute <= 24 * 60; minute += STEP_min) {
    const sun = sunPosition(midnight_jd + minute / 1440, latitude_deg, longitude_deg);
    samples.push({ hour: minute / 60, azimuth_deg: sun.azimuth_deg, elevation_deg: sun.elevation_deg });
  }
  return samples;
}

/** Height of the skyline; level without one, and where it is missing. */
function skyline_deg(horizon_deg: Float32Array | null, azimuth_deg: number): number {
  const height_deg = horizon_deg === null ? 0 : horizonAt_deg(horizon_deg, azimuth_deg);
  return Number.isFinite(height_deg) ? height_deg : 0;
}

const sunHours = (samples: readonly Sample[], horizon_deg: Float32Array | null) =>
  (samples.filter((s) => s.elevation_deg > Math.max(0, skyline_deg(horizon_deg, s.azimuth_deg))).length * STEP_min) /
  60;

/** Hours of sun over the horizon in the middle of the darkest month, in a sentence. */
export function sunPathSentence(input: SunPathInput, figures: Figures = FIGURES): string {
  const path = dayPath(input.latitude_deg, input.longitude_deg, input.darkestMonth, 15);
  const free = sunHours(path, null);
  const open = sunHours(path, input.horizon_deg);
  const top = finiteMax(
    path.map((s) => s.elevation_deg),
    0,
  );
  const when = `In the middle of ${monthName(input.darkestMonth)}`;
  if (top <= 0) return `${when} the sun stays below the horizon.`;
  const lost =
    input.horizon_deg === null
      ? 'No horizon was given, so it is taken as level.'
      : free - open < 0.05
        ? 'The horizon hides none of it.'
        : `The horizon hides ${figures.number(free - open, 1)} h of it.`;
  return `${when} the sun is up ${figures.number(free, 1)} h and climbs to ${figures.number(top)}°. ${lost}`;
}

/** Azimuth measured from the direction that stands in the middle of the picture, −180..180. */
const fromMiddle = (azimuth_deg: number, middle_deg: number) =>
  ((((azimuth_deg - middle_deg + 180) % 360) + 360) % 360) - 180;

interface DayPath {
  readonly name: string;
  readonly samples: readonly Sample[];
  readonly dark: boolean;
}

/** The days that are drawn: solstices, equinox, and the middle of the darkest month with emphasis. */
function pathsOf(input: SunPathInput, figures: Figures): DayPath[] {
  const of = (month: number, day: number) => dayPath(input.latitude_deg, input.longitude_deg, month, day);
  const month = input.darkestMonth;
  return [
    ...DAYS.map((d) => ({
      name: figures.day(MONTH_START[d.month - 1]! + d.day - 1),
      samples: of(d.month, d.day),
      dark: false,
    })),
    { name: `mid-${monthName(month)}`, samples: of(month, 15), dark: true },
  ];
}

/** The part of the sky that is drawn: the equator's side in the middle, and as far to either side as the sun goes. */
function viewOf(input: SunPathInput, paths: readonly DayPath[]): { middle_deg: number; half_deg: number } {
  const middle_deg = input.latitude_deg >= 0 ? 180 : 0;
  const seen = paths.flatMap((p) => p.samples.filter((s) => s.elevation_deg > 0));
  const reach = finiteMax(
    seen.map((s) => Math.abs(fromMiddle(s.azimuth_deg, middle_deg))),
    90,
  );
  return { middle_deg, half_deg: clamp(Math.ceil((reach + 8) / 15) * 15, 90, 180) };
}

/** Most degrees between a direction and a place of the sun that is told for it. */
const NEAR_deg = 2.5;

/** Reads the picture at a share 0..1 of its width: direction, skyline there, and the sun of each day when it stands there. */
export function sunPathReader(input: SunPathInput, figures: Figures = FIGURES): (share: number) => string {
  const paths = pathsOf(input, figures);
  const { middle_deg, half_deg } = viewOf(input, paths);
  return (share) => {
    const azimuth_deg = (((middle_deg + (share * 2 - 1) * half_deg) % 360) + 360) % 360;
    const off = (s: Sample) => Math.abs(fromMiddle(s.azimuth_deg, azimuth_deg));
    const skyline = skyline_deg(input.horizon_deg, azimuth_deg);
    const suns = paths.flatMap(({ name, samples }) => {
      const up = samples.filter((s) => s.elevation_deg > 0 && off(s) <= NEAR_deg);
      if (up.length === 0) return [];
      const s = up.reduce((a, b) => (off(b) < off(a) ? b : a));
      const hidden = s.elevation_deg <= Math.max(0, skyline) ? ', hidden' : '';
      return [`${name} at ${figures.number(s.hour, 1)} h ${figures.number(s.elevation_deg)}° high${hidden}`];
    });
    const where = `${COMPASS[Math.round(azimuth_deg / 45) % 8]} ${figures.number(Math.round(azimuth_deg) % 360)}°`;
    return `${where}: skyline ${figures.number(skyline, 1)}°; sun ${suns.length === 0 ? 'never here' : suns.join('; ')}`;
  };
}

const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'];

/**
 * Azimuth across, elevation up, the horizon as a silhouette; paths are full lines where the sun shines and dots where the
 * horizon hides it. Hours are of mean solar time. The middle of the picture is the equator's side of the sky.
 */
export function sunPathChart(input: SunPathInput, options: PictureOptions = {}): string {
  const { width = 752, id = 'sunpath', figures = FIGURES } = options;
  const narrow = width < 560;
  const paths = pathsOf(input, figures);
  const seen = paths.flatMap((p) => p.samples.filter((s) => s.elevation_deg > 0));
  const { middle_deg, half_deg } = viewOf(input, paths);
  const top = Math.min(
    Math.ceil(
      (Math.max(
        finiteMax(
          seen.map((s) => s.elevation_deg),
          20,
        ),
        15,
      ) +
        8) /
        10,
    ) * 10,
    90,
  );
  const frame: Frame = { left: 34, right: width - 8, top: 28, bottom: narrow ? 240 : 300 };
  const height = frame.bottom + 44;
  const x = linearScale([-half_deg, half_deg], [frame.left, frame.right]);
  const y = linearScale([0, top], [frame.bottom, frame.top]);
  const place = (s: Sample): Point => [x(fromMiddle(s.azimuth_deg, middle_deg)), y(s.elevation_deg)];
  const visible = (s: Sample) => s.elevation_deg > Math.max(0, skyline_deg(input.horizon_deg, s.azimuth_deg));
  const step = narrow ? 90 : 45;
  const directions = [-180, -135, -90, -45, 0, 45, 90, 135, 180]
    .filter((a) => Math.abs(a) <= half_deg && a % step === 0)
    .map((at) => {
      const azimuth = (at + middle_deg + 360) % 360;
      return { at, text: `${COMPASS[azimuth / 45]} ${azimuth}°` };
    });
  const elevations: { at: number; text: string }[] = [];
  for (let e = 0; e <= top; e += top > 50 ? 15 : 10) elevations.push({ at: e, text: String(e) });
  const body = [
    ...yAxis(frame, y, elevations, 'elevation, °'),
    silhouette(input.horizon_deg, middle_deg, half_deg, x, y, top),
    ...paths.flatMap((p) => {
      const line = (keep: (s: Sample) => boolean) => linePath(broken(p.samples, keep, place));
      const weight = p.dark ? 2.5 : 1.5;
      const colour = p.dark ? 'sp-s-dusk' : 'sp-s-sun';
      return [
        element('path', {
          d: line((s) => s.elevation_deg > 0 && !visible(s)),
          class: colour,
          'stroke-width': weight,
          'stroke-dasharray': '1 4',
        }),
        element('path', { d: line(visible), class: colour, 'stroke-width': weight }),
      ];
    }),
    ...paths.flatMap((p, i) => hourMarks(p.samples, place, i === 0 || i === 2, p.dark)),
    ...pathLabels(paths, place, frame),
    ...xAxis(frame, x, directions, 'hours are mean solar time'),
  ];
  return picture({
    id,
    width,
    height,
    title: 'Sun paths over the horizon',
    description: sunPathSentence(input, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

/** Points of a path where `keep` holds; the line breaks elsewhere and where it leaves the picture on one side. */
function broken(samples: readonly Sample[], keep: (s: Sample) => boolean, place: (s: Sample) => Point): Point[] {
  const gap: Point = [Number.NaN, Number.NaN];
  const points: Point[] = [];
  let last: Point = gap;
  for (const s of samples) {
    const p = keep(s) ? place(s) : gap;
    if (Math.abs(p[0] - last[0]) > 120) points.push(gap);
    points.push(p);
    last = p;
  }
  return points;
}

function silhouette(
  horizon_deg: Float32Array | null,
  middle_deg: number,
  half_deg: number,
  x: (a: number) => number,
  y: (e: number) => number,
  top: number,
): string {
  if (horizon_deg === null) return '';
  const points: Point[] = [];
  for (let a = -half_deg; a <= half_deg; a++)
    points.push([x(a), y(clamp(skyline_deg(horizon_deg, a + middle_deg), 0, top))]);
  const outline = linePath(points);
  return (
    element('path', {
      d: `${outline}L${x(half_deg)} ${y(0)}L${x(-half_deg)} ${y(0)}Z`,
      class: 'sp-f-ink',
      'fill-opacity': 0.18,
    }) + element('path', { d: outline, class: 'sp-s-ink', 'stroke-width': 1.25 })
  );
}

function hourMarks(samples: readonly Sample[], place: (s: Sample) => Point, named: boolean, dark: boolean): string[] {
  return samples
    .filter((s) => Number.isInteger(s.hour) && s.hour < 24 && s.elevation_deg > 0)
    .flatMap((s) => {
      const [cx, cy] = place(s);
      return [
        element('circle', { cx, cy, r: s.hour % 3 === 0 ? 3 : 1.8, class: dark ? 'sp-f-dusk' : 'sp-f-sun' }),
        named && s.hour % 3 === 0 && s.hour !== 12
          ? label(cx + (s.hour < 12 ? -7 : 7), cy + 1, String(s.hour), {
              class: 'sp-q sp-h',
              'text-anchor': s.hour < 12 ? 'end' : 'start',
            })
          : '',
      ];
    });
}

/** The day's name at the highest point of each path: above it, or below it where another name stands already. */
function pathLabels(
  paths: readonly { readonly name: string; readonly samples: readonly Sample[]; readonly dark: boolean }[],
  place: (s: Sample) => Point,
  frame: Frame,
): string[] {
  const taken: Point[] = [];
  const tops = paths
    .map((p) => ({ ...p, noon: p.samples.reduce((a, b) => (b.elevation_deg > a.elevation_deg ? b : a)) }))
    .filter(({ noon }) => noon.elevation_deg > 0)
    .sort((a, b) => b.noon.elevation_deg - a.noon.elevation_deg);
  return tops.map(({ name, noon, dark }) => {
    const half = textWidth(name, 11) / 2;
    const [x, y] = place(noon);
    const cx = clamp(x, frame.left + half + 2, frame.right - half);
    const free = (at: number) => taken.every((t) => Math.abs(t[1] - at) >= 13 || Math.abs(t[0] - cx) > 2 * half + 20);
    const at = [y - 8, y + 18, y + 32].find(free) ?? y + 46;
    taken.push([cx, at]);
    return label(cx, at, name, { 'text-anchor': 'middle', class: `sp-q sp-h${dark ? ' sp-b' : ''}` });
  });
}

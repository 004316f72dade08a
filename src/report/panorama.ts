/** The panorama of a perch: ridges by distance, the sun's paths over them, the other perches, and what the skyline takes away. */

import { MONTH_START } from '../core/units/index.ts';
import { type Frame, yAxis } from './axis.ts';
import { FIGURES, type Figures } from './figures.ts';
import { hatch } from './key.ts';
import { stepPath, thinnedLine } from './outline.ts';
import { clamp, finiteMax, finiteMin, linearScale, type Scale } from './scale.ts';
import { dayPath } from './sunpath.ts';
import {
  type Attributes,
  element,
  label,
  line,
  type PictureOptions,
  type Point,
  picture,
  rect,
  safeId,
  textWidth,
} from './svg.ts';
import { monthName, shortMonth } from './words.ts';

export type Sight = 'clear' | 'grazing' | 'blocked';

/** Another perch as seen from this one. */
export interface PanoramaOther {
  readonly name: string;
  readonly azimuth_deg: number;
  /** Of its antenna, whether or not something stands before it. */
  readonly elevation_deg: number;
  readonly distance_km: number;
  readonly sight: Sight;
  readonly margin_dB: number;
}

/** Hours of sun in the middle of a month: over a level horizon, and over this one. */
export interface PanoramaMonth {
  readonly month: number;
  readonly open_h: number;
  readonly visible_h: number;
}

export interface PanoramaInput {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** The skyline at equal steps of azimuth, clockwise from north. */
  readonly skyline_deg: Float32Array;
  /** Ground by distance, nearest first: its highest elevation at the same steps; NaN where it has none. */
  readonly layers: readonly { readonly to_km: number; readonly elevation_deg: Float32Array }[];
  readonly darkestMonth: number;
  readonly months: readonly PanoramaMonth[];
  readonly others: readonly PanoramaOther[];
  /** A day whose course is drawn with emphasis in place of the darkest month's, with its hours of sun. */
  readonly day?: { readonly month: number; readonly date: number; readonly open_h: number; readonly visible_h: number };
  /** Where the panel looks. */
  readonly panel?: { readonly azimuth_deg: number; readonly tilt_deg: number };
}

/** Places of a name above its mark that are tried one after the other, px; below zero: below the mark. */
const RISES: readonly number[] = [12, -36, -24, ...Array.from({ length: 29 }, (_, i) => 19 + 7 * i)];
/** Narrower than this the picture comes in two halves, px. */
const NARROW = 560;
/** Step of `dayPath`. */
const STEP_h = 1 / 12;
const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'];
const SIGNS: Readonly<Record<Sight, string>> = { clear: 'in sight', grazing: 'grazing', blocked: 'blocked' };

/** Value at an azimuth from equal steps around the circle, straight between them. */
function around(values: Float32Array, azimuth_deg: number): number {
  const n = values.length;
  const at = ((((azimuth_deg % 360) + 360) % 360) / 360) * n;
  const i = Math.floor(at) % n;
  return values[i]! + (at - Math.floor(at)) * (values[(i + 1) % n]! - values[i]!);
}

/** What the panorama says, in sentences. */
export function panoramaSentence(input: PanoramaInput, figures: Figures = FIGURES): string {
  const dark = input.months[input.darkestMonth - 1];
  const high = finiteMax(input.skyline_deg, 0);
  const { day } = input;
  const parts = [
    `The skyline of ${input.name} rises to ${figures.number(high)}°.`,
    dark === undefined || dark.open_h === 0
      ? `In ${monthName(input.darkestMonth)} the sun does not rise.`
      : `In the middle of ${monthName(input.darkestMonth)} it leaves ${figures.number(dark.visible_h, 1)} of ${figures.number(dark.open_h, 1)} h of sun.`,
  ];
  if (day !== undefined && !(day.month === input.darkestMonth && day.date === 15))
    parts.push(
      day.open_h === 0
        ? `On ${dayText(day, figures)} the sun does not rise.`
        : `On ${dayText(day, figures)} it leaves ${figures.number(day.visible_h, 1)} of ${figures.number(day.open_h, 1)} h.`,
    );
  const n = (sight: Sight) => input.others.filter((o) => o.sight === sight).length;
  if (input.others.length > 0)
    parts.push(
      `Of ${input.others.length} other ${input.others.length === 1 ? 'perch' : 'perches'} ${n('clear')} in clear sight, ${n('grazing')} grazing, ${n('blocked')} blocked.`,
    );
  return parts.join(' ');
}

const dayText = ({ month, date }: { month: number; date: number }, figures: Figures) =>
  figures.day(MONTH_START[month - 1]! + date - 1);

/** One stretch of the sky as it is drawn. */
export interface PanoramaPanel {
  readonly frame: Frame;
  /** Azimuth in its middle, and how far it reaches to either side. */
  readonly middle_deg: number;
  readonly half_deg: number;
  readonly top_deg: number;
  readonly bottom_deg: number;
}

/** Where a panorama of this width has its stretches of sky: one all around, or two halves on a narrow screen. */
export function panoramaPanels(input: PanoramaInput, width = 752): PanoramaPanel[] {
  return panelsOf(input, pathsOf(input, FIGURES), width);
}

function panelsOf(input: PanoramaInput, paths: readonly SunPath[], width: number): PanoramaPanel[] {
  const narrow = width < NARROW;
  const noon_deg = input.latitude_deg >= 0 ? 180 : 0;
  const sky = finiteMax(
    paths.flatMap((p) => p.samples.map((s) => s.elevation_deg)),
    10,
  );
  const highest = finiteMax(input.skyline_deg, 0);
  const top_deg = clamp(Math.ceil((Math.max(sky, highest) + 5) / 10) * 10, 30, 90);
  const lowest = Math.min(
    finiteMin(input.skyline_deg, 0),
    finiteMin(
      input.others.map((o) => o.elevation_deg),
      0,
    ),
  );
  const bottom_deg = -clamp(Math.ceil((4 - lowest) / 5) * 5, 5, 30);
  const perDegree = narrow ? 3.6 : 4.4;
  let top = 30;
  return (narrow ? [noon_deg, noon_deg + 180] : [noon_deg]).map((middle_deg) => {
    // The side away from the sun needs less sky.
    const away = narrow && middle_deg !== noon_deg;
    const here_deg = away ? clamp(Math.ceil((highest + 22) / 10) * 10, 30, top_deg) : top_deg;
    const frame: Frame = { left: 30, right: width - 2, top, bottom: top + (here_deg - bottom_deg) * perDegree };
    top = frame.bottom + 46;
    return { frame, middle_deg: middle_deg % 360, half_deg: narrow ? 90 : 180, top_deg: here_deg, bottom_deg };
  });
}

/** Seen all around; on a narrow screen in two halves, the sunny one first. */
export function panorama(input: PanoramaInput, options: PictureOptions = {}): string {
  const { width = 752, id = 'panorama', figures = FIGURES } = options;
  const narrow = width < NARROW;
  const paths = pathsOf(input, figures);
  const panels = panelsOf(input, paths, width);
  const body: string[] = [hatch(safeId(`${id}-lost`), 'sp-s-dusk', 4, 1.6)];
  for (const one of panels) body.push(...panel(input, paths, one, safeId(id), narrow, figures));
  let y = panels.at(-1)!.frame.bottom + 46;
  body.push(...ridgeKey(input, 30, y + 2, width, figures));
  y += narrow && input.others.length > 0 ? 76 : 56;
  body.push(...monthStrip(input, 30, y, width - 32, safeId(`${id}-lost`), figures));
  y += 112;
  return picture({
    id,
    width,
    height: y,
    title: `Panorama of ${input.name}`,
    description: panoramaSentence(input, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

type SunPath = {
  readonly name: string;
  readonly samples: ReturnType<typeof dayPath>;
  /** Drawn with emphasis, with what the skyline takes. */
  readonly dark: boolean;
  /** Whether its hours are named. */
  readonly hours: boolean;
};

function pathsOf(input: PanoramaInput, figures: Figures): SunPath[] {
  const { latitude_deg, longitude_deg, darkestMonth, day } = input;
  const of = (month: number, date: number) => dayPath(latitude_deg, longitude_deg, month, date);
  const usual = [
    { month: 6, date: 21 },
    { month: 3, date: 20 },
    { month: 12, date: 21 },
  ].filter((d) => d.month !== day?.month || d.date !== day.date);
  const dark = day ?? { month: darkestMonth, date: 15 };
  const isMiddle = dark.month === darkestMonth && dark.date === 15;
  return [
    ...usual.map((d, k) => ({
      name: dayText(d, figures),
      samples: of(d.month, d.date),
      dark: false,
      hours: k === 0 && day === undefined,
    })),
    {
      name: isMiddle ? `mid-${monthName(darkestMonth)}` : dayText(dark, figures),
      samples: of(dark.month, dark.date),
      dark: true,
      hours: day !== undefined,
    },
  ];
}

function panel(
  input: PanoramaInput,
  paths: readonly SunPath[],
  { frame, middle_deg, half_deg, top_deg, bottom_deg }: PanoramaPanel,
  id: string,
  narrow: boolean,
  figures: Figures,
): string[] {
  const x = linearScale([-half_deg, half_deg], [frame.left, frame.right]);
  const y = linearScale([bottom_deg, top_deg], [frame.bottom, frame.top]);
  const from = (azimuth_deg: number) => ((((azimuth_deg - middle_deg + 180) % 360) + 360) % 360) - 180;
  const inside = (azimuth_deg: number) => Math.abs(from(azimuth_deg)) <= half_deg;
  const place = (azimuth_deg: number, elevation_deg: number): Point => [x(from(azimuth_deg)), y(elevation_deg)];
  const ticks: { at: number; text: string }[] = [];
  for (let e = 0; e <= top_deg; e += top_deg > 40 ? 15 : 10) ticks.push({ at: e, text: String(e) });
  const clip = `${id}-clip-${Math.round(middle_deg)}`;
  const visible = (s: { azimuth_deg: number; elevation_deg: number }) =>
    s.elevation_deg > Math.max(0, around(input.skyline_deg, s.azimuth_deg));
  const out = [
    element('defs', {}, [
      element('clipPath', { id: clip }, [
        rect(frame.left, frame.top, frame.right - frame.left, frame.bottom - frame.top),
      ]),
    ]),
    ...yAxis(frame, y, ticks, 'elevation, °'),
  ];
  // What the sun does in the open lies behind the hills; what they hide is drawn over them, dotted.
  const drawn = (keep: (s: SunPath['samples'][number]) => boolean, dotted: boolean) =>
    paths.map((p) => {
      const points: Point[] = [];
      let last = Number.NaN;
      for (const s of p.samples) {
        const shown = keep(s) && inside(s.azimuth_deg);
        const at = from(s.azimuth_deg);
        if (Math.abs(at - last) > 90) points.push([Number.NaN, Number.NaN]);
        points.push(shown ? place(s.azimuth_deg, s.elevation_deg) : [Number.NaN, Number.NaN]);
        last = at;
      }
      return element('path', {
        d: stepPath(points),
        class: p.dark && dotted ? 'sp-s-dusk' : 'sp-s-sun',
        'stroke-width': p.dark ? (dotted ? 4 : 3) : dotted ? 1.6 : 1.5,
        'stroke-linecap': 'round',
        ...(dotted ? { 'stroke-dasharray': p.dark ? '0.1 7' : '0.1 4.5' } : {}),
      });
    });
  out.push(
    element(
      'g',
      { 'clip-path': `url(#${clip})` },
      drawn((s) => s.elevation_deg > bottom_deg && visible(s), false),
    ),
  );
  out.push(element('g', { 'clip-path': `url(#${clip})` }, hills(input, x, y, middle_deg, half_deg, bottom_deg, id)));
  out.push(
    element(
      'g',
      { 'clip-path': `url(#${clip})` },
      drawn((s) => s.elevation_deg > 0 && !visible(s), true),
    ),
  );
  out.push(...hourDots(paths, place, inside, visible));
  const taken: Box[] = [];
  const panelAt = input.panel;
  if (panelAt !== undefined && inside(panelAt.azimuth_deg))
    out.push(...panelMark(panelAt, place, frame, bottom_deg, taken));
  out.push(...pathNames(paths, place, inside, visible, frame, taken));
  out.push(...hiddenNames(paths, place, inside, visible, frame, taken, figures));
  out.push(...otherMarks(input, place, inside, frame, taken, narrow, figures));
  out.push(line(frame.left, frame.bottom, frame.right, frame.bottom, 'sp-s-ink'));
  for (let a = -half_deg; a <= half_deg; a += 45) {
    const azimuth = (((a + middle_deg) % 360) + 360) % 360;
    const cx = x(a);
    const text = narrow ? COMPASS[azimuth / 45]! : `${COMPASS[azimuth / 45]} ${azimuth}°`;
    const anchor = a === -half_deg ? 'start' : a === half_deg ? 'end' : 'middle';
    out.push(
      line(cx, frame.bottom, cx, frame.bottom + 4, 'sp-s-ink'),
      label(cx, frame.bottom + 17, text, { 'text-anchor': anchor, class: azimuth % 90 === 0 ? 'sp-q sp-b' : 'sp-q' }),
    );
  }
  return out;
}

/** The panel's outward direction: a slab with a cross where the sun would meet it head on, and the way down to its azimuth. */
function panelMark(
  { azimuth_deg, tilt_deg }: { readonly azimuth_deg: number; readonly tilt_deg: number },
  place: (azimuth_deg: number, elevation_deg: number) => Point,
  frame: Frame,
  bottom_deg: number,
  taken: Box[],
): string[] {
  const [cx, high] = place(azimuth_deg, 90 - tilt_deg);
  const [, foot] = place(azimuth_deg, bottom_deg);
  // A panel that lies almost flat looks above the picture.
  const above = high < frame.top + 9;
  const cy = above ? frame.top + 9 : high;
  const text = above ? 'panel looks up' : 'panel';
  const wide = textWidth(text, 11);
  const left = clamp(cx + 14, frame.left, frame.right - wide);
  const beside = left < cx + 12 ? clamp(cx - 14 - wide, frame.left, frame.right) : left;
  taken.push(
    { left: cx - 11, right: cx + 11, top: cy - 9, bottom: cy + 9 },
    { left: beside, right: beside + wide, top: cy - 7, bottom: cy + 6 },
  );
  return [
    line(cx, cy + 8, cx, foot, 'sp-s-ink', { 'stroke-width': 1, 'stroke-dasharray': '2 4' }),
    rect(cx - 10, cy - 7, 20, 14, { class: 'sp-s-ink', fill: 'none', 'stroke-width': 1.6 }),
    above
      ? element('path', {
          d: `M${cx} ${cy + 4}V${cy - 4}M${cx - 4} ${cy}L${cx} ${cy - 4}L${cx + 4} ${cy}`,
          class: 'sp-s-ink',
          'stroke-width': 1.4,
        })
      : element('path', {
          d: `M${cx - 10} ${cy}H${cx + 10}M${cx} ${cy - 7}V${cy + 7}`,
          class: 'sp-s-ink',
          'stroke-width': 1,
        }),
    label(beside, cy + 4, text, { class: 'sp-q sp-h' }),
  ];
}

/** Strength of a layer's tone, nearest 1, farthest 0. */
const toneOf = (index: number, count: number) => (count < 2 ? 1 : 1 - index / (count - 1));

/** How far a thinned ridge may lie from the real one, px: less than the eye sees. */
const RIDGE_px = 0.2;
/** The outline of a ridge goes on beyond the frame, so that only its crest is seen as a line. */
const BEYOND_px = 4;

/** Ridges from the farthest to the nearest, each over what lies behind it, paler with distance; each outline stands there once. */
function hills(
  input: PanoramaInput,
  x: Scale,
  y: Scale,
  middle_deg: number,
  half_deg: number,
  bottom_deg: number,
  id: string,
): string[] {
  const { layers, skyline_deg } = input;
  const step = 360 / skyline_deg.length;
  const low = y(bottom_deg - 2);
  const out: string[] = [];
  for (let k = layers.length - 1; k >= 0; k--) {
    const { elevation_deg } = layers[k]!;
    const tone = toneOf(k, layers.length);
    const crest: Point[] = [];
    for (let a = -half_deg; a <= half_deg + 1e-9; a += step) {
      const i = Math.round((((a + middle_deg) % 360) + 360) / step) % elevation_deg.length;
      const e = elevation_deg[i]!;
      crest.push([x(a), y(Number.isFinite(e) ? Math.max(e, bottom_deg - 2) : bottom_deg - 2)]);
    }
    const [left, right] = [x(-half_deg) - BEYOND_px, x(half_deg) + BEYOND_px];
    const outline = [
      [left, low],
      [left, crest[0]![1]],
      ...thinnedLine(crest, RIDGE_px),
      [right, crest.at(-1)![1]],
      [right, low],
    ] as const;
    const ridge = `${id}-ridge-${Math.round(middle_deg)}-${k}`;
    const again = (attributes: Attributes) => element('use', { href: `#${ridge}`, ...attributes });
    out.push(
      element('defs', {}, element('path', { id: ridge, d: `${stepPath(outline)}z` })),
      again({ class: 'sp-f-paper' }),
      again({ class: 'sp-f-lake', 'fill-opacity': 0.1 + 0.22 * (1 - Math.abs(tone - 0.4)) }),
      again({
        class: 'sp-f-ink sp-s-ink',
        'fill-opacity': 0.42 * tone * tone,
        'stroke-width': 0.8,
        'stroke-opacity': 0.35 + 0.4 * tone,
      }),
    );
  }
  return out;
}

function hourDots(
  paths: readonly SunPath[],
  place: (azimuth_deg: number, elevation_deg: number) => Point,
  inside: (azimuth_deg: number) => boolean,
  visible: (s: SunPath['samples'][number]) => boolean,
): string[] {
  return paths.flatMap((p) =>
    p.samples
      .filter(
        (s) => Number.isInteger(s.hour) && s.hour < 24 && s.elevation_deg > 0 && inside(s.azimuth_deg) && visible(s),
      )
      .flatMap((s) => {
        const [cx, cy] = place(s.azimuth_deg, s.elevation_deg);
        const big = s.hour % 3 === 0;
        return [
          element('circle', { cx, cy, r: big ? 3 : 1.7, class: 'sp-f-sun' }),
          big && p.hours && s.hour !== 12
            ? label(cx + (s.hour < 12 ? -7 : 7), cy + 1, String(s.hour), {
                class: 'sp-q sp-h',
                'text-anchor': s.hour < 12 ? 'end' : 'start',
              })
            : '',
        ];
      }),
  );
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const free = (box: Box, taken: readonly Box[]) =>
  taken.every((t) => box.right < t.left || box.left > t.right || box.bottom < t.top || box.top > t.bottom);

function pathNames(
  paths: readonly SunPath[],
  place: (azimuth_deg: number, elevation_deg: number) => Point,
  inside: (azimuth_deg: number) => boolean,
  visible: (s: SunPath['samples'][number]) => boolean,
  frame: Frame,
  taken: Box[],
): string[] {
  const noons = paths
    .map((p) => ({ ...p, noon: p.samples.reduce((a, b) => (b.elevation_deg > a.elevation_deg ? b : a)) }))
    .filter(({ noon }) => noon.elevation_deg > 0 && inside(noon.azimuth_deg))
    .sort((a, b) => b.noon.elevation_deg - a.noon.elevation_deg);
  return noons.map(({ name, noon, dark }) => {
    const text = visible(noon) ? name : `${name}, hidden`;
    const [nx, ny] = place(noon.azimuth_deg, noon.elevation_deg);
    const half = textWidth(text, 11) / 2;
    const cx = clamp(nx, frame.left + half, frame.right - half);
    const at = [ny - 7, ny + 17, ny + 30, ny + 43].find((cy) =>
      free({ left: cx - half, right: cx + half, top: cy - 10, bottom: cy + 3 }, taken),
    );
    const cy = at ?? ny + 56;
    taken.push({ left: cx - half, right: cx + half, top: cy - 10, bottom: cy + 3 });
    return label(cx, cy, text, { 'text-anchor': 'middle', class: `sp-q sp-h${dark ? ' sp-b' : ''}` });
  });
}

/** How long the skyline hides the sun in the darkest month, beside each dotted stretch of its path. */
function hiddenNames(
  paths: readonly SunPath[],
  place: (azimuth_deg: number, elevation_deg: number) => Point,
  inside: (azimuth_deg: number) => boolean,
  visible: (s: SunPath['samples'][number]) => boolean,
  frame: Frame,
  taken: Box[],
  figures: Figures,
): string[] {
  const samples = paths.find((p) => p.dark)?.samples ?? [];
  const runs: SunPath['samples'][] = [];
  let run: SunPath['samples'] = [];
  for (const s of samples) {
    if (s.elevation_deg > 0 && !visible(s)) run.push(s);
    else {
      if (run.length > 2) runs.push(run);
      run = [];
    }
  }
  return runs.flatMap((hidden) => {
    const middle = hidden[Math.floor(hidden.length / 2)]!;
    if (!inside(middle.azimuth_deg)) return [];
    const hours = hidden[hidden.length - 1]!.hour - hidden[0]!.hour + STEP_h;
    const text = `${figures.number(hours, 1)} h hidden`;
    const [mx, my] = place(middle.azimuth_deg, middle.elevation_deg);
    const wide = textWidth(text, 11);
    // Outside the arc: to the left in the morning, to the right in the evening.
    const left = clamp(middle.hour < 12 ? mx - wide - 9 : mx + 9, frame.left + 2, frame.right - wide);
    const cy = [my + 4, my + 18, my - 10, my + 32].find((y) =>
      free({ left, right: left + wide, top: y - 10, bottom: y + 3 }, taken),
    );
    if (cy === undefined) return [];
    taken.push({ left, right: left + wide, top: cy - 10, bottom: cy + 3 });
    return [label(left, cy, text, { class: 'sp-q sp-h sp-b' })];
  });
}

/** Mark of another perch: full disc in clear sight, half when grazing, ring when blocked. */
function sightMark(sight: Sight, cx: number, cy: number): string {
  const r = 5;
  const ring = element('circle', { cx, cy, r, class: 'sp-s-lake sp-f-paper', 'stroke-width': 2 });
  if (sight === 'blocked') return ring;
  if (sight === 'clear') return ring + element('circle', { cx, cy, r, class: 'sp-f-lake' });
  return ring + element('path', { d: `M${cx} ${cy - r}A${r} ${r} 0 0 0 ${cx} ${cy + r}Z`, class: 'sp-f-lake' });
}

function otherMarks(
  input: PanoramaInput,
  place: (azimuth_deg: number, elevation_deg: number) => Point,
  inside: (azimuth_deg: number) => boolean,
  frame: Frame,
  taken: Box[],
  narrow: boolean,
  figures: Figures,
): string[] {
  const seen = input.others
    .filter((o) => inside(o.azimuth_deg))
    .map((o) => ({ ...o, at: place(o.azimuth_deg, clamp(o.elevation_deg, -89, 89)) }))
    .sort((a, b) => b.at[1] - a.at[1]);
  const marks: string[] = [];
  const names: string[] = [];
  for (const o of seen) {
    const [cx, cy] = o.at;
    taken.push({ left: cx - 7, right: cx + 7, top: cy - 7, bottom: cy + 7 });
  }
  for (const o of seen) {
    const [cx, cy] = o.at;
    const sign = o.margin_dB >= 0 ? '+' : '−';
    const away = figures.distance.shown(o.distance_km);
    const told = `${figures.number(away, away < 10 ? 1 : 0)} ${figures.distance.symbol}, ${sign}${figures.number(Math.abs(o.margin_dB))} dB`;
    const lines = narrow ? [o.name, told] : [`${o.name}, ${told}`];
    const wide = Math.max(...lines.map((t) => textWidth(t, 11)));
    const high = 13 * lines.length;
    // Above the mark, below it, then ever higher, shifted to one side or the other, until there is room.
    let found: { left: number; top: number } | undefined;
    for (const rise of RISES) {
      if (found !== undefined) break;
      for (const shift of [-0.5, 0, -1, -0.25, -0.75]) {
        const left = clamp(cx + shift * wide, frame.left + 2, frame.right - wide);
        const top = cy - rise - high;
        if (
          top > frame.top &&
          top + high < frame.bottom &&
          free({ left: left - 3, right: left + wide + 3, top, bottom: top + high }, taken)
        ) {
          found = { left, top };
          break;
        }
      }
    }
    const { left, top } = found ?? { left: clamp(cx - wide / 2, frame.left, frame.right - wide), top: cy + 10 };
    taken.push({ left: left - 3, right: left + wide + 3, top, bottom: top + high });
    if (found !== undefined)
      marks.push(
        line(cx, cy, clamp(cx, left, left + wide), top > cy ? top : top + high, 'sp-s-lake', { 'stroke-width': 1 }),
      );
    marks.push(sightMark(o.sight, cx, cy));
    lines.forEach((text, i) => {
      names.push(label(left, top + 10 + 13 * i, text, { class: `sp-q sp-h${i === 0 && narrow ? ' sp-b' : ''}` }));
    });
  }
  return [...marks, ...names];
}

/** Tones of the ridges with their distances, and the marks of the others. */
function ridgeKey(input: PanoramaInput, left: number, top: number, width: number, figures: Figures): string[] {
  const out: string[] = [];
  const { layers } = input;
  const narrow = width < NARROW;
  const cell = Math.min(46, (narrow ? width - left - 8 : 340) / Math.max(1, layers.length));
  layers.forEach(({ to_km }, k) => {
    const tone = toneOf(k, layers.length);
    const at = { class: 'sp-f-lake', 'fill-opacity': 0.1 + 0.22 * (1 - Math.abs(tone - 0.4)) };
    const far = Math.round(10 * figures.distance.shown(to_km)) / 10;
    out.push(
      rect(left + k * cell, top, cell, 10, at),
      rect(left + k * cell, top, cell, 10, { class: 'sp-f-ink', 'fill-opacity': 0.42 * tone * tone }),
      label(left + (k + 1) * cell, top + 22, figures.number(far, Number.isInteger(far) ? 0 : 1), {
        'text-anchor': 'end',
        class: 'sp-q',
      }),
    );
  });
  out.push(label(left, top - 5, `ridges up to, ${figures.distance.symbol}`, { class: 'sp-q' }));
  if (input.others.length > 0) {
    let cx = narrow ? left + 6 : left + layers.length * cell + 40;
    const cy = narrow ? top + 36 : top + 5;
    for (const sight of ['clear', 'grazing', 'blocked'] as const) {
      out.push(sightMark(sight, cx, cy), label(cx + 10, cy + 4, SIGNS[sight], { class: 'sp-q' }));
      cx += 26 + textWidth(SIGNS[sight], 11);
    }
  }
  return out;
}

/** Hours of sun a day, month by month: what the skyline leaves, and hatched what it takes. */
function monthStrip(
  input: PanoramaInput,
  left: number,
  top: number,
  width: number,
  lost: string,
  figures: Figures,
): string[] {
  const out = [
    label(
      0,
      top,
      width < 400
        ? 'sun, h a day in mid-month; hatched: hidden'
        : 'sun, hours a day in mid-month: seen, and hidden by the skyline (hatched)',
      { class: 'sp-q' },
    ),
  ];
  const high = 56;
  const base = top + 14 + high;
  const y = linearScale(
    [
      0,
      Math.max(
        12,
        finiteMax(
          input.months.map((m) => m.open_h),
          12,
        ),
      ),
    ],
    [base, base - high],
  );
  const cell = width / 12;
  for (const { month, open_h, visible_h } of input.months) {
    const x0 = left + (month - 1) * cell + 2;
    const wide = cell - 4;
    out.push(
      rect(x0, y(visible_h), wide, base - y(visible_h), { class: 'sp-f-sun' }),
      open_h - visible_h > 0.02
        ? rect(x0, y(open_h), wide, y(visible_h) - y(open_h), { fill: `url(#${lost})` }) +
            rect(x0, y(open_h), wide, y(visible_h) - y(open_h), { class: 'sp-s-dusk', 'stroke-width': 0.8 })
        : '',
      label(x0 + wide / 2, base + 14, width < 400 ? shortMonth(month).slice(0, 1) : shortMonth(month), {
        'text-anchor': 'middle',
        class: `sp-q${month === input.darkestMonth ? ' sp-b' : ''}`,
      }),
      label(x0 + wide / 2, base + 27, figures.number(visible_h, width < 400 ? 0 : 1), {
        'text-anchor': 'middle',
        class: 'sp-q',
      }),
    );
  }
  out.push(line(left, base, left + width, base, 'sp-s-ink'));
  return out;
}

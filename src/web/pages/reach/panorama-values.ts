/** What the panorama says at a direction, and where a direction lies in it. */
import { skylineAt_deg } from '../../../app/skyline.ts';
import { MONTH_START } from '../../../core/units/index.ts';
import { type Figures, monthName, type PanoramaPanel } from '../../../report/index.ts';
import type { PanoramaView, SeenOther } from '../../compute/panorama-messages.ts';
import type { CsvRows } from '../../parts/csv.ts';

const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'];
/** Another perch is named when the direction is within this of it. */
const NEAR_deg = 2;

/** State of the way to another perch, by word and shape. */
export const SIGHT_WORDS: Readonly<Record<SeenOther['sight'], string>> = {
  clear: 'in sight ●',
  grazing: 'grazing ◐',
  blocked: 'blocked ○',
};

const turned = (azimuth_deg: number) => ((azimuth_deg % 360) + 360) % 360;
/** -180..180. */
const between = (a_deg: number, b_deg: number) => turned(a_deg - b_deg + 180) - 180;

/** Direction at a point of the drawing, from true north; null outside the sky. */
export function azimuthAt(panels: readonly PanoramaPanel[], x: number, y: number): number | null {
  // Names of directions below the frame belong to it.
  const found = panels.find(({ frame }) => y >= frame.top - 10 && y <= frame.bottom + 22);
  if (found === undefined) return null;
  const { frame, middle_deg, half_deg } = found;
  const share = (x - frame.left) / (frame.right - frame.left);
  return share < 0 || share > 1 ? null : turned(middle_deg + (2 * share - 1) * half_deg);
}

/** Where a direction stands in the drawing: at the outer edge of two halves it stands in both. */
export function placesOf(
  panels: readonly PanoramaPanel[],
  azimuth_deg: number,
): { readonly x: number; readonly top: number; readonly bottom: number }[] {
  return panels.flatMap(({ frame, middle_deg, half_deg }) => {
    const off = between(azimuth_deg, middle_deg);
    if (Math.abs(off) > half_deg) return [];
    const x = frame.left + ((off + half_deg) / (2 * half_deg)) * (frame.right - frame.left);
    return [{ x, top: frame.top, bottom: frame.bottom }];
  });
}

export const distanceText = (km: number, figures: Figures): string => {
  const shown = figures.distance.shown(km);
  return `${figures.number(shown, shown < 10 ? 1 : 0)} ${figures.distance.symbol}`;
};
const heightText = (m: number, figures: Figures) =>
  `${figures.number(figures.height.shown(m))} ${figures.height.symbol}`;

export const signed = (value: number, figures: Figures): string =>
  `${value >= 0 ? '+' : '−'}${figures.number(Math.abs(value))}`;

/** `S 182°`. */
export const directionText = (azimuth_deg: number, figures: Figures): string =>
  `${COMPASS[Math.round(azimuth_deg / 45) % 8]} ${figures.number(Math.round(azimuth_deg) % 360)}°`;

/** `S 182°: skyline 12.3° at 2.4 km, 1,850 m above the sea; Hut Kaldra in sight ●, 4.1 km, +12 dB`. */
export function readoutOf(view: PanoramaView, azimuth_deg: number, figures: Figures): string {
  const { picture, ridge_km, ridge_m, others } = view;
  const at = Math.round((turned(azimuth_deg) / 360) * ridge_km.length) % ridge_km.length;
  const skyline = Number.isNaN(ridge_km[at]!)
    ? 'no ground is known'
    : `skyline ${figures.number(skylineAt_deg(picture.skyline_deg, azimuth_deg), 1)}° at ${distanceText(ridge_km[at]!, figures)}, ${heightText(ridge_m[at]!, figures)} above the sea`;
  const near = others
    .filter((o) => Math.abs(between(o.azimuth_deg, azimuth_deg)) <= NEAR_deg)
    .map(
      (o) =>
        `${o.name} ${SIGHT_WORDS[o.sight]}, ${distanceText(o.distance_km, figures)}, ${signed(o.margin_dB, figures)} dB`,
    );
  return [`${directionText(azimuth_deg, figures)}: ${skyline}`, ...near].join('; ');
}

/** Day of the year from 0, and back. */
export const dayOfYear = (month: number, date: number): number => MONTH_START[month - 1]! + date - 1;
export function dateOf(day: number): { readonly month: number; readonly date: number } {
  const month = MONTH_START.findLastIndex((start, m) => m < 12 && start <= day) + 1;
  return { month, date: day - MONTH_START[month - 1]! + 1 };
}

/** What a day's sun is worth, in a sentence. */
export function daySentence(view: PanoramaView, figures: Figures): string {
  const { month, date, open_h, visible_h } = view.day;
  const day = figures.day(dayOfYear(month, date));
  if (open_h === 0) return `On ${day} the sun does not rise.`;
  const lost = open_h - visible_h;
  return lost < 0.05
    ? `On ${day} the sun is up ${figures.number(open_h, 1)} h, and the skyline takes none of it.`
    : `On ${day} the sun is up ${figures.number(open_h, 1)} h; ${figures.number(visible_h, 1)} h are seen, ${figures.number(lost, 1)} h are hidden.`;
}

/** Light on the panel in the darkest month against what it is as saved. */
export function lightSentence(now: number, saved: number, month: number, figures: Figures): string {
  const said = `In ${monthName(month)} ${figures.number(now, 2)} kWh/m² a day reach the panel`;
  const change = saved > 0 ? (100 * (now - saved)) / saved : 0;
  if (Math.abs(change) < 0.5) return `${said}, as it stands now.`;
  return `${said}; ${figures.number(saved, 2)} as it stands now: ${figures.number(Math.abs(change))} % ${change > 0 ? 'more' : 'less'}.`;
}

/** The skyline by azimuth, and the other perches below it. */
export function panoramaCsv(view: PanoramaView): CsvRows {
  const { picture, ridge_km, ridge_m } = view;
  const n = picture.skyline_deg.length;
  return [
    ['what', 'azimuth_deg', 'elevation_deg', 'distance_km', 'height_m', 'sight', 'margin_dB'],
    ...Array.from(picture.skyline_deg, (e, i) => [
      'skyline',
      (360 * i) / n,
      Number.isNaN(ridge_km[i]!) ? null : e,
      ridge_km[i]!,
      ridge_m[i]!,
      null,
      null,
    ]),
    ...view.others.map((o) => [o.name, o.azimuth_deg, o.elevation_deg, o.distance_km, null, o.sight, o.margin_dB]),
  ];
}

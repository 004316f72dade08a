/** World map of where a kit holds, told by word, shape and colour. */

import { FIGURES, type Figures } from './figures.ts';
import { LAND_PATH, LAND_STEPS_PER_deg } from './land.ts';
import { element, escapeText, label, line, type PictureOptions, picture, rect, safeId } from './svg.ts';

export type WhereVerdict = 'holds' | 'one more cell' | 'bigger panel' | 'cannot';

export interface WherePlace {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly verdict: WhereVerdict;
}

export const WHERE_VERDICTS: readonly WhereVerdict[] = ['holds', 'one more cell', 'bigger panel', 'cannot'];

const NORTH_deg = 80;
const SOUTH_deg = -58;

/** How many places of each verdict, in a sentence. */
export function whereSentence(places: readonly WherePlace[], figures: Figures = FIGURES): string {
  if (places.length === 0) return 'No places were given.';
  const counts = WHERE_VERDICTS.map((v) => ({ v, n: places.filter((p) => p.verdict === v).length }));
  const [holds, ...others] = counts;
  const what = { 'one more cell': 'one more cell', 'bigger panel': 'a bigger panel' } as const;
  const told = others
    .filter((c) => c.n > 0)
    .map(({ v, n }) => (v === 'cannot' || v === 'holds' ? `cannot at ${n}` : `needs ${what[v]} at ${n}`));
  return `Holds at ${holds!.n} of ${places.length} places (${figures.percent(holds!.n / places.length)})${told.length > 0 ? `; ${told.join(', ')}` : ''}.`;
}

/** The shape of a verdict: full disc, disc with its lower half full, triangle, cross. Drawn about 0, 0. */
export function whereShape(verdict: WhereVerdict, x: number, y: number, radius: number, title?: string): string {
  const r = Math.round(radius * 100) / 100;
  const tip = title === undefined ? '' : element('title', {}, escapeText(title));
  const inner =
    verdict === 'holds'
      ? element('circle', { r, class: 'sp-f-lake' })
      : verdict === 'one more cell'
        ? element('circle', { r, class: 'sp-f-paper' }) +
          element('circle', { r, class: 'sp-s-lake', 'stroke-width': 1.5 }) +
          element('path', { d: `M${-r} 0A${r} ${r} 0 0 0 ${r} 0Z`, class: 'sp-f-lake' })
        : verdict === 'bigger panel'
          ? element('path', { d: `M0 ${-1.3 * r}L${1.2 * r} ${0.9 * r}H${-1.2 * r}Z`, class: 'sp-f-sun' })
          : element('path', {
              d: `M${-r} ${-r}L${r} ${r}M${-r} ${r}L${r} ${-r}`,
              class: 'sp-s-dusk',
              'stroke-width': 2.25,
            });
  return element('g', { transform: `translate(${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10})` }, [tip, inner]);
}

/** Where a place stands on the map, 0..1 from the left and from the top. */
export function wherePosition(p: Pick<WherePlace, 'latitude_deg' | 'longitude_deg'>): { x: number; y: number } {
  const lon = ((((p.longitude_deg + 180) % 360) + 360) % 360) - 180;
  const lat = Math.min(Math.max(p.latitude_deg, SOUTH_deg + 1), NORTH_deg - 1);
  return { x: (lon + 180) / 360, y: (NORTH_deg - lat) / (NORTH_deg - SOUTH_deg) };
}

/** Equirectangular map from 58° S to 80° N with a graticule; each place has its name as a tooltip. */
export function whereMap(places: readonly WherePlace[], options: PictureOptions = {}): string {
  const { width = 752, id = 'where', figures = FIGURES } = options;
  const narrow = width < 560;
  const perDeg = width / 360;
  const mapHeight = (NORTH_deg - SOUTH_deg) * perDeg;
  const height = mapHeight + (narrow ? 52 : 32);
  const x = (longitude: number) => (longitude + 180) * perDeg;
  const y = (latitude: number) => (NORTH_deg - latitude) * perDeg;
  const clip = `${safeId(id)}-clip`;
  const graticule: string[] = [];
  for (let lon = -150; lon <= 150; lon += 30)
    graticule.push(line(x(lon), 0, x(lon), mapHeight, 'sp-s-hairline', { 'stroke-width': 0.75 }));
  for (let lat = -30; lat <= 60; lat += 30)
    graticule.push(line(0, y(lat), width, y(lat), 'sp-s-hairline', { 'stroke-width': 0.75 }));
  const latitudes = [60, 30, 0, -30].map((lat) =>
    label(4, y(lat) - 3, lat === 0 ? '0°' : `${Math.abs(lat)}° ${lat > 0 ? 'N' : 'S'}`, { class: 'sp-q' }),
  );
  const shown = places.filter((p) => Math.abs(p.latitude_deg) <= 90 && Number.isFinite(p.longitude_deg));
  // Those that hold first, so that the others lie on top.
  const marks = WHERE_VERDICTS.flatMap((verdict) =>
    shown
      .filter((p) => p.verdict === verdict)
      .map((p) => {
        const at = wherePosition(p);
        return whereShape(verdict, at.x * width, at.y * mapHeight, narrow ? 3 : 4.5, `${p.name}: ${p.verdict}`);
      }),
  );
  const scale = perDeg / LAND_STEPS_PER_deg;
  const body = [
    element('defs', {}, element('clipPath', { id: clip }, rect(0, 0, width, mapHeight))),
    element('g', { 'clip-path': `url(#${clip})` }, [
      ...graticule,
      element('path', {
        d: LAND_PATH,
        transform: `matrix(${scale} 0 0 ${scale} ${x(0)} ${y(0)})`,
        class: 'sp-f-ink',
        'fill-opacity': 0.16,
      }),
    ]),
    rect(0.5, 0.5, width - 1, mapHeight - 1, { class: 'sp-s-hairline' }),
    ...latitudes,
    ...marks,
    ...key(shown, mapHeight + 20, narrow, figures),
  ];
  return picture({
    id,
    width,
    height,
    title: 'Where the kit holds',
    description: whereSentence(places, figures),
    body,
    standalone: options.standalone ?? true,
  });
}

function key(places: readonly WherePlace[], y: number, narrow: boolean, figures: Figures): string[] {
  return WHERE_VERDICTS.flatMap((verdict, i) => {
    const count = places.filter((p) => p.verdict === verdict).length;
    const x = narrow ? 8 + (i % 2) * 176 : 8 + i * 176;
    const at = narrow ? y + Math.floor(i / 2) * 20 : y;
    return [whereShape(verdict, x, at - 4, 4.5), label(x + 12, at, `${verdict}: ${figures.number(count)}`)];
  });
}

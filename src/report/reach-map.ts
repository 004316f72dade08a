/** The coverage on a page: its picture, and over it the perch, the named places and a bar of length; below it the key. */

import { type Box, placeName } from './name-places.ts';
import { FULL_dB, marginColour } from './reach-image.ts';
import { niceStep } from './scale.ts';
import { element, label, line, picture, rect, safeId, textWidth } from './svg.ts';

/** A named place on the map; its number is that of its row in the table. */
export interface MapPlace {
  readonly name: string;
  /** Share of the picture's width from its left, and of its height from its top. */
  readonly x: number;
  readonly y: number;
  readonly reached: boolean;
}

export interface ReachMap {
  readonly perch: string;
  /** PNG file of the square map, in base64. */
  readonly png_base64: string;
  /** From the middle of the picture to its edge, and to the circle of the radius. */
  readonly span_km: number;
  readonly radius_km: number;
  readonly places: readonly MapPlace[];
}

/** What the map says to those who do not see it. */
export function reachMapSentence(map: ReachMap): string {
  const names = (reached: boolean) => map.places.filter((p) => p.reached === reached).map((p) => p.name);
  const told = (what: string, list: readonly string[]) => (list.length === 0 ? '' : ` ${what}: ${list.join(', ')}.`);
  return `Margin on the ground within ${map.radius_km} km of ${map.perch}, north up.${told('Reached', names(true))}${told('Not reached', names(false))}`;
}

/** Perch, places, circle and bar; the names stand where there is room for them, on narrow screens numbers. */
function overlay(map: ReachMap, width: number, id: string): string {
  const narrow = width < 560;
  const middle = width / 2;
  const perKm = middle / map.span_km;
  const taken: Box[] = [{ left: middle - 7, right: middle + 7, top: middle - 7, bottom: middle + 7 }];
  const marks: string[] = [];
  const names: string[] = [];
  const spots = map.places.map((p) => ({ ...p, cx: p.x * width, cy: p.y * width }));
  for (const { cx, cy } of spots) taken.push({ left: cx - 6, right: cx + 6, top: cy - 6, bottom: cy + 6 });
  const bar_km = niceStep(map.radius_km, 3);
  const bar = bar_km * perKm;
  taken.push({ left: 0, right: bar + 24, top: width - 36, bottom: width });
  const write = (text: string, cx: number, cy: number, bold: boolean): boolean => {
    const at = placeName({ wide: textWidth(text, 12), tall: 14 }, cx, cy, width, taken);
    if (at === undefined) return false;
    names.push(label(at.left, at.top + 11, text, { class: bold ? 'sp-h sp-b' : 'sp-h' }));
    return true;
  };
  if (!narrow) write(map.perch, middle, middle, true);
  spots.forEach(({ name, cx, cy, reached }, i) => {
    marks.push(
      element('circle', { cx, cy, r: 6.5, class: 'sp-f-paper' }),
      element('circle', { cx, cy, r: 4, class: reached ? 'sp-f-ink sp-s-ink' : 'sp-s-ink', 'stroke-width': 2 }),
    );
    if (narrow || !write(name, cx, cy, false)) write(String(i + 1), cx, cy, false);
  });
  const y = width - 12;
  return picture({
    id,
    width,
    height: width,
    title: `Whom ${map.perch} reaches`,
    description: reachMapSentence(map),
    standalone: false,
    body: [
      element('circle', { cx: middle, cy: middle, r: map.radius_km * perKm, class: 'sp-s-ink', 'stroke-width': 1 }),
      ...marks,
      element('circle', { cx: middle, cy: middle, r: 8, class: 'sp-f-paper sp-s-ink', 'stroke-width': 2 }),
      element('circle', { cx: middle, cy: middle, r: 4, class: 'sp-f-lake' }),
      ...names,
      rect(10, y - 24, Math.max(bar, textWidth(`${bar_km} km`)) + 8, 32, { class: 'sp-f-paper', 'fill-opacity': 0.85 }),
      line(14, y, 14 + bar, y, 'sp-s-ink', { 'stroke-width': 2 }),
      line(14, y - 6, 14, y + 1, 'sp-s-ink', { 'stroke-width': 2 }),
      line(14 + bar, y - 6, 14 + bar, y + 1, 'sp-s-ink', { 'stroke-width': 2 }),
      label(14, y - 10, `${bar_km} km`),
    ],
  });
}

/** Scale of the margin, and what solid, striped, grey and dotted ground and the marks mean. */
function mapKey(width: number, id: string): string {
  const narrow = width < 560;
  const long = narrow ? width - 20 : 300;
  const ramp = safeId(`${id}-ramp`);
  const stripes = safeId(`${id}-stripes`);
  const grey = { class: 'sp-f-ink', 'fill-opacity': 0.22 };
  const sight = marginColour(27);
  const swatches: [string, (x: number, y: number) => string][] = [
    ['reached in sight', (x, y) => rect(x, y, 26, 14, { fill: sight })],
    ['reached over edges', (x, y) => rect(x, y, 26, 14, grey) + rect(x, y, 26, 14, { fill: `url(#${stripes})` })],
    ['not reached', (x, y) => rect(x, y, 26, 14, grey)],
    [
      'not known',
      (x, y) =>
        rect(x, y, 26, 14, { class: 'sp-s-hairline' }) +
        [4, 9, 14, 19].map((dx) => element('circle', { cx: x + dx + 1, cy: y + 7, r: 1, class: 'sp-f-ink' })).join(''),
    ],
    ['place reached', (x, y) => element('circle', { cx: x + 13, cy: y + 7, r: 4, class: 'sp-f-ink' })],
    [
      'place not reached',
      (x, y) => element('circle', { cx: x + 13, cy: y + 7, r: 4, class: 'sp-s-ink', 'stroke-width': 2 }),
    ],
  ];
  const x0 = narrow ? 4 : long + 50;
  const y0 = narrow ? 62 : 8;
  const column = narrow ? width / 2 : (width - x0) / 2;
  const ticks = [0, 10, 20, 30, FULL_dB];
  return picture({
    id,
    width,
    height: y0 + 3 * 22 + 4,
    title: 'Key of the map',
    description: `Colour tells the margin from 0 to ${FULL_dB} dB and more; solid in sight, striped over edges, grey not reached.`,
    standalone: false,
    body: [
      element('defs', {}, [
        element(
          'linearGradient',
          { id: ramp },
          Array.from({ length: 11 }, (_, i) =>
            element('stop', { offset: i / 10, 'stop-color': marginColour((i / 10) * FULL_dB) }),
          ),
        ),
        element(
          'pattern',
          { id: stripes, width: 5, height: 5, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
          rect(0, 0, 2.5, 5, { fill: sight }),
        ),
      ]),
      label(4, 12, 'margin, dB', { class: 'sp-q' }),
      rect(4, 18, long, 14, { fill: `url(#${ramp})` }),
      ...ticks.map((t) =>
        label(4 + (t / FULL_dB) * long, 47, t === FULL_dB ? `${t} or more` : String(t), {
          class: 'sp-q',
          'text-anchor': t === 0 ? 'start' : t === FULL_dB ? 'end' : 'middle',
        }),
      ),
      ...swatches.map(([text, draw], i) => {
        const x = x0 + Math.floor(i / 3) * column;
        const y = y0 + (i % 3) * 22;
        return draw(x, y) + label(x + 34, y + 11, text, { class: 'sp-q' });
      }),
    ],
  });
}

/** Map with its key, for wide and for narrow screens; the picture itself stands in the page once. */
export function reachMapFigure(map: ReachMap, widths: { readonly wide: number; readonly narrow: number }): string {
  if (!/^[A-Za-z0-9+/=]+$/.test(map.png_base64)) throw new RangeError('the picture of the map is not base64');
  const twice = (draw: (width: number, id: string) => string, id: string) =>
    `<div class="wide">${draw(widths.wide, id)}</div><div class="narrow">${draw(widths.narrow, `${id}-narrow`)}</div>`;
  return `<figure><div class="map"><img alt="" width="${widths.wide}" height="${widths.wide}" src="data:image/png;base64,${map.png_base64}"/>${twice((w, id) => overlay(map, w, id), 'map-places')}</div>${twice(mapKey, 'map-key')}</figure>`;
}

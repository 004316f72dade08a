/** The map itself: hillshade, coverage and marks by leaflet, told what to show and telling what the hand does. */
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { escapeText } from '../../../report/index.ts';
import type { GeoBox } from '../../../server/api.ts';
import { type Spot, stepped, turnedLongitude_deg } from '../../state/reach.ts';
import { freeLabels, MARK_px, type Mark, markHtml, markLabel } from './marks.ts';

export interface ShownMark extends Mark {
  readonly id: string;
  readonly at: Spot;
  readonly movable: boolean;
}

export interface Overlay {
  readonly png: string;
  readonly box: GeoBox;
}

/** An outline with a word at its widest place. */
export interface Outline {
  readonly word: string;
  readonly className: string;
  /** Rings of longitude and latitude; the first is the outer one. */
  readonly rings: readonly (readonly (readonly [number, number, ...number[]])[])[];
}

export interface MapEvents {
  /** A mark is taken by hand or key, before its first move. */
  readonly onGrab: (id: string) => void;
  readonly onMove: (id: string, at: Spot) => void;
  readonly onDrop: (id: string) => void;
  readonly onChoose: (id: string) => void;
  readonly onPick: (at: Spot) => void;
  /** The place under the pointer, or in the middle of the map while the keys move it; null: none. */
  readonly onPoint: (at: Spot | null, byKey: boolean) => void;
}

export interface ShownMap {
  marks(list: readonly ShownMark[]): void;
  coverage(overlay: Overlay | null): void;
  opacity(value: number): void;
  outlines(list: readonly Outline[]): void;
  circle(at: Spot | null, radius_km: number): void;
  line(ends: readonly [Spot, Spot] | null): void;
  fit(box: GeoBox): void;
  middle(): Spot;
  zoom(by: number): void;
  /** After the element has changed its size. */
  resize(): void;
  remove(): void;
}

const ZOOM = { least: 6, most: 16 };
const STEP_m: Readonly<Record<string, readonly [north: number, east: number]>> = {
  ArrowUp: [10, 0],
  ArrowDown: [-10, 0],
  ArrowLeft: [0, -10],
  ArrowRight: [0, 10],
};
const MANY = 10;

const meet = (a: DOMRect, b: DOMRect) =>
  a.width > 0 && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
const spotOf = ({ lat, lng }: L.LatLng): Spot => ({ latitude_deg: lat, longitude_deg: turnedLongitude_deg(lng) });
const latLng = ({ latitude_deg, longitude_deg }: Spot) => L.latLng(latitude_deg, longitude_deg);
const bounds = (b: GeoBox) => L.latLngBounds([b.south_deg, b.west_deg], [b.north_deg, b.east_deg]);
/** Bounds of a circle on the map. */
const around = (at: Spot, radius_km: number) => latLng(at).toBounds(2000 * radius_km);

export function makeMap(
  element: HTMLElement,
  terrain: { readonly name: string; readonly box: GeoBox | null },
  start: { readonly at: Spot; readonly radius_km: number; readonly imperial: boolean },
  events: MapEvents,
): ShownMap {
  const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
  const map = L.map(element, {
    zoomControl: false,
    attributionControl: false,
    minZoom: ZOOM.least,
    maxZoom: ZOOM.most,
    zoomAnimation: !still,
    fadeAnimation: false,
    markerZoomAnimation: !still,
    // Half steps, so that the circle fills the frame.
    zoomSnap: 0.5,
    zoomDelta: 0.5,
  });
  L.control
    .attribution({ prefix: false })
    .addAttribution(`Terrain: ${escapeText(terrain.name)}`)
    .addTo(map);
  L.control.scale({ imperial: start.imperial, metric: !start.imperial, position: 'bottomleft' }).addTo(map);
  L.tileLayer('/api/terrain/shade/{z}/{x}/{y}', {
    minZoom: ZOOM.least,
    maxZoom: ZOOM.most,
    className: 'shade',
    ...(terrain.box === null ? {} : { bounds: bounds(terrain.box) }),
  }).addTo(map);
  map.fitBounds(around(start.at, start.radius_km), { animate: false });

  let image: L.ImageOverlay | undefined;
  let shownPng = '';
  let opacity = 0.7;
  let ring: L.Circle | undefined;
  let outlines: L.LayerGroup | undefined;
  let way: L.Polyline | undefined;
  const marks = new Map<string, { readonly marker: L.Marker; shown: ShownMark; html: string; dragged: boolean }>();

  map.on('click', (event) => events.onPick(spotOf(event.latlng)));
  map.on('mousemove', (event) => events.onPoint(spotOf(event.latlng), false));
  map.on('mouseout', () => events.onPoint(null, false));
  // A press gives the map the focus too; its middle is read only where keys are at work.
  let pressed = false;
  const byKey = () => {
    if (document.activeElement === element && !pressed) events.onPoint(spotOf(map.getCenter()), true);
  };
  map.on('moveend', byKey);
  element.addEventListener('focus', byKey);
  element.addEventListener(
    'pointerdown',
    () => {
      pressed = true;
    },
    { capture: true },
  );
  element.addEventListener('blur', () => {
    pressed = false;
    events.onPoint(null, true);
  });
  element.addEventListener('keydown', (event) => {
    pressed = false;
    if (event.target !== element || event.key !== 'Enter') return;
    event.preventDefault();
    events.onPick(spotOf(map.getCenter()));
  });

  /** Writes the names that have room; the perch in hand first. */
  const writeNames = () => {
    const all = [...marks.values()].sort(
      (a, b) => Number(b.shown.state === 'in hand') - Number(a.shown.state === 'in hand'),
    );
    const names = all.map(({ marker }) => marker.getElement()?.querySelector<HTMLElement>('.mark-name') ?? null);
    for (const name of names) name?.classList.remove('hidden');
    const boxes = names.map((name) => name?.getBoundingClientRect() ?? new DOMRect());
    const free = freeLabels(boxes);
    names.forEach((name, i) => {
      name?.classList.toggle('hidden', !free[i]);
    });
    const taken = boxes.filter((_, i) => free[i]);
    for (const { marker } of all) taken.push(marker.getElement()?.getBoundingClientRect() ?? new DOMRect());
    writeWords(taken);
  };
  map.on('zoomend', writeNames);
  /** Words of outlines that have room for them, within and beside the marks. */
  const writeWords = (taken: readonly DOMRect[]) =>
    outlines?.eachLayer((layer) => {
      if (!(layer instanceof L.Polygon)) return;
      const box = layer.getBounds();
      const [a, b] = [map.latLngToLayerPoint(box.getNorthWest()), map.latLngToLayerPoint(box.getSouthEast())];
      const word = layer.getTooltip()?.getElement();
      if (word === undefined) return;
      const own = word.getBoundingClientRect();
      const small = b.x - a.x < own.width || b.y - a.y < own.height;
      word.classList.toggle('hidden', small || taken.some((box) => meet(box, own)));
    });

  const iconOf = (mark: ShownMark) =>
    L.divIcon({
      className: `mark ${mark.kind} ${mark.state.replaceAll(' ', '-')}`,
      html: markHtml(mark),
      iconSize: [MARK_px, MARK_px],
      iconAnchor: [MARK_px / 2, MARK_px / 2],
    });
  const dress = (id: string) => {
    const entry = marks.get(id);
    const node = entry?.marker.getElement();
    if (!entry || !node) return;
    node.setAttribute('aria-label', markLabel(entry.shown, entry.shown.movable));
    node.setAttribute('role', 'button');
    node.dataset['mark'] = id;
  };
  const add = (mark: ShownMark) => {
    const marker = L.marker(latLng(mark.at), {
      icon: iconOf(mark),
      draggable: mark.movable,
      keyboard: mark.kind !== 'point',
      autoPanOnFocus: false,
      riseOnHover: true,
      zIndexOffset: mark.state === 'in hand' ? 1000 : 0,
    });
    const entry = { marker, shown: mark, html: markHtml(mark), dragged: false };
    marks.set(mark.id, entry);
    marker.on('dragstart', () => {
      entry.dragged = true;
      events.onGrab(mark.id);
    });
    marker.on('drag', () => events.onMove(mark.id, spotOf(marker.getLatLng())));
    marker.on('dragend', () => {
      entry.dragged = false;
      events.onDrop(mark.id);
    });
    marker.on('click', () => events.onChoose(mark.id));
    marker.on('add', () => {
      const node = marker.getElement();
      let moves = false;
      node?.addEventListener('keydown', (event) => {
        const step = STEP_m[event.key];
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          event.stopPropagation();
          events.onChoose(mark.id);
        } else if (step !== undefined && entry.shown.movable) {
          event.preventDefault();
          event.stopPropagation();
          const far = event.shiftKey ? MANY : 1;
          if (!moves) events.onGrab(mark.id);
          moves = true;
          const to = stepped(spotOf(marker.getLatLng()), step[0] * far, step[1] * far);
          marker.setLatLng(latLng(to));
          events.onMove(mark.id, to);
          if (!map.getBounds().pad(-0.05).contains(latLng(to))) map.panTo(latLng(to), { animate: false });
        }
      });
      node?.addEventListener('blur', () => {
        if (moves) events.onDrop(mark.id);
        moves = false;
      });
    });
    marker.addTo(map);
    dress(mark.id);
  };

  return {
    marks(list) {
      const wanted = new Set(list.map((m) => m.id));
      for (const [id, { marker }] of marks)
        if (!wanted.has(id)) {
          marker.remove();
          marks.delete(id);
        }
      for (const mark of list) {
        const entry = marks.get(mark.id);
        if (entry === undefined || entry.shown.movable !== mark.movable) {
          entry?.marker.remove();
          add(mark);
          continue;
        }
        const html = markHtml(mark);
        const redrawn = entry.html !== html || entry.shown.state !== mark.state;
        entry.shown = mark;
        if (!entry.dragged) entry.marker.setLatLng(latLng(mark.at));
        if (redrawn && !entry.dragged) {
          // The element stays, so that focus and a finger on it stay too.
          const node = entry.marker.getElement();
          if (node) {
            for (const name of [...node.classList]) if (!name.startsWith('leaflet')) node.classList.remove(name);
            node.classList.add('mark', mark.kind, mark.state.replaceAll(' ', '-'));
            node.innerHTML = html;
          }
          entry.html = html;
          entry.marker.setZIndexOffset(mark.state === 'in hand' ? 1000 : 0);
        }
        dress(mark.id);
      }
      writeNames();
    },
    coverage(overlay) {
      if (overlay === null) {
        image?.remove();
        image = undefined;
        shownPng = '';
        return;
      }
      if (overlay.png === shownPng) return;
      shownPng = overlay.png;
      const next = L.imageOverlay(overlay.png, bounds(overlay.box), { opacity, className: 'reach-image', alt: '' });
      const before = image;
      image = next;
      // The old one goes when the new one is there: no flicker under a moving hand.
      next.on('load error', () => before?.remove());
      next.addTo(map);
    },
    opacity(value) {
      opacity = value;
      image?.setOpacity(value);
    },
    outlines(list) {
      outlines?.remove();
      outlines = undefined;
      if (list.length === 0) return;
      outlines = L.layerGroup(
        list.map(({ rings, word, className }) => {
          const shape = L.polygon(
            rings.map((points) => points.map(([x, y]) => L.latLng(y, x))),
            { className: `cover-outline ${className}`, fill: false, interactive: false, smoothFactor: 0.5 },
          );
          return shape.bindTooltip(escapeText(word), {
            permanent: true,
            direction: 'center',
            className: 'cover-word',
            interactive: false,
          });
        }),
      ).addTo(map);
      writeNames();
    },
    circle(at, radius_km) {
      ring?.remove();
      ring = undefined;
      if (at === null) return;
      ring = L.circle(latLng(at), {
        radius: 1000 * radius_km,
        className: 'reach-circle',
        fill: false,
        interactive: false,
      }).addTo(map);
    },
    line(ends) {
      way?.remove();
      way = undefined;
      if (ends === null) return;
      way = L.polyline(ends.map(latLng), { className: 'reach-line', interactive: false }).addTo(map);
    },
    fit: (box) => map.fitBounds(bounds(box)),
    middle: () => spotOf(map.getCenter()),
    zoom: (by) => map.setZoom(map.getZoom() + by),
    resize: () => map.invalidateSize({ animate: false }),
    remove: () => map.remove(),
  };
}

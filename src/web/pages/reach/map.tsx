/** The map: ground, coverage, perches to be moved, and what stands under the pointer. */
import { batch } from '@preact/signals';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { CoverFile } from '../../../app/cover-file.ts';
import { getHeight } from '../../api/client.ts';
import { go, reachOf, stay } from '../../routes.ts';
import { cover } from '../../state/around.ts';
import { coverage } from '../../state/coverage.ts';
import * as design from '../../state/design.ts';
import { terrain } from '../../state/ground.ts';
import { links } from '../../state/links.ts';
import { notify } from '../../state/notices.ts';
import {
  candidates,
  endMove,
  moveTo,
  opacity,
  picked,
  places,
  reachSettings,
  type Spot,
  sectionEnd,
  spotNow,
} from '../../state/reach.ts';
import { settings } from '../../state/settings.ts';
import { loadRecord } from '../../state/workshop.ts';
import { type Field, fieldOf } from './field.ts';
import { classOf } from './ground-cover.tsx';
import { makeMap, type Outline, type ShownMap, type ShownMark } from './leaflet-map.ts';
import { MapKey } from './legend.tsx';
import { otherPerches, perchKey, stateOfLink } from './other-perches.ts';
import { PickedLine } from './picked.tsx';
import { reader } from './reader.ts';
import { sectionLine } from './section-ends.ts';
import { valuesText } from './values.ts';
import { lengthText } from './words.ts';

/** A place that the map begins with where nothing has a position: the middle of the terrain. */
function middleOfTerrain(): Spot {
  const box = terrain.value?.box;
  return box
    ? { latitude_deg: (box.south_deg + box.north_deg) / 2, longitude_deg: (box.west_deg + box.east_deg) / 2 }
    : { latitude_deg: 0, longitude_deg: 0 };
}

export function ReachMap() {
  const element = useRef<HTMLDivElement>(null);
  const map = useRef<ShownMap | null>(null);
  const [pointed, setPointed] = useState<{ readonly at: Spot; readonly byKey: boolean } | null>(null);
  const here = spotNow.value;
  const marks = shownMarks();
  const found = coverage.value;
  const field = useMemo(() => (found === null ? null : fieldOf(found.answer.picture)), [found]);
  const { radius_km } = reachSettings.value;

  useEffect(() => {
    const node = element.current;
    const ground = terrain.value;
    if (node === null || ground === null) return;
    const shown = makeMap(
      node,
      ground,
      { at: here ?? middleOfTerrain(), radius_km, imperial: settings.value.length === 'imperial' },
      {
        onGrab: (id) => void grab(id),
        onMove: (id, at) => moved(id, at),
        onDrop: (id) => dropped(id),
        onChoose: choose,
        onPick: (at) => {
          picked.value = at;
          sectionEnd.value = { kind: 'point', at };
        },
        onPoint: (at, byKey) => setPointed(at === null ? null : { at, byKey }),
      },
    );
    map.current = shown;
    const observer = new ResizeObserver(() => shown.resize());
    observer.observe(node);
    return () => {
      observer.disconnect();
      shown.remove();
      map.current = null;
    };
  }, [terrain.value?.name]);
  useEffect(() => map.current?.marks(marks), [marks]);
  useEffect(() => {
    map.current?.coverage(found === null ? null : { png: found.answer.picture.png, box: found.answer.picture.box });
  }, [found]);
  const stands = cover.value;
  useEffect(() => map.current?.outlines(stands === null ? [] : outlinesOf(stands)), [stands, terrain.value?.name]);
  useEffect(() => map.current?.opacity(opacity.value), [opacity.value]);
  useEffect(() => map.current?.circle(here, radius_km), [here?.latitude_deg, here?.longitude_deg, radius_km]);
  const line = sectionLine.value;
  useEffect(() => map.current?.line(line), [line]);
  // Another perch in hand: the map goes there.
  const perch = design.perchRecord.value?.id;
  const first = useRef(true);
  useEffect(() => {
    if (first.current || grabbed?.id === perch) first.current = false;
    else fitCircle(map.current);
  }, [perch]);

  return (
    <section class="reach-map" aria-labelledby="map-h">
      <h2 id="map-h" class="unseen">
        Map
      </h2>
      <div class="map-frame">
        <div
          ref={element}
          class="map"
          role="application"
          aria-label="Map of the ground. Arrow keys move it, plus and minus change its scale, enter chooses its middle; the perches on it are reached with tab."
        />
        <div class={`map-middle${pointed?.byKey ? ' shown' : ''}`} aria-hidden="true" />
        <div class="map-buttons">
          <button type="button" aria-label="closer" onClick={() => map.current?.zoom(1)}>
            +
          </button>
          <button type="button" aria-label="wider" onClick={() => map.current?.zoom(-1)}>
            −
          </button>
          <button type="button" onClick={() => fitCircle(map.current)}>
            circle
          </button>
        </div>
      </div>
      <p class="values map-values">
        {pointed === null ? (
          <span class="quiet">
            Drag a perch, or move it with the arrow keys. Point at the ground for values; press it to look along the way
            there.
          </span>
        ) : (
          <Values at={pointed.at} field={field} here={here} spoken={pointed.byKey} />
        )}
      </p>
      <MapKey />
      <PickedLine middle={() => map.current?.middle() ?? middleOfTerrain()} field={field} />
    </section>
  );
}

/** Outlines of the ground cover, its classes in words. */
const outlinesOf = (file: CoverFile): Outline[] =>
  file.areas.map(({ kind, rings }) => {
    const { cover: word } = file.kinds[kind]!;
    return { word, className: classOf(word), rings };
  });

function fitCircle(map: ShownMap | null): void {
  const here = spotNow.peek();
  if (map === null || here === null) return;
  const { radius_km } = reachSettings.peek();
  const north_deg = radius_km / 111.2;
  const east_deg = north_deg / Math.max(0.05, Math.cos((here.latitude_deg * Math.PI) / 180));
  map.fit({
    south_deg: here.latitude_deg - north_deg,
    north_deg: here.latitude_deg + north_deg,
    west_deg: here.longitude_deg - east_deg,
    east_deg: here.longitude_deg + east_deg,
  });
}

/** Marks of all perches, places and candidates, the one in hand last, so that it lies on top. */
function shownMarks(): readonly ShownMark[] {
  const here = spotNow.value;
  const own = design.perchRecord.value;
  const others = otherPerches.value;
  const known = links.value;
  const listed = places.value;
  const spots = candidates.value;
  const reached = coverage.value?.answer.outcome;
  const point = picked.value;
  return useMemo(() => {
    const list: ShownMark[] = [];
    const judged = new Map((reached?.places ?? []).map((p) => [p.name, p]));
    for (const c of spots)
      list.push({
        id: `candidate ${c.name}`,
        name: c.name,
        kind: 'candidate',
        state: 'not judged',
        at: c,
        movable: false,
      });
    for (const p of listed) {
      const found = judged.get(p.name);
      const state =
        found === undefined
          ? 'not judged'
          : found.odds >= 0.9
            ? 'reached'
            : found.reached
              ? 'on the edge'
              : 'not reached';
      list.push({ id: `place ${p.name}`, name: p.name, kind: 'place', state, at: p, movable: false });
    }
    for (const { record, at } of others)
      list.push({
        id: record.id,
        name: record.name,
        kind: 'perch',
        state: stateOfLink(perchKey(record)),
        at,
        movable: true,
      });
    if (point !== null)
      list.push({ id: 'picked', name: 'chosen point', kind: 'point', state: 'not judged', at: point, movable: false });
    if (own !== null && here !== null)
      list.push({ id: own.id, name: own.name, kind: 'perch', state: 'in hand', at: here, movable: true });
    return list;
  }, [here, own, others, known, listed, spots, reached, point]);
}

/** The perch that the hand holds; moves before its record is there wait. */
let grabbed: { readonly id: string; ready: boolean; at?: Spot } | null = null;

async function grab(id: string): Promise<void> {
  endMove();
  const before = {
    kit: design.kitRecord.value?.id,
    perch: design.perchRecord.value?.id,
    changes: design.changes.value,
  };
  grabbed = { id, ready: before.perch === id };
  if (before.perch === id) return;
  const kit = design.kitRecord.value;
  const mine = grabbed;
  try {
    const perch = await loadRecord(id);
    if (grabbed !== mine || kit === null) return;
    batch(() => {
      design.takeInHand(kit, perch);
      stay(reachOf(kit.id, id));
    });
    mine.ready = true;
    if (mine.at) moveTo(mine.at);
    if (before.changes.length > 0 && before.kit && before.perch) {
      const { kit: k, perch: p } = before;
      notify('What was tried at the perch before waits there.', { label: 'Back to it', act: () => go(reachOf(k, p)) });
    }
  } catch {
    grabbed = null;
  }
}

function moved(id: string, at: Spot): void {
  if (grabbed?.id !== id) return;
  grabbed.at = at;
  if (grabbed.ready) moveTo(at);
}

function dropped(id: string): void {
  if (grabbed?.id === id) grabbed = grabbed.ready ? null : grabbed;
}

/** A press on a mark: another perch is taken in hand, a place gets its section. */
function choose(id: string): void {
  const [kind = '', ...rest] = id.split(' ');
  const name = rest.join(' ');
  if (kind === 'place') sectionEnd.value = { kind: 'place', name };
  else if (kind === 'candidate') {
    const found = candidates.value.find((c) => c.name === name);
    if (found) {
      picked.value = found;
      sectionEnd.value = { kind: 'point', at: found };
    }
  } else if (id !== 'picked' && id !== design.perchRecord.value?.id) go(reachOf(design.kitRecord.value?.id, id));
}

const REST_ms = 120;

/** Margin, distance, bearing and height under the pointer. */
function Values(props: {
  readonly at: Spot;
  readonly field: Field | null;
  readonly here: Spot | null;
  readonly spoken: boolean;
}) {
  const { at, field, here, spoken } = props;
  const [ground, setGround] = useState<{ readonly at: Spot; readonly height_m: number | null } | null>(null);
  useEffect(() => {
    let open = true;
    const timer = setTimeout(() => {
      getHeight(at).then(
        ({ height_m }) => open && setGround({ at, height_m }),
        () => undefined,
      );
    }, REST_ms);
    return () => {
      open = false;
      clearTimeout(timer);
    };
  }, [at]);
  return (
    <span {...(spoken ? { role: 'status' } : {})}>
      {valuesText(at, field, here)}
      {ground?.at === at
        ? ground.height_m === null
          ? '; the terrain has no height there'
          : `; ground at ${lengthText(reader(), 'height_m', ground.height_m, 4)}`
        : ''}
    </span>
  );
}

/** Panorama: skyline, sun and the other perches in one picture that follows mast, panel and day. */
import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';
import type { Kit, Perch } from '../../../records/index.ts';
import {
  panorama as drawPanorama,
  type PanoramaInput,
  panoramaPanels,
  panoramaSentence,
} from '../../../report/index.ts';
import type { PanoramaView } from '../../compute/panorama-messages.ts';
import type { OtherPerch } from '../../compute/panorama-terrain.ts';
import { type DrawOptions, Files, useWidth } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import * as design from '../../state/design.ts';
import { notify } from '../../state/notices.ts';
import * as state from '../../state/panorama.ts';
import { bearing_deg } from '../../state/reach.ts';
import { figures } from '../../state/settings.ts';
import { DayControl, panelAt, TurnControls } from './panorama-controls.tsx';
import { PanoramaReader } from './panorama-reader.tsx';
import {
  daySentence,
  directionText,
  lightSentence,
  panoramaCsv,
  readoutOf,
  SIGHT_WORDS,
  signed,
} from './panorama-values.ts';
import './panorama.css';

export interface PanoramaProps {
  /** Where it is seen from: the perch in hand, moved or not, or a point. */
  readonly at: {
    readonly name: string;
    readonly latitude_deg: number;
    readonly longitude_deg: number;
    readonly height_m?: number;
  };
  /** Radio of both ends, and the panel. */
  readonly kit: Kit | null;
  /** As it stands now, with the changes in hand; null: a point. */
  readonly perch: Perch | null;
  /** The other perches; those at the very spot are left out. */
  readonly others: readonly OtherPerch[];
  /** A mast that is tried. */
  readonly onHeight?: (height_m: number) => void;
  /** A turn of the panel that is tried. */
  readonly onTurn?: (azimuth_deg: number, tilt_deg: number) => void;
}

const WIDEST = 752;

export function PanoramaSection(props: PanoramaProps) {
  const { at, kit, perch, others, onHeight, onTurn } = props;
  const { name, latitude_deg, longitude_deg, height_m } = at;
  const wanted = JSON.stringify([name, latitude_deg, longitude_deg, height_m, others]);
  useEffect(() => {
    state.take({
      at: { name, latitude_deg, longitude_deg, ...(height_m === undefined ? {} : { height_m }) },
      kit,
      perch,
      others,
    });
  }, [wanted, kit, perch]);
  useEffect(() => state.follow(), []);
  const tried = state.tried.value;
  useEffect(() => onHeight?.(tried.height_m), [tried.height_m]);
  useEffect(() => onTurn?.(tried.azimuth_deg, tried.tilt_deg), [tried.azimuth_deg, tried.tilt_deg]);
  const view = state.view.value;
  return (
    <section id="panorama" class="picture panorama" aria-labelledby="panorama-h">
      <h2 id="panorama-h">Panorama</h2>
      {view === null ? <Pending /> : <Seen view={view} />}
      <Problems list={state.problems.value} />
    </section>
  );
}

function Pending() {
  const now = state.fetching.value;
  return (
    <>
      <p class="said quiet" role="status">
        {now === null && state.problems.value.length > 0
          ? 'The ground around could not be read.'
          : `Reads ${now?.what ?? 'the ground around'}.`}
      </p>
      <div class="pending panorama-pending" />
    </>
  );
}

function Seen({ view }: { readonly view: PanoramaView }) {
  const { ref, width: room } = useWidth<HTMLDivElement>(WIDEST);
  const width = Math.max(300, Math.min(WIDEST, room));
  const [hover, setHover] = useState<number | null>(null);
  const written = figures.value;
  const { tilt_deg, azimuth_deg } = state.tried.value;
  const kit = state.subject.value?.kit ?? null;
  const panel = panelAt(kit, { tilt_deg, azimuth_deg });
  const picture = useMemo<PanoramaInput>(() => ({ ...view.picture, panel }), [view, panel.tilt_deg, panel.azimuth_deg]);
  const draw = useCallback((o: DrawOptions) => drawPanorama(picture, o), [picture]);
  const markup = useMemo(
    () => draw({ width, id: 'panorama-picture', standalone: false, figures: written }),
    [draw, width, written],
  );
  const panels = useMemo(() => panoramaPanels(picture, width), [picture, width]);
  const high = Number(/height="([\d.]+)"/.exec(markup)?.[1] ?? 0) || 400;
  const readout = (azimuth: number) => readoutOf(view, azimuth, written);
  const chosen = bearing_deg.value;
  const pointed = hover ?? chosen;
  const values = pointed === null ? '' : readout(pointed);
  return (
    <>
      <p class="said">{panoramaSentence(view.picture, written)}</p>
      <Controls view={view} />
      {/* Right above the picture, so that both are seen on a phone. */}
      <TurnControls of={['height_m']} />
      <div class="panorama-main">
        <div class="drawing" ref={ref}>
          <div class="panorama-drawn" style={{ width: `${width}px` }}>
            <div class="drawn" dangerouslySetInnerHTML={{ __html: markup }} />
            <PanoramaReader panels={panels} width={width} height={high} readout={readout} {...{ hover, setHover }} />
          </div>
        </div>
        <div class="under">
          <span class="values">
            {values === '' ? (
              <span class="quiet">point at it for values; a click or the arrow keys choose a bearing</span>
            ) : (
              values
            )}
          </span>
          <Files name={`${picture.name} panorama`} id="panorama" draw={draw} csv={() => panoramaCsv(view)} />
        </div>
      </div>
      <Others view={view} />
    </>
  );
}

function Controls({ view }: { readonly view: PanoramaView }) {
  const light = state.light.value;
  const now = state.fetching.value;
  const written = figures.value;
  const month = light?.darkestMonth ?? view.picture.darkestMonth;
  const [mine, saved] = light?.light_kWh_m2_day ?? [];
  const settings = state.settings.value;
  const changed = Object.keys(state.tries.value).length > 0;
  return (
    <div class="panorama-controls">
      <div>
        <TurnControls of={['azimuth_deg', 'tilt_deg']} />
        <p class="told" role="status">
          {mine === undefined || saved === undefined
            ? state.subject.value?.kit === null
              ? 'Take a kit in hand to see the light on its panel.'
              : 'Light on the panel: being reckoned.'
            : lightSentence(mine[month - 1]!, saved[month - 1]!, month, written)}
        </p>
      </div>
      <div>
        <DayControl />
        <p class="told">{daySentence(view, written)}</p>
        <div class="actions">
          <button type="button" disabled={!state.canUndo.value} onClick={state.undo}>
            Undo
          </button>
          <button type="button" disabled={!state.canRedo.value} onClick={state.redo}>
            Redo
          </button>
          <button type="button" disabled={!changed} onClick={state.drop}>
            As it stands
          </button>
          {state.subject.value?.perch === null || design.perchRecord.value === null ? null : (
            <button type="button" disabled={settings.length === 0} onClick={keep}>
              Keep these in the perch
            </button>
          )}
        </div>
        {now === null ? null : (
          <p class="progress" role="status">
            Reads {now.what} <progress max={Math.max(1, now.total)} value={now.done} aria-label="how far it is" />
          </p>
        )}
      </div>
    </div>
  );
}

/** What was tried becomes a change of the perch in hand; Energy takes it, and it can be saved. */
function keep(): void {
  const settings = state.settings.value;
  design.adjust(settings);
  design.endGesture();
  state.settle();
  const name = state.subject.value?.at.name ?? 'The perch';
  notify(`${name} has them as changes that are not saved.`, { label: 'Undo', act: design.undo });
}

function Others({ view }: { readonly view: PanoramaView }) {
  const written = figures.value;
  const notes = [...state.leftOut.value, ...view.notes];
  const { symbol, shown } = written.distance;
  return (
    <>
      {view.others.length === 0 ? null : (
        <DataTable
          tight
          caption="The other perches; margins are medians: half of such links are better"
          columns={[
            { key: 'name', head: 'perch' },
            { key: 'sight', head: 'sight' },
            { key: 'margin', head: 'margin, dB', figures: true },
            { key: 'odds', head: 'odds, %', figures: true },
            { key: 'far', head: `distance, ${symbol}`, figures: true },
            { key: 'bearing', head: 'bearing' },
            { key: 'up', head: 'elevation, °', figures: true },
          ]}
          rows={[...view.others]
            .sort((a, b) => b.margin_dB - a.margin_dB)
            .map((o) => ({
              key: `${o.name} ${o.azimuth_deg}`,
              cells: [
                o.name,
                SIGHT_WORDS[o.sight],
                signed(o.margin_dB, written),
                written.percent(o.odds).replace(' %', ''),
                written.number(shown(o.distance_km), 1),
                <button
                  key="b"
                  type="button"
                  class="plain"
                  aria-label={`${directionText(o.azimuth_deg, written)}: choose the bearing of ${o.name}`}
                  onClick={() => {
                    bearing_deg.value = Math.round(o.azimuth_deg) % 360;
                  }}
                >
                  {directionText(o.azimuth_deg, written)}
                </button>,
                written.number(o.elevation_deg, 1),
              ],
            }))}
        />
      )}
      {notes.length === 0 ? null : (
        <ul class="panorama-notes">
          {notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
    </>
  );
}

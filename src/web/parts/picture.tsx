/** A picture with what it shows in words, values under the pointer or the arrow keys, and its files. */
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Figures } from '../../report/index.ts';
import { glue } from '../../report/layout.ts';
import { notify } from '../state/notices.ts';
import { figures } from '../state/settings.ts';
import { type CsvRows, csvText, fileName } from './csv.ts';
import { pngOf, saveFile, saveText } from './download.ts';
import { type Place, type PlotBox, placeAt, plotBox, screenOffset } from './readout.ts';

export interface DrawOptions {
  readonly width: number;
  readonly id: string;
  readonly standalone: boolean;
  readonly figures: Figures;
}

export interface PictureProps {
  readonly id: string;
  readonly heading: string;
  /** What is to be seen, in a sentence. */
  readonly said?: string;
  /** Name of the files, e.g. kit and perch. */
  readonly name: string;
  readonly draw: (options: DrawOptions) => string;
  readonly csv?: () => CsvRows;
  /** Values at a place; `steps` places across for the arrow keys. */
  readonly readout?: (place: Place) => string;
  readonly steps?: number;
  /** Instead of steps: the places that have values, e.g. the points of a map, in the order of the arrow keys. */
  readonly stops?: (box: PlotBox) => readonly Place[];
  /** The heading is there for a screen reader only. */
  readonly unseenHeading?: boolean;
  /** Widest and narrowest layout, px. */
  readonly most?: number;
  readonly least?: number;
  /** A press on the picture, with its place. */
  readonly onPick?: (place: Place) => void;
  readonly stale?: boolean;
  readonly level?: 2 | 3;
  readonly children?: ComponentChildren;
}

/** Width of an element, followed as it changes. */
export function useWidth<T extends HTMLElement>(start: number) {
  const ref = useRef<T>(null);
  const [width, setWidth] = useState(start);
  useLayoutEffect(() => {
    const node = ref.current;
    if (node === null) return;
    const read = () => setWidth(Math.floor(node.clientWidth) || start);
    read();
    const observer = new ResizeObserver(read);
    observer.observe(node);
    return () => observer.disconnect();
  }, []);
  return { ref, width };
}

export function Picture(props: PictureProps) {
  const { id, heading, said, name, draw, csv, readout, most = 752, least = 300 } = props;
  const { ref, width: room } = useWidth<HTMLDivElement>(most);
  const width = Math.max(least, Math.min(most, room));
  const written = figures.value;
  const markup = useMemo(
    () => draw({ width, id: `${id}-picture`, standalone: false, figures: written }),
    [draw, width, id, written],
  );
  const [place, setPlace] = useState<Place | null>(null);
  const values = place === null || readout === undefined ? '' : readout(place);
  const Heading = `h${props.level ?? 2}` as 'h2' | 'h3';
  const svgOf = () => ref.current?.querySelector<SVGSVGElement>('.drawn > svg') ?? null;
  return (
    <section id={id} class={`picture${props.stale ? ' stale' : ''}`} aria-labelledby={`${id}-h`}>
      <Heading id={`${id}-h`} class={props.unseenHeading ? 'unseen' : undefined}>
        {heading}
      </Heading>
      {said === undefined ? null : <p class="said">{glue(said)}</p>}
      <div class="drawing" ref={ref}>
        <div class="drawn" dangerouslySetInnerHTML={{ __html: markup }} />
        {readout === undefined ? null : (
          <Reader
            {...{ heading, values, place, setPlace, svgOf, steps: props.steps ?? 52 }}
            {...(props.stops ? { stops: props.stops } : {})}
            {...(props.onPick ? { onPick: props.onPick } : {})}
          />
        )}
      </div>
      <div class="under">
        {readout === undefined ? null : (
          <span class="values">
            {values === '' ? <span class="quiet">point at it, or use the arrow keys, for values</span> : values}
          </span>
        )}
        <Files {...{ name: `${name} ${heading}`, draw, id }} {...(csv ? { csv } : {})} />
      </div>
      {props.children}
    </section>
  );
}

interface ReaderProps {
  readonly heading: string;
  readonly values: string;
  readonly steps: number;
  readonly place: Place | null;
  readonly setPlace: (place: Place | null) => void;
  readonly stops?: (box: PlotBox) => readonly Place[];
  readonly svgOf: () => SVGSVGElement | null;
  readonly onPick?: (place: Place) => void;
}

const STEP_OF: Readonly<Record<string, number>> = {
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 4,
  PageDown: -4,
};

/** The layer over a picture that takes pointer, touch and keys; the picture below stays readable to a screen reader. */
function Reader({ heading, values, steps, stops, place, setPlace, svgOf, onPick }: ReaderProps) {
  const stopsNow = () => {
    const svg = svgOf();
    return stops === undefined || svg === null ? undefined : stops(plotBox(svg));
  };
  const seen = (event: MouseEvent) => {
    const svg = svgOf();
    return svg === null ? null : placeAt(svg, event.clientX, event.clientY, stopsNow());
  };
  const press = (event: KeyboardEvent) => {
    if (event.key === 'Escape') setPlace(null);
    const list = stopsNow();
    const count = list?.length ?? steps;
    const by = STEP_OF[event.key];
    const now =
      place === null ? (by !== undefined && by < 0 ? count : -1) : (place.stop ?? Math.round(place.x * steps - 0.5));
    const next = event.key === 'Home' ? 0 : event.key === 'End' ? count - 1 : by === undefined ? undefined : now + by;
    if (next === undefined || count === 0) return;
    event.preventDefault();
    const at = Math.max(0, Math.min(count - 1, next));
    setPlace(list ? { ...list[at]!, stop: at } : { x: (at + 0.5) / steps, y: null });
  };
  const svg = svgOf();
  const count = stopsNow()?.length ?? steps;
  const offset = place === null || svg === null ? null : screenOffset(svg, place);
  return (
    <>
      <div
        class={onPick ? 'reader picks' : 'reader'}
        role="slider"
        tabIndex={0}
        aria-label={`Values of: ${heading}`}
        aria-valuemin={1}
        aria-valuemax={Math.max(1, count)}
        aria-valuenow={place === null ? 1 : Math.min(count, (place.stop ?? Math.floor(place.x * steps)) + 1)}
        aria-valuetext={values === '' ? 'press the arrow keys to read values' : values}
        onPointerDown={(event) => setPlace(seen(event))}
        onPointerMove={(event) => setPlace(seen(event))}
        // A finger that is lifted leaves what it has asked for.
        onPointerLeave={(event) => event.pointerType !== 'touch' && setPlace(null)}
        onKeyDown={press}
        onBlur={() => setPlace(null)}
        onClick={(event) => {
          const at = seen(event);
          if (at !== null) onPick?.(at);
        }}
      />
      {offset === null ? null : (
        <div
          class={stops && place?.y !== null ? 'cursor ring' : 'cursor'}
          style={{ left: `${offset.left}px`, ...(stops && place?.y !== null ? { top: `${offset.top}px` } : {}) }}
        />
      )}
    </>
  );
}

/** Buttons that save a picture, and the table behind it. */
export function Files({ name, draw, csv, id }: Pick<PictureProps, 'name' | 'draw' | 'csv' | 'id'>) {
  const alone = () => draw({ width: 752, id: `${id}-file`, standalone: true, figures: figures.value });
  const fail = (error: unknown) => notify(`The file could not be made: ${error instanceof Error ? error.message : ''}`);
  const files: [string, () => unknown][] = [
    ['SVG', () => saveText(fileName(name, 'svg'), alone(), 'image/svg+xml')],
    ['PNG', () => pngOf(alone()).then((blob) => saveFile(fileName(name, 'png'), blob), fail)],
  ];
  if (csv) files.push(['CSV', () => saveText(fileName(name, 'csv'), csvText(csv()), 'text/csv')]);
  return (
    <span class="files">
      <span class="quiet">save as</span>
      {files.map(([kind, save]) => (
        <button key={kind} type="button" class="plain" aria-label={`save ${name} as ${kind}`} onClick={save}>
          {kind}
        </button>
      ))}
    </span>
  );
}

/** A picture with what it shows in words, values under the pointer or the arrow keys, and its files. */
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { notify } from '../state/notices.ts';
import { type CsvRows, csvText, fileName } from './csv.ts';
import { pngOf, saveFile, saveText } from './download.ts';
import { type Place, placeAt, screenOffset } from './readout.ts';

export interface PictureProps {
  readonly id: string;
  readonly heading: string;
  /** What is to be seen, in a sentence. */
  readonly said?: string;
  /** Name of the files, e.g. kit and perch. */
  readonly name: string;
  readonly draw: (options: { width: number; id: string; standalone: boolean }) => string;
  readonly csv?: () => CsvRows;
  /** Values at a place; `steps` places across for the arrow keys. */
  readonly readout?: (place: Place) => string;
  readonly steps?: number;
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
  const markup = useMemo(() => draw({ width, id: `${id}-picture`, standalone: false }), [draw, width, id]);
  const [place, setPlace] = useState<Place | null>(null);
  const values = place === null || readout === undefined ? '' : readout(place);
  const Heading = `h${props.level ?? 2}` as 'h2' | 'h3';
  const svgOf = () => ref.current?.querySelector<SVGSVGElement>('.drawn > svg') ?? null;
  return (
    <section id={id} class={`picture${props.stale ? ' stale' : ''}`} aria-labelledby={`${id}-h`}>
      <Heading id={`${id}-h`}>{heading}</Heading>
      {said === undefined ? null : <p class="said">{said}</p>}
      <div class="drawing" ref={ref}>
        <div class="drawn" dangerouslySetInnerHTML={{ __html: markup }} />
        {readout === undefined ? null : (
          <Reader
            {...{ heading, values, place, setPlace, svgOf, steps: props.steps ?? 52 }}
            {...(props.onPick ? { onPick: props.onPick } : {})}
          />
        )}
      </div>
      <div class="under">
        {readout === undefined ? null : (
          <span class="values">{values === '' ? <span class="quiet">point at it for values</span> : values}</span>
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

/** The layer over a picture that takes pointer and keys; the picture below stays readable to a screen reader. */
function Reader({ heading, values, steps, place, setPlace, svgOf, onPick }: ReaderProps) {
  const seen = (event: MouseEvent) => {
    const svg = svgOf();
    return svg === null ? null : placeAt(svg, event.clientX, event.clientY);
  };
  const press = (event: KeyboardEvent) => {
    if (event.key === 'Escape') setPlace(null);
    const by = STEP_OF[event.key];
    const now = place === null ? (by !== undefined && by < 0 ? steps : -1) : Math.round(place.x * steps - 0.5);
    const next = event.key === 'Home' ? 0 : event.key === 'End' ? steps - 1 : by === undefined ? undefined : now + by;
    if (next === undefined) return;
    event.preventDefault();
    setPlace({ x: (Math.max(0, Math.min(steps - 1, next)) + 0.5) / steps, y: null });
  };
  const svg = svgOf();
  return (
    <>
      <div
        class={onPick ? 'reader picks' : 'reader'}
        role="slider"
        tabIndex={0}
        aria-label={`Values of: ${heading}`}
        aria-valuemin={1}
        aria-valuemax={steps}
        aria-valuenow={place === null ? 1 : Math.min(steps, Math.floor(place.x * steps) + 1)}
        aria-valuetext={values === '' ? 'press the arrow keys to read values' : values}
        onPointerMove={(event) => setPlace(seen(event))}
        onPointerLeave={() => setPlace(null)}
        onKeyDown={press}
        onBlur={() => setPlace(null)}
        onClick={(event) => {
          const at = seen(event);
          if (at !== null) onPick?.(at);
        }}
      />
      {place !== null && svg !== null ? (
        <div class="cursor" style={{ left: `${screenOffset(svg, place.x)}px` }} />
      ) : null}
    </>
  );
}

function Files({ name, draw, csv, id }: Pick<PictureProps, 'name' | 'draw' | 'csv' | 'id'>) {
  const alone = () => draw({ width: 752, id: `${id}-file`, standalone: true });
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

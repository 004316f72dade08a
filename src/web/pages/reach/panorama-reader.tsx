/** The layer over the panorama: values of the direction under the pointer, and the bearing that a click or the arrow keys choose. */
import type { PanoramaPanel } from '../../../report/index.ts';
import { bearing_deg } from '../../state/reach.ts';
import { azimuthAt, placesOf } from './panorama-values.ts';

interface Props {
  readonly panels: readonly PanoramaPanel[];
  /** Of the drawing, in its own units. */
  readonly width: number;
  readonly height: number;
  readonly readout: (azimuth_deg: number) => string;
  /** Direction under the pointer. */
  readonly hover: number | null;
  readonly setHover: (azimuth_deg: number | null) => void;
}

const STEPS: Readonly<Record<string, number>> = {
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 10,
  PageDown: -10,
};

export function PanoramaReader({ panels, width, height, readout, hover, setHover }: Props) {
  const chosen = bearing_deg.value;
  const point = (event: MouseEvent) => {
    const bounds = (event.currentTarget as HTMLElement).getBoundingClientRect();
    if (bounds.width === 0) return null;
    const scale = width / bounds.width;
    return azimuthAt(panels, (event.clientX - bounds.left) * scale, (event.clientY - bounds.top) * scale);
  };
  const choose = (azimuth: number | null) => {
    bearing_deg.value = azimuth;
  };
  const press = (event: KeyboardEvent) => {
    const by = STEPS[event.key];
    const from = chosen ?? Math.round(panels[0]?.middle_deg ?? 0);
    const next =
      event.key === 'Escape'
        ? null
        : event.key === 'Home'
          ? 0
          : by === undefined
            ? undefined
            : chosen === null
              ? from
              : from + by;
    if (next === undefined) return;
    event.preventDefault();
    setHover(null);
    choose(next === null ? null : ((Math.round(next) % 360) + 360) % 360);
  };
  const lines = [
    ...(chosen === null ? [] : placesOf(panels, chosen).map((p) => ({ ...p, kind: 'bearing' }))),
    ...(hover === null ? [] : placesOf(panels, hover).map((p) => ({ ...p, kind: 'hover' }))),
  ];
  const share = (value: number, of: number) => `${(100 * value) / of}%`;
  return (
    <>
      <div
        class="reader picks"
        role="slider"
        tabIndex={0}
        aria-label="Bearing in the panorama"
        aria-valuemin={0}
        aria-valuemax={359}
        aria-valuenow={chosen ?? 0}
        aria-valuetext={chosen === null ? 'none chosen; the arrow keys choose one' : readout(chosen)}
        onPointerMove={(event) => setHover(point(event))}
        onPointerLeave={() => setHover(null)}
        onKeyDown={press}
        onClick={(event) => {
          const at = point(event);
          if (at !== null) choose(Math.round(at) % 360);
        }}
      />
      {lines.map(({ x, top, bottom, kind }) => (
        <div
          key={`${kind} ${top}`}
          class={`cursor ${kind}`}
          style={{
            left: share(x, width),
            top: share(top, height),
            bottom: 'auto',
            height: share(bottom - top, height),
          }}
        />
      ))}
    </>
  );
}

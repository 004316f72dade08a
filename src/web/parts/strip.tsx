/** The year strip beside a kit, a perch or a design, with the month's values under the pointer or finger. */
import { useMemo, useState } from 'preact/hooks';
import type { State } from '../../app/target.ts';
import type { YearStrip } from '../../core/energy/index.ts';
import { monthName, yearStrip } from '../../report/index.ts';
import { figures, format } from '../state/settings.ts';
import { placeAt } from './readout.ts';

/** The values of a strip at a share 0..1 of its width. */
export function monthOfStrip(strip: YearStrip, share: number): string {
  const m = Math.max(0, Math.min(11, Math.floor(share * 12)));
  const percent = (v: number) => format.value.percent(v);
  return `${monthName(m + 1)}: chance of a dark hour ${percent(strip.darkShare[m]!)}; charge on one day in ten below ${percent(strip.lowStateOfCharge[m]!)}`;
}

interface Told {
  readonly text: string;
  readonly x: number;
  readonly y: number;
}

export function Strip(props: {
  readonly id: string;
  readonly strip: YearStrip;
  readonly name: string;
  readonly width?: number;
  readonly height?: number;
  readonly state?: State;
}) {
  const { id, strip, name, width = 168, height = 20, state } = props;
  const written = figures.value;
  const markup = useMemo(
    () =>
      yearStrip(strip, { id, name, width, height, standalone: false, figures: written, ...(state ? { state } : {}) }),
    [strip, id, name, width, height, state, written],
  );
  const [told, setTold] = useState<Told | null>(null);
  const read = (event: PointerEvent & { readonly currentTarget: HTMLElement }) => {
    const svg = event.currentTarget.querySelector('svg');
    const place = svg && placeAt(svg, event.clientX, event.clientY);
    if (!svg || !place) return setTold(null);
    const bounds = svg.getBoundingClientRect();
    // Kept inside the window, whose right edge it must not push out.
    const x = Math.max(8, Math.min(event.clientX - 60, document.documentElement.clientWidth - 296));
    setTold({ text: monthOfStrip(strip, place.x), x, y: bounds.bottom + 6 });
  };
  // The picture itself says all twelve months to a screen reader; this layer is for eyes.
  return (
    <>
      <span
        class="strip"
        onPointerMove={read}
        onPointerDown={read}
        onPointerLeave={() => setTold(null)}
        dangerouslySetInnerHTML={{ __html: markup }}
      />
      {told === null ? null : (
        <span class="tip" aria-hidden="true" style={{ left: `${told.x}px`, top: `${told.y}px` }}>
          {told.text}
        </span>
      )}
    </>
  );
}

/** The skyline of a perch: its points as a short table, and the sun's paths over it as they are typed. */
import { useMemo } from 'preact/hooks';
import { horizonOf } from '../../app/supply.ts';
import type { Problem } from '../../core/units/index.ts';
import type { Perch } from '../../records/index.ts';
import { sunPathChart, sunPathSentence } from '../../report/index.ts';
import { parseNumber } from '../display/numbers.ts';
import { useWidth } from '../parts/picture.tsx';
import { Problems } from '../parts/problems.tsx';
import { decimal, figures, format } from '../state/settings.ts';

/** More points than these are shown on request. */
const FEW = 8;

interface Point {
  readonly azimuth_deg?: unknown;
  readonly elevation_deg?: unknown;
}

export function HorizonField(props: {
  readonly value: unknown;
  readonly perch: unknown;
  readonly problems: readonly Problem[];
  readonly onChange: (value: unknown) => void;
}) {
  const { value, problems, onChange } = props;
  const points = Array.isArray(value) ? (value as readonly Point[]) : [];
  const put = (at: number, key: keyof Point, text: string) =>
    onChange(points.map((p, i) => (i === at ? { ...p, [key]: parseNumber(text, decimal) ?? text } : p)));
  const cell = (at: number, key: keyof Point, label: string) => (
    <input
      type="text"
      class="figures"
      inputMode="decimal"
      autocomplete="off"
      aria-label={`${label} of point ${at + 1}`}
      value={
        typeof points[at]![key] === 'number' ? format.value.editable(points[at]![key]) : String(points[at]![key] ?? '')
      }
      onChange={(event) => put(at, key, event.currentTarget.value)}
    />
  );
  return (
    <div class={`horizon${problems.length > 0 ? ' wrong' : ''}`} data-field="perch.horizon">
      <SunPathPreview perch={props.perch} />
      {points.length === 0 ? (
        <p class="said">No skyline is given: nothing stands between the sun and the panel.</p>
      ) : (
        <details open={points.length <= FEW}>
          <summary>{points.length} points of the skyline</summary>
          <table class="tight">
            <caption>Straight between the points, and around north</caption>
            <thead>
              <tr>
                <th scope="col" class="n">
                  direction, °
                </th>
                <th scope="col" class="n">
                  height, °
                </th>
                <th scope="col">
                  <span class="unseen">take away</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {points.map((p, i) => (
                <tr key={i}>
                  <td class="n">{cell(i, 'azimuth_deg', 'direction')}</td>
                  <td class="n">{cell(i, 'elevation_deg', 'height')}</td>
                  <td>
                    <button
                      type="button"
                      class="plain"
                      aria-label={`take away point ${i + 1} at ${String(p.azimuth_deg)}°`}
                      onClick={() => {
                        const rest = points.filter((_, j) => j !== i);
                        onChange(rest.length === 0 ? 'none' : rest);
                      }}
                    >
                      take away
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
      <button
        type="button"
        class="plain"
        onClick={() => {
          const last = Number(points.at(-1)?.azimuth_deg ?? 90);
          onChange([
            ...points,
            { azimuth_deg: Math.min(360, (Number.isFinite(last) ? last : 90) + 30), elevation_deg: 10 },
          ]);
        }}
      >
        add a point
      </button>
      <Problems list={problems} />
    </div>
  );
}

function SunPathPreview({ perch }: { readonly perch: unknown }) {
  const { ref, width } = useWidth<HTMLDivElement>(640);
  const place = perch as Perch | undefined;
  const input = useMemo(() => {
    if (place?.latitude_deg === undefined || place.longitude_deg === undefined) return null;
    return {
      latitude_deg: place.latitude_deg,
      longitude_deg: place.longitude_deg,
      horizon_deg: horizonOf(place) ?? null,
      darkestMonth: place.latitude_deg < 0 ? 6 : 12,
    };
  }, [place]);
  const markup = useMemo(
    () =>
      input === null
        ? ''
        : sunPathChart(input, {
            id: 'skyline',
            width: Math.max(300, Math.min(640, width)),
            standalone: false,
            figures: figures.value,
          }),
    [input, width],
  );
  return (
    <div ref={ref}>
      {input === null ? null : <p class="said">{sunPathSentence(input, figures.value)}</p>}
      <div class="drawn" dangerouslySetInnerHTML={{ __html: markup }} />
    </div>
  );
}

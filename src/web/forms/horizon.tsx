/** The skyline of a perch: its points as a short table, and the sun's paths over it as they are typed. */
import { Fragment } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { horizonOf } from '../../app/supply.ts';
import type { Problem } from '../../core/units/index.ts';
import type { Perch } from '../../records/index.ts';
import { sunPathChart, sunPathSentence } from '../../report/index.ts';
import { useWidth } from '../parts/picture.tsx';
import { Problems, problemsAt } from '../parts/problems.tsx';
import { figures, format } from '../state/settings.ts';
import { BareInput } from './field-input.tsx';
import { ListActs, useListFocus } from './list-acts.tsx';
import type { fieldReader } from './schema-fields.ts';

/** More points than these are shown on request. */
const FEW = 8;

interface Point {
  readonly azimuth_deg?: unknown;
  readonly elevation_deg?: unknown;
}

const NAME = 'perch.horizon';
const COLUMNS = [
  { key: 'azimuth_deg', head: 'direction, °', label: 'direction' },
  { key: 'elevation_deg', head: 'height, °', label: 'height' },
] as const;

const azimuthOf = (point: Point | undefined) => {
  const azimuth = Number(point?.azimuth_deg ?? Number.NaN);
  return Number.isFinite(azimuth) ? azimuth : 90;
};

export function HorizonField(props: {
  readonly value: unknown;
  readonly perch: unknown;
  readonly problems: readonly Problem[];
  readonly reader: ReturnType<typeof fieldReader>;
  readonly onEdit: (path: readonly (string | number)[], value: unknown) => void;
  readonly onList: (value: unknown) => void;
}) {
  const { value, problems, reader, onEdit, onList } = props;
  const points = Array.isArray(value) ? (value as readonly Point[]) : [];
  const { ref, after } = useListFocus<HTMLDivElement>();
  const specs = useMemo(() => COLUMNS.map(({ key }) => reader(['horizon', 0, key])), [reader]);
  const [open, setOpen] = useState(points.length <= FEW);
  const inRow = problems.some((p) => /\[\d+\]/.test(p.place?.field ?? ''));
  const put = (next: readonly Point[]) => {
    // What was just changed is to be seen.
    setOpen(true);
    onList(next.length === 0 ? 'none' : next);
  };
  const unsorted = points.some((p, i) => i > 0 && azimuthOf(p) < azimuthOf(points[i - 1]));
  return (
    <div class="horizon list-field" data-field={NAME} ref={ref}>
      <SunPathPreview perch={props.perch} />
      {points.length === 0 ? (
        <p class="said">No skyline is given: nothing stands between the sun and the panel.</p>
      ) : (
        <details open={open || inRow} onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary>{format.value.figure(points.length, 9)} points of the skyline</summary>
          <table class="tight entries">
            <caption>Straight between the points, and around north</caption>
            <thead>
              <tr>
                {COLUMNS.map((c) => (
                  <th key={c.key} scope="col" class="n">
                    {c.head}
                  </th>
                ))}
                <th scope="col">
                  <span class="unseen">what can be done</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {points.map((p, i) => {
                const wrong = problemsAt(problems, `${NAME}[${i}]`);
                return (
                  <Fragment key={i}>
                    <tr class={wrong.length > 0 ? 'wrong' : undefined}>
                      {COLUMNS.map((c, k) => (
                        <td class="n" key={c.key}>
                          <BareInput
                            name={`${NAME}[${i}].${c.key}`}
                            label={`${c.label} of point ${i + 1}`}
                            spec={specs[k]!}
                            value={p[c.key]}
                            problems={problemsAt(problems, `${NAME}[${i}].${c.key}`)}
                            describedBy={`point-${i}`}
                            onChange={(next) => onEdit(['horizon', i, c.key], next)}
                          />
                        </td>
                      ))}
                      <td>
                        <ListActs name={`point ${i + 1}`} list={points} at={i} onChange={put} after={after} />
                      </td>
                    </tr>
                    {wrong.length === 0 ? null : (
                      <tr class="at-row">
                        <td colSpan={COLUMNS.length + 1} id={`point-${i}`}>
                          <Problems list={wrong} />
                        </td>
                      </tr>
                    )}
                  </Fragment>
                );
              })}
            </tbody>
          </table>
        </details>
      )}
      <button
        type="button"
        class="plain"
        data-act="add-0"
        onClick={() =>
          put([...points, { azimuth_deg: Math.min(360, azimuthOf(points.at(-1)) + 30), elevation_deg: 10 }])
        }
      >
        add a point
      </button>{' '}
      {unsorted ? (
        <button
          type="button"
          class="plain"
          onClick={() => put([...points].sort((a, b) => azimuthOf(a) - azimuthOf(b)))}
        >
          sort by direction
        </button>
      ) : null}
      <Problems list={problems.filter((p) => !/\[\d+\]/.test(p.place?.field ?? ''))} />
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

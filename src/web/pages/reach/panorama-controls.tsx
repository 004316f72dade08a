/** What can be turned in the panorama: the mast, the panel and the day. */
import { useId, useState } from 'preact/hooks';
import { attitude } from '../../../app/supply.ts';
import { DAYS_IN_MONTH, type Problem } from '../../../core/units/index.ts';
import { type Kit, panelsOf } from '../../../records/index.ts';
import { MONTH_NAMES } from '../../../report/index.ts';
import { Slider } from '../../parts/slider.tsx';
import * as panorama from '../../state/panorama.ts';
import { figures } from '../../state/settings.ts';
import { dateOf, dayOfYear } from './panorama-values.ts';

interface Turned {
  readonly field: 'height_m' | 'tilt_deg' | 'azimuth_deg';
  readonly label: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  /** What the number is, for the sentence that refuses one. */
  readonly what: string;
}

const CONTROLS: readonly Turned[] = [
  {
    field: 'height_m',
    label: 'height of the antenna',
    ...panorama.MAST_m,
    step: 0.5,
    what: 'the height of the antenna',
  },
  { field: 'azimuth_deg', label: 'panel looks towards', low: 0, high: 359, step: 1, what: 'the azimuth of the panel' },
  { field: 'tilt_deg', label: 'tilt of the panel', low: 0, high: 90, step: 1, what: 'the tilt of the panel' },
];

/** Tilt and azimuth that the kit itself fixes, whatever the perch says. */
export function fixedBy(kit: Kit | null): { readonly tilt_deg?: number; readonly azimuth_deg?: number } {
  const panel = kit === null ? undefined : panelsOf(kit)[0];
  return {
    ...(panel?.tilt_deg === undefined ? {} : { tilt_deg: panel.tilt_deg }),
    ...(panel?.azimuth_deg === undefined ? {} : { azimuth_deg: panel.azimuth_deg }),
  };
}

/** Where the kit's first panel looks at the tries in hand. */
export function panelAt(kit: Kit | null, tried: { readonly tilt_deg: number; readonly azimuth_deg: number }) {
  const panel = kit === null ? undefined : panelsOf(kit)[0];
  if (panel === undefined) return { tilt_deg: tried.tilt_deg, azimuth_deg: tried.azimuth_deg };
  return attitude(panel, tried as Parameters<typeof attitude>[1]);
}

/** One or several of the three sliders. */
export function TurnControls({ of }: { readonly of: readonly Turned['field'][] }) {
  const [wrong, setWrong] = useState<Readonly<Record<string, Problem | undefined>>>({});
  const now = panorama.tried.value;
  const saved = panorama.saved.value;
  const fixed: Partial<Record<Turned['field'], number>> = fixedBy(panorama.subject.value?.kit ?? null);
  const turn = ({ field, low, high, what }: Turned, value: number | string) => {
    const good = typeof value === 'number' && value >= low && value <= high;
    const unit = field === 'height_m' ? 'm' : '°';
    setWrong({
      ...wrong,
      [field]: good
        ? undefined
        : { code: 'panorama.range', message: `${what} is ${value}: it lies between ${low} and ${high} ${unit}` },
    });
    if (good) panorama.attempt({ [field]: value }, field);
  };
  return (
    <>
      {CONTROLS.filter((c) => of.includes(c.field)).map((c) => {
        const problem = wrong[c.field];
        const kept = fixed[c.field];
        const value = kept ?? now[c.field];
        return (
          <Slider
            key={c.field}
            label={c.label}
            field={c.field}
            value={value}
            low={c.low}
            high={Math.max(c.high, c.field === 'height_m' ? saved.height_m : 0)}
            step={c.step}
            problems={problem === undefined ? [] : [problem]}
            disabled={kept !== undefined}
            {...(kept === undefined && saved[c.field] !== value ? { was: saved[c.field] } : {})}
            {...(kept === undefined ? {} : { note: 'fixed by the kit' })}
            onChange={(next) => turn(c, next)}
            onEnd={panorama.endGesture}
          />
        );
      })}
    </>
  );
}

const LAST = 364;

/** The day whose sun is drawn: over the year, by date, or one of those that are asked for most. */
export function DayControl() {
  const id = useId();
  const day = panorama.view.value?.day ?? { month: 12, date: 15 };
  const { month, date } = panorama.tried.value.day ?? day;
  const dark = panorama.view.value?.picture.darkestMonth ?? 12;
  const at = dayOfYear(month, date);
  const put = (next: { month: number; date: number }, gesture?: string) =>
    panorama.attempt(
      { day: { month: next.month, date: Math.min(next.date, DAYS_IN_MONTH[next.month - 1]!) } },
      gesture,
    );
  const usual: readonly [string, number, number][] = [
    [figures.value.day(dayOfYear(6, 21)), 6, 21],
    [figures.value.day(dayOfYear(3, 20)), 3, 20],
    [figures.value.day(dayOfYear(12, 21)), 12, 21],
    ['darkest month', dark, 15],
  ];
  return (
    <div class="control day-control">
      <div class="control-line">
        <label for={`${id}-d`}>day</label>
        <span />
        <span class="date">
          <input
            id={`${id}-d`}
            type="number"
            class="figures"
            min={1}
            max={DAYS_IN_MONTH[month - 1]!}
            value={date}
            onInput={(event) => {
              const value = event.currentTarget.valueAsNumber;
              if (Number.isInteger(value) && value >= 1) put({ month, date: value }, 'day');
            }}
            onBlur={panorama.endGesture}
          />
          <select
            aria-label="month"
            value={String(month)}
            onChange={(event) => put({ month: Number(event.currentTarget.value), date })}
          >
            {MONTH_NAMES.map((name, m) => (
              <option key={name} value={String(m + 1)}>
                {name}
              </option>
            ))}
          </select>
        </span>
      </div>
      <input
        type="range"
        aria-label="day of the year, slider"
        aria-valuetext={figures.value.day(at)}
        min={0}
        max={LAST}
        step={1}
        value={at}
        style={{ '--share': `${(100 * at) / LAST}%` }}
        onInput={(event) => put(dateOf(event.currentTarget.valueAsNumber), 'day')}
        onPointerUp={panorama.endGesture}
        onBlur={panorama.endGesture}
      />
      <div class="days">
        {usual.map(([name, m, d]) => (
          <button
            key={name}
            type="button"
            class="plain"
            aria-pressed={month === m && date === d}
            onClick={() => put({ month: m, date: d })}
          >
            {name}
          </button>
        ))}
      </div>
    </div>
  );
}

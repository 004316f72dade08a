/** A value for the whole year, or twelve. */
import { useId, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { MONTH_NAMES } from '../../report/index.ts';
import { unitOf } from '../display/units.ts';
import { Problems } from '../parts/problems.tsx';
import { decimal, format, settings } from '../state/settings.ts';
import type { Field } from './schema-fields.ts';
import { hintOf, holdsText, shownValue, storedValue } from './values.ts';

export interface MonthlyProps {
  readonly name: string;
  readonly label: string;
  readonly spec: Field;
  readonly value: unknown;
  readonly fallback?: unknown;
  readonly problems: readonly Problem[];
  readonly onChange: (value: unknown) => void;
}

export function MonthlyField(props: MonthlyProps) {
  const { name, label, spec, value, fallback, problems, onChange } = props;
  const id = useId();
  const [typed, setTyped] = useState<{ readonly at: number; readonly text: string } | null>(null);
  const unit = unitOf(spec.key, settings.value);
  const single = spec.kind !== 'monthly';
  const list = Array.isArray(value) ? value : undefined;
  // A field that takes one number as well stays one field until twelve are asked for.
  const twelve = list !== undefined || (!single && value !== undefined);
  const start = typeof value === 'number' ? value : typeof fallback === 'number' ? fallback : 0;
  const store = (text: string) => storedValue(text, spec, settings.value, decimal);
  const shown = (item: unknown) => shownValue(item, spec, settings.value, format.value);
  const cell = (at: number) => (typed?.at === at ? typed.text : shown(at < 0 ? value : list?.[at]));
  const put = (at: number, text: string) => {
    setTyped({ at, text });
    if (at < 0) return onChange(store(text));
    onChange((list ?? Array.from({ length: 12 }, () => start)).map((v, i) => (i === at ? (store(text) ?? null) : v)));
  };
  const input = (at: number, accessible: string) => (
    <input
      id={at < 0 ? id : undefined}
      type="text"
      class="figures"
      inputMode="decimal"
      autocomplete="off"
      aria-label={accessible}
      aria-describedby={`${id}-d ${id}-p`}
      aria-invalid={problems.length > 0}
      value={cell(at)}
      placeholder={at < 0 ? holdsText(fallback, spec) : ''}
      onInput={(event) => put(at, event.currentTarget.value)}
      onBlur={() => setTyped(null)}
    />
  );
  return (
    <div class={`field monthly${problems.length > 0 ? ' wrong' : ''}`} data-field={name}>
      <span class="label">{label}</span>
      {twelve ? (
        <span class="months">
          {MONTH_NAMES.map((month, i) => (
            <span class="month" key={month}>
              <span aria-hidden="true">{month.slice(0, 3)}</span>
              {input(i, `${label}, ${month}`)}
            </span>
          ))}
          {unit.symbol === '' ? null : <span class="unit">{unit.symbol}</span>}
        </span>
      ) : (
        <span class="entry">
          {single ? input(-1, label) : null}
          {single && unit.symbol !== '' ? <span class="unit">{unit.symbol}</span> : null}
        </span>
      )}
      <button
        type="button"
        class="plain"
        onClick={() => onChange(twelve ? (single ? list?.[0] : undefined) : Array.from({ length: 12 }, () => start))}
      >
        {twelve ? (single ? 'one value for the year' : 'take it away') : 'twelve values'}
      </button>
      <span class="hint" id={`${id}-d`}>
        {hintOf(spec.description, label)}
      </span>
      <div class="at-field" id={`${id}-p`}>
        <Problems list={problems} />
      </div>
    </div>
  );
}

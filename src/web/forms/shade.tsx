/** The share of light that passes trees and the like: one number, or a row of 24 hours for each month. */
import { useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { MONTH_NAMES } from '../../report/index.ts';
import { parseNumber } from '../display/numbers.ts';
import { Problems, problemsAt } from '../parts/problems.tsx';
import { decimal, format } from '../state/settings.ts';
import { FieldInput, type FieldInputProps } from './field-input.tsx';

export function ShadeField(props: FieldInputProps & { readonly onAct: (value: unknown) => void }) {
  const { name, value, problems, onAct } = props;
  const rows = Array.isArray(value) ? (value as readonly unknown[]) : undefined;
  const start = typeof value === 'number' ? value : 1;
  return (
    <div class="list-field">
      {rows === undefined ? (
        <FieldInput {...props} />
      ) : (
        <HourRows {...{ name, rows, problems }} onChange={props.onChange} />
      )}
      <button
        type="button"
        class="plain"
        onClick={() =>
          onAct(rows ? undefined : Array.from({ length: 12 }, () => Array.from({ length: 24 }, () => start)))
        }
      >
        {rows ? 'take the shade by hours away' : 'shade by month and hour'}
      </button>
    </div>
  );
}

function HourRows(props: {
  readonly name: string;
  readonly rows: readonly unknown[];
  readonly problems: readonly Problem[];
  readonly onChange: (value: unknown) => void;
}) {
  const { name, rows, problems, onChange } = props;
  const [typed, setTyped] = useState<{ readonly at: number; readonly text: string } | null>(null);
  const shown = (row: unknown) =>
    Array.isArray(row)
      ? row.map((v) => (typeof v === 'number' ? format.value.editable(v) : String(v))).join('  ')
      : String(row);
  const put = (at: number, text: string) => {
    setTyped({ at, text });
    // Numbers apart by spaces or semicolons; what is none stays text, so that the checks can say so.
    const values = text.split(/[\s;]+/).filter(Boolean);
    const row = values.map((v) => parseNumber(v, decimal) ?? v);
    onChange(rows.map((r, i) => (i === at ? row : r)));
  };
  return (
    <div data-field={name}>
      <p class="quiet">
        Light that passes, 0 none to 1 all: for each month the 24 hours from midnight, local standard time, with spaces
        between.
      </p>
      {rows.map((row, i) => {
        const wrong = problemsAt(problems, `${name}[${i}]`);
        const month = MONTH_NAMES[i] ?? `row ${i + 1}`;
        return (
          <div class={`shade-row${wrong.length > 0 ? ' wrong' : ''}`} key={i}>
            <label for={`${name}-${i}`}>{month}</label>
            <input
              id={`${name}-${i}`}
              type="text"
              class="hours"
              autocomplete="off"
              spellcheck={false}
              aria-invalid={wrong.length > 0}
              aria-describedby={`${name}-${i}-p`}
              value={typed?.at === i ? typed.text : shown(row)}
              onInput={(event) => put(i, event.currentTarget.value)}
              onBlur={() => setTyped(null)}
            />
            <div id={`${name}-${i}-p`}>
              <Problems list={wrong} />
            </div>
          </div>
        );
      })}
      <Problems list={problems.filter((p) => p.place?.field === name)} />
    </div>
  );
}

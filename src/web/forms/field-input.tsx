/** One field: its label, its value with the unit, what it is for, and what is wrong with it. */
import { useId, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { unitOf } from '../display/units.ts';
import { Problems } from '../parts/problems.tsx';
import { decimal, format, settings } from '../state/settings.ts';
import type { Field } from './schema-fields.ts';
import { hintOf, holdsText, shownValue, storedValue } from './values.ts';

export interface FieldInputProps {
  readonly name: string;
  readonly label: string;
  readonly spec: Field;
  readonly value: unknown;
  /** What holds while the field is empty. */
  readonly fallback?: unknown;
  readonly problems: readonly Problem[];
  readonly onChange: (value: unknown) => void;
}

export function FieldInput(props: FieldInputProps) {
  const { name, label, spec, problems } = props;
  const id = useId();
  const unit = unitOf(spec.key, settings.value);
  const hint = hintOf(spec.description, label);
  const described = `${id}-d ${id}-p`;
  return (
    <div class={`field${problems.length > 0 ? ' wrong' : ''}`} data-field={name}>
      <label for={id}>{label}</label>
      <span class="entry">
        {spec.kind === 'choice' || spec.kind === 'yes-no' ? (
          <Choice {...{ id, described, props }} />
        ) : (
          <Typed {...{ id, described, props }} />
        )}
        {unit.symbol === '' ? null : <span class="unit">{unit.symbol}</span>}
      </span>
      <span class="hint" id={`${id}-d`}>
        {hint}
      </span>
      <div class="at-field" id={`${id}-p`}>
        <Problems list={problems} />
      </div>
    </div>
  );
}

/** The entry alone, for a cell of a table: its label is for a screen reader, unit and hint stand in the head. */
export function BareInput(props: FieldInputProps & { readonly describedBy?: string }) {
  const id = useId();
  const inner = { id, described: props.describedBy ?? '', props, label: props.label };
  return props.spec.kind === 'choice' || props.spec.kind === 'yes-no' ? <Choice {...inner} /> : <Typed {...inner} />;
}

interface Inner {
  /** Said to a screen reader where no label stands beside. */
  readonly label?: string;
  readonly id: string;
  readonly described: string;
  readonly props: FieldInputProps;
}

function Choice({ id, described, props, label }: Inner) {
  const { spec, value, fallback, problems, onChange } = props;
  const choices = spec.kind === 'yes-no' ? ['true', 'false'] : (spec.choices ?? []);
  const said = (choice: string) => (spec.kind === 'yes-no' ? (choice === 'true' ? 'yes' : 'no') : choice);
  const now = value === undefined ? '' : String(value);
  const unknown = now !== '' && !choices.includes(now);
  const absent =
    fallback === undefined || typeof fallback === 'object' ? 'not given' : `not given: ${said(String(fallback))}`;
  return (
    <select
      id={id}
      value={now}
      aria-label={label}
      aria-invalid={problems.length > 0}
      aria-describedby={described}
      onChange={(event) => onChange(storedValue(event.currentTarget.value, spec, settings.value, decimal))}
    >
      <option value="">{absent}</option>
      {choices.map((choice) => (
        <option key={choice} value={choice}>
          {said(choice)}
        </option>
      ))}
      {unknown ? <option value={now}>{now}</option> : null}
    </select>
  );
}

function Typed({ id, described, props, label }: Inner) {
  const { spec, value, fallback, problems, onChange } = props;
  const shown = shownValue(value, spec, settings.value, format.value);
  // While someone types, the field keeps what was typed.
  const [typed, setTyped] = useState<string | null>(null);
  const numeric = spec.kind === 'number' || spec.kind === 'whole';
  return (
    <input
      id={id}
      type="text"
      class={numeric ? 'figures' : undefined}
      inputMode={numeric ? 'decimal' : 'text'}
      autocomplete="off"
      spellcheck={false}
      value={typed ?? shown}
      placeholder={holdsText(fallback, spec)}
      aria-label={label}
      aria-invalid={problems.length > 0}
      aria-describedby={described}
      onInput={(event) => {
        const text = event.currentTarget.value;
        setTyped(text);
        onChange(storedValue(text, spec, settings.value, decimal));
      }}
      onBlur={() => setTyped(null)}
    />
  );
}

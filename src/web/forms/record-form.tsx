/** The form of a kit or perch over its text: every edit changes the text, every check is that of the schema. */
import { useMemo, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { REFERENCE_CLIMATES } from '../../core/weather/index.ts';
import type { Path } from '../../records/loose.ts';
import { problemsAt } from '../parts/problems.tsx';
import { ClimateChoice } from './climate.tsx';
import { FieldInput } from './field-input.tsx';
import { HorizonField } from './horizon.tsx';
import { type FormField, type FormGroup, KIT_FORM, PERCH_FORM } from './main-fields.ts';
import { MonthlyField } from './monthly.tsx';
import { PartChoice } from './part-choice.tsx';
import { fieldReader } from './schema-fields.ts';
import { fullName, valueAt } from './values.ts';

export interface FormProps {
  readonly kind: 'kit' | 'perch';
  /** The record as its text says it. */
  readonly raw: unknown;
  /** The record with parts and defaults filled in, where it is valid: shown where a field is left empty. */
  readonly whole: unknown;
  readonly problems: readonly Problem[];
  readonly onEdit: (path: Path, value: unknown) => void;
}

export function RecordForm(props: FormProps) {
  const groups = props.kind === 'kit' ? KIT_FORM : PERCH_FORM;
  return (
    <div class="form">
      {groups.map((group) => (
        <Group key={group.heading} group={group} form={props} />
      ))}
    </div>
  );
}

function Group({ group, form }: { readonly group: FormGroup; readonly form: FormProps }) {
  const { kind, raw, problems, onEdit } = form;
  const [more, setMore] = useState(false);
  const several =
    group.fields.some(({ path }) => Array.isArray(valueAt(raw, path.slice(0, 1)))) && group.heading === 'Panel';
  if (several)
    return (
      <fieldset>
        <legend>{group.heading}</legend>
        <p class="quiet">This kit has several panels: they are edited in the text.</p>
      </fieldset>
    );
  const wrongMore = group.fields.some(
    ({ path, more: hidden }) => hidden && problemsAt(problems, fullName(kind, path)).length > 0,
  );
  const visible = group.fields.filter((f) => !f.more || more || wrongMore || valueAt(raw, f.path) !== undefined);
  const hidden = group.fields.length - visible.length;
  return (
    <fieldset>
      <legend>{group.heading}</legend>
      {group.parts ? (
        <PartChoice
          list={group.parts.list}
          part={valueAt(raw, [...group.parts.path, 'part'])}
          label={`${group.heading.toLowerCase()}: generic part`}
          problems={problemsAt(problems, fullName(kind, [...group.parts.path, 'part']))}
          onChange={(id) => onEdit([...group.parts!.path, 'part'], id)}
        />
      ) : null}
      {visible.map((f) => (
        <OneField key={f.path.join('.')} field={f} form={form} />
      ))}
      {hidden > 0 || more ? (
        <button type="button" class="plain" aria-expanded={more} onClick={() => setMore(!more)}>
          {more ? 'fewer fields' : `${hidden} more ${hidden === 1 ? 'field' : 'fields'}`}
        </button>
      ) : null}
    </fieldset>
  );
}

function OneField({ field, form }: { readonly field: FormField; readonly form: FormProps }) {
  const { kind, raw, whole, problems, onEdit } = form;
  const reader = useMemo(() => fieldReader(kind), [kind]);
  const spec = useMemo(() => reader(field.path), [reader, field]);
  const name = fullName(kind, field.path);
  const value = valueAt(raw, field.path);
  const common = {
    label: field.label,
    spec,
    value,
    onChange: (next: unknown) => onEdit(field.path, next),
  };
  if (name === 'perch.horizon')
    return (
      <HorizonField value={value} perch={whole} problems={problemsAt(problems, name)} onChange={common.onChange} />
    );
  if (name === 'perch.climate')
    return (
      <ClimateChoice
        value={value}
        climates={REFERENCE_CLIMATES}
        problems={problems.filter((p) => p.place?.field === name || p.place?.field === 'perch.climate.nearest')}
        onChange={common.onChange}
      />
    );
  if (name.startsWith('perch.climate.') && valueAt(raw, ['climate', 'monthly']) === undefined) return null;
  if (spec.kind === 'monthly' || spec.monthly)
    return <MonthlyField {...common} name={name} problems={problemsAt(problems, name)} fallback={spec.fallback} />;
  return (
    <FieldInput
      {...common}
      name={name}
      problems={problemsAt(problems, name)}
      fallback={valueAt(whole, field.path) ?? spec.fallback}
    />
  );
}

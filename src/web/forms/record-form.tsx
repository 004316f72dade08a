/** The form of a kit or perch over its text: every edit changes the text, every check is that of the schema. */
import { useMemo, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { REFERENCE_CLIMATES } from '../../core/weather/index.ts';
import { MAX_PANELS } from '../../records/index.ts';
import { copyOf, type Path } from '../../records/loose.ts';
import { Problems, problemsAt } from '../parts/problems.tsx';
import { ClimateChoice } from './climate.tsx';
import { FieldInput } from './field-input.tsx';
import { HorizonField } from './horizon.tsx';
import { ListActs, useListFocus } from './list-acts.tsx';
import { LoadParts } from './load-parts.tsx';
import { type FormField, type FormGroup, KIT_FORM, PERCH_FORM } from './main-fields.ts';
import { MonthlyField } from './monthly.tsx';
import { PartChoice } from './part-choice.tsx';
import { fieldReader } from './schema-fields.ts';
import { ShadeField } from './shade.tsx';
import { fullName, valueAt } from './values.ts';

export interface FormProps {
  readonly kind: 'kit' | 'perch';
  /** The record as its text says it. */
  readonly raw: unknown;
  /** The record with parts and defaults filled in, where it is valid: shown where a field is left empty. */
  readonly whole: unknown;
  readonly problems: readonly Problem[];
  readonly onEdit: (path: Path, value: unknown) => void;
  /** Entries that come, go or change places: one step to undo each. */
  readonly onList: (path: Path, value: unknown) => void;
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
  if (group.heading === 'Panel' && form.kind === 'kit') return <Panels group={group} form={form} />;
  return (
    <fieldset>
      <legend>{group.heading}</legend>
      <GroupFields {...{ group, form }} />
    </fieldset>
  );
}

/** The same group one level down, at the entry of a list. */
const inList = (group: FormGroup, at: number): FormGroup => ({
  heading: `${group.heading} ${at + 1}`,
  ...(group.parts ? { parts: { ...group.parts, path: [...group.parts.path, at] } } : {}),
  fields: group.fields.map((f) => ({ ...f, path: [f.path[0]!, at, ...f.path.slice(1)] })),
});

/** One panel, or several: each with its own fields. */
function Panels({ group, form }: { readonly group: FormGroup; readonly form: FormProps }) {
  const value = valueAt(form.raw, ['panel']);
  const { ref, after } = useListFocus<HTMLFieldSetElement>();
  const list: readonly unknown[] = Array.isArray(value) ? value : [value ?? {}];
  const put = (next: readonly unknown[]) => form.onList(['panel'], next.length === 1 ? next[0] : next);
  // What is wrong with the list as a whole; the entries tell their own.
  const here = Array.isArray(value) ? form.problems.filter((p) => p.place?.field === 'kit.panel') : [];
  return (
    <fieldset ref={ref} data-field="kit.panel">
      <legend>{list.length === 1 ? group.heading : `${list.length} panels`}</legend>
      {Array.isArray(value) ? (
        list.map((_, i) => (
          <section class="entry-group" key={i} aria-label={`Panel ${i + 1}`}>
            <div class="entry-head">
              <h3>Panel {i + 1}</h3>
              <ListActs name={`panel ${i + 1}`} list={list} at={i} onChange={put} after={after} least={1} />
            </div>
            <GroupFields group={inList(group, i)} form={form} />
          </section>
        ))
      ) : (
        <GroupFields {...{ group, form }} />
      )}
      <button
        type="button"
        class="plain"
        data-act="add-0"
        disabled={list.length >= MAX_PANELS}
        onClick={() => put([...list, copyOf(list.at(-1))])}
      >
        add a panel like {list.length === 1 ? 'this one' : 'the last'}
      </button>
      <Problems list={here} />
    </fieldset>
  );
}

function GroupFields({ group, form }: { readonly group: FormGroup; readonly form: FormProps }) {
  const { kind, raw, problems, onEdit } = form;
  const [more, setMore] = useState(false);
  const wrongMore = group.fields.some(
    ({ path, more: hidden }) => hidden && problemsAt(problems, fullName(kind, path)).length > 0,
  );
  const visible = group.fields.filter((f) => !f.more || more || wrongMore || valueAt(raw, f.path) !== undefined);
  const hidden = group.fields.length - visible.length;
  return (
    <>
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
        <p class="more">
          <button type="button" class="plain" aria-expanded={more} onClick={() => setMore(!more)}>
            {more ? 'fewer fields' : `${hidden} more ${hidden === 1 ? 'field' : 'fields'}`}
          </button>
        </p>
      ) : null}
    </>
  );
}

function OneField({ field, form }: { readonly field: FormField; readonly form: FormProps }) {
  const { kind, raw, whole, problems, onEdit, onList } = form;
  const reader = useMemo(() => fieldReader(kind), [kind]);
  const name = fullName(kind, field.path);
  // Two forms of one field share a place in the schema: the spec hangs on the path's text.
  const spec = useMemo(() => reader(field.path), [reader, name]);
  const value = valueAt(raw, field.path);
  const common = {
    label: field.label,
    spec,
    value,
    onChange: (next: unknown) => onEdit(field.path, next),
  };
  if (name === 'perch.horizon')
    return (
      <HorizonField
        {...{ value, reader, onEdit }}
        perch={whole}
        problems={problemsAt(problems, name)}
        onList={(next) => onList(field.path, next)}
      />
    );
  if (name === 'kit.load.parts')
    return (
      <LoadParts
        {...{ value, reader, onEdit }}
        whole={valueAt(whole, ['load'])}
        problems={problemsAt(problems, name)}
        onList={(next) => onList(field.path, next)}
      />
    );
  if (spec.key === 'shade')
    return (
      <ShadeField
        {...common}
        name={name}
        problems={problemsAt(problems, name)}
        onAct={(next) => onList(field.path, next)}
      />
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

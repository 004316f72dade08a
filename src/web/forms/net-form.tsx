/** The form of a net over its text: its name, the radio setting that all share, and which kit stands at which perch. */
import { useEffect, useMemo } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import type { Path } from '../../records/loose.ts';
import type { RecordSummary } from '../../server/api.ts';
import { Picker } from '../parts/picker.tsx';
import { Problems, problemsAt } from '../parts/problems.tsx';
import { format } from '../state/settings.ts';
import { kits, loadWorkshop, overview, perches } from '../state/workshop.ts';
import { FieldInput } from './field-input.tsx';
import { ListActs, useListFocus } from './list-acts.tsx';
import { fieldReader } from './schema-fields.ts';
import { valueAt } from './values.ts';

const RADIO = [
  ['frequency_MHz', 'carrier'],
  ['spreadingFactor', 'spreading factor'],
  ['bandwidth_kHz', 'bandwidth'],
  ['codingRate', 'coding rate'],
] as const;
/** Where nobody has told one: a setting under the European short-range rules, as in the examples. */
const SHARED = { frequency_MHz: 869.525, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: '4/6' };
/** Members with entries of their own; more are edited as text. */
const SHOWN = 200;

export interface NetFormProps {
  readonly raw: unknown;
  readonly problems: readonly Problem[];
  readonly onEdit: (path: Path, value: unknown) => void;
  /** Members that come, go or change places: one step to undo each. */
  readonly onList: (path: Path, value: unknown) => void;
}

export function NetForm({ raw, problems, onEdit, onList }: NetFormProps) {
  const reader = useMemo(() => fieldReader('net'), []);
  useEffect(() => {
    if (overview.value === null) void loadWorkshop();
  }, []);
  const field = (path: Path, label: string) => (
    <FieldInput
      key={label}
      name={`net.${path.join('.')}`}
      label={label}
      spec={reader(path)}
      value={valueAt(raw, path)}
      problems={problemsAt(problems, `net.${path.join('.')}`)}
      onChange={(value) => onEdit(path, value)}
    />
  );
  const shared = valueAt(raw, ['radio']) !== undefined;
  return (
    <div class="form">
      <fieldset>
        <legend>The net</legend>
        {field(['name'], 'name')}
      </fieldset>
      <fieldset data-field="net.radio">
        <legend>Radio setting</legend>
        {shared ? (
          RADIO.map(([key, label]) => field(['radio', key], label))
        ) : (
          <p class="quiet">Each kit keeps its own setting; nodes hear each other only where these are the same.</p>
        )}
        <p class="more">
          <button type="button" class="plain" onClick={() => onList(['radio'], shared ? undefined : SHARED)}>
            {shared ? 'let each kit keep its own' : 'set one for all'}
          </button>
        </p>
      </fieldset>
      <Members {...{ raw, problems, onList }} />
    </div>
  );
}

interface Member {
  readonly perch?: unknown;
  readonly kit?: unknown;
}

const keyOf = ({ id }: RecordSummary): string => id.slice(id.indexOf(':') + 1);

function Members({ raw, problems, onList }: Omit<NetFormProps, 'onEdit'>) {
  const { ref, after } = useListFocus<HTMLFieldSetElement>();
  const value = valueAt(raw, ['members']);
  const list = Array.isArray(value) ? (value as readonly Member[]) : [];
  const put = (next: readonly unknown[]) => onList(['members'], next);
  const taken = new Set(list.map((m) => m?.perch));
  const free = perches.value.find((p) => !taken.has(keyOf(p)));
  const kit = list.at(-1)?.kit ?? (kits.value[0] && keyOf(kits.value[0]));
  const change = (at: number, part: Member) => put(list.map((m, i) => (i === at ? { ...m, ...part } : m)));
  return (
    <fieldset ref={ref} data-field="net.members">
      <legend>{format.value.figure(list.length, 9)} members</legend>
      <ol class="members">
        {list.slice(0, SHOWN).map((member, i) => (
          <li key={`${i} ${String(member?.perch)}`}>
            <span class="pair">
              <KeyPicker
                label={`perch of member ${i + 1}`}
                list={perches.value}
                value={member?.perch}
                onChange={(perch) => change(i, { perch })}
              />{' '}
              with{' '}
              <KeyPicker
                label={`kit of member ${i + 1}`}
                list={kits.value}
                value={member?.kit}
                onChange={(key) => change(i, { kit: key })}
              />
            </span>
            <ListActs name={`member ${i + 1}`} list={list} at={i} onChange={put} after={after} least={1} />
            <Problems list={problemsAt(problems, `net.members[${i}]`)} />
          </li>
        ))}
      </ol>
      {list.length > SHOWN ? (
        <p class="quiet">The first {format.value.figure(SHOWN, 9)} are shown; the others stand in the text.</p>
      ) : null}
      <button
        type="button"
        class="plain"
        data-act="add-0"
        disabled={free === undefined || kit === undefined}
        onClick={() => free && put([...list, { perch: keyOf(free), kit }])}
      >
        add a member
      </button>
      {free === undefined ? (
        <p class="quiet">Every perch of the workshop is a member: a new one joins after it is made.</p>
      ) : null}
      <Problems list={problems.filter((p) => p.place?.field === 'net.members')} />
    </fieldset>
  );
}

/** Chooses by key; one that is not in the workshop stays, and is told. */
function KeyPicker(props: {
  readonly label: string;
  readonly list: readonly RecordSummary[];
  readonly value: unknown;
  readonly onChange: (key: string) => void;
}) {
  const { label, list, value, onChange } = props;
  const known = list.find((r) => keyOf(r) === value);
  const said = typeof value === 'string' && value !== '' ? `${value} (not in this workshop)` : 'none chosen';
  const all: readonly RecordSummary[] =
    known === undefined ? [{ id: '', kind: 'kit', name: said, revision: 0, saved: '', strip: null }, ...list] : list;
  return (
    <Picker
      label={label}
      list={all}
      value={known?.id ?? ''}
      onChange={(id) => {
        if (id !== '') onChange(id.slice(id.indexOf(':') + 1));
      }}
    />
  );
}

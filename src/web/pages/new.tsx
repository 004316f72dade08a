/** A new kit from generic parts, or a new perch from its position; either is complete at once and can be edited. */
import { useMemo, useState } from 'preact/hooks';
import { newRecord } from '../../app/new.ts';
import type { Problem } from '../../core/units/index.ts';
import { CELLS, CHARGERS, PANELS } from '../../records/index.ts';
import type { FormKind } from '../../server/api.ts';
import { problemsOf } from '../compute/engine.ts';
import { parseNumber } from '../display/numbers.ts';
import { unitOf } from '../display/units.ts';
import { Problems } from '../parts/problems.tsx';
import { editorOf, go, start } from '../routes.ts';
import { notify } from '../state/notices.ts';
import { decimal, settings } from '../state/settings.ts';
import { callProblems, save } from '../state/workshop.ts';

type Values = Readonly<Record<string, string>>;

interface Entry {
  readonly key: string;
  readonly label: string;
  readonly hint: string;
  readonly choices?: readonly { readonly id: string; readonly title: string }[];
}

const ENTRIES: Readonly<Record<FormKind, readonly Entry[]>> = {
  kit: [
    { key: 'name', label: 'name', hint: 'What you call the design, e.g. Birch 1' },
    {
      key: 'panel',
      label: 'panel',
      hint: 'The nearest generic one; your own figures can override it',
      choices: PANELS,
    },
    { key: 'charger', label: 'charger', hint: 'By how it loads the panel', choices: CHARGERS },
    { key: 'cells', label: 'cells', hint: 'By size and chemistry', choices: CELLS },
    { key: 'count', label: 'cells in parallel', hint: 'A whole number' },
  ],
  perch: [
    { key: 'name', label: 'name', hint: 'What you call the place' },
    { key: 'latitude_deg', label: 'latitude', hint: 'North is positive, e.g. 46.4' },
    { key: 'longitude_deg', label: 'longitude', hint: 'East is positive, e.g. 10.2' },
    { key: 'elevation_m', label: 'height above the sea', hint: 'Decides how cold it gets' },
  ],
};

const FIRST: Readonly<Record<FormKind, Values>> = {
  kit: { name: '', panel: 'panel-3.5W-6V-etfe', charger: 'charger-tracking-1A', cells: 'cell-18650-3350', count: '3' },
  perch: { name: '', latitude_deg: '', longitude_deg: '', elevation_m: '' },
};

const NUMBERS = new Set(['count', 'latitude_deg', 'longitude_deg', 'elevation_m']);

/** The use case names options of the command line; here they are fields. */
const FIELD_OF_OPTION: Readonly<Record<string, string>> = {
  '--lat': 'latitude_deg',
  '--lon': 'longitude_deg',
  '--elevation': 'elevation_m',
};

function atField(kind: FormKind, problem: Problem): Problem {
  const option = problem.place?.field ?? '';
  const key = FIELD_OF_OPTION[option] ?? option.replace(/^--|^(kit|perch)\./g, '');
  const label = ENTRIES[kind].find((entry) => entry.key === key)?.label;
  return {
    code: problem.code,
    message: label === undefined ? problem.message : problem.message.replace(option, label),
    place: { field: key },
  };
}

function textOf(kind: FormKind, values: Values): { text: string } | { problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const given: Record<string, unknown> = {};
  for (const { key, label } of ENTRIES[kind]) {
    const typed = (values[key] ?? '').trim();
    if (typed === '') {
      problems.push({ code: 'missing', message: `${label} is missing`, place: { field: key } });
      continue;
    }
    const number = NUMBERS.has(key) ? parseNumber(typed, decimal) : undefined;
    if (NUMBERS.has(key) && number === undefined)
      problems.push({
        code: 'wrong-type',
        message: `${label} is the text "${typed}": wanted a number alone`,
        place: { field: key },
      });
    given[key] = number === undefined ? typed : unitOf(key, settings.value).toStored(number);
  }
  if (problems.length > 0) return { problems };
  try {
    return { text: newRecord({ kind, ...given } as Parameters<typeof newRecord>[0]) };
  } catch (error) {
    return { problems: problemsOf(error).map((p) => atField(kind, p)) };
  }
}

export function NewPage({ kind }: { readonly kind: FormKind }) {
  const [values, setValues] = useState<Values>(FIRST[kind]);
  const [touched, setTouched] = useState<ReadonlySet<string>>(new Set());
  const [refused, setRefused] = useState<readonly Problem[]>([]);
  const made = useMemo(() => textOf(kind, values), [kind, values]);
  const problems = 'problems' in made ? made.problems : refused;
  const at = (key: string) => (touched.has(key) ? problems.filter((p) => p.place?.field === key) : []);
  const elsewhere = problems.filter(
    (p) => touched.size > 0 && !ENTRIES[kind].some(({ key }) => key === p.place?.field),
  );
  const make = async () => {
    setTouched(new Set(ENTRIES[kind].map(({ key }) => key)));
    if (!('text' in made)) {
      const first = ENTRIES[kind].find(({ key }) => problems.some((p) => p.place?.field === key));
      if (first) document.getElementById(`new-${first.key}`)?.focus();
      return;
    }
    try {
      const saved = await save(undefined, { kind, value: undefined, text: made.text });
      notify(`${saved.name} was made.`);
      go(editorOf(kind, saved.id));
    } catch (error) {
      setRefused(callProblems(error));
    }
  };
  return (
    <div class="page">
      <main>
        <p class="thing">
          <b>{kind === 'kit' ? 'New kit' : 'New perch'}</b>
          <a href={start}>back to the workshop</a>
        </p>
        <h1>
          {kind === 'kit'
            ? 'Name the kit and choose what comes nearest; every figure can be changed afterwards.'
            : 'Say where the perch is; skyline, snow and climate can be told afterwards.'}
        </h1>
        <form
          class="form single"
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            void make();
          }}
        >
          <fieldset>
            <legend>{kind === 'kit' ? 'The design' : 'The place'}</legend>
            {ENTRIES[kind].map((entry) => (
              <Row
                key={entry.key}
                entry={entry}
                value={values[entry.key] ?? ''}
                problems={at(entry.key)}
                onChange={(text) => {
                  setRefused([]);
                  setValues({ ...values, [entry.key]: text });
                }}
                onLeave={() => setTouched(new Set([...touched, entry.key]))}
              />
            ))}
          </fieldset>
          <Problems list={elsewhere} />
          <div class="actions">
            <button type="submit" class="main">
              {kind === 'kit' ? 'Make the kit' : 'Make the perch'}
            </button>
          </div>
        </form>
      </main>
    </div>
  );
}

function Row(props: {
  readonly entry: Entry;
  readonly value: string;
  readonly problems: readonly Problem[];
  readonly onChange: (text: string) => void;
  readonly onLeave: () => void;
}) {
  const { entry, value, problems, onChange, onLeave } = props;
  const id = `new-${entry.key}`;
  const unit = unitOf(entry.key, settings.value).symbol;
  return (
    <div class={`field${problems.length > 0 ? ' wrong' : ''}`} data-field={entry.key}>
      <label for={id}>{entry.label}</label>
      <span class="entry">
        {entry.choices ? (
          <select id={id} value={value} aria-describedby={`${id}-d`} onChange={(e) => onChange(e.currentTarget.value)}>
            {entry.choices.map((c) => (
              <option key={c.id} value={c.id}>
                {c.title}
              </option>
            ))}
          </select>
        ) : (
          <input
            id={id}
            type="text"
            class={NUMBERS.has(entry.key) ? 'figures' : undefined}
            inputMode={NUMBERS.has(entry.key) ? 'decimal' : 'text'}
            autocomplete="off"
            value={value}
            aria-invalid={problems.length > 0}
            aria-describedby={`${id}-d ${id}-p`}
            onInput={(e) => onChange(e.currentTarget.value)}
            onBlur={onLeave}
          />
        )}
        {unit === '' ? null : <span class="unit">{unit}</span>}
      </span>
      <span class="hint" id={`${id}-d`}>
        {entry.hint}
      </span>
      <div class="at-field" id={`${id}-p`}>
        <Problems list={problems} />
      </div>
    </div>
  );
}

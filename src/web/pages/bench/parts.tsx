/** Small parts that the pages of the bench share. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import { standingShape, type UnitStanding } from '../../../report/index.ts';
import { Problems } from '../../parts/problems.tsx';
import { type Done, doDeed, type OwnDeed, tellRefused } from '../../state/bench.ts';

/** Shape and word of a standing; the shape is that of the picture. */
export function Standing({ standing }: { readonly standing: UnitStanding }) {
  const shape = standingShape(standing, 10, 10, 20);
  return (
    <span class="state-word">
      <svg
        class="sp"
        width="18"
        height="18"
        viewBox="0 0 20 20"
        aria-hidden="true"
        dangerouslySetInnerHTML={{ __html: shape }}
      />
      {standing}
    </span>
  );
}

export interface Acting {
  readonly busy: boolean;
  readonly problems: readonly Problem[];
  /** Does a deed; true when it was kept or waits to be sent. */
  act(deed: OwnDeed, said: string): Promise<boolean>;
  clear(): void;
}

/** Doing deeds from a form: one at a time, with what was wrong. */
export function useAct(onDone?: (done: Done) => void): Acting {
  const [busy, setBusy] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const here = useRef(true);
  useEffect(
    () => () => {
      here.current = false;
    },
    [],
  );
  return {
    busy,
    problems,
    clear: () => setProblems([]),
    async act(deed, said) {
      setBusy(true);
      try {
        const done = await doDeed(deed, said);
        // The page may have gone on meanwhile, and this form with it.
        if (done.how === 'refused' && !here.current) tellRefused(said, done.problems);
        setProblems(done.how === 'refused' ? done.problems : []);
        onDone?.(done);
        return done.how !== 'refused';
      } finally {
        setBusy(false);
      }
    },
  };
}

export interface FieldOf {
  readonly key: string;
  readonly label: string;
  readonly start?: string;
  readonly choices?: readonly (readonly [value: string, text: string])[];
  readonly optional?: boolean;
  readonly figures?: boolean;
  /** May be below zero: the keyboard of figures has no minus on some phones. */
  readonly negative?: boolean;
  readonly date?: boolean;
  readonly hint?: string;
}

/** A short form: fields in a column, one button, problems below it. Empties itself when the deed was taken. */
export function DeedForm(props: {
  readonly id: string;
  readonly fields: readonly FieldOf[];
  readonly button: string;
  /** What stands above the button; may follow what is typed. */
  readonly children?: ComponentChildren | ((values: Readonly<Record<string, string>>) => ComponentChildren);
  /** The deed of the values, or what is wrong with them. */
  readonly deedOf: (
    values: Readonly<Record<string, string>>,
  ) => { readonly deed: OwnDeed; readonly said: string } | Problem;
  readonly keep?: boolean;
  readonly onDone?: (done: Done) => void;
}) {
  const { id, fields, button, deedOf, keep, onDone } = props;
  const fresh = () => Object.fromEntries(fields.map((f) => [f.key, f.start ?? f.choices?.[0]?.[0] ?? '']));
  const [values, setValues] = useState<Record<string, string>>(fresh);
  const [wrong, setWrong] = useState<readonly Problem[]>([]);
  const acting = useAct(onDone);
  const send = async () => {
    const missing = fields.find((f) => !f.optional && (values[f.key] ?? '').trim() === '');
    if (missing) return setWrong([{ code: 'empty', message: `${missing.label} is empty` }]);
    const made = deedOf(values);
    if ('message' in made) return setWrong([made]);
    setWrong([]);
    if ((await acting.act(made.deed, made.said)) && !keep) setValues(fresh());
  };
  return (
    <form
      class="deed-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (!acting.busy) void send();
      }}
    >
      {fields.map((f) => (
        <div key={f.key} class="deed-field">
          <label for={`${id}-${f.key}`}>{f.label}</label>
          <Control
            id={`${id}-${f.key}`}
            field={f}
            value={values[f.key] ?? ''}
            onValue={(value) => setValues({ ...values, [f.key]: value })}
          />
          {f.hint ? (
            <small id={`${id}-${f.key}-hint`} class="quiet">
              {f.hint}
            </small>
          ) : null}
        </div>
      ))}
      {typeof props.children === 'function' ? props.children(values) : props.children}
      <button type="submit" disabled={acting.busy}>
        {button}
      </button>
      <Problems list={[...wrong, ...acting.problems]} />
    </form>
  );
}

function Control(props: {
  readonly id: string;
  readonly field: FieldOf;
  readonly value: string;
  readonly onValue: (value: string) => void;
}) {
  const { id, field: f, value, onValue } = props;
  if (f.choices)
    return (
      <select id={id} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
        {f.choices.map(([choice, text]) => (
          <option key={choice} value={choice}>
            {text}
          </option>
        ))}
      </select>
    );
  if (f.date)
    return <input id={id} type="date" value={value} onInput={(event) => onValue(event.currentTarget.value)} />;
  return (
    <input
      id={id}
      type="text"
      autocomplete="off"
      class={f.figures ? 'figures' : undefined}
      inputMode={f.figures && !f.negative ? 'decimal' : 'text'}
      value={value}
      aria-describedby={f.hint ? `${id}-hint` : undefined}
      onInput={(event) => onValue(event.currentTarget.value)}
    />
  );
}

/** Says how many, in words that agree. */
export const counted = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`;

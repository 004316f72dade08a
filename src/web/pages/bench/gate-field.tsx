/** A gate at the bench: its field with unit and limits, and the verdict while one types. */
import { useState } from 'preact/hooks';
import type { GateLook } from '../../../app/bench/unit-look.ts';
import type { GateAsked } from '../../../app/bench/unit-page.ts';
import { parseNumber } from '../../display/numbers.ts';
import { Problems } from '../../parts/problems.tsx';
import { instrumentOf, rememberInstrument } from '../../state/bench.ts';
import { decimal, format } from '../../state/settings.ts';
import { judged } from './overlay.ts';
import { useAct } from './parts.tsx';

const WORDS = {
  open: 'open',
  passed: 'passed',
  failed: 'failed',
  undecided: 'undecided',
  overridden: 'overridden',
} as const;
const SIGNS = { open: '○', passed: '●', failed: '✕', undecided: '◌', overridden: '◐' } as const;

export const GateWord = ({ state, waits }: { readonly state: GateLook['state']; readonly waits?: boolean }) => (
  <span class="gate-word">
    <span aria-hidden="true">{SIGNS[state]}</span> {WORDS[state]}
    {waits ? ', waiting to be sent' : ''}
  </span>
);

export const valueShown = (value: GateLook['value'], unit: string): string =>
  value === null
    ? ''
    : typeof value === 'boolean'
      ? value
        ? 'yes'
        : 'no'
      : `${typeof value === 'number' ? format.value.figure(value, 6) : value}${unit === '' ? '' : ` ${unit}`}`;

/** The keyboard of figures has no minus on some phones. */
const mayBeNegative = ({ low = 0, high = 0 }: GateAsked): boolean => low < 0 || high < 0;

/** The value that is asked for next on the page; after the last, the button that ends the step. */
function nextEntry(entry: HTMLElement): HTMLElement | undefined {
  const all = [...document.querySelectorAll<HTMLElement>('.gate-entry > input, .tick > .main')];
  const own = all.findIndex((node) => entry.contains(node));
  return own === -1 ? all[0] : all[own + 1];
}

export function GateField(props: {
  readonly serial: string;
  readonly gate: GateLook;
  readonly asked: GateAsked;
  readonly waits: boolean;
  /** The last value was written down wrongly: the new one takes its place. */
  readonly correct?: boolean;
  readonly closed?: boolean;
}) {
  const { serial, gate, asked, waits, correct = false, closed = false } = props;
  const [text, setText] = useState('');
  const [instrument, setInstrument] = useState(() => instrumentOf(gate.gate));
  const [read, setRead] = useState<string | null>(null);
  const { busy, problems, act, clear } = useAct();
  const id = `gate-${gate.gate}${correct ? '-right' : ''}`;
  const value = asked.value === 'number' ? parseNumber(text, decimal) : text.trim();
  const verdict = text.trim() === '' || value === undefined ? undefined : judged(asked, value);
  const write = async (v: number | boolean | string) => {
    const tool = instrument.trim();
    rememberInstrument(gate.gate, tool);
    const done = await act(
      {
        deed: 'measure',
        unit: serial,
        gate: gate.gate,
        value: v,
        ...(tool === '' || asked.value !== 'number' ? {} : { instrument: tool }),
        ...(correct ? { correct } : {}),
      },
      `${gate.name} of ${serial}: ${typeof v === 'boolean' ? (v ? 'yes' : 'no') : v} ${gate.unit}`.trim(),
    );
    if (done) setText('');
    return done;
  };
  const take = async (file: File) => {
    clear();
    setRead(file.name);
    const words = await file.text();
    await act(
      {
        deed: 'measure',
        unit: serial,
        gate: gate.gate,
        file: { name: file.name, text: words },
        ...(correct ? { correct } : {}),
      },
      `${gate.name} of ${serial}: ${file.name}`,
    );
    setRead(null);
  };
  return (
    <div class="gate-field" data-gate={gate.gate}>
      <p class="gate-head">
        <b>{gate.name}</b>{' '}
        <span class="quiet">
          {gate.limit}
          {gate.required ? '' : ', not required'}
        </span>
        <span class="gate-now">
          <GateWord state={gate.state} waits={waits} /> <span class="f">{valueShown(gate.value, gate.unit)}</span>
        </span>
      </p>
      {closed ? null : asked.value === 'yes or no' ? (
        <div class="actions">
          <button type="button" disabled={busy} onClick={() => void write(true)} aria-label={`${gate.name}: passed`}>
            Passed
          </button>
          <button type="button" disabled={busy} onClick={() => void write(false)} aria-label={`${gate.name}: failed`}>
            Failed
          </button>
        </div>
      ) : (
        <form
          class="gate-entry"
          onSubmit={(event) => {
            event.preventDefault();
            if (busy || value === undefined || value === '') return;
            const entry = event.currentTarget;
            // With the keyboard still open: on to the next value.
            const typing = entry.contains(document.activeElement) && document.activeElement instanceof HTMLInputElement;
            void write(value).then((done) => done && typing && nextEntry(entry)?.focus());
          }}
        >
          <label for={id} class="unseen">
            {gate.name}
            {gate.unit === '' ? '' : `, ${gate.unit}`}
          </label>
          <input
            id={id}
            type="text"
            autocomplete="off"
            class={asked.value === 'number' ? 'figures' : undefined}
            inputMode={asked.value === 'number' && !mayBeNegative(asked) ? 'decimal' : 'text'}
            enterKeyHint="next"
            value={text}
            aria-describedby={`${id}-verdict`}
            onInput={(event) => {
              setText(event.currentTarget.value);
              clear();
            }}
          />
          <span class="unit">{gate.unit}</span>
          <button type="submit" disabled={busy || value === undefined || value === ''}>
            Write down
          </button>
          {asked.value === 'number' ? (
            <label class="with">
              with{' '}
              <input
                type="text"
                autocomplete="off"
                placeholder="instrument"
                value={instrument}
                onInput={(event) => setInstrument(event.currentTarget.value)}
              />
            </label>
          ) : null}
          {asked.measures === 'antenna match' ? (
            <label class="with file">
              or its sweep (.s1p){' '}
              <input
                type="file"
                accept=".s1p,.txt"
                disabled={busy}
                onChange={(event) => {
                  const file = event.currentTarget.files?.[0];
                  event.currentTarget.value = '';
                  if (file) void take(file);
                }}
              />
            </label>
          ) : null}
          <output id={`${id}-verdict`} class={`verdict-now${verdict === 'failed' ? ' no' : ''}`}>
            {read !== null
              ? `reading ${read} …`
              : text.trim() === ''
                ? ''
                : value === undefined
                  ? 'this is no number'
                  : verdict === 'passed'
                    ? '● passes'
                    : verdict === 'undecided'
                      ? '◌ undecided: too close to the limit for this meter; measure again or with a better one'
                      : '✕ fails: it would stop the unit'}
          </output>
        </form>
      )}
      <Problems list={problems} />
    </div>
  );
}

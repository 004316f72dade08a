/** Logs of measurements at one unit: dropped, judged by the server, kept when one wants. */
import { useState } from 'preact/hooks';
import { UNIT_FIELDS, type UnitField } from '../../../records/bench/index.ts';
import type { BenchMeasured } from '../../../server/api.ts';
import { measureLog } from '../../api/bench-files.ts';
import { parseNumber } from '../../display/numbers.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { decimal, figures } from '../../state/settings.ts';
import { callProblems } from '../../state/workshop.ts';
import { Fold } from './fold.tsx';
import { useAct } from './parts.tsx';

type What = 'cells' | 'ramp' | 'current';

/** What each log is asked with, all of it optional. */
const ASKS: Readonly<
  Record<What, { readonly name: string; readonly fields: readonly (readonly [key: string, label: string])[] }>
> = {
  cells: {
    name: 'discharge of a cell',
    fields: [
      ['empty_V', 'empty at, V'],
      ['cells', 'cells in parallel'],
      ['resistor_ohm', 'through a resistor, Ω'],
      ['temperature_degC', 'temperature, °C'],
    ],
  },
  ramp: { name: 'supply ramp', fields: [['threshold_mA', 'load is on above, mA']] },
  current: {
    name: 'current log',
    fields: [
      ['sleep', 'state of sleep, its number'],
      ['receive', 'state of listening, its number'],
    ],
  },
};

interface Log {
  readonly name: string;
  readonly text: string;
}

export function UnitLogs({ serial }: { readonly serial: string }) {
  const [what, setWhat] = useState<What>('cells');
  const [values, setValues] = useState<Readonly<Record<string, string>>>({});
  const [log, setLog] = useState<Log | null>(null);
  const [found, setFound] = useState<BenchMeasured | null>(null);
  const [reading, setReading] = useState(false);
  const { busy, problems, act, clear } = useAct();
  const [wrong, setWrong] = useState<ReturnType<typeof callProblems>>([]);
  const [kept, setKept] = useState(false);

  const read = async (of: Log) => {
    clear();
    setKept(false);
    setFound(null);
    setWrong([]);
    const asked: Record<string, number> = {};
    for (const [key, label] of ASKS[what].fields) {
      const typed = (values[key] ?? '').trim();
      if (typed === '') continue;
      const value = parseNumber(typed, decimal);
      if (value === undefined) return setWrong([{ code: 'not-a-number', message: `${label}: ${typed} is no number` }]);
      asked[key] = value;
    }
    setReading(true);
    try {
      setFound(await measureLog({ unit: serial, what, ...of, ...asked }));
    } catch (error) {
      setWrong(callProblems(error));
    } finally {
      setReading(false);
    }
  };
  const take = async ([file]: readonly File[]) => {
    if (file === undefined) return;
    const fresh = { name: file.name, text: await file.text() };
    setLog(fresh);
    await read(fresh);
  };
  const keep = async () => {
    for (const value of found?.values ?? [])
      if (!(await act({ deed: 'note-measured', unit: serial, ...value }, `${UNIT_FIELDS[value.field]} of ${serial}`)))
        return;
    setKept(true);
  };
  const choose = (next: What) => {
    setWhat(next);
    setValues({});
    setFound(null);
    setLog(null);
    setWrong([]);
  };
  return (
    <Fold title="Logs of measurements">
      <p class="said">
        What a log shows of this unit takes the place of the data sheet in its forecast, once it is kept.
      </p>
      <div class="deed-form">
        <div class="deed-field">
          <label for="log-what">log of</label>
          <select id="log-what" value={what} onChange={(event) => choose(event.currentTarget.value as What)}>
            {Object.entries(ASKS).map(([key, { name }]) => (
              <option key={key} value={key}>
                {name}
              </option>
            ))}
          </select>
        </div>
        {ASKS[what].fields.map(([key, label]) => (
          <div key={key} class="deed-field">
            <label for={`log-${key}`}>{label}</label>
            <input
              id={`log-${key}`}
              type="text"
              class="figures"
              inputMode="decimal"
              autocomplete="off"
              placeholder="optional"
              value={values[key] ?? ''}
              onInput={(event) => setValues({ ...values, [key]: event.currentTarget.value })}
            />
          </div>
        ))}
      </div>
      <FileDrop label="The log (CSV: time, voltage, current)" accept=".csv,.txt,.tsv" onFiles={take} />
      {log === null ? null : (
        <p>
          {log.name}{' '}
          <button type="button" class="plain" disabled={reading} onClick={() => void read(log)}>
            read it once more
          </button>
        </p>
      )}
      {reading ? (
        <p class="progress" role="status">
          The log is being read …
        </p>
      ) : null}
      {found === null ? null : <Found found={found} />}
      {found === null || found.values.length === 0 ? null : kept ? (
        <p role="status">Kept with the unit.</p>
      ) : (
        <p>
          <button type="button" disabled={busy} onClick={() => void keep()}>
            Keep these values
          </button>
        </p>
      )}
      <Problems list={[...wrong, ...problems]} />
    </Fold>
  );
}

function Found({ found }: { readonly found: BenchMeasured }) {
  const shown = (n: number) => figures.value.figures(n);
  return (
    <div role="status">
      <p>
        <b>{found.verdict}</b>
      </p>
      {found.values.length === 0 ? null : (
        <ul class="plain-list">
          {found.values.map((v) => (
            <li key={v.field}>
              {UNIT_FIELDS[v.field as UnitField]}: {shown(v.value)}
              {v.low === undefined || v.high === undefined ? '' : ` (${shown(v.low)} to ${shown(v.high)})`}
            </li>
          ))}
        </ul>
      )}
      {found.notes.length + found.assumptions.length === 0 ? null : (
        <ul class="notes">
          {found.notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
          {found.assumptions.map((a) => (
            <li key={a.field}>
              {a.field} taken as {a.value}: {a.why}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** A table from CSV: which it is, what its columns are, what is wrong with which rows, and only then in. */
import { useEffect, useState } from 'preact/hooks';
import { TABLE_WORDS } from '../../../app/bench/tables-list.ts';
import { amount, amountText } from '../../../core/money/index.ts';
import type { BenchImport } from '../../../server/api.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { counted } from './parts.tsx';
import { type Asked, missingOf, rowsOf, type Source, useImport } from './use-import.ts';

/** Rows that are wrong, shown at once; all are counted. */
const MOST_SHOWN = 200;
/** Times without an offset, by the clock of the one who reads. */
const OWN_ZONE = Intl.DateTimeFormat().resolvedOptions().timeZone;

export function TableImport() {
  const { table, choose, source, asked, setAsked, seen, problems, busy, ask, open, stop } = useImport();
  const again = (change: Partial<Asked>) => source && void ask(source, { ...asked, ...change }, false);
  const leaveOut = (rows: readonly number[]) =>
    again({ skip: [...new Set([...(rowsOf(asked.skip) ?? []), ...rows])].sort((a, b) => a - b).join(', ') });
  const missing = source === null ? [] : missingOf(source, asked.map);
  return (
    <div class="import">
      <p class="find">
        <label>
          table{' '}
          <select value={table} aria-describedby="import-about" onChange={(event) => choose(event.currentTarget.value)}>
            {Object.keys(TABLE_WORDS).map((name) => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
        </label>{' '}
        <span id="import-about">{TABLE_WORDS[table]}</span>
      </p>
      <FileDrop
        label="The table (CSV, first line with titles)"
        accept=".csv,.txt,.tsv"
        onFiles={async ([file]) => {
          if (file !== undefined) await open(table, file);
        }}
      />
      {source === null ? null : (
        <>
          <Columns source={source} asked={asked} missing={missing} onMap={(map) => again({ map })} />
          <Zone source={source} asked={asked} onZone={(zone) => again({ zone })} />
          {busy === null ? null : <Waiting key={busy} rows={source.rows} keeping={busy === 'keep'} onStop={stop} />}
          {seen === null ? null : <Verdict seen={seen} source={source} />}
          {seen === null || seen.kept ? null : <WrongRows seen={seen} busy={busy !== null} onLeaveOut={leaveOut} />}
          {seen?.kept === true || missing.length > 0 ? null : (
            <form
              class="deed-form"
              onSubmit={(event) => {
                event.preventDefault();
                again({});
              }}
            >
              <div class="deed-field">
                <label for="import-skip">rows left out</label>
                <input
                  id="import-skip"
                  type="text"
                  autocomplete="off"
                  placeholder="none"
                  value={asked.skip}
                  onInput={(event) => setAsked({ ...asked, skip: event.currentTarget.value })}
                />
              </div>
              <div class="actions">
                {seen === null || seen.problems.length > 0 ? null : (
                  <button
                    type="button"
                    disabled={busy !== null || seen.fresh === 0}
                    onClick={() => void ask(source, asked, true)}
                  >
                    Import {counted(seen.fresh, 'row')}
                  </button>
                )}
                <button type="submit" class="plain" disabled={busy !== null}>
                  look again
                </button>
              </div>
            </form>
          )}
          {seen === null ? null : <Preview seen={seen} />}
        </>
      )}
      <Problems list={problems} />
    </div>
  );
}

function Columns(props: {
  readonly source: Source;
  readonly asked: Asked;
  readonly missing: readonly string[];
  readonly onMap: (map: Readonly<Record<string, string>>) => void;
}) {
  const { source, asked, missing, onMap } = props;
  return (
    <>
      {missing.length === 0 ? null : (
        <p role="alert">
          <b>
            No column is read as {missing.join(', ')}: choose which {missing.length === 1 ? 'it is' : 'they are'} below.
          </b>{' '}
          Where the file has none, it is another table, or its first line holds no titles.
        </p>
      )}
      <DataTable
        caption={`${source.name}: ${counted(source.rows, 'row')}, read as ${source.encoding}`}
        columns={[
          { key: 'title', head: 'column' },
          { key: 'sample', head: 'first row' },
          { key: 'field', head: 'read as' },
        ]}
        rows={source.titles.map((title, i) => ({
          key: `${i} ${title}`,
          cells: [
            title,
            short(source.sample[i] ?? ''),
            <select
              key="f"
              aria-label={`${title} is read as`}
              value={asked.map[title] ?? ''}
              onChange={(event) => {
                const field = event.currentTarget.value;
                // A field is read from one column: the one that had it gives it up.
                const others = Object.entries(asked.map).map(([t, f]) => [t, f === field ? '' : f]);
                onMap({ ...Object.fromEntries(others), [title]: field });
              }}
            >
              <option value="">not read</option>
              {source.fields.map((field) => (
                <option key={field} value={field}>
                  {source.needs.includes(field) ? `${field} (needed)` : field}
                </option>
              ))}
            </select>,
          ],
        }))}
      />
    </>
  );
}

const short = (text: string) => (text.length > 60 ? `${text.slice(0, 60)}…` : text);

/** Fields that hold moments. */
const TIMES = ['at', 'received', 'placed', 'opened', 'closed', 'made', 'drawn', 'found'];

function Zone(props: { readonly source: Source; readonly asked: Asked; readonly onZone: (zone: string) => void }) {
  const { source, asked, onZone } = props;
  const timed = source.titles.some((title) => {
    const field = asked.map[title] ?? '';
    return TIMES.includes(field) && !(source.table === 'batches' && field === 'made');
  });
  if (!timed) return null;
  return (
    <p class="find">
      <label>
        times without an offset from UTC{' '}
        <select value={asked.zone} onChange={(event) => onZone(event.currentTarget.value)}>
          <option value="">are refused</option>
          <option value={OWN_ZONE}>by the clock of {OWN_ZONE}</option>
          {OWN_ZONE === 'UTC' ? null : <option value="UTC">by the clock of UTC</option>}
        </select>
      </label>
    </p>
  );
}

/** Shown once it takes over a second. */
function Waiting(props: { readonly rows: number; readonly keeping: boolean; readonly onStop: () => void }) {
  const [seconds, setSeconds] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => setSeconds((s) => s + 1), 1000);
    return () => clearInterval(timer);
  }, []);
  if (seconds === 0) return null;
  return (
    <p class="import-waiting">
      <progress aria-label={props.keeping ? 'importing' : 'looking'} /> {props.keeping ? 'Importing' : 'Looking at'}{' '}
      {counted(props.rows, 'row')}, {seconds} s{' '}
      <button type="button" class="plain" onClick={props.onStop}>
        stop
      </button>
    </p>
  );
}

function Verdict({ seen, source }: { readonly seen: BenchImport; readonly source: Source }) {
  const wrong = new Set(seen.problems.map((p) => p.row)).size;
  const said = seen.kept
    ? `Imported: ${counted(seen.fresh, 'row')} of ${source.name}.`
    : wrong === 0
      ? seen.verdict
      : `${wrong.toLocaleString()} of ${counted(seen.rows, 'row')} ${wrong === 1 ? 'is' : 'are'} wrong; nothing is imported until they are mended in the file or left out.`;
  return (
    <p role="status">
      <b>{said}</b>
    </p>
  );
}

function WrongRows(props: {
  readonly seen: BenchImport;
  readonly busy: boolean;
  readonly onLeaveOut: (rows: readonly number[]) => void;
}) {
  const { problems } = props.seen;
  if (problems.length === 0) return null;
  const rows = [...new Set(problems.map((p) => p.row))];
  const more = problems.length - MOST_SHOWN;
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section class="wrong-rows" aria-label="Rows that are wrong" tabIndex={0}>
        <ul class="notes">
          {problems.slice(0, MOST_SHOWN).map((p, i) => (
            <li key={`${p.row} ${i}`}>
              Row {p.row}: {p.message}{' '}
              {rows.length === 1 ? null : (
                <button
                  type="button"
                  class="plain"
                  disabled={props.busy}
                  aria-label={`leave out row ${p.row}`}
                  onClick={() => props.onLeaveOut([p.row])}
                >
                  leave out
                </button>
              )}
            </li>
          ))}
        </ul>
      </section>
      {more > 0 ? (
        <p>
          The first {MOST_SHOWN} of {problems.length.toLocaleString()} are shown.
        </p>
      ) : null}
      <div class="actions">
        <button type="button" disabled={props.busy} onClick={() => props.onLeaveOut(rows)}>
          Leave the wrong rows out
        </button>
      </div>
    </>
  );
}

function Preview({ seen }: { readonly seen: BenchImport }) {
  if (seen.kept || seen.preview.length === 0) return null;
  const rows = seen.preview.map(readable);
  const fields = [...new Set(rows.flatMap((row) => Object.keys(row)))].filter((f) =>
    rows.some((row) => shown(row[f]) !== ''),
  );
  return (
    <DataTable
      caption={rows.length === 1 ? 'The first row, as it would be kept' : 'The first rows, as they would be kept'}
      columns={fields.map((field) => ({ key: field, head: field }))}
      rows={rows.map((row, i) => ({ key: String(i), cells: fields.map((field) => shown(row[field])) }))}
    />
  );
}

/** A row for eyes: sums in the currency, and what it is called in the table. */
function readable(row: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  const { kind: _, happenedAt, currency, ...rest } = row;
  const cells = Object.entries(rest).map(([field, value]) =>
    field.endsWith('_minor') && typeof value === 'number' && typeof currency === 'string'
      ? [field.slice(0, -'_minor'.length), amountText(amount(value, currency))]
      : [field, value],
  );
  return { ...Object.fromEntries(cells), currency, 'when (UTC)': happenedAt };
}

/** A value in a cell: parts of a group as text, lists by their length. */
function shown(value: unknown): string {
  if (value === undefined || value === null || (Array.isArray(value) && value.length === 0)) return '';
  if (Array.isArray(value)) return value.every((v) => typeof v !== 'object') ? value.join(' ') : `${value.length}`;
  if (typeof value !== 'object') return short(String(value));
  return Object.values(value)
    .map((v) => shown(v))
    .join(' ');
}

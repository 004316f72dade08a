/** Tables of the bench as CSV: out as they stand, in after a look at columns and rows. */
import { useState } from 'preact/hooks';
import type { BenchImport } from '../../../server/api.ts';
import { getTables, sendTable } from '../../api/bench-files.ts';
import { saveText } from '../../parts/download.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { benchTurn, chance, signer } from '../../state/bench.ts';
import { callProblems } from '../../state/workshop.ts';
import { counted } from './parts.tsx';

/** Rows that are wrong, shown before one asks for the rest. */
const FIRST = 20;

export function Tables() {
  const [problems, setProblems] = useState<ReturnType<typeof callProblems>>([]);
  const saveAll = async () => {
    setProblems([]);
    try {
      const { tables } = await getTables();
      for (const [name, text] of Object.entries(tables)) saveText(`${name}.csv`, text, 'text/csv');
    } catch (error) {
      setProblems(callProblems(error));
    }
  };
  return (
    <section aria-labelledby="tables-h">
      <h2 id="tables-h">Tables</h2>
      <div class="actions">
        <button type="button" onClick={() => void saveAll()}>
          Save all tables as CSV
        </button>
      </div>
      <Problems list={problems} />
      <details>
        <summary>Read a table from CSV</summary>
        <Import />
      </details>
    </section>
  );
}

const READ = ['parts', 'lots', 'orders', 'movements', 'gates'] as const;
type Table = (typeof READ)[number];

interface Source {
  readonly table: Table;
  readonly name: string;
  readonly text: string;
  readonly encoding: string;
  readonly titles: readonly string[];
  /** The first row, to tell columns by. */
  readonly sample: readonly string[];
  readonly fields: readonly string[];
}

/** What an import is asked with. */
interface Asked {
  readonly map: Readonly<Record<string, string>>;
  readonly skip: string;
}

/** Numbers of rows, parted by commas or spaces; undefined where one is none. */
function rowsOf(text: string): number[] | undefined {
  const rows = text
    .split(/[\s,;]+/)
    .filter(Boolean)
    .map(Number);
  return rows.every((row) => Number.isInteger(row) && row >= 2) ? rows : undefined;
}

async function readSource(table: Table, file: File): Promise<{ source: Source; map: Record<string, string> }> {
  const [{ decodeText, readTable }, { guessColumns }, { fieldsOf }] = await Promise.all([
    import('../../../formats/csv-table.ts'),
    import('../../../app/bench/columns.ts'),
    import('../../../app/bench/tables.ts'),
  ]);
  const { text, encoding } = decodeText(new Uint8Array(await file.arrayBuffer()));
  const { titles, rows } = readTable(text);
  const source = { table, name: file.name, text, encoding, titles, sample: rows[0] ?? [], fields: fieldsOf(table) };
  return { source, map: guessColumns(table, titles) };
}

/** One import at a time: a file, what its columns are, what would be done. */
function useImport() {
  const [table, setTable] = useState<Table>('parts');
  const [source, setSource] = useState<Source | null>(null);
  const [asked, setAsked] = useState<Asked>({ map: {}, skip: '' });
  const [seen, setSeen] = useState<BenchImport | null>(null);
  const [problems, setProblems] = useState<ReturnType<typeof callProblems>>([]);
  const [busy, setBusy] = useState(false);

  const ask = async (of: Source, { map, skip }: Asked, keep: boolean) => {
    setAsked({ map, skip });
    setProblems([]);
    const rows = rowsOf(skip);
    if (rows === undefined)
      return setProblems([
        { code: 'not-a-row', message: `“${skip}” is no list of rows, such as 3, 7; titles are row 1` },
      ]);
    const by = signer.value.trim();
    if (keep && by === '')
      return setProblems([{ code: 'unsigned', message: 'say who you are first: every record of the bench is signed' }]);
    setBusy(true);
    try {
      const { text, table: into } = of;
      const signed = keep ? { keep, by, token: chance() } : {};
      const answer = await sendTable({ table: into, text, map, skip: rows, ...signed });
      setSeen(answer);
      if (answer.kept) benchTurn.value++;
    } catch (error) {
      setSeen(null);
      setProblems(callProblems(error));
    } finally {
      setBusy(false);
    }
  };
  const open = async (into: Table, file: File) => {
    setSeen(null);
    setSource(null);
    setProblems([]);
    try {
      const read = await readSource(into, file);
      setSource(read.source);
      await ask(read.source, { map: read.map, skip: '' }, false);
    } catch (error) {
      setProblems(callProblems(error));
    }
  };
  const choose = (into: Table) => {
    setTable(into);
    setSource(null);
    setSeen(null);
    setProblems([]);
  };
  return { table, choose, source, asked, setAsked, seen, problems, busy, ask, open };
}

function Import() {
  const { table, choose, source, asked, setAsked, seen, problems, busy, ask, open } = useImport();
  return (
    <div class="import">
      <p class="find">
        <label>
          table{' '}
          <select value={table} onChange={(event) => choose(event.currentTarget.value as Table)}>
            {READ.map((name) => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
        </label>
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
          <Columns source={source} asked={asked} onMap={(map) => void ask(source, { ...asked, map }, false)} />
          {seen === null ? null : <Preview seen={seen} source={source} />}
          {seen === null || seen.kept ? null : (
            <form
              class="deed-form"
              onSubmit={(event) => {
                event.preventDefault();
                void ask(source, asked, false);
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
                {seen.problems.length === 0 ? (
                  <button
                    type="button"
                    disabled={busy || seen.fresh === 0}
                    onClick={() => void ask(source, asked, true)}
                  >
                    Import {counted(seen.fresh, 'row')}
                  </button>
                ) : (
                  <button
                    type="button"
                    disabled={busy}
                    onClick={() => {
                      const rows = [...(rowsOf(asked.skip) ?? []), ...seen.problems.map((p) => p.row)];
                      void ask(source, { ...asked, skip: rows.join(', ') }, false);
                    }}
                  >
                    Leave the wrong rows out
                  </button>
                )}
                <button type="submit" class="plain" disabled={busy}>
                  look again
                </button>
              </div>
            </form>
          )}
        </>
      )}
      <Problems list={problems} />
    </div>
  );
}

function Columns(props: {
  readonly source: Source;
  readonly asked: Asked;
  readonly onMap: (map: Readonly<Record<string, string>>) => void;
}) {
  const { source, asked, onMap } = props;
  return (
    <DataTable
      caption={`Columns of ${source.name}, read as ${source.encoding}`}
      columns={[
        { key: 'title', head: 'column' },
        { key: 'sample', head: 'first row' },
        { key: 'field', head: 'read as' },
      ]}
      rows={source.titles.map((title, i) => ({
        key: `${i} ${title}`,
        cells: [
          title,
          source.sample[i] ?? '',
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
                {field}
              </option>
            ))}
          </select>,
        ],
      }))}
    />
  );
}

function Preview({ seen, source }: { readonly seen: BenchImport; readonly source: Source }) {
  const fields = [...new Set(seen.preview.flatMap((row) => Object.keys(row)))].filter(
    (f) => f !== 'kind' && seen.preview.some((row) => typeof row[f] !== 'object' && row[f] !== undefined),
  );
  return (
    <>
      <p role="status">
        <b>{seen.kept ? `Imported: ${counted(seen.fresh, 'row')} of ${source.name}.` : seen.verdict}</b>
      </p>
      {seen.problems.length === 0 ? null : (
        <ul class="notes">
          {seen.problems.slice(0, FIRST).map((p) => (
            <li key={p.row}>
              Row {p.row}: {p.message}
            </li>
          ))}
          {seen.problems.length > FIRST ? <li>and {seen.problems.length - FIRST} more</li> : null}
        </ul>
      )}
      {seen.kept || seen.preview.length === 0 ? null : (
        <DataTable
          caption="The first rows, as they would be kept"
          columns={fields.map((field) => ({ key: field, head: field }))}
          rows={seen.preview.map((row, i) => ({
            key: String(i),
            cells: fields.map((field) => {
              const value = row[field];
              return value === undefined || typeof value === 'object' ? '' : String(value);
            }),
          }))}
        />
      )}
    </>
  );
}

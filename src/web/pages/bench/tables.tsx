/** Tables of the bench as CSV: out as they stand; what comes in is in `table-import.tsx`. */
import { useState } from 'preact/hooks';
import { getTables } from '../../api/bench-files.ts';
import { saveFile, saveText } from '../../parts/download.ts';
import { Problems } from '../../parts/problems.tsx';
import { callProblems } from '../../state/workshop.ts';
import { TableImport } from './table-import.tsx';

export function Tables() {
  const [problems, setProblems] = useState<ReturnType<typeof callProblems>>([]);
  const [names, setNames] = useState<readonly string[] | null>(null);
  const [busy, setBusy] = useState(false);
  const fetched = async (use: (tables: Readonly<Record<string, string>>) => unknown) => {
    setProblems([]);
    setBusy(true);
    try {
      await use((await getTables()).tables);
    } catch (error) {
      setProblems(callProblems(error));
    } finally {
      setBusy(false);
    }
  };
  const saveAll = () =>
    fetched(async (tables) => {
      const { zipOf } = await import('../../../formats/zip-write.ts');
      const files = Object.fromEntries(Object.entries(tables).map(([name, text]) => [`${name}.csv`, text]));
      saveFile('bench-tables.zip', new Blob([zipOf(files)], { type: 'application/zip' }));
      setNames(Object.keys(tables));
    });
  const saveOne = (name: string) => fetched((tables) => saveText(`${name}.csv`, tables[name] ?? '', 'text/csv'));
  return (
    <section aria-labelledby="tables-h">
      <h2 id="tables-h">Tables</h2>
      <div class="actions">
        <button type="button" disabled={busy} onClick={() => void saveAll()}>
          Save all tables as CSV
        </button>
      </div>
      {names === null ? null : (
        <p class="tables-saved" role="status">
          {names.length} tables in one archive. Keys of radios are in none of them. One by itself:{' '}
          {names.map((name) => (
            <button key={name} type="button" class="plain" disabled={busy} onClick={() => void saveOne(name)}>
              {name}
            </button>
          ))}
        </p>
      )}
      <Problems list={problems} />
      <details>
        <summary>Read a table from CSV</summary>
        <TableImport />
      </details>
    </section>
  );
}

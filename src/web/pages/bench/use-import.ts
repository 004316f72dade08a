/** One import at a time: a file, what its columns are, what would be done; asked of the server, and stopped where it takes long. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { BenchImport } from '../../../server/api.ts';
import { sendTable } from '../../api/bench-files.ts';
import { benchTurn, chance, signer } from '../../state/bench.ts';
import { callProblems } from '../../state/workshop.ts';

export interface Source {
  readonly table: string;
  readonly name: string;
  readonly text: string;
  readonly encoding: string;
  readonly titles: readonly string[];
  /** The first row, to tell columns by. */
  readonly sample: readonly string[];
  readonly rows: number;
  readonly fields: readonly string[];
  readonly needs: readonly string[];
}

/** What an import is asked with. */
export interface Asked {
  readonly map: Readonly<Record<string, string>>;
  readonly skip: string;
  /** Time zone of times without an offset; empty: they are refused. */
  readonly zone: string;
}

/** Numbers of rows, parted by commas or spaces; undefined where one is none. */
export function rowsOf(text: string): number[] | undefined {
  const rows = text
    .split(/[\s,;]+/)
    .filter(Boolean)
    .map(Number);
  return rows.every((row) => Number.isInteger(row) && row >= 2) ? rows : undefined;
}

async function readSource(table: string, file: File): Promise<{ source: Source; map: Record<string, string> }> {
  const [{ decodeText, readTable }, { guessColumns }, { fieldsOf, needsOf }] = await Promise.all([
    import('../../../formats/csv-table.ts'),
    import('../../../app/bench/columns.ts'),
    import('../../../app/bench/tables.ts'),
  ]);
  const { text, encoding } = decodeText(new Uint8Array(await file.arrayBuffer()));
  const { titles, rows } = readTable(text);
  const [sample = []] = rows;
  const [fields, needs] = [fieldsOf(table), needsOf(table)];
  const source = { table, name: file.name, text, encoding, titles, sample, rows: rows.length, fields, needs };
  return { source, map: guessColumns(table, titles) };
}

/** Fields that no column is read as, though the table needs them. */
export const missingOf = (source: Source, map: Asked['map']): readonly string[] =>
  source.needs.filter((field) => !Object.values(map).includes(field));

export function useImport() {
  const [table, setTable] = useState('parts');
  const [source, setSource] = useState<Source | null>(null);
  const [asked, setAsked] = useState<Asked>({ map: {}, skip: '', zone: '' });
  const [seen, setSeen] = useState<BenchImport | null>(null);
  const [problems, setProblems] = useState<ReturnType<typeof callProblems>>([]);
  /** What is waited for; null when nothing is. */
  const [busy, setBusy] = useState<'look' | 'keep' | null>(null);
  const running = useRef<AbortController | null>(null);
  useEffect(() => () => running.current?.abort(), []);

  const ask = async (of: Source, wanted: Asked, keep: boolean) => {
    setAsked(wanted);
    setProblems([]);
    running.current?.abort();
    const skip = rowsOf(wanted.skip);
    if (skip === undefined)
      return setProblems([
        { code: 'not-a-row', message: `“${wanted.skip}” is no list of rows, such as 3, 7; titles are row 1` },
      ]);
    // Told beside the columns; the server need not be asked.
    if (missingOf(of, wanted.map).length > 0) return setSeen(null);
    const by = signer.value.trim();
    if (keep && by === '')
      return setProblems([{ code: 'unsigned', message: 'say who you are first: every record of the bench is signed' }]);
    const stop = new AbortController();
    running.current = stop;
    setBusy(keep ? 'keep' : 'look');
    try {
      const signed = keep ? { keep, by, token: chance() } : {};
      const zone = wanted.zone === '' ? {} : { zone: wanted.zone };
      const body = { table: of.table, text: of.text, map: wanted.map, skip, ...zone, ...signed };
      const answer = await sendTable(body, stop.signal);
      if (stop.signal.aborted) return;
      setSeen(answer);
      if (answer.kept) benchTurn.value++;
    } catch (error) {
      if (stop.signal.aborted) return;
      setSeen(null);
      setProblems(callProblems(error));
    } finally {
      if (running.current === stop) setBusy(null);
    }
  };
  /** Stops waiting. What was about to be kept is kept whole or not at all: a look tells which. */
  const stop = () => {
    const was = busy;
    running.current?.abort();
    running.current = null;
    setBusy(null);
    const message =
      was === 'keep'
        ? 'Stopped. Either all rows were kept by then or none: “look again” tells which.'
        : 'Stopped; nothing is imported.';
    setProblems([{ code: 'stopped', message }]);
  };
  const open = async (into: string, file: File) => {
    running.current?.abort();
    setSeen(null);
    setSource(null);
    setProblems([]);
    try {
      const read = await readSource(into, file);
      setSource(read.source);
      await ask(read.source, { ...asked, map: read.map, skip: '' }, false);
    } catch (error) {
      setProblems(callProblems(error));
    }
  };
  const choose = (into: string) => {
    running.current?.abort();
    setTable(into);
    setSource(null);
    setSeen(null);
    setProblems([]);
  };
  return { table, choose, source, asked, setAsked, seen, problems, busy, ask, open, stop };
}

/** Tables: text to the left, figures to the right, units in the head; wide ones scroll inside themselves. */
import type { ComponentChildren } from 'preact';
import { type CsvRows, csvText, fileName } from './csv.ts';
import { saveText } from './download.ts';

export interface Column {
  readonly head: ComponentChildren;
  readonly figures?: boolean;
  readonly key: string;
}

export interface Row {
  readonly key: string;
  readonly cells: readonly ComponentChildren[];
  readonly emphasis?: boolean;
}

export function DataTable(props: {
  readonly caption: string;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  readonly tight?: boolean;
  /** The rows as a file: names with units in the head, plain SI values. */
  readonly csv?: () => CsvRows;
  /** Name of that file. */
  readonly file?: string;
}) {
  const { caption, columns, rows } = props;
  const { csv, file = caption } = props;
  return (
    <>
      <TableBody {...{ caption, columns, rows }} tight={props.tight === true} />
      {csv === undefined ? null : (
        <p class="table-files">
          <button
            type="button"
            class="plain"
            aria-label={`save as CSV: ${file}`}
            onClick={() => saveText(fileName(file, 'csv'), csvText(csv()), 'text/csv')}
          >
            save as CSV
          </button>
        </p>
      )}
    </>
  );
}

function TableBody(props: {
  readonly caption: string;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  readonly tight: boolean;
}) {
  const { caption, columns, rows, tight } = props;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class={tight ? 'tight' : undefined}>
        <caption>{caption}</caption>
        <thead>
          <tr>
            {columns.map((c) => (
              <th key={c.key} scope="col" class={c.figures ? 'n' : undefined}>
                {c.head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.key} class={row.emphasis ? 'here' : undefined}>
              {row.cells.map((cell, i) => {
                const column = columns[i]!;
                const figures = column.figures === true;
                return i === 0 ? (
                  <th key={column.key} scope="row" class={figures ? 'n' : undefined}>
                    {cell}
                  </th>
                ) : (
                  <td key={column.key} class={figures ? (/\d/.test(String(cell)) ? 'n f' : 'n') : undefined}>
                    {cell}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

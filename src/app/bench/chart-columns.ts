/** Columns of figures out of any CSV: a row of titles or none, point or comma, as they come from a meter or a spreadsheet. */
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import { plainTitle, rowsOf, shorten, toNumber } from '../../formats/log-rows.ts';

export interface FileTable {
  readonly file: string;
  /** Titles as they stand; `column 1` and so on where there are none. */
  readonly titles: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
}

const isFigure = (cell: string) => Number.isFinite(toNumber(cell.trim()));

/** @throws UserError when there is nothing in the file */
export function readFileTable(text: string, file: string): FileTable {
  const all = rowsOf(text, []).map((cells, i) => ({ line: i + 1, cells: cells.map((cell) => cell.trim()) }));
  // A line that begins with # is a remark.
  const filled = all.filter(({ cells }) => cells.some((cell) => cell !== '') && !cells[0]!.startsWith('#'));
  const first = filled[0];
  if (first === undefined) throw userError('chart-empty', `there is nothing in ${file}`, { file });
  const titled = !first.cells.every((cell) => cell === '' || isFigure(cell));
  const titles = titled ? first.cells : first.cells.map((_, i) => `column ${i + 1}`);
  const rows = filled.slice(titled ? 1 : 0).map(({ line, cells }) => ({
    line,
    // One column of figures with decimal commas: the comma parts nothing.
    cells: titles.length === 1 && cells.length === 2 ? [cells.join(',')] : cells,
  }));
  if (rows.length === 0)
    throw userError('chart-empty', `there is a row of titles in ${file}, and nothing below`, { file });
  return { file, titles, rows };
}

/** Index of a column by its title or its number from 1. Throws UserError when there is none of that name. */
export function columnOf(table: FileTable, name: string): number {
  const wanted = plainTitle(name);
  const at = table.titles.findIndex((title) => plainTitle(title) === wanted);
  const numbered = /^\d+$/.test(name) ? Number(name) - 1 : -1;
  const found = at >= 0 ? at : numbered;
  if (found < 0 || found >= table.titles.length)
    throw userError('chart-column', `there is no column ${name}: there are ${table.titles.join(', ')}`, {
      file: table.file,
    });
  return found;
}

/** The column of values where none is named: `value`, or else the first that holds figures alone. */
export function valueColumn(table: FileTable): number {
  const named = table.titles.findIndex((title) => plainTitle(title) === 'value');
  if (named >= 0) return named;
  const found = table.titles.findIndex((_, i) => table.rows.every(({ cells }) => isFigure(cells[i] ?? '')));
  if (found < 0)
    throw userError(
      'chart-column',
      `no column holds figures alone: name the one with the values; there are ${table.titles.join(', ')}`,
      { file: table.file },
    );
  return found;
}

/** Texts of a column, each of them a figure. Throws UserError that names the lines which are none. */
export function figuresOf(table: FileTable, column: number): string[] {
  const problems: Problem[] = [];
  const texts = table.rows.map(({ line, cells }) => {
    const cell = cells[column] ?? '';
    if (!isFigure(cell))
      problems.push({
        code: 'chart-number',
        message: `${table.titles[column]} is '${shorten(cell)}': a number is needed; take the row out where nothing was measured`,
        place: { file: table.file, line },
      });
    return cell;
  });
  if (problems.length > 0) throw new UserError(problems.slice(0, 20));
  return texts;
}

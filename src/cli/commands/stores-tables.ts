import { type Command, InvalidArgumentError } from 'commander';
import { type BenchOptions, benchCommand, deedCommand, withBench } from '../bench.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

interface ImportOptions extends BenchOptions {
  readonly map?: Record<string, string>;
  readonly skip?: number[];
  readonly preview?: boolean;
  readonly zone?: string;
}

/** Wrong rows that are printed. */
const MOST_SHOWN = 30;

/** `sunperch stores export|import`: the bench as CSV tables. */
export function registerTables(group: Command): void {
  benchCommand(group, 'export <folder>', 'Writes every table of the bench as CSV into a folder.').action(
    async (folder: string, options: BenchOptions) => {
      const [{ exportTables, withEntries }, { mkdir, writeFile }, { join }] = await Promise.all([
        import('../../app/bench/tables.ts'),
        import('node:fs/promises'),
        import('node:path'),
      ]);
      const tables = await withBench(options, (bench) =>
        withEntries(bench, (entries) => exportTables(bench.state, entries)),
      );
      await mkdir(folder, { recursive: true });
      const files: string[] = [];
      for (const [name, text] of Object.entries(tables)) {
        const file = join(folder, `${name}.csv`);
        await writeFile(file, text);
        files.push(file);
      }
      if (options.json) sayJson({ command: 'stores export', files });
      else sayFolded(`Written: ${files.join(', ')}.`);
    },
  );
  deedCommand(
    group,
    'import <table> <file>',
    'Reads a table from CSV, all rows or none: parts, approvals, offers, plans, orders, lots, movements, batches, units, history, inspections, quarantine, papers (an empty workshop takes them in this order); bom, fitted, steps, gates, measurements.',
  )
    .option('--map <titles>', 'columns to fields, "Part no=key,Maker=supplier"; "Maker=" leaves a column out', mapOf)
    .option('--skip <rows>', 'rows of the file that are left out, 3,7', rowsOf)
    .option('--zone <name>', 'time zone of times without an offset, Europe/Zurich (left out: such times are refused)')
    .option('--preview', 'shows what would be read, and keeps nothing')
    .action(async (table: string, path: string, options: ImportOptions) => {
      const [{ importTable }, { decodeText }, { readFile }, { userError }] = await Promise.all([
        import('../../app/bench/tables.ts'),
        import('../../formats/csv-table.ts'),
        import('node:fs/promises'),
        import('../../core/units/index.ts'),
      ]);
      const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => {
        throw userError('file', `${path} cannot be read (${error.code ?? error.message})`);
      });
      const { text, encoding } = decodeText(bytes);
      const request = { table, text, map: options.map, skip: options.skip, zone: options.zone };
      const outcome = await withBench(options, (bench) =>
        importTable(bench, request, options.preview === true ? undefined : { signed: bench.signed() }),
      );
      if (outcome.problems.length > 0 && options.preview !== true) process.exitCode = 1;
      if (options.json) return sayJson({ ...outcome, encoding });
      sayFolded(outcome.verdict);
      say(`Read as ${encoding}.`);
      const more = outcome.problems.length - MOST_SHOWN;
      sayNotes(
        [
          ...outcome.problems.slice(0, MOST_SHOWN).map((p) => `row ${p.row}: ${p.message}`),
          ...(more > 0 ? [`and ${more} more: --json names them all`] : []),
        ],
        'Wrong',
      );
      if (outcome.unread.length > 0) sayNotes(outcome.unread, 'Columns that nothing is read from');
      if (options.preview === true)
        sayNotes(
          outcome.preview.map((row) => JSON.stringify(row)),
          'First rows',
        );
    });
}

function mapOf(text: string): Record<string, string> {
  const pairs = text.split(',').map((pair) => /^(.+)=([^=]*)$/.exec(pair));
  if (pairs.includes(null)) throw new InvalidArgumentError(`'${text}': write "title=field,title=field".`);
  return Object.fromEntries(pairs.map((pair) => [pair![1]!.trim(), pair![2]!.trim()]));
}

function rowsOf(text: string): number[] {
  const rows = text.split(',').map(Number);
  if (rows.some((row) => !Number.isInteger(row) || row < 2))
    throw new InvalidArgumentError(`'${text}': write the numbers of rows, 3,7; the line of titles is 1.`);
  return rows;
}

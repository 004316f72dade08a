import { type Command, InvalidArgumentError } from 'commander';
import { type BenchOptions, benchCommand, deedCommand, withBench } from '../bench.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

interface ImportOptions extends BenchOptions {
  readonly map?: Record<string, string>;
  readonly skip?: number[];
  readonly preview?: boolean;
}

/** `sunperch stores export|import`: the bench as CSV tables. */
export function registerTables(group: Command): void {
  benchCommand(group, 'export <folder>', 'Writes every table of the bench as CSV into a folder.').action(
    async (folder: string, options: BenchOptions) => {
      const [{ exportTables }, { mkdir, writeFile }, { join }] = await Promise.all([
        import('../../app/bench/tables.ts'),
        import('node:fs/promises'),
        import('node:path'),
      ]);
      const tables = await withBench(options, async ({ state }) => exportTables(state));
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
    'Reads parts, lots, orders, movements or gates from CSV: all rows or none.',
  )
    .option('--map <titles>', 'columns to fields, "Part no=key,Maker=supplier"', mapOf)
    .option('--skip <rows>', 'rows of the file that are left out, 3,7', rowsOf)
    .option('--preview', 'shows what would be read, and keeps nothing')
    .action(async (table: string, path: string, options: ImportOptions) => {
      const [{ planImport }, { decodeText }, { readFile }, { userError }] = await Promise.all([
        import('../../app/bench/tables.ts'),
        import('../../formats/csv-table.ts'),
        import('node:fs/promises'),
        import('../../core/units/index.ts'),
      ]);
      const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => {
        throw userError('file', `${path} cannot be read (${error.code ?? error.message})`);
      });
      const { text, encoding } = decodeText(bytes);
      const request = { table, text, map: options.map, skip: options.skip };
      const outcome = await withBench(options, async (bench) => {
        const planned = planImport(bench.state, request);
        if (options.preview !== true && planned.outcome.problems.length === 0)
          await bench.act((state) => planImport(state, request).deeds);
        return planned.outcome;
      });
      if (outcome.problems.length > 0 && options.preview !== true) process.exitCode = 1;
      if (options.json)
        return sayJson({ ...outcome, encoding, kept: options.preview !== true && outcome.problems.length === 0 });
      sayFolded(outcome.verdict);
      say(`Read as ${encoding}.`);
      sayNotes(
        outcome.problems.slice(0, 30).map((p) => `row ${p.row}: ${p.message}`),
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
  const pairs = text.split(',').map((pair) => /^(.+)=([^=]+)$/.exec(pair));
  if (pairs.includes(null)) throw new InvalidArgumentError(`'${text}': write "title=field,title=field".`);
  return Object.fromEntries(pairs.map((pair) => [pair![1]!.trim(), pair![2]!.trim()]));
}

function rowsOf(text: string): number[] {
  const rows = text.split(',').map(Number);
  if (rows.some((row) => !Number.isInteger(row) || row < 2))
    throw new InvalidArgumentError(`'${text}': write the numbers of rows, 3,7; the line of titles is 1.`);
  return rows;
}

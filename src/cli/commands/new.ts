import { Argument, type Command, Option } from 'commander';
import type { PartList } from '../../app/new.ts';
import { number, whole, withExample, withJson } from '../options.ts';
import { say, sayJson, table } from '../print.ts';

interface NewOptions {
  readonly list?: PartList;
  readonly name?: string;
  readonly panel?: string;
  readonly charger?: string;
  readonly cells?: string;
  readonly count?: number;
  readonly lat?: number;
  readonly lon?: number;
  readonly elevation?: number;
  readonly force?: boolean;
  readonly json?: boolean;
}

const KIT_OPTIONS = ['panel', 'charger', 'cells', 'count'] as const;
const PERCH_OPTIONS = ['lat', 'lon', 'elevation'] as const;

export function registerNew(program: Command): void {
  const command = program
    .command('new')
    .summary('a commented kit or perch file to begin with; lists of generic parts')
    .description('Writes a commented kit or perch to a file, or to standard output when no file is named.')
    .addArgument(new Argument('[kind]', 'what to write').choices(['kit', 'perch']))
    .argument('[file]', 'file to write; one that exists is left alone unless --force is given')
    .option('--name <text>', 'name of the kit or the perch')
    .option('--panel <part>', 'kit: panel to start from (see --list panels)')
    .option('--charger <part>', 'kit: charger to start from')
    .option('--cells <part>', 'kit: cell to start from')
    .option('--count <n>', 'kit: cells in parallel', whole(1))
    .option('--lat <deg>', 'perch: latitude, degrees, north positive', number)
    .option('--lon <deg>', 'perch: longitude, degrees, east positive', number)
    .option('--elevation <m>', 'perch: height above the sea, m', number)
    .option('--force', 'write over a file that exists')
    .addOption(
      new Option('--list <parts>', 'list the generic parts').choices(['panels', 'cells', 'chargers', 'loads']),
    );
  withExample(
    withJson(command),
    'sunperch new kit my-kit.yaml --panel panel-3.5W-6V-etfe --count 3',
    'sunperch new perch roof.yaml --lat 46.4 --lon 10.2 --elevation 1500',
    'sunperch new --list cells',
  );
  command.action(async (kind: 'kit' | 'perch' | undefined, file: string | undefined, options: NewOptions) => {
    const { listParts, newRecord } = await import('../../app/new.ts');
    if (options.list !== undefined) {
      if (kind !== undefined) command.error('error: --list stands alone, without kit or perch.');
      const outcome = listParts(options.list);
      if (options.json) sayJson(outcome);
      else
        for (const line of table(
          ['part', 'what it is'],
          outcome.parts.map((p) => [p.id, p.title]),
          [0, 1],
        ))
          say(line);
      return;
    }
    if (kind === undefined) return command.error('error: say what to write: kit or perch; or --list panels.');
    const foreign = (kind === 'kit' ? PERCH_OPTIONS : KIT_OPTIONS).find((name) => options[name] !== undefined);
    if (foreign !== undefined)
      command.error(`error: --${foreign} belongs to a ${kind === 'kit' ? 'perch' : 'kit'}, not to a ${kind}.`);
    const schema = await schemaPath(kind, file);
    const { name, panel, charger, cells, count } = options;
    const text = newRecord(
      kind === 'kit'
        ? { kind, name, schema, panel, charger, cells, count }
        : { kind, name, schema, latitude_deg: options.lat, longitude_deg: options.lon, elevation_m: options.elevation },
    );
    if (file !== undefined) await write(file, text, options.force === true);
    if (options.json) sayJson({ command: 'new', kind, file: file ?? null, text });
    else if (file === undefined) process.stdout.write(text);
    else say(`Written: ${file}. Edit it; editors complete and check it by its schema.`);
  });
}

/** Path of the JSON Schema as seen from the new file, where the checkout's own folder can be found. */
async function schemaPath(kind: string, file: string | undefined): Promise<string | undefined> {
  const { existsSync } = await import('node:fs');
  const { dirname, relative, resolve, sep } = await import('node:path');
  const { fileURLToPath } = await import('node:url');
  // The bundle lies one folder below the checkout, this source three.
  const found = ['../schema/', '../../../schema/']
    .map((folder) => fileURLToPath(new URL(`${folder}${kind}.schema.json`, import.meta.url)))
    .find((path) => existsSync(path));
  if (found === undefined) return undefined;
  return relative(dirname(resolve(file ?? 'x')), found)
    .split(sep)
    .join('/');
}

async function write(file: string, text: string, force: boolean): Promise<void> {
  const { existsSync } = await import('node:fs');
  if (!force && existsSync(file)) {
    const { userError } = await import('../../core/units/index.ts');
    throw userError(
      'file-exists',
      'a file of that name is there already: choose another name, or give --force to write over it',
      {
        file,
      },
    );
  }
  const { writeWhole } = await import('../../host/files.ts');
  await writeWhole(file, text);
}

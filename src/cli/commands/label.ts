import { type Command, Option } from 'commander';
import type { PaperOutcome } from '../../app/bench/papers-of.ts';
import { UserError } from '../../core/units/index.ts';
import type { LabelLayout } from '../../records/bench/index.ts';
import { type BenchOptions, benchCommand, withBench } from '../bench.ts';
import { number, whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { sayNotes } from '../tail.ts';

interface PaperOptions extends BenchOptions {
  readonly out: string;
  readonly paper: 'A4' | 'letter';
}

/** `sunperch label …`: labels, test certificates, quick-start cards, carton marks and packing lists as PDF. */
export function registerLabel(program: Command): void {
  const group = program
    .command('label')
    .summary('papers of the bench as PDF: labels, certificates, cards, carton marks, packing lists')
    .description(
      'Papers of batches, units, plans and orders as PDF. Keys that belong to one unit stand on none of them, and a customer\n' +
        'only on the packing list. The maker, the address that codes lead to and where help is found stand in the plan\n' +
        '(maker, labelUrl).',
    );
  withExample(
    group,
    'sunperch label sheet a-07 --layout examples/bench/labels-a4-3x8.yaml --out labels.pdf',
    'sunperch label sheet A07-012H --layout examples/bench/labels-roll-70x40.yaml --text "{serial}" --out one.pdf',
    'sunperch label certificate A07-012H --out certificate.pdf',
    'sunperch label card alder-3 --region EU --out card.pdf',
    'sunperch label carton alder-3 --units 6 --out carton.pdf',
    'sunperch label packing hut-kaldra --out packing.pdf',
  );
  registerSheet(group);
  registerCertificate(group);
  registerCard(group);
  registerCarton(group);
  paperCommand(group, 'packing <order>', 'What lies in the parcel of an order, by serial.').action(
    (order: string, options: PaperOptions) => write('label packing', options, { paper: 'packing', order }),
  );
}

function paperCommand(group: Command, usage: string, text: string): Command {
  return benchCommand(group, usage, text)
    .requiredOption('--out <file>', 'PDF to be written')
    .addOption(new Option('--paper <name>', 'paper that it is printed on').choices(['A4', 'letter']).default('A4'));
}

interface SheetOptions extends PaperOptions {
  readonly layout: string;
  readonly start?: number;
  readonly url?: string;
  readonly text?: string;
  readonly level?: string;
  readonly barcode?: boolean;
  readonly outline?: boolean;
}

function registerSheet(group: Command): void {
  benchCommand(group, 'sheet <things...>', 'Labels of a batch, or of units by their serials.')
    .requiredOption('--layout <file>', 'how the labels lie on their sheet or roll (YAML)')
    .requiredOption('--out <file>', 'PDF to be written')
    .option('--start <n>', 'place of the first label on the first sheet, row by row from 1', whole(1))
    .addOption(
      new Option(
        '--url <pattern>',
        'address that the code leads to, {serial} in it (default: that of the plan)',
      ).conflicts('text'),
    )
    .option('--text <pattern>', 'what the code says in place of an address, {serial} in it')
    .addOption(
      new Option('--level <letter>', 'share of the code that may be damaged: 7, 15, 25, 30 % (default M)').choices([
        'L',
        'M',
        'Q',
        'H',
      ]),
    )
    .option('--barcode', 'the serial as bars too')
    .option('--outline', 'the edges of the labels, for a trial on plain paper')
    .action(async (things: string[], options: SheetOptions) => {
      const [{ parseYamlRecord }, { readText }, { readLabelLayout }] = await Promise.all([
        import('../../formats/yaml-record.ts'),
        import('../../host/files.ts'),
        import('../../records/bench/index.ts'),
      ]);
      const layout: LabelLayout = readLabelLayout(parseYamlRecord(await readText(options.layout), options.layout));
      const { start, url, text, level, barcode, outline } = options;
      await write(
        'label sheet',
        { ...options, paper: layout.kind === 'sheet' ? layout.paper : 'A4' },
        {
          ...{ paper: 'labels', things, layout, startAt: start, code: url ?? text, level, barcode, outline },
        },
      );
    });
}

function registerCertificate(group: Command): void {
  paperCommand(
    group,
    'certificate <things...>',
    'Test certificates of units or of a whole batch: every gate with its limits, every try, every override.',
  ).action((things: string[], options: PaperOptions) =>
    write('label certificate', options, { paper: 'certificate', things }),
  );
}

interface CardOptions extends PaperOptions {
  readonly region: string;
  readonly latitude?: number;
  readonly tilt?: number;
  readonly frequency?: number;
  readonly cellsApart?: boolean;
}

function registerCard(group: Command): void {
  paperCommand(
    group,
    'card <plan>',
    'The card that goes with a unit: first start, mounting, charging, cautions, limits.',
  )
    .addOption(
      new Option('--region <region>', 'region of the customer')
        .choices(['US', 'EU', 'UK', 'AU', 'NZ', 'JP', 'IN'])
        .default('EU'),
    )
    .option(
      '--latitude <deg>',
      'where it will stand, degrees, south negative (default: a middle of the region)',
      number,
    )
    .option('--tilt <deg>', 'tilt of the panel (default: for the winter at that latitude)', number)
    .option('--frequency <MHz>', 'carrier frequency (default: that of the kit)', number)
    .option('--cells-apart', 'the cells travel apart, and the customer puts them in')
    .action((plan: string, options: CardOptions) => {
      const { region, latitude, tilt, frequency, cellsApart } = options;
      const place = { latitude_deg: latitude, tilt_deg: tilt, frequency_MHz: frequency };
      return write('label card', options, { paper: 'card', plan, region, ...place, cellsApart });
    });
}

interface CartonOptions extends PaperOptions {
  readonly units: number;
  readonly packages?: number;
  readonly packing?: string;
  readonly charge?: number;
}

function registerCarton(group: Command): void {
  paperCommand(group, 'carton <plan>', 'Facts for the marks on a carton with lithium cells.')
    .requiredOption('--units <n>', 'units in the carton', whole(1))
    .option('--packages <n>', 'packages of the consignment (default 1)', whole(1))
    .addOption(
      new Option('--packing <how>', 'where the cells are (default contained: in the units)').choices([
        'contained',
        'with equipment',
        'alone',
      ]),
    )
    .option('--charge <%>', 'state of charge of the cells, %', number)
    .action((plan: string, options: CartonOptions) => {
      const { units, packages, packing, charge } = options;
      return write('label carton', options, { paper: 'carton', plan, units, packages, packing, charge_pct: charge });
    });
}

/** What `--json` prints of a paper. */
export interface LabelOutcome {
  readonly command: string;
  readonly file: string;
  readonly bytes: number;
  readonly pages: number | null;
  readonly module_mm: number | null;
  readonly serials: readonly string[];
  readonly notes: readonly string[];
}

async function write(command: string, options: PaperOptions, asked: Readonly<Record<string, unknown>>): Promise<void> {
  const [{ checkWritable, writeWhole }, { makePaper }, { setBenchPaper }, { madeAt }] = await Promise.all([
    import('../../host/files.ts'),
    import('../../app/bench/make-paper.ts'),
    import('../bench-paper.ts'),
    import('../report-file.ts'),
  ]);
  const request = await read({ ...asked, size: options.paper });
  await checkWritable(options.out);
  const day = madeAt().toISOString().slice(0, 10);
  const made: PaperOutcome = await withBench(options, ({ state, workshop }) =>
    makePaper(workshop, state, request, day),
  );
  const set = await setBenchPaper(made);
  await writeWhole(options.out, set.bytes);
  const outcome: LabelOutcome = {
    command,
    file: options.out,
    bytes: set.bytes.length,
    pages: set.pages ?? null,
    module_mm: set.module_mm ?? null,
    serials: made.serials,
    notes: [...made.notes, ...set.notes],
  };
  if (options.json) return sayJson(outcome);
  const of = set.pages === undefined ? '' : `: ${labels(made.serials.length)} on ${pages(set.pages)}`;
  say(`Written: ${options.out}${of}.`);
  sayNotes(outcome.notes, 'Before it is printed');
}

const labels = (n: number) => (n === 1 ? '1 label' : `${n} labels`);
const pages = (n: number) => (n === 1 ? '1 page' : `${n} pages`);

/** Checked as what the server is sent. */
async function read(asked: Readonly<Record<string, unknown>>) {
  const { paperRequest } = await import('../../records/bench/index.ts');
  const given = Object.fromEntries(Object.entries(asked).filter(([, value]) => value !== undefined));
  const result = paperRequest.safeParse(given);
  if (result.success) return result.data;
  throw new UserError(
    result.error.issues.map(({ path, message }) => ({
      code: 'bad-paper',
      message,
      ...(path.length === 0 ? {} : { place: { field: path.map(String).join('.') } }),
    })),
  );
}

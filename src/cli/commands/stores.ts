import { randomInt } from 'node:crypto';
import { Argument, type Command, InvalidArgumentError, Option } from 'commander';
import { type BenchOptions, benchCommand, deedCommand, withBench } from '../bench.ts';
import { number, whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { REGIONS } from '../regions.ts';
import { sayFolded } from '../tail.ts';
import { registerSampling } from './stores-sampling.ts';
import { registerTables } from './stores-tables.ts';

const printing = () => import('./bench-print.ts');
const stores = () => import('../../app/bench/stores.ts');

/** `sunperch stores …`: parts, lots, movements, incoming inspection, what to order. */
export function registerStores(program: Command): void {
  const group = program
    .command('stores')
    .summary('parts and lots: received, inspected, moved, quarantined, to be ordered')
    .description(
      'Every movement of a lot is kept; what a unit holds is known by lot, so that a lot which turns out bad names its\n' +
        'units at once. Stock below zero is possible only when asked for, and is told.',
    );
  withExample(
    group,
    'sunperch stores parts examples/bench/parts.yaml',
    'sunperch stores receive cell --count 180 --supplier "Cells and more" --goods 684.00 --freight 9.00',
    'sunperch stores draw cell-1',
    'sunperch stores found cell-1 17:dented',
    'sunperch stores order alder-3 --units 60 --due 2027-03-01',
    'sunperch stores recall cell-1',
  );
  registerParts(group);
  registerInspection(group);
  registerSampling(group);
  registerMoves(group);
  registerLooks(group);
  registerTables(group);
}

interface ReceiveOptions extends BenchOptions {
  readonly count: number;
  readonly supplier: string;
  readonly goods: string;
  readonly freight?: string;
  readonly duty?: string;
  readonly fees?: string;
  readonly currency: string;
  readonly lot?: string;
  readonly supplierLot?: string;
  readonly note?: string;
}

function registerParts(group: Command): void {
  deedCommand(
    group,
    'parts <file>',
    'Saves the parts of a file (YAML: parts, each with its key): all of them or none.',
  ).action(async (file: string, options: BenchOptions) => {
    const [{ savePart }, { parseYamlRecord }, { readParts }] = await Promise.all([
      stores(),
      import('../../formats/yaml-record.ts'),
      import('../../records/bench/index.ts'),
    ]);
    const keys = await withBench(options, async (bench) => {
      const parts = readParts(parseYamlRecord(await bench.ports.readText(file), file));
      await bench.act((state) => parts.flatMap(({ key, ...part }) => savePart(state, key, part)));
      return parts.map((part) => part.key);
    });
    if (options.json) sayJson({ command: 'stores parts', saved: keys });
    else sayFolded(`Saved: ${keys.join(', ')}.`);
  });
  deedCommand(group, 'receive <part>', 'Notes a lot that has come in.')
    .requiredOption('--count <n>', 'pieces', whole(1))
    .requiredOption('--supplier <name>', 'where it comes from')
    .requiredOption('--goods <sum>', 'price of all of it, 684.00')
    .option('--freight <sum>', 'freight (default 0)')
    .option('--duty <sum>', 'duty (default 0)')
    .option('--fees <sum>', 'fees (default 0)')
    .option('--currency <code>', 'currency of the sums', 'EUR')
    .option('--lot <key>', 'key of the lot (default: the part with the next number)')
    .option('--supplier-lot <text>', "the supplier's own mark of the lot")
    .option('--note <text>', 'remark')
    .action(async (part: string, options: ReceiveOptions) => {
      const [{ nextLotKey, receiveLot }, { parseAmount }] = await Promise.all([
        stores(),
        import('../../core/money/index.ts'),
      ]);
      const { count, supplier, currency, supplierLot, note } = options;
      const sumOf = (text: string | undefined) => (text === undefined ? 0 : parseAmount(text, currency).minor);
      const content = {
        part,
        count,
        supplier,
        currency,
        goods_minor: sumOf(options.goods),
        freight_minor: sumOf(options.freight),
        duty_minor: sumOf(options.duty),
        fees_minor: sumOf(options.fees),
        ...(supplierLot === undefined ? {} : { supplierLot }),
        ...(note === undefined ? {} : { note }),
      };
      let lot = '';
      const { severityFor } = await import('../../app/bench/inspection.ts');
      const next = await withBench(options, async (bench) => {
        await bench.act((state) => {
          lot = options.lot ?? nextLotKey(state, part);
          return receiveLot(state, content, lot);
        });
        const asked = bench.state.parts.get(part)?.inspection !== undefined;
        return asked ? severityFor(bench.state, part, supplier) : null;
      });
      const inspected = next !== null;
      if (options.json) return sayJson({ command: 'stores receive', lot, part, count, inspectionDue: inspected, next });
      say(`Received: lot ${lot}, ${count} of ${part}.`);
      if (next === null) return;
      say(`It is to be inspected: \`sunperch stores draw ${lot}\` says which pieces.`);
      sayFolded(`Inspection ${next.why}.`);
    });
}

interface DrawOptions extends BenchOptions {
  readonly seed?: number;
  readonly level?: 'S-1' | 'S-2' | 'S-3' | 'S-4' | 'I' | 'II' | 'III';
  readonly aql?: number;
  readonly severity?: 'normal' | 'tightened' | 'reduced';
}

function registerInspection(group: Command): void {
  deedCommand(group, 'draw <lot>', 'Draws which pieces of a lot are looked at (ISO 2859-1, single sampling).')
    .addOption(
      group
        .createOption('--level <level>', 'inspection level (default: of the part)')
        .choices(['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III']),
    )
    .option('--aql <pct>', 'acceptance quality limit, per cent (default: of the part)', number)
    .addOption(
      group
        .createOption('--severity <word>', 'default: by the switching rules over the lots before')
        .choices(['normal', 'tightened', 'reduced']),
    )
    .option('--seed <n>', 'seed of the draw (default: chance)', whole(0))
    .action(async (key: string, options: DrawOptions) => {
      const { drawInspection, severityFor } = await import('../../app/bench/inspection.ts');
      const seed = options.seed ?? randomInt(2 ** 31);
      const { level, aql, severity } = options;
      const { inspection, next } = await withBench(options, async (bench) => {
        await bench.act((state) => drawInspection(state, { lot: key, seed, level, aql_pct: aql, severity }));
        const lot = bench.state.lots.get(key)!;
        return { inspection: lot.inspections.at(-1)!, next: severityFor(bench.state, lot.part, lot.supplier) };
      });
      if (options.json) return sayJson({ command: 'stores draw', lot: key, ...inspection, next });
      const { lettersOfDraw } = await import('../../app/bench/table-plan.ts');
      const { sample, lotSize, accept, reject, drawn } = inspection;
      sayFolded(
        `Look at ${sample} of ${lotSize} (${lettersOfDraw(inspection)}): accept with at most ${accept} defective, refuse from ${reject}.`,
      );
      sayFolded(
        inspection.severity === next.severity
          ? `Inspection is ${next.why}.`
          : `Inspection is ${inspection.severity}, as told; by the rules it would be ${next.why}.`,
      );
      sayFolded(`Pieces, counted through the lot: ${drawn.join(', ')}.`);
    });

  deedCommand(group, 'found <lot>', 'Tells what was found among the drawn pieces; the verdict follows.')
    .addArgument(
      new Argument('[defective...]', 'POSITION:REASON of each defective piece; none: all were good').argParser(defect),
    )
    .action(async (key: string, defective: { position: number; why: string }[] | undefined, options: BenchOptions) => {
      const { severityFor, tellInspection } = await import('../../app/bench/inspection.ts');
      const { found, next, source } = await withBench(options, async (bench) => {
        await bench.act((state) => tellInspection(state, key, defective ?? []));
        const lot = bench.state.lots.get(key)!;
        const found = lot.inspections.at(-1)!.found!;
        return {
          found,
          next: severityFor(bench.state, lot.part, lot.supplier),
          source: `${lot.part} from ${lot.supplier}`,
        };
      });
      if (options.json) return sayJson({ command: 'stores found', lot: key, ...found, next });
      const n = found.defective.length;
      const end = found.verdict === 'refused' ? ' It is quarantined.' : '';
      say(`Lot ${key} is ${found.verdict}: ${n} defective.${end}`);
      sayFolded(`The next lot of ${source}: inspection ${next.why}.`);
    });
}

function defect(text: string, before: { position: number; why: string }[] | undefined) {
  const found = /^(\d+):(.+)$/.exec(text);
  if (found === null) throw new InvalidArgumentError(`'${text}' is no POSITION:REASON, such as 17:dented.`);
  return [...(before ?? []), { position: Number(found[1]), why: found[2]!.trim() }];
}

function registerMoves(group: Command): void {
  const reasons = ['scrapped', 'sold as parts', 'lent', 'given back', 'sent back'] as const;
  deedCommand(group, 'move <lot> <change>', 'Adds to a lot (+3) or takes from it (-3; write -- before it).')
    .addOption(
      group
        .createOption('--why <word>', 'why')
        .choices([...reasons])
        .makeOptionMandatory(),
    )
    .option('--note <text>', 'remark')
    .option('--short', 'also when the stores say that there are too few')
    .action(
      async (
        key: string,
        change: string,
        options: BenchOptions & { why: (typeof reasons)[number]; note?: string; short?: boolean },
      ) => {
        const { moveStock } = await stores();
        const { why, note, short } = options;
        await tellLot(key, options, (state) =>
          moveStock(state, key, { change: number(change), why, ...(note === undefined ? {} : { note }) }, short),
        );
      },
    );
  deedCommand(group, 'count <lot> <pieces>', 'Writes down what was counted: the difference becomes a movement.')
    .option('--note <text>', 'remark')
    .action(async (key: string, pieces: string, options: BenchOptions & { note?: string }) => {
      const { countLot } = await stores();
      await tellLot(key, options, (state) => countLot(state, key, number(pieces), options.note));
    });
  for (const [word, said] of [
    ['quarantine', 'Keeps a lot back, and names every unit that holds a part of it.'],
    ['release', 'Releases a quarantined lot.'],
  ] as const)
    deedCommand(group, `${word} <lot>`, said)
      .requiredOption('--reason <text>', 'why')
      .action(async (key: string, options: BenchOptions & { reason: string }) => {
        const { quarantineLot, recall, releaseLot } = await stores();
        const outcome = await withBench(options, async (bench) => {
          const decide = word === 'quarantine' ? quarantineLot : releaseLot;
          await bench.act((state) => decide(state, key, options.reason));
          return recall(bench.state, key);
        });
        if (options.json) sayJson(outcome);
        else (await printing()).sayRecall(outcome);
      });
}

async function tellLot(
  key: string,
  options: BenchOptions,
  decide: Parameters<Parameters<Parameters<typeof withBench>[1]>[0]['act']>[0],
): Promise<void> {
  const { ledger } = await stores();
  const outcome = await withBench(options, async (bench) => {
    await bench.act(decide);
    return ledger(bench.state, key);
  });
  if (options.json) return sayJson(outcome);
  sayFolded(outcome.verdict);
}

function registerLooks(group: Command): void {
  benchCommand(group, 'list', 'Lists parts and lots with what is left.')
    .option('--all', 'empty lots too')
    .action(async (options: BenchOptions & { all?: boolean }) => {
      const { storesList } = await stores();
      const outcome = await withBench(options, async ({ state }) => storesList(state, options.all));
      if (options.json) sayJson(outcome);
      else (await printing()).sayStores(outcome);
    });
  benchCommand(group, 'ledger <lot>', 'Prints every movement of a lot.').action(
    async (key: string, options: BenchOptions) => {
      const { ledger } = await stores();
      const outcome = await withBench(options, async ({ state }) => ledger(state, key));
      if (options.json) sayJson(outcome);
      else (await printing()).sayLedger(outcome);
    },
  );
  benchCommand(group, 'recall <lot>', 'Lists every unit that holds a part of a lot, those at customers first.')
    .option('--csv <file>', 'also writes the list as CSV, for a letter to each customer')
    .action(async (key: string, options: BenchOptions & { csv?: string }) => {
      const { recall, recallTable } = await stores();
      const outcome = await withBench(options, async ({ state }) => recall(state, key));
      if (options.csv !== undefined) {
        const [{ writeWhole }, { writeTable }] = await Promise.all([
          import('../../host/files.ts'),
          import('../../formats/csv-table.ts'),
        ]);
        const [titles, ...rows] = recallTable(outcome);
        await writeWhole(options.csv, writeTable(titles as string[], rows));
      }
      if (options.json) sayJson(outcome);
      else (await printing()).sayRecall(outcome);
    });
  benchCommand(group, 'order <plan>', 'Says what to order for a number of units, from whom, and by when.')
    .requiredOption('--units <n>', 'number of units', whole(1))
    .addOption(
      new Option('--region <code>', 'region whose variant is built (default: the bill as it stands)').choices(REGIONS),
    )
    .option('--due <day>', 'day on which the parts are wanted, 2027-03-01')
    .action(async (plan: string, options: BenchOptions & { units: number; region?: string; due?: string }) => {
      const { whatToOrder } = await import('../../app/bench/ordering.ts');
      const { units, region, due } = options;
      const outcome = await withBench(options, async ({ state, ports }) =>
        whatToOrder(state, { plan, units, region, due, today: ports.now().slice(0, 10) }),
      );
      if (options.json) sayJson(outcome);
      else (await printing()).sayOrdering(outcome);
    });
}

import { Argument, type Command } from 'commander';
import { type BenchOptions, benchCommand, deedCommand, withBench } from '../bench.ts';
import { whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { REGIONS, type Region } from '../regions.ts';
import { sayFolded, sayNotes } from '../tail.ts';
import { registerBatchPapers } from './batch-papers.ts';
import { registerQuality } from './batch-quality.ts';

const printing = () => import('./bench-print.ts');

/** `sunperch batch …`: build plans, batches of units, and the orders that they serve. */
export function registerBatch(program: Command): void {
  const group = program
    .command('batch')
    .summary('build plans, batches of units and orders')
    .description(
      'A batch is a run of units of one kit revision, built by one plan: bill of materials, steps, and gates that each\n' +
        'unit must pass. A plan that is saved later does not change a batch that runs.',
    );
  withExample(
    group,
    'sunperch batch plan examples/bench/plan-alder-3.yaml --key alder-3',
    'sunperch batch open a-08 --plan alder-3 --count 60 --region EU --prefix A08 --due 2027-03-01',
    'sunperch batch show a-08',
    'sunperch batch order place hut-kaldra --customer "Hut Kaldra" --plan alder-3 --count 2 --region EU',
    'sunperch batch order reserve hut-kaldra A08-0017 A08-0025',
  );
  registerPlans(group);
  registerBatches(group);
  registerQuality(group);
  registerOrders(group);
  registerBatchPapers(group);
}

function registerPlans(group: Command): void {
  deedCommand(group, 'plan <file>', 'Saves a build plan.')
    .option('--key <key>', 'key of the plan (default: the kit of the plan)')
    .option('--from <n>', 'number that it was made from; refused when others have saved since', whole(0))
    .action(async (file: string, options: BenchOptions & { key?: string; from?: number }) => {
      const [{ savePlan }, { parseYamlRecord }, { readPlan }] = await Promise.all([
        import('../../app/bench/batches.ts'),
        import('../../formats/yaml-record.ts'),
        import('../../records/bench/index.ts'),
      ]);
      const outcome = await withBench(options, async (bench) => {
        const plan = readPlan(parseYamlRecord(await bench.ports.readText(file), file));
        const key = options.key ?? plan.kit;
        await bench.act((state) => savePlan(state, key, plan, options.from));
        return { command: 'batch plan', plan: key, number: bench.state.plans.get(key)?.length };
      });
      if (options.json) sayJson(outcome);
      else say(`Saved: plan ${outcome.plan}, number ${outcome.number}.`);
    });
  deedCommand(
    group,
    'drawing <plan> <step> <file>',
    'Keeps a drawing or photo (JPEG, PNG, PDF, at most 10 MB), shown at the step of every unit of the plan.',
  ).action(async (plan: string, step: string, file: string, options: BenchOptions) => {
    const { takeDrawing } = await import('../../app/bench/drawings.ts');
    const outcome = await withBench(options, async (bench) => {
      const content = await bench.ports.readBytes(file);
      const { drawing, again } = await takeDrawing(bench, bench.signed(), { plan, step, name: file }, content);
      return { command: 'batch drawing', plan, ...drawing, written: again ? 0 : 1 };
    });
    if (options.json) sayJson(outcome);
    else say(`Kept: ${outcome.name}, shown at step ${step} of plan ${plan}.`);
  });
}

interface OpenOptions extends BenchOptions {
  readonly plan: string;
  readonly count: number;
  readonly name?: string;
  readonly region: Region;
  readonly prefix?: string;
  readonly due?: string;
}

function registerBatches(group: Command): void {
  deedCommand(group, 'open <key>', 'Opens a batch and makes its units, each with a serial.')
    .requiredOption('--plan <key>', 'plan that it is built by')
    .requiredOption('--count <n>', 'number of units', whole(1))
    .option('--name <text>', 'name (default: the key)')
    .addOption(regionOption(group))
    .option('--prefix <text>', 'serials begin with it (default: from the key)')
    .option('--due <day>', 'day on which it is to be ready, 2027-03-01')
    .action(async (key: string, options: OpenOptions) => {
      const [{ openBatch }, { batchLook }] = await Promise.all([
        import('../../app/bench/batches.ts'),
        import('../../app/bench/looks.ts'),
      ]);
      const { plan, count, name, region, prefix, due } = options;
      const outcome = await withBench(options, async (bench) => {
        await bench.act((state) => openBatch(state, { key, plan, count, name, region, prefix, due }));
        return batchLook(bench.state, key);
      });
      if (options.json) return sayJson(outcome);
      const { units } = outcome;
      const last = units.at(-1)?.serial;
      say(`Opened: ${key}, ${units.length} units, ${units[0]?.serial} to ${last}.`);
    });

  benchCommand(group, 'list', 'Lists the batches and the orders that wait.').action(async (options: BenchOptions) => {
    const { overview } = await import('../../app/bench/looks.ts');
    const outcome = await withBench(options, async ({ state }) => overview(state));
    if (options.json) sayJson(outcome);
    else (await printing()).sayOverview(outcome);
  });

  benchCommand(group, 'show <key>', 'Prints where each unit of a batch stands.').action(
    async (key: string, options: BenchOptions) => {
      const { batchLook } = await import('../../app/bench/looks.ts');
      const outcome = await withBench(options, async ({ state }) => batchLook(state, key));
      if (options.json) sayJson(outcome);
      else (await printing()).sayBatch(outcome);
    },
  );

  deedCommand(group, 'close <key>', 'Closes a batch: nothing of the stores is kept for it any more.')
    .option('--reason <text>', 'why')
    .action(async (key: string, options: BenchOptions & { reason?: string }) => {
      const [{ closeBatch }, { batchLook }] = await Promise.all([
        import('../../app/bench/batches.ts'),
        import('../../app/bench/looks.ts'),
      ]);
      const outcome = await withBench(options, async (bench) => {
        await bench.act((state) => closeBatch(state, key, options.reason));
        return batchLook(bench.state, key);
      });
      if (options.json) sayJson(outcome);
      else sayFolded(`Closed. ${outcome.verdict}`);
    });
}

const regionOption = (group: Command) =>
  group
    .createOption('--region <code>', `region whose radio rules hold: ${REGIONS.join(', ')}`)
    .choices(REGIONS)
    .default('EU');

interface PlaceOptions extends BenchOptions {
  readonly customer: string;
  readonly plan: string;
  readonly count: number;
  readonly region: Region;
  readonly due?: string;
  readonly place?: string;
  readonly at?: string;
  readonly price?: string;
  readonly currency: string;
}

function registerOrders(group: Command): void {
  const orders = group
    .command('order')
    .description('Orders: who waits for how many, and which units are kept for them.');
  deedCommand(orders, 'place <key>', 'Places an order, or changes one under the same key.')
    .requiredOption('--customer <name>', 'who ordered; never shown on a label or a passport')
    .requiredOption('--plan <key>', 'plan of what is wanted')
    .requiredOption('--count <n>', 'number of units', whole(1))
    .addOption(regionOption(orders))
    .option('--due <day>', 'day on which it is wanted, 2027-03-01')
    .option('--place <name>', 'where they will stand')
    .option('--at <lat,lon>', 'where that is, degrees: for the check whether the kit stays up there')
    .option('--price <sum>', 'price of a unit, 95.00')
    .option('--currency <code>', 'currency of the price', 'EUR')
    .action(async (key: string, options: PlaceOptions) => {
      const [{ placeOrder }, { orderRows }, { parseAmount }, { placeOf }] = await Promise.all([
        import('../../app/bench/leaving.ts'),
        import('../../app/bench/looks.ts'),
        import('../../core/money/index.ts'),
        import('../../app/bench/order-place.ts'),
      ]);
      const { customer, plan, count, region, due, price, currency } = options;
      const place = placeOf(options.place, options.at);
      const outcome = await withBench(options, async (bench) => {
        await bench.act((state) =>
          placeOrder(state, key, {
            customer,
            plan,
            count,
            region,
            ...(due === undefined ? {} : { due }),
            ...(place === undefined ? {} : { place }),
            ...(price === undefined ? {} : { price_minor: parseAmount(price, currency).minor, currency }),
          }),
        );
        return orderRows(bench.state).find((row) => row.order === key);
      });
      if (options.json) sayJson({ command: 'batch order place', order: outcome });
      else say(`Placed: order ${key}, ${count} ${count === 1 ? 'unit' : 'units'} for ${customer}.`);
    });

  benchCommand(orders, 'list', 'Lists the orders: those that wait first, by the day on which they are wanted.').action(
    async (options: BenchOptions) => {
      const { orderRows } = await import('../../app/bench/looks.ts');
      const rows = await withBench(options, async ({ state }) => orderRows(state));
      if (options.json) sayJson({ command: 'batch order list', orders: rows });
      else (await printing()).sayOrders(rows);
    },
  );

  deedCommand(orders, 'reserve <key>', 'Keeps units for an order.')
    .addArgument(new Argument('<serial...>', 'serials of the units'))
    .action(async (key: string, serials: readonly string[], options: BenchOptions) => {
      const [{ reserveUnits }, { orderRows }] = await Promise.all([
        import('../../app/bench/leaving.ts'),
        import('../../app/bench/looks.ts'),
      ]);
      const rows = await withBench(options, async (bench) => {
        await bench.act((state) => reserveUnits(state, key, serials));
        return orderRows(bench.state);
      });
      if (options.json) sayJson({ command: 'batch order reserve', orders: rows });
      else (await printing()).sayOrders(rows);
    });
  deedCommand(orders, 'free <serial>', 'Frees a unit from its order.').action(
    async (serial: string, options: BenchOptions) => {
      const [{ freeUnit }, { unitLook }] = await Promise.all([
        import('../../app/bench/leaving.ts'),
        import('../../app/bench/unit-look.ts'),
      ]);
      const outcome = await withBench(options, async (bench) => {
        await bench.act((state) => freeUnit(state, serial));
        return unitLook(bench.state, serial);
      });
      if (options.json) sayJson(outcome);
      else sayFolded(`Free. ${outcome.verdict}`);
    },
  );
  benchCommand(orders, 'check <key>', 'Does the kit of an order stay up where its units will stand?')
    .option('--years <n>', 'winters that are run (default 80)', whole(1))
    .option('--seed <n>', 'seed of the weather (default 1)', whole(0))
    .action(async (key: string, options: BenchOptions & { years?: number; seed?: number }) => {
      const { placeCheck } = await import('../../app/bench/place-check.ts');
      const outcome = await withBench(options, ({ workshop, state }) => placeCheck(workshop, state, key, options));
      if (options.json) return sayJson(outcome);
      sayFolded(outcome.verdict);
      sayNotes(outcome.notes, 'Notes');
    });
  deedCommand(orders, 'cancel <key>', 'Cancels an order; its units are free again.')
    .option('--reason <text>', 'why')
    .action(async (key: string, options: BenchOptions & { reason?: string }) => {
      const [{ cancelOrder }, { orderRows }] = await Promise.all([
        import('../../app/bench/leaving.ts'),
        import('../../app/bench/looks.ts'),
      ]);
      const rows = await withBench(options, async (bench) => {
        await bench.act((state) => cancelOrder(state, key, options.reason));
        return orderRows(bench.state);
      });
      if (options.json) sayJson({ command: 'batch order cancel', orders: rows });
      else (await printing()).sayOrders(rows);
    });
}

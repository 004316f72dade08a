import type { Command } from 'commander';
import { InvalidArgumentError } from 'commander';
import type { UnitCost } from '../../app/bench/cost.ts';
import type { BenchState } from '../../app/bench/state.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import { type BenchOptions, benchCommand, withBench } from '../bench.ts';
import { number, whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';

interface CostOptions extends BenchOptions {
  readonly assume?: string;
  readonly seed: number;
  readonly margin?: number;
  readonly price?: string;
  readonly demand?: number;
  readonly svg?: string;
}

const printing = () => import('./cost-print.ts');
const prices = () => import('../../app/bench/cost-price.ts');
const ahead = () => import('../../app/bench/cost-ahead.ts');

/** `sunperch cost …`: cost, price, break-even, own tool, next batch, ways to sell. */
export function registerCost(program: Command): void {
  const group = program
    .command('cost')
    .summary('what a unit costs, its price, the next batch, and ways to sell it')
    .description(
      'Costs come from the lots and times of a batch, from the offers of a plan, or from a file of assumptions (YAML, with\n' +
        'guesses as low, likely and high). What is measured and what is estimated is always said.',
    );
  withExample(
    group,
    'sunperch cost unit a-07 --assume examples/bench/cost.yaml',
    'sunperch cost price --assume examples/bench/cost.yaml --margin 35%',
    'sunperch cost crossover --assume examples/bench/cost.yaml',
    'sunperch cost next --assume examples/bench/cost.yaml --svg profit.svg',
    'sunperch cost ways --assume examples/bench/cost.yaml',
  );

  costCommand(group, 'unit [what]', 'Cost of a good unit of a batch or plan, or of the unit of the file.').action(
    async (what: string | undefined, options: CostOptions) => {
      const outcome = await withCost(what, options, async ({ cost }) =>
        (await import('../../app/bench/cost.ts')).unitCostOutcome(cost),
      );
      if (options.json) sayJson(outcome);
      else (await printing()).sayUnitCost(outcome);
    },
  );
  costCommand(group, 'price [what]', 'Price for a margin, or the margin of a price.')
    .option('--margin <share>', 'share of the price that is to stay after fees, 35% or 0.35', shareOf)
    .option('--price <sum>', 'net price, 95.00: gives the margin')
    .action(async (what: string | undefined, options: CostOptions) => {
      const { priceOutcome } = await prices();
      const outcome = await withCost(what, options, async ({ cost, file, price_minor }) =>
        priceOutcome(cost, file, { margin: options.margin, price_minor }),
      );
      if (options.json) sayJson(outcome);
      else (await printing()).sayPrice(outcome);
    });
  costCommand(group, 'break-even [what]', 'Units after which what was paid once is earned.')
    .option('--price <sum>', 'net price (default: that of the file, or from its margin)')
    .action(async (what: string | undefined, options: CostOptions) => {
      const { breakEvenOutcome, priceOutcome } = await prices();
      const outcome = await withCost(what, options, async ({ cost, file, price_minor }) =>
        breakEvenOutcome(cost, file, priceOutcome(cost, file, { price_minor }).price_minor),
      );
      if (options.json) sayJson(outcome);
      else (await printing()).sayBreakEven(outcome);
    });
  costCommand(group, 'crossover', 'Own housing tool or bought-in housings: from how many on the tool pays.').action(
    async (options: CostOptions) => {
      const { crossoverOutcome } = await ahead();
      const outcome = crossoverOutcome(await neededFile(options), options.seed);
      if (options.json) sayJson(outcome);
      else (await printing()).sayCrossover(outcome);
    },
  );
  costCommand(group, 'next [what]', 'How many to begin next, from the demand so far, and the profit as a spread.')
    .option('--price <sum>', 'net price (default: that of the file, or from its margin)')
    .option('--svg <file>', 'writes the spread of the profit as a picture')
    .action(async (what: string | undefined, options: CostOptions) => {
      const { nextOutcome } = await ahead();
      const outcome = await withCost(what, options, async ({ cost, file, state, price_minor, now }) => {
        const plan = what === undefined ? null : (state?.batches.get(what)?.plan ?? what);
        return nextOutcome({ cost, file, state, plan, now, price_minor, seed: options.seed });
      });
      const files = options.svg === undefined ? [] : [options.svg];
      if (options.svg !== undefined) await writeProfit(options.svg, outcome);
      if (options.json) return sayJson({ ...outcome, files });
      (await printing()).sayNext(outcome);
      for (const file of files) say(`Written: ${file}`);
    });
  costCommand(group, 'ways', 'The same kit sold in several ways, side by side.')
    .option('--demand <n>', 'pieces a month, for every way (default: those of the file)', number)
    .action(async (options: CostOptions) => {
      const { waysOutcome } = await prices();
      const outcome = waysOutcome(await neededFile(options), options.demand);
      if (options.json) sayJson(outcome);
      else (await printing()).sayWays(outcome);
    });
}

const costCommand = (group: Command, usage: string, text: string) =>
  benchCommand(group, usage, text)
    .option('--assume <file>', 'file of assumptions, YAML')
    .option('--seed <n>', 'seed of the simulation', whole(0), 1);

/** 35% or 0.35. */
function shareOf(text: string): number {
  const share = text.trim().endsWith('%') ? number(text.trim().slice(0, -1)) / 100 : number(text);
  if (!(share >= 0 && share < 1))
    throw new InvalidArgumentError(`'${text}' is no share below 100 %: write 35% or 0.35.`);
  return share;
}

async function fileOf({ assume }: CostOptions): Promise<CostFile | null> {
  if (assume === undefined) return null;
  const [{ readText }, { parseYamlRecord }, { readCost }] = await Promise.all([
    import('../../host/files.ts'),
    import('../../formats/yaml-record.ts'),
    import('../../records/bench/cost.ts'),
  ]);
  return readCost(parseYamlRecord(await readText(assume), assume));
}

async function neededFile(options: CostOptions): Promise<CostFile> {
  const file = await fileOf(options);
  if (file !== null) return file;
  const { userError } = await import('../../core/units/index.ts');
  throw userError('cost-no-file', 'this command reads a file of assumptions: give --assume FILE');
}

interface Costed {
  readonly cost: UnitCost;
  readonly file: CostFile | null;
  readonly state: BenchState | null;
  readonly price_minor: number | undefined;
  readonly now: string;
}

/** The bench is opened only when something of it is named. */
async function withCost<T>(
  what: string | undefined,
  options: CostOptions,
  work: (c: Costed) => Promise<T>,
): Promise<T> {
  const file = await fileOf(options);
  const [{ unitCost }, { parseAmount }] = await Promise.all([
    import('../../app/bench/cost.ts'),
    import('../../core/money/index.ts'),
  ]);
  const run = (state: BenchState | null, now: string) => {
    const cost = unitCost(state, what, file, options.seed);
    const price_minor = options.price === undefined ? undefined : parseAmount(options.price, cost.currency).minor;
    return work({ cost, file, state, price_minor, now });
  };
  if (what === undefined) return run(null, '');
  return withBench(options, ({ state, ports }) => run(state, ports.now()));
}

async function writeProfit(
  path: string,
  outcome: {
    readonly name: string;
    readonly currency: string;
    readonly begin: number;
    readonly profit: { readonly quantiles_minor: readonly number[]; readonly lossChance: number };
  },
): Promise<void> {
  const [{ profitChart }, { currencyDigits }, { writeFile }] = await Promise.all([
    import('../../report/profit-chart.ts'),
    import('../../core/money/index.ts'),
    import('node:fs/promises'),
  ]);
  const scale = 10 ** currencyDigits(outcome.currency);
  const quantiles = outcome.profit.quantiles_minor.map((q) => q / scale);
  const name = `${outcome.begin} of ${outcome.name}`;
  await writeFile(
    path,
    profitChart({ name, currency: outcome.currency, quantiles, lossChance: outcome.profit.lossChance }),
  );
}

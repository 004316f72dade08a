import type { Command } from 'commander';
import { InvalidArgumentError } from 'commander';
import type { AnswerOptions, CostOutcome } from '../../app/bench/cost-ask.ts';
import type { BenchState } from '../../app/bench/state.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostRequest } from '../../records/bench/cost-request.ts';
import { type BenchOptions, benchCommand, withBench } from '../bench.ts';
import { number, whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { type ReportArguments, reportLine, withPaper } from '../report-file.ts';

interface CostOptions extends BenchOptions, ReportArguments {
  readonly assume?: string;
  readonly seed?: number;
  readonly learning?: number;
  readonly lost?: number;
  readonly margin?: number;
  readonly price?: string;
  readonly keep?: string;
  readonly target?: string;
  readonly planned?: number;
  readonly demand?: number;
  readonly good?: number;
  readonly sure?: number;
  readonly yield?: number[];
  readonly starts?: number;
  readonly units?: number;
  readonly rate?: number;
  readonly years?: number;
  readonly svg?: string;
}

type Ask = CostRequest['ask'];
type Answer<A extends Ask> = Extract<CostOutcome, { readonly command: `cost ${A}` }>;

const printing = () => import('./cost-print.ts');
const pictures = () => import('./cost-pictures.ts');

/** `sunperch cost …`: cost, price, break-even, own tool, next batch, orders, spares, ways to sell. */
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
    'sunperch cost overview a-07 --assume examples/bench/cost.yaml --report cost.html',
    'sunperch cost price --assume examples/bench/cost.yaml --margin 35%',
    'sunperch cost break-even --assume examples/bench/cost.yaml --svg break-even.svg',
    'sunperch cost next --assume examples/bench/cost.yaml --lost 8% --svg profit.svg',
    'sunperch cost starts --good 100 --yield 98%,95%,99%,97% --sure 95%',
    'sunperch cost spares --units 100 --rate 4% --years 2',
  );

  const overview = command(
    group,
    'overview [what]',
    'All that follows from the cost: price, break-even, next batch, ways.',
  );
  withPaper(
    withPrice(withTrial(overview)).option(
      '--report <file>',
      'also writes it with its pictures: an HTML page, or a PDF when the name ends in .pdf',
    ),
  ).action(async (what: string | undefined, options: CostOptions) => {
    const { checkReport, writeReport } = await import('../report-file.ts');
    await checkReport(options);
    const outcome = await answer('overview', what, options);
    if (options.report !== undefined)
      await writeReport(await (await pictures()).costPage(outcome, options.assume), options);
    if (options.json) return sayJson({ ...outcome, files: options.report === undefined ? [] : [options.report] });
    (await printing()).sayOverview(outcome);
    if (options.report !== undefined) say(`\n${reportLine(options.report)}`);
  });

  withTrial(
    command(group, 'unit [what]', 'Cost of a good unit of a batch or plan, or of the unit of the file.'),
  ).action(told('unit', (p) => p.sayUnitCost));
  withPrice(withTrial(command(group, 'price [what]', 'Price for a margin, or the margin of a price.')))
    .option('--keep <sum>', 'what is to stay of the price after fees, 60.00: gives the price')
    .action(told('price', (p) => p.sayPrice));
  withPrice(withTrial(command(group, 'break-even [what]', 'Units after which what was paid once is earned.')))
    .option('--target <sum>', 'profit wanted on top, 500.00 (default: that of the file)')
    .option('--planned <n>', 'units that are to be sold (default: the size of the batch)', whole(1))
    .option('--svg <file>', 'writes earnings and cost against units, with the crossing, as a picture')
    .action(told('break-even', (p) => p.sayBreakEven, 'evenPicture'));
  command(group, 'crossover', 'Own housing tool or bought-in housings: from how many on the tool pays, and when.')
    .option('--svg <file>', 'writes what the tool saves by number of pieces as a picture')
    .action((options: CostOptions) => told('crossover', (p) => p.sayCrossover, 'crossoverPicture')(undefined, options));
  withPrice(
    withTrial(
      command(group, 'next [what]', 'How many to begin next, from the demand so far, and the profit as a spread.'),
    ),
  )
    .option('--demand <n>', 'pieces asked for in a month, to try out (default: the orders, or the file)', atLeastNone)
    .option('--svg <file>', 'writes the spread of the profit as a picture')
    .action(told('next', (p) => p.sayNext, 'profitPicture'));
  command(group, 'ways', 'The same kit sold in several ways, side by side.')
    .option('--demand <n>', 'pieces a month, for every way (default: those of the file)', atLeastNone)
    .action((options: CostOptions) => told('ways', (p) => p.sayWays)(undefined, options));
  command(group, 'order [part]', 'How many of a part to order at once, with price breaks, and at what stock.').action(
    told('order', (p) => p.sayOrder),
  );
  command(group, 'starts [what]', 'How many to begin so that enough come out good.')
    .requiredOption('--good <n>', 'units that are to come out good', whole(1))
    .option(
      '--yield <shares>',
      'share that passes, or that of each step: 95% or 98%,95%,99% (default: what was seen)',
      sharesOf,
    )
    .option('--sure <share>', 'chance of having enough (default 95%)', chanceOf)
    .option('--starts <n>', 'also the chance of enough with so many', whole(1))
    .action(told('starts', (p) => p.sayStarts));
  command(group, 'spares [what]', 'Units to keep for warranty, from a rate or from what came back.')
    .option('--units <n>', 'units in the field (default: those shipped)', whole(1))
    .option('--rate <share>', 'share that fails in a year, 4% (default: from what came back)', rateOf)
    .option('--years <n>', 'years of warranty (default 2)', number)
    .option('--sure <share>', 'chance that the spares last (default 95%)', chanceOf)
    .action(told('spares', (p) => p.saySpares));
}

const command = (group: Command, usage: string, text: string) =>
  benchCommand(group, usage, text)
    .option('--assume <file>', 'file of assumptions, YAML')
    .option('--seed <n>', 'seed of the draws (default: made of what is asked, and told)', whole(0));

const withTrial = (c: Command) =>
  c
    .option('--learning <share>', 'tries out a learning rate: what a doubling leaves of the time, 90%', learningOf)
    .option('--lost <share>', 'tries out a share of units that are lost, 5%', shareOf);

const withPrice = (c: Command) =>
  c
    .option('--margin <share>', 'share of the price that is to stay after fees and cost, 35% or 0.35', shareOf)
    .option('--price <sum>', 'net price, 95.00 (default: that of the file, or from its margin)');

type Printing = Awaited<ReturnType<typeof printing>>;
type PictureName = 'evenPicture' | 'crossoverPicture' | 'profitPicture';

/** The action of a command: asks, writes the picture, prints. */
function told<A extends Ask>(ask: A, print: (p: Printing) => (o: Answer<A>) => void, drawn?: PictureName) {
  return async (what: string | undefined, options: CostOptions): Promise<void> => {
    const { checkWritable, writeWhole } = await import('../../host/files.ts');
    await checkWritable(options.svg);
    const outcome = await answer(ask, what, options);
    const files = options.svg === undefined ? [] : [options.svg];
    if (options.svg !== undefined && drawn !== undefined) {
      const draw = (await pictures())[drawn] as (o: Answer<A>) => string;
      await writeWhole(options.svg, draw(outcome));
    }
    if (options.json) return sayJson(drawn === undefined ? outcome : { ...outcome, files });
    print(await printing())(outcome);
    for (const file of files) say(`Written: ${file}`);
  };
}

/** The bench is opened only when something of it is named. */
async function answer<A extends Ask>(ask: A, what: string | undefined, options: CostOptions): Promise<Answer<A>> {
  const file = await fileOf(options);
  const [{ costAnswer }, { costRequest }] = await Promise.all([
    import('../../app/bench/cost-ask.ts'),
    import('../../records/bench/cost-request.ts'),
  ]);
  const request = requestOf(ask, what, options);
  checkRequest(costRequest.safeParse(request));
  const sums = await sumsOf(options);
  const run = (state: BenchState | null, now: string) => costAnswer(state, request, file, now, { sums }) as Answer<A>;
  if (what === undefined) return run(null, new Date().toISOString());
  return withBench(options, async ({ state, ports }) => run(state, ports.now()));
}

function requestOf(ask: Ask, what: string | undefined, o: CostOptions): Omit<CostRequest, 'assumptions'> {
  const percent = (share: number | undefined) =>
    share === undefined ? undefined : Number((100 * share).toPrecision(12));
  const named = what === undefined ? {} : ask === 'order' ? { part: what } : { what };
  const change = {
    learning_pct: percent(o.learning),
    lost_pct: percent(o.lost),
    demand_month: ask === 'next' ? o.demand : undefined,
  };
  return {
    ask,
    ...named,
    change,
    margin_pct: percent(o.margin),
    planned: o.planned,
    demand_month: ask === 'ways' ? o.demand : undefined,
    good: o.good,
    sure: o.sure,
    yields: o.yield,
    starts: o.starts,
    units: o.units,
    rate_pct: percent(o.rate),
    years: o.years,
    seed: o.seed,
  };
}

/** Numbers outside their limits, in the sentences of the schema. */
function checkRequest(read: {
  readonly error?: { readonly issues: readonly { readonly message: string }[] } | undefined;
}): void {
  const [issue] = read.error?.issues ?? [];
  if (issue !== undefined) throw new InvalidArgumentError(`${issue.message}.`);
}

/** Sums of the command line, in the currency of the answer. */
async function sumsOf(options: CostOptions): Promise<NonNullable<AnswerOptions['sums']>> {
  const [{ parseAmount }, { userError }] = await Promise.all([
    import('../../core/money/index.ts'),
    import('../../core/units/index.ts'),
  ]);
  return (currency) => {
    const read = (field: 'price' | 'keep' | 'target', key: string) => {
      const text = options[field];
      if (text === undefined) return {};
      const { minor } = parseAmount(text, currency);
      if (minor < 0 || (minor === 0 && field === 'price'))
        throw userError('sum-negative', `--${field} is ${text}: it is a sum above nought, such as 95.00`, {
          field: `--${field}`,
        });
      return { [key]: minor };
    };
    return { ...read('price', 'price_minor'), ...read('keep', 'keep_minor'), ...read('target', 'target_minor') };
  };
}

const share = (text: string): number =>
  text.trim().endsWith('%') ? number(text.trim().slice(0, -1)) / 100 : number(text);

/** 35% or 0.35, below all. */
function shareOf(text: string): number {
  const s = share(text);
  if (!(s >= 0 && s < 1)) throw new InvalidArgumentError(`'${text}' is no share below 100 %: write 35% or 0.35.`);
  return s;
}

function chanceOf(text: string): number {
  const s = share(text);
  if (!(s >= 0.5 && s <= 0.9999))
    throw new InvalidArgumentError(`'${text}' is no chance from 50 % to 99.99 %: write 95% or 0.95.`);
  return s;
}

function learningOf(text: string): number {
  const s = share(text);
  if (!(s >= 0.51 && s <= 1))
    throw new InvalidArgumentError(`'${text}' is no learning rate from 51 % to 100 %: write 90% or 0.9.`);
  return s;
}

function rateOf(text: string): number {
  const s = share(text);
  if (!(s >= 0 && s <= 10))
    throw new InvalidArgumentError(`'${text}' is no share from 0 to 1,000 %: write 4% or 0.04.`);
  return s;
}

function sharesOf(text: string): number[] {
  return text.split(',').map((part) => {
    const s = share(part.trim());
    if (!(s >= 0.01 && s <= 1))
      throw new InvalidArgumentError(
        `'${part.trim()}' is no share that passes from 1 % to 100 %: write 95% or 0.95; several with commas, 98%,95%.`,
      );
    return s;
  });
}

function atLeastNone(text: string): number {
  const n = number(text);
  if (n < 0) throw new InvalidArgumentError(`'${text}' is below nought: pieces in a month are 0 or more.`);
  return n;
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

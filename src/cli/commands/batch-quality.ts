/** `sunperch batch quality|gauge|chart|capability|rate|line`: statistics of a batch on the books, or of figures in hand. */
import type { Command } from 'commander';
import type { CapabilityRequest } from '../../app/bench/capability-look.ts';
import type { ChartKind, ChartRequest } from '../../app/bench/chart-file.ts';
import { type BenchOptions, benchCommand, withBench } from '../bench.ts';
import { gather, number, whole, withExample, withJson } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { say, sayJson } from '../print.ts';
import { sharesOf } from '../shares.ts';

const printing = () => import('./quality-print.ts');
const files = () => import('../../host/files.ts');

/** Heading of what needs no workshop in the help of the group. */
const IN_HAND = 'For figures in hand, without a workshop:';

interface Shown {
  readonly json?: boolean;
}

export function registerQuality(group: Command): void {
  benchCommand(
    group,
    'quality <key>',
    'Prints yields with intervals, failures, charts and capability of a batch.',
  ).action(async (key: string, options: BenchOptions) => {
    const { batchQuality } = await import('../../app/bench/quality.ts');
    const outcome = await withBench(options, async ({ state }) => batchQuality(state, key));
    if (options.json) sayJson(outcome);
    else (await printing()).sayQuality(outcome);
  });
  registerGauge(group);
  registerChart(group);
  registerCapability(group);
  registerRate(group);
  registerLine(group);
}

function registerGauge(group: Command): void {
  const command = group
    .command('gauge <file>')
    .helpGroup(IN_HAND)
    .description('A gauge study from repeated measurements: CSV with part, operator, trial, value.')
    .addOption(
      group
        .createOption('--method <word>', 'analysis of variance, or averages and ranges as done by hand')
        .choices(['anova', 'ranges'])
        .default('anova'),
    );
  withExample(withJson(command), 'sunperch batch gauge meter-2.csv');
  command.action(async (file: string, options: Shown & { readonly method: 'anova' | 'ranges' }) => {
    const [{ gaugeStudy }, { readText }] = await Promise.all([import('../../app/bench/gauge.ts'), files()]);
    const outcome = gaugeStudy(await readText(file), file, options.method);
    if (options.json) sayJson(outcome);
    else (await printing()).sayGauge(outcome);
  });
}

interface ChartOptions extends Shown, Omit<ChartRequest, 'columns'> {
  readonly column?: readonly string[];
  readonly svg?: string;
}

function registerChart(group: Command): void {
  const kinds: ChartKind[] = ['individuals', 'xbar-range', 'share', 'cusum', 'ewma'];
  const command = group
    .command('chart <file>')
    .helpGroup(IN_HAND)
    .summary('A control chart of figures in a CSV file, with capability where limits are given.')
    .description(
      'A control chart of figures in a CSV file, without a workshop: single values with their moving range, samples ' +
        '(means and ranges), shares of defective units, cumulative sums, moving averages; capability where limits are given.',
    )
    .addOption(group.createOption('--kind <word>', 'kind of chart').choices(kinds).default('individuals'))
    .option(
      '--column <title>',
      'column of the values (title or number), for shares of the defective units; repeated: a row is a sample',
      gather,
    )
    .option('--group <title>', 'column that names the sample; for shares the one with the units looked at')
    .option('--size <n>', 'values in a sample, in the order of the rows; for shares the units in each', whole(1))
    .option('--lower <value>', 'lower limit of the values, in their unit: gives capability', number)
    .option('--upper <value>', 'upper limit of the values, in their unit', number)
    .option('--target <value>', 'value aimed at, in their unit (default: the mean)', number)
    .option('--sigma <value>', 'known standard deviation, for cusum and ewma (default: from the moving range)', number)
    .option('--slack <value>', 'cusum: deviation that does not count, in their unit (default: half sigma)', number)
    .option('--limit <value>', 'cusum: sum at which it signals, in their unit (default: five sigma)', number)
    .option('--weight <share>', 'ewma: weight of the newest value, 0 to 1 (default: 0.2)', number)
    .option('--confidence <share>', 'of intervals, 0.5 to 1 (default: 0.95)', number)
    .option('--svg <file>', 'also draws the chart');
  withExample(
    withJson(command),
    'sunperch batch chart ceiling.csv --column voltage_V --lower 4.05 --upper 4.12 --svg out/ceiling.svg',
    'sunperch batch chart torque.csv --kind xbar-range --group hour',
    'sunperch batch chart weeks.csv --kind share --column failed --group tested',
  );
  command.action(async (file: string, options: ChartOptions) => {
    await checkOutputs({ '--svg': options.svg });
    const [{ chartFile }, { readText, writeWhole }] = await Promise.all([
      import('../../app/bench/chart-file.ts'),
      files(),
    ]);
    const { column: columns, svg, json, ...request } = options;
    const outcome = chartFile(await readText(file), file, { ...request, columns });
    if (svg !== undefined) await writeWhole(svg, (await import('./quality-pictures.ts')).drawChart(outcome));
    if (json) return sayJson(outcome);
    (await printing()).sayChart(outcome);
    if (svg !== undefined) say(`\nPicture: ${svg}`);
  });
}

interface CapabilityOptions extends Shown, Omit<CapabilityRequest, 'count'> {
  readonly of?: number;
}

function registerCapability(group: Command): void {
  const command = group
    .command('capability')
    .helpGroup(IN_HAND)
    .description('Whether a process fits between its limits, from mean and standard deviation.')
    .requiredOption('--mean <value>', 'mean, in the unit of the values', number)
    .requiredOption('--sd <value>', 'standard deviation, in that unit', number)
    .option('--of <n>', 'number of values that they come from: gives intervals', whole(2))
    .option('--lower <value>', 'lower limit, in that unit', number)
    .option('--upper <value>', 'upper limit, in that unit', number)
    .option('--target <value>', 'value aimed at, in that unit (default: the middle)', number)
    .option('--uncertainty <value>', 'expanded uncertainty of the meter, in that unit: draws the limits in', number)
    .option('--confidence <share>', 'of intervals, 0.5 to 1 (default: 0.95)', number);
  withExample(withJson(command), 'sunperch batch capability --mean 16 --sd 2 --lower 8 --upper 20 --of 50');
  command.action(async ({ json, of: count, ...request }: CapabilityOptions) => {
    const { capabilityOutcome } = await import('../../app/bench/capability-look.ts');
    const outcome = capabilityOutcome({ ...request, count });
    if (json) sayJson(outcome);
    else (await printing()).sayCapability(outcome);
  });
}

interface RateOptions extends Shown {
  readonly failed: number;
  readonly of: number;
  readonly confidence?: number;
  readonly reliability?: readonly number[];
}

function registerRate(group: Command): void {
  const command = group
    .command('rate')
    .helpGroup(IN_HAND)
    .description('How sure a rate of failures is, and how many must pass to show that few fail.')
    .requiredOption('--failed <n>', 'units that failed', whole(0))
    .requiredOption('--of <n>', 'units that were tested', whole(1))
    .option('--confidence <share>', 'of intervals, 0.5 to 1 (default: 0.95)', number)
    .option('--reliability <shares>', 'shares of good units to be shown, 0.9,0.99 (default: 0.9,0.95,0.99)', sharesOf);
  withExample(withJson(command), 'sunperch batch rate --failed 0 --of 20');
  command.action(async ({ json, reliability: reliabilities, ...request }: RateOptions) => {
    const { rate } = await import('../../app/bench/rate.ts');
    const outcome = rate({ ...request, reliabilities });
    if (json) sayJson(outcome);
    else (await printing()).sayRate(outcome);
  });
}

function registerLine(group: Command): void {
  const command = group
    .command('line <file>')
    .helpGroup(IN_HAND)
    .description('A straight line through pairs of figures: a meter against a reference, a value against the day.')
    .requiredOption('--x <title>', 'column across (title or number)')
    .requiredOption('--y <title>', 'column upwards (title or number)');
  withExample(withJson(command), 'sunperch batch line meter-2.csv --x reference_V --y shown_V');
  command.action(async (file: string, { x, y, json }: Shown & { readonly x: string; readonly y: string }) => {
    const [{ lineFile }, { readText }] = await Promise.all([import('../../app/bench/line-file.ts'), files()]);
    const outcome = lineFile(await readText(file), file, { x, y });
    if (json) sayJson(outcome);
    else (await printing()).sayLine(outcome);
  });
}

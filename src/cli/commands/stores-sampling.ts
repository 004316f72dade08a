/** `sunperch stores sampling`: what a sampling plan asks for and how well it tells lots apart, without a lot on the books. */
import type { Command } from 'commander';
import type { SamplingRequest } from '../../app/bench/sampling-look.ts';
import { number, whole, withExample, withJson } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { say, sayJson } from '../print.ts';
import { countsOf, sharesOf } from '../shares.ts';

interface SamplingOptions extends Pick<SamplingRequest, 'lot' | 'level' | 'sample' | 'accept' | 'isolated'> {
  readonly aql?: number;
  readonly inspection: 'normal' | 'tightened' | 'reduced';
  readonly share?: readonly number[];
  readonly bad?: readonly number[];
  readonly svg?: string;
  readonly json?: boolean;
}

export function registerSampling(group: Command): void {
  const command = group
    .command('sampling')
    .summary('What a sampling plan asks for, and what it lets through; needs no workshop.')
    .description(
      'Size of the sample, accept and reject number of the published single-sampling tables (ISO 2859-1, MIL-STD-105E), ' +
        'or of a plan of your own, and the chance that a lot is accepted by its share of defective units.',
    )
    .option('--lot <n>', 'units in the lot', whole(1))
    .addOption(
      group
        .createOption('--level <level>', 'inspection level')
        .choices(['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'])
        .default('II'),
    )
    .option('--aql <pct>', 'acceptance quality limit, % (0.01 to 10; above that, nonconformities per 100)', number)
    .addOption(
      group
        .createOption('--inspection <word>', 'how strictly')
        .choices(['normal', 'tightened', 'reduced'])
        .default('normal'),
    )
    .option('--sample <n>', 'a plan of your own: units looked at', whole(1))
    .option('--accept <n>', 'a plan of your own: most defective ones of a lot that is accepted', whole(0))
    .option('--share <shares>', 'shares of defective units at which the chance is told, 0.01,0.02', sharesOf)
    .option('--isolated', 'the lot stands on its own: counted exactly (hypergeometric)')
    .option('--bad <n>', 'numbers of defective units in such a lot, 1,2,5', countsOf)
    .option('--svg <file>', 'also draws the operating characteristic');
  withExample(
    withJson(command),
    'sunperch stores sampling --lot 60 --aql 1.0',
    'sunperch stores sampling --lot 60 --aql 1.0 --isolated --bad 1,2,5',
    'sunperch stores sampling --sample 52 --accept 3 --share 0.01,0.05,0.1 --svg out/plan.svg',
  );
  command.action(async (options: SamplingOptions) => {
    await checkOutputs({ '--svg': options.svg });
    const { aql: aql_pct, inspection: severity, share: shares, svg, json, ...rest } = options;
    const { samplingLook } = await import('../../app/bench/sampling-look.ts');
    const outcome = samplingLook({ ...rest, aql_pct, severity, shares });
    if (svg !== undefined) {
      const [{ drawSampling }, { writeWhole }] = await Promise.all([
        import('./quality-pictures.ts'),
        import('../../host/files.ts'),
      ]);
      await writeWhole(svg, drawSampling(outcome));
    }
    if (json) return sayJson(outcome);
    (await import('./quality-print.ts')).saySampling(outcome);
    if (svg !== undefined) say(`\nPicture: ${svg}`);
  });
}

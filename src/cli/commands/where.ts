import type { Command } from 'commander';
import type { WhereOutcome } from '../../app/where.ts';
import { gather, whole, withExample, withJson, withSpread } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { fold, MONTHS_SHORT, percent, say, sayJson, table } from '../print.ts';
import { checkReport, type ReportArguments, withPaper, writeReport } from '../report-file.ts';
import { withPortsOf } from '../wiring.ts';

interface WhereOptions extends ReportArguments {
  readonly target?: string;
  readonly years?: number;
  readonly seed?: number;
  readonly set?: string[];
  readonly only?: string[];
  readonly spread?: boolean;
  readonly csv?: string;
  readonly map?: string;
  readonly json?: boolean;
}

export function registerWhere(program: Command): void {
  const command = program
    .command('where')
    .summary('in which climates does this kit hold')
    .description(
      'Runs a kit in every built-in climate: where it holds, where it needs one more cell or a bigger panel.',
    )
    .argument('<kit>', 'kit file (YAML or JSON)')
    .option('--target <text>', 'how rarely it may be dark (default "1 dark winter in 20")')
    .option('--years <n>', 'years at each place (default: what the target needs, a tenth more)', whole(1))
    .option('--seed <n>', 'seed of the synthetic weather (default 1)', whole(0))
    .option('--set <field=value>', 'overrides a field of the kit; may be repeated', gather)
    .option(
      '--only <names>',
      'only these places, or those of a country (three letters, e.g. NZL); comma-separated, may be repeated',
      gather,
    )
    .option('--csv <file>', 'also writes the table as CSV')
    .option('--map <file>', 'also writes the map as SVG')
    .option('--report <file>', 'also writes map and table: an HTML page, or a PDF when the name ends in .pdf');
  withExample(
    withJson(withSpread(withPaper(command))),
    'sunperch where examples/alder-3.yaml --csv out/where.csv --map out/where.svg',
    'sunperch where examples/alder-3.yaml --only AUS,NZL,Tenerife',
  );
  command.action(async (kit: string, options: WhereOptions) => {
    await withPortsOf(options, async (ports) => {
      await checkOutputs({ '--csv': options.csv, '--map': options.map });
      await checkReport(options);
      const { where } = await import('../../app/where.ts');
      const outcome = await where(ports, { ...options, kit });
      const { writeWhole } = await import('../../host/files.ts');
      if (options.csv !== undefined) await writeWhole(options.csv, await whereCsv(outcome));
      if (options.map !== undefined || options.report !== undefined) {
        const { whereDocument, whereMap } = await import('../../report/index.ts');
        if (options.map !== undefined) await writeWhole(options.map, whereMap(outcome.rows));
        if (options.report !== undefined)
          await writeReport(
            whereDocument({ ...outcome, target: outcome.target.text, cautions: [], generatedFrom: [kit] }),
            options,
          );
      }
      if (options.json) sayJson(outcome);
      else printWhere(outcome, [options.csv, options.map, options.report]);
    });
  });
}

async function whereCsv(outcome: WhereOutcome): Promise<string> {
  const { default: Papa } = await import('papaparse');
  const rows = outcome.rows.map(({ strip: _, darkYearShare, ...row }) => ({
    ...row,
    darkYearShare: darkYearShare.mean,
    darkYearShare_low: darkYearShare.low,
    darkYearShare_high: darkYearShare.high,
  }));
  return `${Papa.unparse(rows, { newline: '\n', escapeFormulae: true })}\n`;
}

function printWhere(o: WhereOutcome, files: readonly (string | undefined)[]): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  for (const line of table(
    [
      'place',
      'country',
      'lat °',
      'lon °',
      'height m',
      'verdict',
      'dark years',
      '95 % upper',
      'dark h/year',
      'worst',
      'needs',
    ],
    o.rows.map((r) => [
      r.name,
      r.country,
      r.latitude_deg.toFixed(1),
      r.longitude_deg.toFixed(1),
      String(Math.round(r.elevation_m)),
      r.verdict,
      percent(r.darkYearShare.mean),
      percent(r.darkYearShare.high),
      r.dark_h_per_year.toFixed(1),
      MONTHS_SHORT[r.worstMonth - 1]!,
      r.needs,
    ]),
    [0, 1, 5, 9, 10],
  ))
    say(line);
  for (const file of files) if (file !== undefined) say(`\nWritten: ${file}`);
  say();
  say('Assumed:');
  for (const a of o.assumptions) for (const line of fold(`${a.field}: ${a.value} (${a.why})`, '  ')) say(line);
}

import type { Command } from 'commander';
import type { CompareOutcome, FieldValue } from '../../app/compare.ts';
import type { YearOutcome } from '../../core/energy/index.ts';
import { gather, whole, withExample, withJson } from '../options.ts';
import { fold, MONTHS_SHORT, percent, say, sayJson, table } from '../print.ts';
import { checkReport, type ReportArguments, withPaper, writeReport } from '../report-file.ts';
import { withPorts } from '../wiring.ts';

interface CompareOptions extends ReportArguments {
  readonly perch: string;
  readonly years?: number;
  readonly seed?: number;
  readonly weather?: string;
  readonly target?: string;
  readonly set?: string[];
  readonly json?: boolean;
}

export function registerCompare(program: Command): void {
  const command = program
    .command('compare')
    .summary('kits side by side at one perch, in the same weather, with the differing inputs marked')
    .description('Runs several kits at one perch through the same years of weather and lays the results side by side.')
    .argument('<kits...>', 'two or more kit files (YAML or JSON)')
    .requiredOption('--perch <file>', 'perch file (YAML or JSON)')
    .option('--years <n>', 'years to simulate (default 100)', whole(1))
    .option('--seed <n>', 'seed of the synthetic weather, the same for all kits (default 1)', whole(0))
    .option('--weather <file>', 'a weather file of which the years are drawn (EPW, TMY3, POWER, CSV; .gz too)')
    .option('--target <text>', 'how rarely it may be dark (default "1 dark winter in 20")')
    .option('--set <field=value>', 'overrides a field of every kit or of the perch; may be repeated', gather)
    .option('--report <file>', 'also writes the comparison: an HTML page, or a PDF when the name ends in .pdf');
  withExample(
    withJson(withPaper(command)),
    'sunperch compare examples/alder-3.yaml examples/bare-board.yaml --perch examples/hut-kaldra.yaml',
    'sunperch compare a.yaml b.yaml c.yaml --perch perch.yaml --report out/compare.html --json',
  );
  command.action(async (kits: string[], options: CompareOptions) => {
    await withPorts(async (ports) => {
      await checkReport(options);
      const { compare } = await import('../../app/compare.ts');
      const { perch, years, seed, weather, target, set } = options;
      const outcome = await compare(ports, { kits, perch, years, seed, weather, target, set });
      if (options.report !== undefined) {
        const { compareDocument } = await import('../../report/index.ts');
        const page = compareDocument({
          perch: outcome.perch,
          columns: outcome.kits.map((kit, i) => ({ outcome: kit, inputs: inputsOf(outcome, i) })),
          verdict: outcome.verdict,
          generatedFrom: [...kits, perch],
        });
        await writeReport(page, options);
      }
      if (options.json) sayJson(outcome);
      else printCompare(outcome);
      if (options.report !== undefined && !options.json) say(`\nPage: ${options.report}`);
    });
  });
}

/** Every input of one kit as text, the differing ones first. */
function inputsOf(o: CompareOutcome, kit: number): { field: string; value: string }[] {
  return [
    ...o.differences
      .filter((d) => d.values[kit] !== null)
      .map((d) => ({ field: d.field, value: String(d.values[kit]) })),
    ...o.alike.map((a) => ({ field: a.field, value: String(a.value) })),
  ];
}

function printCompare(o: CompareOutcome): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  say(`The same weather for all: ${o.weather}; ${o.years} years, seed ${o.seed}`);
  say();
  const row = (name: string, value: (k: YearOutcome) => string) => [name, ...o.kits.map(value)];
  const span = (low: number, high: number, digits: number) => `${low.toFixed(digits)} to ${high.toFixed(digits)}`;
  const worst = (k: YearOutcome) => k.months[k.worstMonth - 1]!;
  for (const line of table(
    ['', ...o.kits.map((k) => k.kit)],
    [
      row('verdict', (k) => k.state),
      row('dark years', (k) => percent(k.darkYearShare.mean)),
      row('  95 % interval', (k) => `${percent(k.darkYearShare.low)} to ${percent(k.darkYearShare.high)}`),
      row('dark hours a year, h', (k) => k.dark_h_per_year.mean.toFixed(1)),
      row('  95 % interval', (k) => span(k.dark_h_per_year.low, k.dark_h_per_year.high, 1)),
      row('days without sun, d', (k) => k.autonomy_d.toFixed(1)),
      row('back after a cut-off, d', (k) => (k.recovery_d === null ? '-' : k.recovery_d.toFixed(1))),
      row('longest dark, h', (k) => String(k.longestDark_h)),
      row('lock-ups a year', (k) => k.lockUps_per_year.toFixed(2)),
      row('lowest charge', (k) => percent(k.minStateOfCharge)),
      row('worst month', (k) => MONTHS_SHORT[k.worstMonth - 1]!),
      row('  its harvest, Wh/d', (k) => worst(k).harvest_Wh_day.toFixed(2)),
      row('  its need, Wh/d', (k) => worst(k).need_Wh_day.toFixed(2)),
      row('cells to 80 %, years', (k) =>
        k.ageing.yearsTo80 === null ? '-' : span(k.ageing.yearsTo80.low, k.ageing.yearsTo80.high, 0),
      ),
    ],
  ))
    say(line);
  say();
  say(`Inputs that differ (${o.alike.length} others are alike; names of parts are left out):`);
  for (const line of table(
    ['field', ...o.kits.map((k) => k.kit)],
    o.differences.filter((d) => !d.field.endsWith('.name')).map((d) => [d.field, ...d.values.map(short)]),
  ))
    say(line);
  for (const k of o.kits) {
    say();
    for (const line of fold(k.verdict)) say(line);
  }
}

/** A value in a column of figures. */
function short(value: FieldValue): string {
  const text = value === null ? '-' : String(value);
  return text.length > 28 ? `${text.slice(0, 27)}…` : text;
}

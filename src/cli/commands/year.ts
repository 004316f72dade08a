import type { Command } from 'commander';
import type { PassOutcome } from '../../app/pass.ts';
import type { YearOutcome } from '../../core/energy/index.ts';
import { gather, whole, withExample, withJson } from '../options.ts';
import { fold, MONTH_NAMES, MONTHS_SHORT, percent, say, sayJson, table } from '../print.ts';
import { checkReport, type ReportArguments, reportLine, withPaper, writeReport } from '../report-file.ts';
import { sayUnit, type UnitOptions, withUnitOption } from '../unit-of.ts';
import { withPorts } from '../wiring.ts';

interface YearOptions extends ReportArguments, UnitOptions {
  readonly years?: number;
  readonly seed?: number;
  readonly weather?: string;
  readonly repeat?: number;
  readonly set?: string[];
  readonly target?: string;
  readonly json?: boolean;
}

export function registerYear(program: Command): void {
  const command = program
    .command('year')
    .summary('will this kit stay up all year at that perch, why, and what would make it hold')
    .description('Runs a kit at a perch hour by hour over many years of weather and gives the verdict.')
    .argument('[kit]', 'kit file (YAML or JSON); left out with --unit')
    .argument('[perch]', 'perch file (YAML or JSON)')
    .option('--years <n>', 'years to simulate (default 200)', whole(1))
    .option('--seed <n>', 'seed of the synthetic weather (default 1)', whole(0))
    .option('--weather <file>', 'a weather file in place of the synthetic years (EPW, TMY3, POWER, CSV; .gz too)')
    .option('--repeat <n>', 'passes through the weather file, the last is reported (default 3)', whole(1))
    .option('--target <text>', 'how rarely it may be dark (default "1 dark winter in 20")')
    .option(
      '--set <field=value>',
      'overrides a field of kit or perch, e.g. kit.panel.power_W=2; may be repeated',
      gather,
    )
    .option('--report <file>', 'also writes the report: an HTML page, or a PDF when the name ends in .pdf');
  withExample(
    withJson(withPaper(withUnitOption(command, 'in place of the kit'))),
    'sunperch year examples/alder-3.yaml examples/hut-kaldra.yaml --report out/report.html',
    'sunperch year examples/alder-3.yaml examples/hut-kaldra.yaml --report out/report.pdf --paper letter',
    'sunperch year kit.yaml perch.yaml --weather file.epw.gz --set perch.tilt_deg=60 --json',
  );
  command.action(async (first: string | undefined, second: string | undefined, options: YearOptions) => {
    if (options.unit !== undefined) {
      if (first === undefined || second !== undefined) command.error('error: with --unit name the perch file alone.');
      if (options.weather !== undefined || options.report !== undefined)
        command.error(
          'error: --unit runs through synthetic years, and writes no report: leave --weather and --report out.',
        );
      return yearOfOne(options.unit, first!, options);
    }
    if (first === undefined) command.error("error: missing required argument 'kit'");
    if (second === undefined) command.error("error: missing required argument 'perch'");
    const [kit, perch] = [first!, second!];
    await withPorts(async (ports) => {
      await checkReport(options);
      const request = { kit, perch, set: options.set, weather: options.weather, seed: options.seed };
      if (options.weather !== undefined && options.years === undefined) {
        const { passes } = await import('../../app/pass.ts');
        const outcome = await passes(ports, { ...request, repeat: options.repeat });
        if (options.json) sayJson(outcome);
        else printPass(outcome);
        return;
      }
      const { year } = await import('../../app/year.ts');
      const { outcome, pictures } = await year(ports, { ...request, years: options.years, target: options.target });
      if (options.report !== undefined) {
        const { reportDocument } = await import('../../report/index.ts');
        const { size } = await import('../../app/size.ts');
        const { map } = await size(ports, { ...request, target: options.target });
        await writeReport(
          reportDocument({ outcome, pictures: { ...pictures, frontier: map }, generatedFrom: [kit, perch] }),
          options,
        );
      }
      if (options.json) sayJson(outcome);
      else printYear(outcome);
      if (options.report !== undefined && !options.json) say(`\n${reportLine(options.report)}`);
    });
  });
}

/** The forecast of one unit of the workshop. */
async function yearOfOne(serial: string, perch: string, options: YearOptions): Promise<void> {
  const [{ yearOfUnit }, { withBench }] = await Promise.all([
    import('../../app/bench/year-of-unit.ts'),
    import('../bench.ts'),
  ]);
  const { set, seed, years, target } = options;
  const { outcome } = await withPorts((ports) =>
    withBench(options, ({ state, workshop }) =>
      yearOfUnit(ports, workshop, state, { serial, perch, set, seed, years, target }),
    ),
  );
  if (options.json) return sayJson(outcome);
  printYear(outcome);
  sayUnit(outcome.unit);
}

const wh = (value: number) => value.toFixed(Math.abs(value) < 10 ? 2 : 0);

function printPass(o: PassOutcome): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  say(`Weather: ${o.weather}; pass ${o.repeat} of ${o.repeat}, ${o.hours.toLocaleString('en')} hours`);
  for (const line of table(
    ['', 'value'],
    [
      ['dark hours, h', String(o.dark_h)],
      ['dark spells', String(o.darkSpells)],
      ['longest dark spell, h', String(o.longestDark_h)],
      ['lowest state of charge, %', (100 * o.minStateOfCharge).toFixed(1)],
      ['state of charge at the end, %', (100 * o.endStateOfCharge).toFixed(1)],
      ['harvest before curtailment, Wh', wh(o.harvest_Wh)],
      ['served to the load, Wh', wh(o.balance.load_Wh)],
      ['not served, Wh', wh(o.unserved_Wh)],
      ['curtailed, Wh', wh(o.balance.curtailed_Wh)],
      ['losses, Wh', wh(o.balance.losses_Wh)],
      ['blocked by cold, h', String(o.coldBlocked_h)],
    ],
  ))
    say(line);
  printTail(o.notes, o.assumptions, o.cautions);
}

function printYear(o: YearOutcome): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  for (const line of table(
    ['cells', 'dark years', '95 % interval', 'dark h/year', '95 % interval', 'capacity'],
    o.ages.map((a) => [
      a.age_years === 0 ? 'as put up' : `after ${a.age_years} years`,
      percent(a.darkYearShare.mean),
      `${percent(a.darkYearShare.low)} to ${percent(a.darkYearShare.high)}`,
      a.dark_h_per_year.mean.toFixed(1),
      `${a.dark_h_per_year.low.toFixed(1)} to ${a.dark_h_per_year.high.toFixed(1)}`,
      percent(a.capacityShare),
    ]),
  ))
    say(line);
  say();
  say(
    `Worst month: ${MONTH_NAMES[o.worstMonth - 1]}. Longest dark spell: ${o.longestDark_h} h. Lowest charge: ${percent(o.minStateOfCharge)}.`,
  );
  say(
    `Without any sun in the cold month it lasts ${o.autonomy_d.toFixed(1)} days; ${o.recovery_d === null ? 'once down it does not come back by itself' : `after a cut-off in the worst month it is back after ${o.recovery_d.toFixed(1)} days (median)`}.`,
  );
  say();
  for (const line of table(
    ['month', 'light kWh/m²d', 'harvest Wh/d', 'need Wh/d', 'low charge', 'dark h', 'dark years'],
    o.months.map((m) => [
      MONTHS_SHORT[m.month - 1]!,
      m.poa_kWh_m2_day.toFixed(2),
      m.harvest_Wh_day.toFixed(2),
      m.need_Wh_day.toFixed(2),
      percent(m.lowStateOfCharge),
      m.dark_h.toFixed(1),
      percent(m.darkShare),
    ]),
  ))
    say(line);
  const worst = o.months[o.worstMonth - 1]!.budget;
  say();
  say(
    `Energy of ${MONTH_NAMES[o.worstMonth - 1]} (mean): harvest ${wh(worst.harvest_Wh)} Wh = load ${wh(worst.load_Wh)} + curtailed ${wh(worst.curtailed_Wh)} + losses ${wh(worst.losses_Wh)} + into the cells ${wh(worst.stored_Wh)}`,
  );
  if (o.causes.length > 0) {
    say();
    say('What limits it (dark hours a year left when one cause is taken away):');
    for (const line of table(
      ['cause', 'left h/year', 'explains', 'taken away means'],
      o.causes.map((c) => [c.cause, c.darkLeft_h_per_year.toFixed(1), percent(c.explains), c.removed]),
      [0, 3],
    ))
      say(line);
  }
  if (o.changes.length > 0) {
    say();
    const holding = o.changes.find((c) => c.holds);
    say(
      holding
        ? `Smallest change that holds: ${holding.change} (${holding.set.map((s) => `--set ${s}`).join(' ')}).`
        : 'No change tried here holds; see `sunperch size`.',
    );
    for (const line of table(
      ['change', 'dark years', '95 % upper', ''],
      o.changes.map((c) => [
        c.change,
        percent(c.darkYearShare.mean),
        percent(c.darkYearShare.high),
        c.holds ? 'holds' : '',
      ]),
      [0, 3],
    ))
      say(line);
  }
  if (o.ageing.yearsTo80) {
    say();
    say(
      `Cells reach 80 % of their capacity after ${o.ageing.yearsTo80.low.toFixed(0)} to ${o.ageing.yearsTo80.high.toFixed(0)} years (two models).`,
    );
  }
  printTail([], o.assumptions, o.cautions);
}

function printTail(
  notes: readonly string[],
  assumptions: readonly { field: string; value: string; why: string }[],
  cautions: readonly { text: string }[],
): void {
  if (notes.length > 0) {
    say();
    say('About the weather file:');
    for (const note of notes) for (const line of fold(note, '  ')) say(line);
  }
  say();
  say('Assumed, since the files do not say:');
  for (const a of assumptions) for (const line of fold(`${a.field}: ${a.value} (${a.why})`, '  ')) say(line);
  if (cautions.length > 0) {
    say();
    say('Cautions:');
    for (const c of cautions) for (const line of fold(c.text, '  ')) say(line);
  }
}

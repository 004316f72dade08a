import type { Command } from 'commander';
import type { SpellsOutcome } from '../../app/spells.ts';
import { gather, whole, withExample, withJson } from '../options.ts';
import { fold, MONTH_NAMES, percent, say, sayJson, table } from '../print.ts';
import { withPorts } from '../wiring.ts';

interface SpellsOptions {
  readonly years?: number;
  readonly seed?: number;
  readonly weather?: string;
  readonly set?: string[];
  readonly json?: boolean;
}

export function registerSpells(program: Command): void {
  const command = program
    .command('spells')
    .summary('how dark the darkest days in a row are at a perch, and how often they come')
    .description(
      'Return periods of dark spells: the mean horizontal radiation of the darkest 3, 5, 7 and 10 days in a row, as a share of the mean of the same days of the year.',
    )
    .argument('<perch>', 'perch file (YAML or JSON)')
    .option('--years <n>', 'years to simulate (default 200; with --weather the years of the file)', whole(4))
    .option('--seed <n>', 'seed of the synthetic weather (default 1)', whole(0))
    .option('--weather <file>', 'a weather file of several years in place of synthetic years (.gz too)')
    .option('--set <field=value>', 'overrides a field of the perch; may be repeated', gather);
  withExample(
    withJson(command),
    'sunperch spells examples/hut-kaldra.yaml',
    'sunperch spells perch.yaml --weather twenty-years.csv.gz --json',
  );
  command.action(async (perch: string, options: SpellsOptions) => {
    await withPorts(async (ports) => {
      const { spells } = await import('../../app/spells.ts');
      const { years, seed, weather, set } = options;
      const outcome = await spells(ports, { perch, years, seed, weather, set });
      if (options.json) sayJson(outcome);
      else printSpells(outcome);
    });
  });
}

function printSpells(o: SpellsOutcome): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  say(
    `Weather: ${o.weather}; ${o.years.toLocaleString('en')} years, each from ${MONTH_NAMES[o.startMonth - 1]} to the next`,
  );
  const lengths = [...new Set(o.lowest.map((s) => s.days))];
  const periods = [...new Set(o.lowest.map((s) => s.period_years))];
  say();
  say('Share of what is usual at that time of year (95 % interval), once in so many years:');
  for (const line of table(
    ['days in a row', ...periods.map((p) => `${p} years`)],
    lengths.map((days) => [
      String(days),
      ...periods.map((period) => {
        const r = o.spells.find((s) => s.days === days && s.period_years === period);
        return r === undefined ? '-' : `${percent(r.share)} (${(100 * r.low).toFixed(0)}-${(100 * r.high).toFixed(0)})`;
      }),
    ]),
  ))
    say(line);
  say();
  say('Lowest horizontal radiation of any days in a row, kWh/m² a day:');
  for (const line of table(
    ['days in a row', ...periods.map((p) => `${p} years`)],
    lengths.map((days) => [
      String(days),
      ...periods.map((period) => {
        const r = o.lowest.find((s) => s.days === days && s.period_years === period)!;
        return r.ghi_kWh_m2_day.toFixed(2);
      }),
    ]),
  ))
    say(line);
  if (o.notes.length > 0) {
    say();
    say('About the weather file:');
    for (const note of o.notes) for (const line of fold(note, '  ')) say(line);
  }
  say();
  say('Assumed:');
  for (const a of o.assumptions) for (const line of fold(`${a.field}: ${a.value} (${a.why})`, '  ')) say(line);
}

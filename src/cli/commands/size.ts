import type { Command } from 'commander';
import type { UnitTold } from '../../app/bench/unit-kit.ts';
import type { Ports } from '../../app/ports.ts';
import type { SizeOutcome, SizeRequest } from '../../app/size.ts';
import { gather, whole, withExample, withJson, withSpread } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { fold, MONTH_NAMES, percent, say, sayJson, table } from '../print.ts';
import { sayUnit, type UnitOptions, unitOf, withUnitOption } from '../unit-of.ts';
import { withPortsOf } from '../wiring.ts';

interface SizeOptions extends UnitOptions {
  readonly kit?: string;
  readonly target?: string;
  readonly years?: number;
  readonly seed?: number;
  readonly weather?: string;
  readonly set?: string[];
  readonly spread?: boolean;
  readonly svg?: string;
  readonly json?: boolean;
}

export function registerSize(program: Command): void {
  const command = program
    .command('size')
    .summary('which panel and how many cells meet a target at a perch')
    .description('Runs panel sizes x numbers of cells over many years and gives the frontier that meets the target.')
    .argument('<perch>', 'perch file (YAML or JSON)')
    .option('--kit <file>', 'kit file: its charger, load and kind of panel and cells')
    .option('--target <text>', 'how rarely it may be dark (default "1 dark winter in 20")')
    .option('--years <n>', 'years to simulate (default: twice what the target needs, at least 100)', whole(1))
    .option('--seed <n>', 'seed of the synthetic weather (default 1)', whole(0))
    .option('--weather <file>', 'a weather file of several years, resampled, in place of the synthetic years')
    .option('--set <field=value>', 'overrides a field of kit or perch; may be repeated', gather)
    .option('--svg <file>', 'also writes the map of designs as a picture');
  withExample(
    withJson(withSpread(withUnitOption(command, 'in place of --kit'))),
    'sunperch size examples/hut-kaldra.yaml --kit examples/alder-3.yaml --target "1 dark winter in 20"',
    'sunperch size examples/hut-kaldra.yaml --unit A07-012H',
  );
  command.action(async (perch: string, options: SizeOptions) => {
    const { kit, unit: serial, target, years, seed, weather, set } = options;
    if (kit === undefined && serial === undefined)
      command.error('error: name the kit with --kit, or a unit of the workshop with --unit.');
    if (kit !== undefined && serial !== undefined)
      command.error('error: --unit stands in place of --kit: leave one of them out.');
    await withPortsOf(options, async (real) => {
      await checkOutputs({ '--svg': options.svg });
      const { size } = await import('../../app/size.ts');
      const request = { perch, target, years, seed, weather, set };
      const outcome: SizeOutcome & { readonly unit?: UnitTold } =
        serial === undefined
          ? await size(real, { ...request, kit: kit! })
          : await sizeOfUnit(real, serial, options, request);
      if (options.svg !== undefined) {
        const { frontierChart } = await import('../../report/index.ts');
        const { writeWhole } = await import('../../host/files.ts');
        await writeWhole(options.svg, frontierChart(outcome.map));
      }
      if (options.json) sayJson(outcome);
      else {
        printSize(outcome, options.svg);
        if (outcome.unit !== undefined) sayUnit(outcome.unit);
      }
    });
  });
}

async function sizeOfUnit(
  real: Ports,
  serial: string,
  options: SizeOptions,
  request: Omit<SizeRequest, 'kit'>,
): Promise<SizeOutcome & { readonly unit: UnitTold }> {
  const [{ ofUnit }, { size }, { ports, kit, unit }] = await Promise.all([
    import('../../app/bench/unit-kit.ts'),
    import('../../app/size.ts'),
    unitOf(real, serial, options),
  ]);
  return ofUnit(await size(ports, { ...request, kit }), unit);
}

function printSize(o: SizeOutcome, svg: string | undefined): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  say(
    `Tilt ${o.tilt_deg}°: most light in ${MONTH_NAMES[o.worstLight.month - 1]}, the month with least (${o.worstLight.kWh_m2_day.toFixed(2)} kWh/m² a day). ${o.years} years simulated.`,
  );
  say();
  for (const line of table(
    ['panel W', 'cells', 'tilt °', 'dark years', '95 % upper'],
    [
      ...o.frontier.map((p) => [
        String(p.panel_W),
        String(p.cells),
        String(p.tilt_deg),
        percent(p.darkYearShare),
        percent(p.upper),
      ]),
      ['kit at hand:', '', '', '', ''],
      [
        String(Number(o.atHand.panel_W.toPrecision(3))),
        String(o.atHand.cells),
        String(o.atHand.tilt_deg),
        percent(o.atHand.darkYearShare),
        percent(o.atHand.upper),
      ],
    ],
  ))
    say(line);
  say();
  say('Dark years by design, % (rows: cells; columns: panel W):');
  const { map } = o;
  for (const line of table(
    ['', ...map.panel_W.map(String)],
    map.cells.map((cells, r) => [
      String(cells),
      ...map.darkYearShare[r]!.map((share) => (share === 0 ? '·' : String(Math.max(1, Math.round(share * 100))))),
    ]),
  ))
    say(line);
  say('(a quick model draws this map; the frontier above is proved with the full one)');
  if (svg !== undefined) say(`\nPicture: ${svg}`);
  say();
  say('Assumed:');
  for (const a of o.assumptions) for (const line of fold(`${a.field}: ${a.value} (${a.why})`, '  ')) say(line);
}

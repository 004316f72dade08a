import { type Command, Option } from 'commander';
import type { ThresholdRow } from '../../app/threshold-row.ts';
import type { ThresholdsOutcome } from '../../app/thresholds.ts';
import { gather, number, whole, withExample, withJson } from '../options.ts';
import { fold, percent, say, sayJson, table } from '../print.ts';
import { sayUnit, type UnitOptions, unitOf, withUnitOption } from '../unit-of.ts';
import { withPorts } from '../wiring.ts';

interface ThresholdsOptions extends UnitOptions {
  readonly years?: number;
  readonly seed?: number;
  readonly weather?: string;
  readonly set?: string[];
  readonly reference?: number;
  readonly series?: 'E24' | 'E96';
  readonly json?: boolean;
}

export function registerThresholds(program: Command): void {
  const command = program
    .command('thresholds')
    .summary('best ceiling, cut-off and reconnect voltages of a kit at a perch, and the resistors that set them')
    .description(
      'Tries charge ceilings, cut-off and reconnect voltages, each for a nominal unit and for the worst unit that tolerance, drift, cold and eight years make; recommends one set with its reasons and says what others cost.',
    )
    .argument('[kit]', 'kit file (YAML or JSON); left out with --unit')
    .argument('[perch]', 'perch file (YAML or JSON)')
    .option('--years <n>', 'years to simulate (default 100)', whole(1))
    .option('--seed <n>', 'seed of the synthetic weather (default 1)', whole(0))
    .option('--weather <file>', 'a weather file of which the years are drawn (EPW, TMY3, POWER, CSV; .gz too)')
    .option('--set <field=value>', 'overrides a field of kit or perch; may be repeated', gather)
    .option('--reference <V>', "voltage of the comparator's reference, V (default 1.2)", number)
    .addOption(new Option('--series <name>', 'series of resistors (both when absent)').choices(['E24', 'E96']));
  withExample(
    withJson(withUnitOption(command, 'in place of the kit')),
    'sunperch thresholds examples/alder-3.yaml examples/rescue-post.yaml',
    'sunperch thresholds kit.yaml perch.yaml --set kit.cutoff.tolerance_mV=80 --reference 0.6 --series E96 --json',
    'sunperch thresholds examples/hut-kaldra.yaml --unit A07-012H',
  );
  command.action(async (first: string | undefined, second: string | undefined, options: ThresholdsOptions) => {
    const { years, seed, weather, set, series, unit: serial } = options;
    if (first === undefined)
      command.error(`error: missing required argument '${serial === undefined ? 'kit' : 'perch'}'`);
    if (serial === undefined && second === undefined) command.error("error: missing required argument 'perch'");
    if (serial !== undefined && second !== undefined) command.error('error: with --unit name the perch file alone.');
    await withPorts(async (real) => {
      const { thresholds } = await import('../../app/thresholds.ts');
      const request = { set, weather, years, seed, series, reference_V: options.reference };
      if (serial === undefined) {
        const outcome = await thresholds(real, { ...request, kit: first!, perch: second! });
        if (options.json) sayJson(outcome);
        else printThresholds(outcome);
        return;
      }
      const { ports, kit, unit } = await unitOf(real, serial, options);
      const { ofUnit } = await import('../../app/bench/unit-kit.ts');
      const outcome = ofUnit(await thresholds(ports, { ...request, kit, perch: first! }), unit);
      if (options.json) return sayJson(outcome);
      printThresholds(outcome);
      sayUnit(outcome.unit);
    });
  });
}

const volts = (value_V: number) => value_V.toFixed(3).replace(/0$/, '');
const few = (value: number) => (value === 0 ? '0' : value < 1 ? value.toFixed(2) : value.toFixed(value < 10 ? 1 : 0));

function rowCells(name: string, r: ThresholdRow): string[] {
  return [
    name,
    volts(r.ceiling_V),
    volts(r.cutoff_V),
    volts(r.reconnect_V),
    few(r.dark_h_per_year),
    percent(r.darkYearShare.mean),
    few(r.spells_per_year),
    few(r.corner.dark_h_per_year),
    few(r.corner.falseRestarts_per_year),
    few(r.corner.lockUps_per_year),
    r.corner.margin_mV.toFixed(0),
    r.autonomy_d.toFixed(1),
    r.yearsTo80 === null ? '-' : `${r.yearsTo80.low.toFixed(0)}-${r.yearsTo80.high.toFixed(0)}`,
    r.wanting.length === 0 ? '' : r.wanting.join(', '),
  ];
}

function printThresholds(o: ThresholdsOutcome): void {
  for (const line of fold(o.verdict)) say(line);
  say();
  say('Why:');
  for (const reason of o.reasons) for (const line of fold(reason, '  ')) say(line);
  say();
  say(
    'The choice and what differs from it in one voltage (worst unit: tolerance and drift unkind, cells 8 years old):',
  );
  const titles = [
    'choice',
    'ceiling V',
    'off V',
    'on V',
    'dark h/y',
    'dark years',
    'restarts/y',
    'worst h/y',
    'false/y',
    'lock-ups/y',
    'margin mV',
    'days no sun',
    'years to 80 %',
    'misses',
  ];
  const rows = [rowCells('recommended', o.recommended), ...o.alternatives.map((a) => rowCells(a.change, a))];
  for (const line of table(titles, rows, [0, 13])) say(line);
  const share = o.recommended.darkYearShare;
  say(
    `Recommended, 95 %: ${percent(share.low)} to ${percent(share.high)} of years dark; ${few(o.dark_h_per_year.low)} to ${few(o.dark_h_per_year.high)} dark hours a year.`,
  );
  say();
  say(`Resistors from the battery down, R1, R2, R3 (taps between them), reference ${o.reference_V} V:`);
  for (const d of o.dividers) {
    const text = `${d.series}: ${ohms(d.r1_Ohm)}, ${ohms(d.r2_Ohm)}, ${ohms(d.r3_Ohm)}: off at ${d.cutOff.nominal_V.toFixed(3)} V (${d.cutOff.worstLow_V.toFixed(3)} to ${d.cutOff.worstHigh_V.toFixed(3)}), on at ${d.reconnect.nominal_V.toFixed(3)} V (${d.reconnect.worstLow_V.toFixed(3)} to ${d.reconnect.worstHigh_V.toFixed(3)}), least gap ${(1000 * d.leastGap_V).toFixed(0)} mV; ${d.note}.`;
    for (const line of fold(text, '  ')) say(line);
  }
  say('Ceiling, where the charger takes a divider (top, bottom; a ceiling fixed in the charger stays as it is):');
  for (const d of o.ceilingDividers)
    say(
      `  ${d.series}: ${ohms(d.top_Ohm)}, ${ohms(d.bottom_Ohm)}: ${d.threshold.nominal_V.toFixed(3)} V (${d.threshold.worstLow_V.toFixed(3)} to ${d.threshold.worstHigh_V.toFixed(3)})`,
    );
  say();
  say(`${o.choices.length} choices were tried; --json lists them all. Weather: ${o.weather}`);
  say();
  say('Assumed, since the files do not say:');
  for (const a of o.assumptions) for (const line of fold(`${a.field}: ${a.value} (${a.why})`, '  ')) say(line);
  if (o.cautions.length > 0) {
    say();
    say('Cautions:');
    for (const c of o.cautions) for (const line of fold(c.text, '  ')) say(line);
  }
}

/** Ohms as they stand on a reel: 1.02 MΩ, 332 kΩ. */
function ohms(value_Ohm: number): string {
  const mega = value_Ohm >= 1e6;
  return `${Number((value_Ohm / (mega ? 1e6 : 1e3)).toPrecision(3))} ${mega ? 'MΩ' : 'kΩ'}`;
}

import { type Command, Option } from 'commander';
import type { CellOutcome } from '../../app/cell.ts';
import type { CellAgeing, LifeSpan } from '../../app/cell-ageing.ts';
import { gather, number, whole, withExample, withJson } from '../options.ts';
import { percent, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';

interface CellOptions {
  readonly set?: string[];
  readonly chemistry?: 'nmc111' | 'nmc811';
  readonly capacity?: number;
  readonly count?: number;
  readonly resistance?: number;
  readonly soc?: number;
  readonly voltage?: number;
  readonly temperature?: number;
  readonly current?: number;
  readonly age?: number;
  readonly atTemperature?: number;
  readonly ceiling?: number;
  readonly depth?: number;
  readonly json?: boolean;
}

export function registerCell(program: Command): void {
  const command = program
    .command('cell')
    .summary('voltage, energy and ageing of cells')
    .description(
      'Voltage at rest and under a pulse, stored and usable energy, and ageing, of the cells of a kit or of any.',
    )
    .argument('[kit]', 'kit file (YAML or JSON); or describe the cells by options')
    .option('--set <field=value>', 'overrides a field of the kit; may be repeated', gather)
    .addOption(new Option('--chemistry <name>', 'voltage table').choices(['nmc111', 'nmc811']))
    .option('--capacity <mAh>', 'capacity of one cell, mAh', number)
    .option('--count <n>', 'cells in parallel', whole(1))
    .option('--resistance <mOhm>', 'resistance of one cell at 25 °C, mOhm', number)
    .option('--soc <share>', 'state of charge, 0 to 1 (default 1)', number)
    .addOption(
      new Option('--voltage <V>', 'in place of --soc: voltage of one cell after an hour of rest, V')
        .argParser(number)
        .conflicts('soc'),
    )
    .option('--temperature <degC>', 'temperature of the cells, °C (default 25)', number)
    .option(
      '--current <A>',
      "current drawn from all cells in the pulse, A, negative: charging (default: the kit's pulse)",
      number,
    )
    .option('--age <years>', 'age of the cells, years (default: as in the kit, else new)', number)
    .option('--at-temperature <degC>', 'temperature at which they age, °C (default 15)', number)
    .option('--ceiling <share>', "state of charge at which they rest while ageing (default: the kit's ceiling)", number)
    .option('--depth <share>', "depth of the daily cycle, 0 to 1 (default: a night of the kit's load)", number);
  withExample(
    withJson(command),
    'sunperch cell examples/alder-3.yaml --voltage 3.7 --temperature -10',
    'sunperch cell --chemistry nmc811 --capacity 3350 --count 3 --age 8 --at-temperature 15 --ceiling 0.9',
  );
  command.action(async (kit: string | undefined, options: CellOptions) => {
    if (kit === undefined && options.capacity === undefined)
      command.error('error: name a kit file, or give the capacity of one cell with --capacity.');
    await withPorts(async (ports) => {
      const { cell } = await import('../../app/cell.ts');
      const outcome = await cell(ports, {
        kit,
        set: options.set,
        chemistry: options.chemistry,
        capacity_mAh: options.capacity,
        count: options.count,
        resistance_mOhm: options.resistance,
        soc: options.soc,
        voltage_V: options.voltage,
        temperature_degC: options.temperature,
        current_A: options.current,
        age_years: options.age,
        ageing_degC: options.atTemperature,
        ceiling_soc: options.ceiling,
        depth: options.depth,
      });
      if (options.json) sayJson(outcome);
      else print(outcome);
    });
  });
}

const life = (span: LifeSpan) => `${span.low.toFixed(1)} to ${span.highBeyond ? 'over ' : ''}${span.high.toFixed(0)}`;

function print(o: CellOutcome): void {
  const range = o.stateOfChargeRange;
  sayFolded(
    `${percent(o.stateOfCharge)} full${range ? ` (${percent(range.low)} to ${percent(range.high)} for 10 mV either way)` : ''}: ${o.restedVoltage_V.toFixed(3)} V at rest, ${o.pulseVoltage_V.toFixed(3)} V at ${o.current_A.toPrecision(3)} A and ${o.temperature_degC} °C; ${o.usableEnergy_Wh.toFixed(1)} Wh usable of ${o.storedEnergy_Wh.toFixed(1)} Wh stored.`,
  );
  sayFolded(
    `${o.count} x ${o.capacity_mAh} mAh (${o.chemistry})${o.age_years > 0 ? `, ${o.age_years} years old: ${percent(o.capacityShare)} of the capacity, ${o.resistanceFactor.toFixed(2)} times the resistance` : ', new'}.`,
  );
  sayFolded(
    `Bank: ${o.capacity_Ah.toFixed(2)} Ah, ${o.energyFull_Wh.toFixed(1)} Wh full; at ${o.temperature_degC} °C ${o.resistance_mOhm.toFixed(1)} mOhm, ${percent(o.usableShare)} usable, ${o.selfDischarge_pct_month.toFixed(2)} % lost a month, charge at most ${o.mostCharge_A.toFixed(2)} A.`,
  );
  say();
  for (const line of table(
    ['full', 'rest V', 'pulse V', 'stored Wh', 'usable Wh'],
    o.curve.map((p) => [
      percent(p.stateOfCharge),
      p.restedVoltage_V.toFixed(3),
      p.pulseVoltage_V.toFixed(3),
      p.storedEnergy_Wh.toFixed(2),
      p.usableEnergy_Wh.toFixed(2),
    ]),
  ))
    say(line);
  say();
  printAgeing(o.ageing);
  sayCautions(o.cautions);
  sayAssumptions(o.assumptions);
}

function printAgeing(a: CellAgeing): void {
  if (!a.modelled || a.yearsTo80 === null) {
    for (const warning of a.warnings) sayFolded(warning);
    return;
  }
  sayFolded(
    `Resting at ${percent(a.ceiling_soc)} and ${a.temperature_degC} °C, ${percent(a.depth)} deep each day: 80 % of the capacity after ${life(a.yearsTo80)} years (two laws).`,
  );
  for (const line of table(
    ['years', 'capacity, first law', 'second law', 'resistance'],
    a.course.map((c) => [
      String(c.age_years),
      percent(c.capacityShare),
      percent(c.capacityShareSecond),
      `x ${c.resistanceFactor.toFixed(2)}`,
    ]),
  ))
    say(line);
  say();
  for (const line of table(
    ['ceiling', 'rest V', 'calendar rate', 'second law', 'years to 80 %'],
    a.ceilings.map((c) => [
      percent(c.ceiling_soc),
      c.restedVoltage_V.toFixed(3),
      percent(c.relativeRate),
      percent(c.relativeRateSecond),
      life(c.yearsTo80),
    ]),
  ))
    say(line);
  sayNotes(a.warnings, 'How sure this is');
}

import type { Command } from 'commander';
import type { KitLoad, LoadOutcome, LogLoad } from '../../app/load.ts';
import { gather, withExample, withJson } from '../options.ts';
import { percent, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';

interface LoadOptions {
  readonly log?: string;
  readonly set?: string[];
  readonly json?: boolean;
}

export function registerLoad(program: Command): void {
  const command = program
    .command('load')
    .summary('what a kit draws on average, by part; or what a current log says')
    .description('Average current, energy a day and pulse of a kit, and average and states of a measured current log.')
    .argument('[kit]', 'kit file (YAML or JSON)')
    .option('--log <file>', 'CSV with time_s or time_ms, and current_mA, current_uA or current_A')
    .option('--set <field=value>', 'overrides a field of the kit; may be repeated', gather);
  withExample(withJson(command), 'sunperch load examples/alder-3.yaml', 'sunperch load --log bench/unit-17.csv --json');
  command.action(async (kit: string | undefined, options: LoadOptions) => {
    if (kit === undefined && options.log === undefined)
      command.error('error: name a kit file, a current log with --log, or both.');
    await withPorts(async (ports) => {
      const { load } = await import('../../app/load.ts');
      const outcome = await load(ports, { kit, log: options.log, set: options.set });
      if (options.json) sayJson(outcome);
      else print(outcome);
    });
  });
}

const mA = (value: number) => (Math.abs(value) < 0.1 ? value.toFixed(4) : value.toFixed(2));

function print(o: LoadOutcome): void {
  if (o.load) printKit(o.load);
  if (o.load && o.log) say();
  if (o.log) printLog(o.log);
  if (o.measuredOverComposed) {
    const { mean, low, high } = o.measuredOverComposed;
    say();
    sayFolded(
      `Measured over composed: ${mean.toFixed(2)} (95 %: ${low.toFixed(2)} to ${high.toFixed(2)}).${low > 1 || high < 1 ? ' They differ by more than chance: trust the log, or look for the part that is missing.' : ''}`,
    );
  }
  if (o.load) sayAssumptions(o.assumptions);
}

function printKit(k: KitLoad): void {
  sayFolded(
    `${k.kit} draws ${mA(k.average_mA)} mA on average at ${k.voltage_V} V: ${k.energy_Wh_day.toFixed(3)} Wh a day.`,
  );
  say();
  for (const line of table(
    ['part', 'mA', 'share', 'Wh a day'],
    k.parts.map((p) => [p.name, mA(p.average_mA), percent(p.share), p.energy_Wh_day.toFixed(3)]),
  ))
    say(line);
  say();
  sayFolded(`At the cells: ${k.byVoltage.map((v) => `${mA(v.average_mA)} mA at ${v.voltage_V} V`).join(', ')}.`);
  say(`Pulse at 3 V: ${mA(k.pulse_mA)} mA; when it comes back: ${mA(k.inrush_mA)} mA.`);
}

function printLog(l: LogLoad): void {
  const { mean, low, high } = l.average_mA;
  sayFolded(
    `${l.file}: ${mA(mean)} mA on average (95 %: ${mA(low)} to ${mA(high)}), ${l.energy_Wh_day.toFixed(3)} Wh a day at 3.7 V.`,
  );
  sayFolded(
    `${l.samples.toLocaleString('en')} samples over ${l.duration_s.toFixed(1)} s, ${l.charge_mAh.toPrecision(4)} mAh.`,
  );
  say();
  for (const line of table(
    ['state', 'level mA', 'from', 'to', 'of the time', 'mAh', 'of the charge', 'visits', 'mean visit s'],
    l.states.map((s, i) => [
      String(i + 1),
      mA(s.level_mA),
      mA(s.from_mA),
      mA(s.to_mA),
      percent(s.timeShare),
      s.charge_mAh.toPrecision(3),
      percent(s.chargeShare),
      String(s.visits),
      s.meanVisit_s.toPrecision(3),
    ]),
  ))
    say(line);
  sayNotes([...l.notes, ...l.warnings], 'About the log');
}

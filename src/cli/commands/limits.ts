import type { Command } from 'commander';
import type { LimitRow, LimitsOutcome } from '../../app/limits.ts';
import { number, whole, withExample, withJson } from '../options.ts';
import { fold, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded } from '../tail.ts';

interface LimitsOptions {
  readonly frequency?: number;
  readonly bandwidth?: number;
  readonly power?: number;
  readonly gain?: number;
  readonly feeder?: number;
  readonly duty?: number;
  readonly channels?: number;
  readonly json?: boolean;
}

export function registerLimits(program: Command): void {
  const command = program
    .command('limits')
    .summary('what power, bandwidth and share of the hour a region allows')
    .description('Rules on power, gain, bandwidth and duty cycle by region, with citation; local law decides.')
    .argument('<region>', 'US, EU, UK, AU, NZ, JP or IN')
    .option('--frequency <MHz>', 'carrier frequency, MHz', number)
    .option('--bandwidth <kHz>', 'bandwidth, kHz (default 125)', number)
    .option('--power <dBm>', 'power at the antenna connector, dBm; without it the highest allowed is told', number)
    .option('--gain <dBi>', 'antenna gain, dBi (default 2.15)', number)
    .option('--feeder <dB>', 'loss between connector and antenna, dB (default 0)', number)
    .option('--duty <%>', 'share of the hour on the air, %', number)
    .option('--channels <n>', 'channels that it hops over (default 1)', whole(1));
  withExample(
    withJson(command),
    'sunperch limits EU --frequency 868.3 --bandwidth 125 --power 14 --gain 2 --duty 0.5',
    'sunperch limits US',
  );
  command.action(async (region: string, options: LimitsOptions) => {
    const { limits } = await import('../../app/limits.ts');
    const outcome = limits({
      region,
      frequency_MHz: options.frequency,
      bandwidth_kHz: options.bandwidth,
      power_dBm: options.power,
      gain_dBi: options.gain,
      feederLoss_dB: options.feeder,
      duty_pct: options.duty,
      channels: options.channels,
    });
    if (options.json) sayJson(outcome);
    else print(outcome);
  });
}

const dBm = (value: number | undefined) => (value === undefined ? '' : (Math.round(value * 10) / 10).toFixed(1));

function print(o: LimitsOutcome): void {
  sayFolded(o.verdict);
  if (o.eirp_dBm !== null) say(`Radiated: ${o.eirp_dBm.toFixed(1)} dBm e.i.r.p., ${o.erp_dBm!.toFixed(1)} dBm e.r.p.`);
  say();
  const judged = o.rows.some((row) => row.verdict !== 'not judged' || row.mostPower_dBm !== null);
  for (const line of table(
    ['MHz', ...(judged ? ['verdict', 'most dBm'] : []), 'conducted', 'e.i.r.p.', 'e.r.p. dBm', 'hour %', 'source is'],
    o.rows.map((row) => [
      `${row.from_MHz}–${row.to_MHz}`,
      ...(judged ? [row.verdict, row.mostPower_dBm === null ? '' : row.mostPower_dBm.toFixed(1)] : []),
      dBm(row.conducted_dBm),
      dBm(row.eirp_dBm),
      dBm(row.erp_dBm),
      row.duty_pct === undefined ? '' : String(row.duty_pct),
      row.confirmation,
    ]),
    judged ? [0, 1, 7] : [0, 5],
  ))
    say(line);
  say();
  for (const row of o.rows) {
    for (const line of fold(`${row.from_MHz}–${row.to_MHz} MHz, ${row.kind}: ${row.citation} (${confirmedText(row)}).`))
      say(line);
    for (const text of [...row.against, ...row.also]) for (const line of fold(sentence(text), '    ')) say(line);
  }
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

const confirmedText = (row: LimitRow) =>
  row.confirmation === 'partly' ? `partly confirmed: ${row.confirmed}` : row.confirmation;

const sentence = (text: string) => {
  const upper = text.charAt(0).toUpperCase() + text.slice(1);
  return upper.endsWith('.') ? upper : `${upper}.`;
};

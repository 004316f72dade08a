import { type Command, Option } from 'commander';
import type { AirtimeOutcome } from '../../app/airtime.ts';
import { number, whole, withExample, withJson } from '../options.ts';
import { say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';

interface AirtimeOptions {
  readonly sf: number;
  readonly bandwidth: number;
  readonly codingRate?: string;
  readonly payload: number;
  readonly preamble?: number;
  readonly implicitHeader?: boolean;
  readonly crc?: boolean;
  readonly lowRate?: 'on' | 'off' | 'auto';
  readonly perHour?: number;
  readonly duty?: number;
  readonly current?: number;
  readonly idle?: number;
  readonly voltage?: number;
  readonly json?: boolean;
}

export function registerAirtime(program: Command): void {
  const command = program
    .command('airtime')
    .summary('how long a message is on the air, its share of the hour, what it costs')
    .description('Time on air of a packet of LoRa modulation for any setting, duty cycle and energy of a message.')
    .requiredOption('--sf <n>', 'spreading factor, 5 to 12', whole(0))
    .requiredOption('--bandwidth <kHz>', 'bandwidth, kHz: 7.8 to 500', number)
    .option('--coding-rate <rate>', '4/5, 4/6, 4/7 or 4/8 (default 4/5)')
    .requiredOption('--payload <bytes>', 'bytes after the header, 0 to 255', whole(0))
    .option('--preamble <symbols>', 'programmed preamble, symbols (default 8)', whole(0))
    .option('--implicit-header', 'no header: both ends know the length')
    .option('--no-crc', 'no check of the payload')
    .addOption(
      new Option(
        '--low-rate <mode>',
        'low-data-rate mode; auto: where a symbol lasts over 16 ms (default auto)',
      ).choices(['on', 'off', 'auto']),
    )
    .option('--per-hour <n>', 'messages sent in an hour: tells their share of it', number)
    .option('--duty <%>', 'duty cycle that is allowed, %: tells how many messages fit', number)
    .option('--current <mA>', 'supply current while sending, mA: tells the energy of a message', number)
    .option('--idle <mA>', 'supply current otherwise, mA (default 0)', number)
    .option('--voltage <V>', 'supply voltage, V (default 3.3)', number);
  withExample(
    withJson(command),
    'sunperch airtime --sf 8 --bandwidth 125 --coding-rate 4/6 --payload 40 --duty 1 --current 45',
  );
  command.action(async (options: AirtimeOptions) => {
    const { airtime } = await import('../../app/airtime.ts');
    const outcome = airtime({
      sf: options.sf,
      bandwidth_kHz: options.bandwidth,
      codingRate: options.codingRate,
      payload_bytes: options.payload,
      preamble_symbols: options.preamble,
      explicitHeader: options.implicitHeader !== true,
      crc: options.crc,
      lowRate: options.lowRate,
      perHour: options.perHour,
      duty_pct: options.duty,
      current_mA: options.current,
      idle_mA: options.idle,
      supply_V: options.voltage,
    });
    if (options.json) sayJson(outcome);
    else print(outcome);
  });
}

function print(o: AirtimeOutcome): void {
  const share =
    o.perHour === null ? '' : ` ${o.perHour.messages} an hour take ${o.perHour.share_pct.toPrecision(3)} % of it.`;
  const kept =
    o.duty === null || o.duty.kept === null
      ? ''
      : ` That ${o.duty.kept ? 'keeps' : 'breaks'} a duty cycle of ${o.duty.limit_pct} %.`;
  sayFolded(`A message at ${o.setting} is ${o.timeOnAir_ms.toFixed(1)} ms on the air.${share}${kept}`);
  say();
  const rows: [string, string][] = [
    ['time on air, ms', o.timeOnAir_ms.toFixed(3)],
    ['of it preamble, ms', o.preamble_ms.toFixed(3)],
    ['symbol, ms', o.symbol_ms.toFixed(3)],
    ['symbols after the preamble', String(o.payloadSymbols)],
    ['low-data-rate mode', o.lowRate ? 'on' : 'off'],
    ['payload on the air, bit/s', o.payloadRate_bit_s === null ? '–' : o.payloadRate_bit_s.toFixed(0)],
    ['weakest signal (noise figure 6 dB), dBm', o.sensitivity_dBm.toFixed(1)],
  ];
  if (o.perHour) rows.push(['on the air in an hour, s', o.perHour.airtime_s.toFixed(1)]);
  if (o.duty)
    rows.push(
      [`messages an hour within ${o.duty.limit_pct} %`, String(o.duty.messagesPerHour)],
      ['silence after each, ms', o.duty.pauseAfter_ms.toFixed(0)],
    );
  if (o.energy) {
    rows.push(['energy of a message, mJ', o.energy.total_mJ.toFixed(2)]);
    rows.push(['of it beyond idling, mJ', o.energy.extra_mJ.toFixed(2)]);
    if (o.energy.extra_Wh_day !== null) rows.push(['beyond idling in a day, Wh', o.energy.extra_Wh_day.toPrecision(3)]);
  }
  for (const line of table(['', 'value'], rows)) say(line);
  sayNotes(o.notes, 'Note');
  sayAssumptions(o.assumptions);
}

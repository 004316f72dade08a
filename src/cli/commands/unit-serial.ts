/** `sunperch unit serial check|make|message|bars`: check characters and codes, without a workshop. */
import type { Command } from 'commander';
import type { SerialScheme } from '../../app/bench/serial-check.ts';
import type { DataFields } from '../../formats/data-message.ts';
import { withExample, withJson } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded } from '../tail.ts';

/** Each scheme once, without loading them: one that is missing here, or too many, does not compile. */
const ALL: Readonly<Record<SerialScheme, true>> = {
  ...{ 'mod37-36': true, 'mod37-2': true, 'mod97-10': true, 'mod11-2': true },
  ...{ luhn: true, damm: true, verhoeff: true, gs1: true, crockford: true, iban: true },
};
const SCHEMES = Object.keys(ALL) as SerialScheme[];

interface Options {
  readonly scheme: SerialScheme;
  readonly json?: boolean;
}

export function registerSerial(group: Command): void {
  const serial = group
    .command('serial')
    .summary('Check characters of serials, and what codes hold; needs no workshop.')
    .description(
      'Checks a serial, completes one with its check character, and says what a code on a label holds. ' +
        'Serials of a batch end in the one of ISO 7064 mod 37-36.',
    );
  withExample(
    serial,
    'sunperch unit serial check A07-012H',
    'sunperch unit serial make A07-013',
    'sunperch unit serial make 629104150021 --scheme gs1',
    'sunperch unit serial message --part RPT-1 --serial A0001 --lot 24B',
    'sunperch unit serial bars A07-012H',
  );
  const scheme = () =>
    group.createOption('--scheme <name>', 'published scheme of the check').choices(SCHEMES).default('mod37-36');
  withJson(
    serial
      .command('check <text>')
      .description('Whether a serial is right; where not, what it may have been. Exit code 1 when it is not.')
      .addOption(scheme()),
  ).action(async (text: string, options: Options) => {
    const { checkSerial } = await import('../../app/bench/serial-check.ts');
    const outcome = checkSerial(text, options.scheme);
    if (!outcome.valid) process.exitCode = 1;
    if (options.json) sayJson(outcome);
    else sayFolded(outcome.verdict);
  });
  withJson(
    serial.command('make <text>').description('Writes the check character behind a text.').addOption(scheme()),
  ).action(async (text: string, options: Options) => {
    const { makeSerial } = await import('../../app/bench/serial-check.ts');
    const outcome = makeSerial(text, options.scheme);
    if (options.json) sayJson(outcome);
    else sayFolded(outcome.verdict);
  });
  registerMessage(serial);
  registerBars(serial);
}

function registerMessage(serial: Command): void {
  withJson(
    serial
      .command('message')
      .description('What a two-dimensional code holds that names its fields (ISO/IEC 15434, data identifiers).')
      .option('--part <text>', 'part number')
      .option('--serial <text>', 'serial')
      .option('--lot <text>', 'lot')
      .option('--quantity <n>', 'quantity')
      .option('--origin <code>', 'country of origin')
      .option('--date <text>', 'date, YYYYMMDD'),
  ).action(async ({ json, ...fields }: DataFields & { readonly json?: boolean }) => {
    const { dataMessage } = await import('../../formats/data-message.ts');
    const message = dataMessage(fields);
    const message_hex = Buffer.from(message, 'ascii').toString('hex');
    if (json) return sayJson({ command: 'unit serial message', fields, message_hex, bytes: message.length });
    say(message.replace(/[\u001d\u001e\u0004]/g, (c) => ({ '\u001d': '<GS>', '\u001e': '<RS>' })[c] ?? '<EOT>'));
    say(message_hex);
  });
}

function registerBars(serial: Command): void {
  withJson(
    serial
      .command('bars <text>')
      .description('Symbol values of a text as Code 128 bar code, with its check symbol.')
      .addOption(
        serial.createOption('--set <letter>', 'code set of letters and signs').choices(['A', 'B']).default('B'),
      ),
  ).action(async (text: string, options: { readonly set: 'A' | 'B'; readonly json?: boolean }) => {
    const { code128 } = await import('../../papers/code128.ts');
    const symbols = code128(text, options.set);
    const [start, values, check] = [symbols[0], symbols.slice(1, -2), symbols.at(-2)];
    if (options.json) return sayJson({ command: 'unit serial bars', text, start, values, check, symbols });
    say(`Start ${start}, values ${values.join(' ')}, check ${check}, stop.`);
  });
}

import { type Command, InvalidArgumentError } from 'commander';
import { PASSPORT_PARTS, type PassportPart } from '../../records/bench/passport-parts.ts';
import { type BenchOptions, deedCommand, withBench } from '../bench.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded } from '../tail.ts';

interface PassportOptions extends BenchOptions {
  readonly show: readonly PassportPart[];
  readonly out: string;
}

/** `sunperch unit passport`: a page about one unit that its maker hosts. */
export function registerPassport(group: Command): void {
  deedCommand(
    group,
    'passport <serial>',
    'Writes the page of a unit that its maker may host: what --show names, never a key, a customer or a person.',
  )
    .requiredOption('--show <parts>', `what it shows, of ${PASSPORT_PARTS.join(',')}`, partsOf)
    .requiredOption('--out <file>', 'HTML file to write')
    .action(async (serial: string, options: PassportOptions) => {
      const [
        { passportAddress, passportOf, publishPassport },
        { passportPage },
        { checkWritable, writeWhole },
        { madeAt },
      ] = await Promise.all([
        import('../../app/bench/passport.ts'),
        import('../../report/passport-page.ts'),
        import('../../host/files.ts'),
        import('../report-file.ts'),
      ]);
      await checkWritable(options.out);
      const { passport, written, address } = await withBench(options, async (bench) => {
        const entries = await bench.act((state) => publishPassport(state, serial, options.show));
        const day = madeAt().toISOString().slice(0, 10);
        return {
          passport: passportOf(bench.state, serial, options.show, day),
          written: entries.length,
          address: passportAddress(bench.state, serial),
        };
      });
      await writeWhole(options.out, passportPage(passport));
      if (options.json)
        sayJson({
          command: 'unit passport',
          unit: passport.serial,
          show: options.show,
          file: options.out,
          address,
          written,
          passport,
        });
      else {
        sayFolded(`Passport of ${passport.serial}: ${options.out}. It shows ${options.show.join(', ')}.`);
        if (address !== null) say(`Host it where the code on its label leads: ${address}`);
      }
    });
}

function partsOf(text: string): PassportPart[] {
  const parts = text.split(',').map((part) => part.trim());
  const wrong = parts.find((part) => !PASSPORT_PARTS.includes(part as PassportPart));
  if (wrong !== undefined)
    throw new InvalidArgumentError(`'${wrong}' is none of ${PASSPORT_PARTS.join(', ')}; part them by commas.`);
  return [...new Set(parts as PassportPart[])];
}

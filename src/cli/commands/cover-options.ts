import { type Command, Option } from 'commander';
import { userError } from '../../core/units/index.ts';
import { number } from '../options.ts';
import { say } from '../print.ts';
import { sayFolded } from '../tail.ts';

/** What stands on the ground, and around those who are to be reached. */
export interface CoverArguments {
  readonly cover?: string;
  readonly indoors?: 'traditional' | 'efficient' | true;
  readonly woods?: number;
  readonly measured?: string;
}

/** Adds `--cover`. */
export function withCover(command: Command): Command {
  return command.option(
    '--cover <file>',
    'ground cover: GeoJSON polygons with class (open, water, low plants, houses, town, dense town, woods) and, where known, height_m and loss_dB',
  );
}

/** Adds `--indoors` and `--woods`, for the other end wherever it is. */
export function withAround(command: Command): Command {
  return command
    .addOption(
      new Option('--indoors [kind]', 'the other end is inside a building: traditional or efficient (P.2109)').choices([
        'traditional',
        'efficient',
      ]),
    )
    .option('--woods <m>', 'the other end stands in a wood, this far from its edge, m (P.833)', number);
}

/** Adds `--measured`. */
export function withMeasured(command: Command): Command {
  return command.option(
    '--measured <file>',
    'measured links as CSV: link,snr_dB,date; a link is FROM > TO, by the names of perches and places',
  );
}

/** The same for a use case. */
export function coverRequest({ cover, indoors, woods, measured }: CoverArguments) {
  return { cover, indoors: indoors === true ? ('traditional' as const) : indoors, woods_m: woods, measured };
}

/** Line of sight alone knows none of these. */
export function refuseWithSight(options: CoverArguments): void {
  const name = (['cover', 'indoors', 'woods', 'measured'] as const).find((n) => options[n] !== undefined);
  if (name !== undefined)
    throw userError(
      'reach.sight',
      `--${name} counts for margins, and --sight-only computes none: leave one of them out`,
      {
        field: `--${name}`,
      },
    );
}

/** Sentences on cover and measured links, parted from the table before them. */
export function sayAround(texts: readonly string[]): void {
  if (texts.length === 0) return;
  say();
  for (const text of texts) sayFolded(text);
}

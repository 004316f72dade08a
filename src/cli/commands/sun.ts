import { type Command, InvalidArgumentError } from 'commander';
import { parseInstant } from '../../app/instant.ts';
import type { SunOutcome } from '../../app/sun.ts';
import { number, withExample, withJson } from '../options.ts';
import { say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded } from '../tail.ts';

interface SunOptions {
  readonly lat: number;
  readonly lon: number;
  readonly elevation?: number;
  readonly at: string;
  readonly json?: boolean;
}

/** A moment with its offset; anything else is a usage error. */
function moment(text: string): string {
  try {
    parseInstant(text);
    return text;
  } catch (error) {
    throw new InvalidArgumentError(`The time ${(error as Error).message}.`);
  }
}

export function registerSun(program: Command): void {
  const command = program
    .command('sun')
    .summary('where the sun stands at a moment, and when it rises and sets')
    .description('Elevation and azimuth of the sun (0.01 degrees, without refraction), and the times of that day.')
    .requiredOption('--lat <deg>', 'latitude, degrees, north positive', number)
    .requiredOption('--lon <deg>', 'longitude, degrees, east positive', number)
    .option('--elevation <m>', 'height above the sea, m (default 0)', number)
    .requiredOption('--at <time>', 'ISO 8601 with offset from UTC, e.g. 2003-10-17T12:30:30-07:00', moment);
  withExample(
    withJson(command),
    'sunperch sun --lat 39.74 --lon -105.18 --elevation 1830 --at 2003-10-17T12:30:30-07:00',
  );
  command.action(async (options: SunOptions) => {
    const { sun } = await import('../../app/sun.ts');
    const outcome = sun({
      latitude_deg: options.lat,
      longitude_deg: options.lon,
      elevation_m: options.elevation,
      at: options.at,
    });
    if (options.json) sayJson(outcome);
    else print(outcome);
  });
}

function print(o: SunOutcome): void {
  const where = o.elevation_deg < 0 ? 'below the horizon' : `${o.elevation_deg.toFixed(1)}° high`;
  sayFolded(`The sun is ${where} at ${o.at}, azimuth ${o.azimuth_deg.toFixed(1)}° (clockwise from north).`);
  say();
  for (const line of table(
    ['', 'value'],
    [
      ['elevation without refraction, deg', o.elevation_deg.toFixed(4)],
      ['elevation with refraction, deg', o.refractedElevation_deg.toFixed(4)],
      ['azimuth from north, clockwise, deg', o.azimuth_deg.toFixed(4)],
      ['declination, deg', o.declination_deg.toFixed(4)],
      ['equation of time, min', o.equationOfTime_min.toFixed(2)],
      ['sunrise', o.sunrise ?? (o.allDay === 'up' ? 'up all day' : 'down all day')],
      ['highest', o.transit],
      ['sunset', o.sunset ?? (o.allDay === 'up' ? 'up all day' : 'down all day')],
      ['day length, h', o.dayLength_h.toFixed(2)],
    ],
  ))
    say(line);
  sayAssumptions(o.assumptions);
}

import type { Command } from 'commander';
import type { TiltOutcome } from '../../app/tilt.ts';
import { number, numbers, whole, withExample, withJson } from '../options.ts';
import { MONTHS_SHORT, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';

interface TiltOptions {
  readonly lat: number;
  readonly lon: number;
  readonly elevation?: number;
  readonly ghi: number[];
  readonly dhi?: number[];
  readonly temperature: number[];
  readonly tilt: number;
  readonly azimuth?: number;
  readonly albedo?: number;
  readonly years?: number;
  readonly seed?: number;
  readonly json?: boolean;
}

export function registerTilt(program: Command): void {
  const twelve = numbers(12);
  const command = program
    .command('tilt')
    .summary('monthly radiation on a tilted plane from that on the horizontal')
    .description('Long-term monthly means on a tilted plane, from synthetic years that have the monthly means given.')
    .requiredOption('--lat <deg>', 'latitude, degrees, north positive', number)
    .requiredOption('--lon <deg>', 'longitude, degrees, east positive', number)
    .option('--elevation <m>', 'height above the sea, m (default 0)', number)
    .requiredOption('--ghi <list>', 'global radiation on the horizontal, 12 daily means by month, kWh/m² a day', twelve)
    .option('--dhi <list>', 'diffuse radiation on the horizontal where known, 12 values, kWh/m² a day', twelve)
    .requiredOption('--temperature <list>', 'air temperature, 12 monthly means, °C', twelve)
    .requiredOption('--tilt <deg>', 'tilt of the plane: 0 flat, 90 upright', number)
    .option('--azimuth <deg>', 'where it faces, clockwise from north, -180 to 360 (default: the equator)', number)
    .option('--albedo <share>', 'share of light that the ground reflects, 0 to 1 (default 0.2)', number)
    .option('--years <n>', 'synthetic years behind the means, 8 to 200 (default 60)', whole(1))
    .option('--seed <n>', 'seed of the synthetic years (default 1)', whole(0));
  withExample(
    withJson(command),
    'sunperch tilt --lat 46.4 --lon 10.2 --elevation 1900 --tilt 60 \\',
    '    --ghi 1.7,2.6,3.9,4.9,5.4,5.9,5.9,5.0,4.1,2.8,1.8,1.4 \\',
    '    --temperature -6,-5,-2,1,6,10,12,12,8,4,-2,-5',
  );
  command.action(async (options: TiltOptions) => {
    const { tilt } = await import('../../app/tilt.ts');
    const outcome = tilt({
      latitude_deg: options.lat,
      longitude_deg: options.lon,
      elevation_m: options.elevation,
      ghi_kWh_m2_day: options.ghi,
      dhi_kWh_m2_day: options.dhi,
      temperature_degC: options.temperature,
      tilt_deg: options.tilt,
      azimuth_deg: options.azimuth,
      albedo: options.albedo,
      years: options.years,
      seed: options.seed,
    });
    if (options.json) sayJson(outcome);
    else print(outcome);
  });
}

function print(o: TiltOutcome): void {
  const gain = o.year.poa_kWh_m2_day / o.year.ghi_kWh_m2_day;
  sayFolded(
    `On a plane tilted ${o.tilt_deg}° towards ${o.azimuth_deg}° the year gives ${o.year.poa_kWh_m2_day.toFixed(2)} kWh/m² a day, ${gain.toFixed(2)} times the horizontal.`,
  );
  say();
  const row = (name: string, ghi: number, dhi: number, poa: number, error?: number) => [
    name,
    ghi.toFixed(2),
    dhi.toFixed(2),
    poa.toFixed(2),
    ghi > 0 ? (poa / ghi).toFixed(2) : '',
    error === undefined ? '' : error.toFixed(3),
  ];
  for (const line of table(
    ['kWh/m² a day', 'global', 'diffuse', 'on plane', 'ratio', 'st. error'],
    [
      ...o.poa_kWh_m2_day.map((poa, m) =>
        row(MONTHS_SHORT[m]!, o.ghi_kWh_m2_day[m]!, o.dhi_kWh_m2_day[m]!, poa, o.poaStandardError_kWh_m2_day[m]),
      ),
      row('year', o.year.ghi_kWh_m2_day, o.year.dhi_kWh_m2_day, o.year.poa_kWh_m2_day),
    ],
  ))
    say(line);
  sayNotes(o.notes, 'How sure this is');
  sayAssumptions(o.assumptions);
}

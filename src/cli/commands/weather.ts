import type { Command } from 'commander';
import type { WeatherOutcome } from '../../app/weather.ts';
import { number, withExample, withJson } from '../options.ts';
import { MONTHS_SHORT, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';

interface WeatherOptions {
  readonly tilt?: number;
  readonly azimuth?: number;
  readonly albedo?: number;
  readonly json?: boolean;
}

export function registerWeather(program: Command): void {
  const command = program
    .command('weather')
    .summary('what a weather file holds, and the light on a tilted plane')
    .description('Reads a weather file (EPW, TMY3, POWER hourly or daily, plain CSV; .gz too) and sums it up by month.')
    .argument('<file>', 'weather file')
    .option('--tilt <deg>', 'tilt of the plane: 0 flat, 90 upright (default: latitude + 15)', number)
    .option('--azimuth <deg>', 'where it faces, clockwise from north, -180 to 360 (default: the equator)', number)
    .option('--albedo <share>', 'share of light that the ground reflects, 0 to 1 (default 0.2)', number);
  withExample(withJson(command), 'sunperch weather place.epw.gz --tilt 60 --albedo 0.3');
  command.action(async (file: string, options: WeatherOptions) => {
    await withPorts(async (ports) => {
      const { weather } = await import('../../app/weather.ts');
      const outcome = await weather(ports, {
        file,
        tilt_deg: options.tilt,
        azimuth_deg: options.azimuth,
        albedo: options.albedo,
      });
      if (options.json) sayJson(outcome);
      else print(outcome);
    });
  });
}

function print(o: WeatherOutcome): void {
  const { name, latitude_deg, longitude_deg, elevation_m, utcOffset_h } = o.place;
  const years = o.years === 1 ? 'one year' : `${o.years} years`;
  sayFolded(`${o.format} file of ${name ?? 'a place without name'}: ${years}, ${o.rows.toLocaleString('en')} rows.`);
  sayFolded(
    `${latitude_deg}, ${longitude_deg}, ${elevation_m} m above the sea, UTC${utcOffset_h < 0 ? '' : '+'}${utcOffset_h} h; ${o.lowestTemperature_degC.toFixed(1)} to ${o.highestTemperature_degC.toFixed(1)} °C. Plane: ${o.tilt_deg}° towards ${o.azimuth_deg}°.`,
  );
  say();
  for (const line of table(
    ['kWh/m² a day', 'global', 'diffuse', 'on plane', 'air °C', 'wind m/s'],
    o.poa_kWh_m2_day.map((poa, m) => [
      MONTHS_SHORT[m]!,
      o.ghi_kWh_m2_day[m]!.toFixed(2),
      o.dhi_kWh_m2_day[m]!.toFixed(2),
      poa.toFixed(2),
      o.temperature_degC[m]!.toFixed(1),
      o.wind_m_s[m]!.toFixed(1),
    ]),
  ))
    say(line);
  sayNotes(o.notes, 'About the weather file');
  sayAssumptions(o.assumptions);
}

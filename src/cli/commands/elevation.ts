import type { Command } from 'commander';
import { number, withExample, withJson } from '../options.ts';
import { sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

export function registerElevation(program: Command): void {
  const command = program
    .command('elevation')
    .summary('height of the ground at a place')
    .description('Height above sea level from terrain files, interpolated between the four samples around the place.')
    .argument('<lat>', 'latitude, degrees, north positive', number)
    .argument('<lon>', 'longitude, degrees, east positive', number);
  withExample(withJson(withTerrain(command)), 'sunperch elevation 46.4 10.2 --terrain terrain/');
  command.action(async (lat: number, lon: number, options: TerrainArguments & { readonly json?: boolean }) => {
    const { elevation } = await import('../../app/elevation.ts');
    const { checkOptions } = await import('../../app/option-limits.ts');
    const place = { latitude_deg: lat, longitude_deg: lon };
    // A place that cannot be is told before any terrain is opened.
    checkOptions(place);
    const outcome = await elevation(place, await terrainOf(options));
    if (options.json) {
      sayJson(outcome);
      return;
    }
    sayFolded(
      outcome.height_m === null
        ? `No height there. ${outcome.reason}`
        : `The ground lies ${outcome.height_m.toFixed(1)} m above the sea at ${lat}, ${lon}.`,
    );
    sayNotes(outcome.notes, 'Of the terrain');
  });
}

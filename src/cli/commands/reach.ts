import type { Command } from 'commander';
import type { SightOutcome } from '../../app/sight.ts';
import { number, withExample, withJson } from '../options.ts';
import { percent, sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface ReachOptions extends TerrainArguments {
  readonly lat: number;
  readonly lon: number;
  readonly height: number;
  readonly targetHeight: number;
  readonly radius: number;
  readonly radiusFactor?: number;
  readonly sightOnly?: boolean;
  readonly out?: string;
  readonly json?: boolean;
}

export function registerReach(program: Command): void {
  const command = program
    .command('reach')
    .summary('what a place reaches')
    .description('Which ground around a place is in line of sight of an antenna there, on the cells of the terrain.')
    .requiredOption('--lat <deg>', 'latitude, degrees, north positive', number)
    .requiredOption('--lon <deg>', 'longitude, degrees, east positive', number)
    .option('--height <m>', 'antenna above the ground, m', number, 10)
    .option('--target-height <m>', 'other end above the ground, m', number, 2)
    .option('--radius <km>', 'how far to look, km', number, 15)
    .option('--radius-factor <k>', 'effective Earth radius over the real one (default 4/3, radio)', number)
    .requiredOption('--sight-only', 'line of sight, without diffraction and link budget')
    .option('--out <file.tif>', 'write a GeoTIFF: 0 hidden, 1 visible, 2 out of range');
  withExample(
    withJson(withTerrain(command)),
    'sunperch reach --lat 46.4 --lon 10.2 --height 10 --radius 8 --terrain terrain/ --sight-only --out sight.tif',
  );
  command.action(async (options: ReachOptions) => {
    const { sight } = await import('../../app/sight.ts');
    const outcome = await sight(
      {
        latitude_deg: options.lat,
        longitude_deg: options.lon,
        height_m: options.height,
        targetHeight_m: options.targetHeight,
        radius_km: options.radius,
        radiusFactor: options.radiusFactor,
      },
      await terrainOf(options),
    );
    if (options.out !== undefined) await writeRaster(options.out, outcome);
    const { raster: _, ...told } = outcome;
    if (options.json) sayJson(told);
    else print(options, outcome);
  });
}

async function writeRaster(file: string, { frame, raster }: SightOutcome): Promise<void> {
  const [{ writeGeotiff }, { writeWhole }] = await Promise.all([
    import('../../formats/geotiff-writer.ts'),
    import('../../host/files.ts'),
  ]);
  await writeWhole(file, writeGeotiff(frame, raster));
}

function print(options: ReachOptions, o: SightOutcome): void {
  sayFolded(
    `In line of sight of an antenna ${options.height} m above the ground (${o.place.ground_m.toFixed(0)} m above the sea) lies ${percent(o.visibleShare)} of the ground within ${options.radius} km: ${o.cellsVisible} of ${o.cellsInRange} cells, about ${o.visibleArea_km2.toPrecision(3)} km².`,
  );
  if (options.out !== undefined) sayFolded(`Written to ${options.out}.`);
  sayNotes(o.notes, 'To know');
}

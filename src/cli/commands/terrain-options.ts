import { type Command, Option } from 'commander';
import type { Terrain } from '../../formats/terrain.ts';
import { whole } from '../options.ts';
import type { TerrainPlace } from '../terrain-place.ts';

export interface TerrainArguments {
  readonly terrain: string;
  readonly terrainProjection?: string;
  readonly terrainEncoding?: 'tenths' | 'offset';
  readonly terrainZoom?: number;
  readonly terrainCache?: string;
}

/** Adds the options that say where heights come from; a command that can do without them says so. */
export function withTerrain(command: Command, need: 'mandatory' | 'optional' = 'mandatory'): Command {
  return command
    .addOption(
      new Option(
        '--terrain <dir|file|url>',
        'heights: folder or file of .hgt, GeoTIFF or z/x/y.png tiles, or a URL with {z}, {x} and {y}, which is fetched',
      ).makeOptionMandatory(need === 'mandatory'),
    )
    .option('--terrain-projection <name>', 'of GeoTIFF files that do not tell theirs: EPSG:32632 or +proj=...')
    .addOption(
      new Option(
        '--terrain-encoding <name>',
        'of picture tiles: tenths (-10000 + 0.1 RGB) or offset (256 R + G + B/256 - 32768); found out by itself',
      ).choices(['tenths', 'offset']),
    )
    .option('--terrain-zoom <n>', 'zoom level that a URL is asked for (default 12)', whole(0))
    .option('--terrain-cache <dir>', 'where fetched tiles are kept (default: the cache folder of your account)');
}

/** What the options name. */
export function terrainPlace(options: TerrainArguments): Extract<TerrainPlace, { kind: 'named' }> {
  const { terrainProjection: projection, terrainEncoding: encoding, terrainZoom: zoom, terrainCache: cache } = options;
  return { kind: 'named', name: options.terrain, options: { projection, encoding, zoom, cache } };
}

/** Opens what the options name. */
export async function terrainOf(options: TerrainArguments): Promise<Terrain> {
  const { openTerrain } = await import('../../host/terrain-store.ts');
  const { name, options: own } = terrainPlace(options);
  return openTerrain(name, own);
}

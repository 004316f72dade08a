import type { Command } from 'commander';
import { aroundTexts } from '../../app/cover-words.ts';
import type { FindOutcome } from '../../app/find.ts';
import { gather, number, whole, withExample, withJson, withSpread } from '../options.ts';
import { percent, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { withPortsOf } from '../wiring.ts';
import { type CoverArguments, coverRequest, sayAround, withAround, withCover } from './cover-options.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface FindOptions extends TerrainArguments, Omit<CoverArguments, 'measured'> {
  readonly area: string;
  readonly n: number;
  readonly kit: string;
  readonly to?: string;
  readonly set?: string[];
  readonly places?: string;
  readonly paths?: string;
  readonly pathWithin?: number;
  readonly height?: number;
  readonly targetHeight?: number;
  readonly odds?: number;
  readonly apart?: number;
  readonly judged?: number;
  readonly spread?: boolean;
  readonly json?: boolean;
}

export function registerFind(program: Command): void {
  const command = program
    .command('find')
    .summary('searches the terrain for perches, and the best set of them')
    .description(
      'Searches the terrain for spots with a wide view, winter sun and a path nearby, and chooses the set that covers the given places, or the area, best; tells how far it may be from the best choice.',
    )
    .requiredOption('--area <lat,lon,km|file>', 'where to search: middle and radius in km, or GeoJSON polygons')
    .requiredOption('--kit <file>', 'kit at the perches')
    .option('--n <count>', 'how many perches', whole(1), 3)
    .option('--to <kit>', 'whom they are to reach: hand-held, or a kit file (default hand-held)')
    .option('--set <field=value>', 'overrides a field of the kit; may be repeated', gather)
    .option('--places <file>', 'places to be covered (default: the area by line of sight)')
    .option('--paths <file>', 'GeoJSON lines along which one gets there: only spots near them')
    .option('--path-within <km>', 'how near to a path, km (default 0.3)', number)
    .option('--height <m>', 'antenna above the ground, m (default 4)', number)
    .option('--target-height <m>', 'other end above the ground, m (default 1.5)', number)
    .option('--odds <share>', 'a place counts when reached with these odds (default 0.9)', number)
    .option('--apart <km>', 'least distance between the perches, km (default 1)', number)
    .option('--judged <count>', 'spots judged in full (default 60)', whole(1));
  withExample(
    withJson(withSpread(withTerrain(withCover(withAround(command))))),
    'sunperch find --area 46.41,10.2,8 --n 3 --kit examples/alder-3.yaml --places examples/ossel-places.csv --paths examples/ossel-paths.geojson --terrain terrain/',
  );
  command.action(async (options: FindOptions) => {
    await withPortsOf(options, async (ports) => {
      const { find } = await import('../../app/find.ts');
      const outcome = await find(
        ports,
        {
          area: options.area,
          count: options.n,
          kit: options.kit,
          toKit: options.to === 'hand-held' ? undefined : options.to,
          set: options.set,
          places: options.places,
          paths: options.paths,
          pathWithin_km: options.pathWithin,
          height_m: options.height,
          targetHeight_m: options.targetHeight,
          odds: options.odds,
          apart_km: options.apart,
          judged: options.judged,
          ...coverRequest(options),
          solver: await findSolver(),
        },
        await terrainOf(options),
      );
      if (options.json) sayJson(outcome);
      else print(outcome);
    });
  });
}

/** The solver's program: beside the bundle, or in the package. */
async function findSolver(): Promise<string> {
  const [{ existsSync }, { fileURLToPath }] = await Promise.all([import('node:fs'), import('node:url')]);
  const beside = fileURLToPath(new URL('./highs.wasm', import.meta.url));
  return existsSync(beside) ? beside : fileURLToPath(import.meta.resolve('highs/runtime'));
}

function print(o: FindOutcome): void {
  sayFolded(o.verdict);
  say();
  for (const line of table(
    ['spot', 'latitude °', 'longitude °', 'ground m', 'view', 'places', 'sun h/day', 'kWh/m²', 'path km'],
    o.chosen.map((c) => [
      c.name,
      c.latitude_deg.toFixed(5),
      c.longitude_deg.toFixed(5),
      c.ground_m.toFixed(0),
      percent(c.openShare),
      o.goal === 'places' ? String(c.places.length) : '–',
      c.winter.visible_h.toFixed(1),
      c.winter.light_kWh_m2.toFixed(0),
      c.path_km === null ? '–' : c.path_km.toFixed(2),
    ]),
  ))
    say(line);
  if (o.goal === 'places')
    sayNotes(
      o.chosen.map((c) => `${c.name}: ${c.places.length === 0 ? 'none' : c.places.join(', ')}.`),
      'Places covered',
    );
  if (o.missed.length > 0) sayNotes([`${o.missed.join(', ')}.`], 'Places that none of them covers');
  sayNotes(
    o.chosen.flatMap((c, i) =>
      c.links
        .filter((l) => o.chosen.findIndex((x) => x.name === l.name) > i)
        .map((l) => `${c.name} to ${l.name}: ${l.margin_dB.toFixed(0)} dB of margin, odds ${percent(l.odds)}.`),
    ),
    'Among themselves',
  );
  say();
  sayFolded(
    `${o.searched} spots looked at, ${o.judged} judged in full; covered ${o.covered} of ${o.targets}, at most ${o.bound} can be: optimality gap ${percent(o.gap)}.`,
  );
  sayAround(aroundTexts(o));
  sayNotes(o.notes, 'Of the terrain');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

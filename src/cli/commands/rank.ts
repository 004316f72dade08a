import type { Command } from 'commander';
import { aroundTexts } from '../../app/cover-words.ts';
import type { RankOutcome } from '../../app/rank.ts';
import { gather, number, withExample, withJson, withSpread } from '../options.ts';
import { percent, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { withPortsOf } from '../wiring.ts';
import { type CoverArguments, coverRequest, sayAround, withAround, withCover, withMeasured } from './cover-options.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface RankOptions extends TerrainArguments, CoverArguments {
  readonly area: string;
  readonly kit: string;
  readonly to?: string;
  readonly set?: string[];
  readonly places?: string;
  readonly perches?: string;
  readonly height?: number;
  readonly targetHeight?: number;
  readonly spread?: boolean;
  readonly json?: boolean;
}

export function registerRank(program: Command): void {
  const command = program
    .command('rank')
    .summary('which of some spots is the best perch, for radio and winter sun')
    .description(
      'For each candidate: area and places reached, perches in clear sight, height over them, winter sun behind its skyline, the role that it earns; and which candidates no other beats. No single score.',
    )
    .argument(
      '<candidates>',
      'spots with names: GeoJSON, CSV (name,latitude_deg,longitude_deg,height_m,access) or YAML',
    )
    .requiredOption('--area <lat,lon,km|file>', 'area to be served: middle and radius in km, or GeoJSON polygons')
    .requiredOption('--kit <file>', 'kit at the candidates')
    .option('--to <kit>', 'whom they are to reach: hand-held, or a kit file (default hand-held)')
    .option('--set <field=value>', 'overrides a field of the kit; may be repeated', gather)
    .option('--places <file>', 'places to be reached')
    .option('--perches <file>', 'perches that stand already (default: the other candidates)')
    .option('--height <m>', 'antenna above the ground where a candidate does not tell, m (default 4)', number)
    .option('--target-height <m>', 'other end above the ground, m (default 1.5)', number);
  withExample(
    withJson(withSpread(withTerrain(withCover(withAround(withMeasured(command)))))),
    'sunperch rank examples/ossel-candidates.yaml --area 46.41,10.2,8 --kit examples/alder-3.yaml --places examples/ossel-places.csv --terrain terrain/',
  );
  command.action(async (candidates: string, options: RankOptions) => {
    await withPortsOf(options, async (ports) => {
      const { rank } = await import('../../app/rank.ts');
      const outcome = await rank(
        ports,
        {
          candidates,
          area: options.area,
          kit: options.kit,
          toKit: options.to === 'hand-held' ? undefined : options.to,
          set: options.set,
          places: options.places,
          perches: options.perches,
          height_m: options.height,
          targetHeight_m: options.targetHeight,
          ...coverRequest(options),
        },
        await terrainOf(options),
      );
      if (options.json) sayJson(outcome);
      else print(outcome);
    });
  });
}

function print(o: RankOutcome): void {
  sayFolded(o.verdict);
  say();
  const places = o.candidates[0]!.placesReached.length + o.candidates[0]!.placesMissed.length;
  for (const line of table(
    ['candidate', 'front', 'area', 'km²', 'places', 'in sight', 'above m', 'sun h/day', 'kWh/m²', 'role'],
    o.candidates.map((c) => [
      c.name,
      c.onFront ? '◆' : '',
      percent(c.reachedShare),
      c.reached_km2.toFixed(0),
      places > 0 ? `${c.placesReached.length} of ${places}` : '–',
      String(c.clearSight),
      c.advantage_m === null ? '–' : c.advantage_m.toFixed(0),
      c.winter.visible_h.toFixed(1),
      c.winter.light_kWh_m2.toFixed(0),
      c.role,
    ]),
    [0, 1, 9],
  ))
    say(line);
  say();
  sayFolded(
    '◆ no other candidate is as good in everything and better in something: area, places, perches in clear sight, winter sun in hours and in kWh/m².',
  );
  sayNotes(
    o.candidates.map(
      (c) => `${c.name}: ${c.role}, for ${c.roleReason}.${c.access === null ? '' : ` Access: ${c.access}.`}`,
    ),
    'Roles (most nodes should be ordinary relays: common practice)',
  );
  sayNotes(
    o.candidates.filter((c) => c.placesMissed.length > 0).map((c) => `${c.name}: ${c.placesMissed.join(', ')}.`),
    'Places not reached',
  );
  sayAround(aroundTexts(o));
  sayNotes(o.notes, 'Of the terrain');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

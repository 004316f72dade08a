import type { Command } from 'commander';
import { aroundTexts } from '../../app/cover-words.ts';
import type { HorizonOutcome } from '../../app/horizon.ts';
import { gather, number, withExample, withJson } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { MONTHS_SHORT, percent, say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';
import { sayAround, withCover } from './cover-options.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface HorizonOptions extends TerrainArguments {
  readonly others?: string[];
  readonly net?: string;
  readonly kit?: string;
  readonly set?: string[];
  readonly height?: number;
  readonly radius?: number;
  readonly cover?: string;
  readonly svg?: string;
  readonly yaml?: boolean;
  readonly json?: boolean;
}

export function registerHorizon(program: Command): void {
  const command = program
    .command('horizon')
    .summary('the skyline of a perch: what it takes of the sun, and whom it lets through')
    .description(
      'The panorama of a perch from the terrain: the skyline, the hours of sun that it hides month by month, and every other perch at its bearing: clear, grazing or blocked.',
    )
    .argument('<perch>', 'perch file, or LAT,LON[,HEIGHT]')
    .option('--others <perch...>', 'other perches, files or LAT,LON[,HEIGHT]')
    .option('--net <file>', 'net file; its perches stand beside it as KEY.yaml')
    .option('--kit <file>', 'kit at all of them (default: a hand-held)')
    .option('--set <field=value>', 'overrides a field of kit or perch; may be repeated', gather)
    .option('--height <m>', 'antenna above the ground, m (default: of the perch file)', number)
    .option('--radius <km>', 'how far the ground is looked at, km (default 20)', number)
    .option('--svg <file>', 'write the panorama as SVG')
    .option('--yaml', 'print the skyline as it stands in a perch file');
  withExample(
    withJson(withTerrain(withCover(command))),
    'sunperch horizon examples/hut-kaldra.yaml --others examples/rescue-post.yaml --kit examples/alder-3.yaml --terrain terrain/ --svg out/panorama.svg',
    'sunperch horizon 46.43,10.18,5 --terrain terrain/ --yaml',
  );
  command.action(async (perch: string, options: HorizonOptions) => {
    await checkOutputs({ '--svg': options.svg });
    await withPorts(async (ports) => {
      const { horizon } = await import('../../app/horizon.ts');
      const { others, net, kit, set } = options;
      const { outcome, panorama: input } = await horizon(
        ports,
        { perch, others, net, kit, set, height_m: options.height, radius_km: options.radius, cover: options.cover },
        await terrainOf(options),
      );
      if (options.svg !== undefined) {
        const [{ panorama }, { writeWhole }] = await Promise.all([
          import('../../report/panorama.ts'),
          import('../../host/files.ts'),
        ]);
        await writeWhole(options.svg, panorama(input, { width: 980 }));
      }
      if (options.json) sayJson(outcome);
      else if (options.yaml) printYaml(outcome);
      else print(outcome, options.svg);
    });
  });
}

function printYaml(o: HorizonOutcome): void {
  say('horizon:');
  for (const { azimuth_deg, elevation_deg } of o.horizon)
    say(`  - { azimuth_deg: ${azimuth_deg}, elevation_deg: ${elevation_deg} }`);
}

function print(o: HorizonOutcome, svg: string | undefined): void {
  sayFolded(o.verdict);
  sayFolded(
    `Highest: ${o.highest.elevation_deg.toFixed(1)}° at azimuth ${o.highest.azimuth_deg.toFixed(0)}°, ${o.highest.distance_km.toFixed(1)} km away.`,
  );
  say();
  for (const line of table(
    ['15th of', 'sun h', 'seen h', 'hidden h'],
    o.months.map((m) => [MONTHS_SHORT[m.month - 1]!, m.open_h.toFixed(1), m.visible_h.toFixed(1), m.lost_h.toFixed(1)]),
  ))
    say(line);
  if (o.others.length > 0) {
    say();
    for (const line of table(
      ['perch', 'km', 'azimuth °', 'elevation °', 'margin dB', 'odds', 'sight'],
      o.others.map((p) => [
        p.name,
        p.distance_km.toFixed(1),
        p.azimuth_deg.toFixed(0),
        p.elevation_deg.toFixed(1),
        p.margin_dB.toFixed(1),
        percent(p.odds),
        p.sight,
      ]),
      [0, 6],
    ))
      say(line);
  }
  if (svg !== undefined) sayFolded(`Written to ${svg}.`);
  sayAround(aroundTexts(o));
  sayNotes(o.notes, 'Of the terrain');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

import type { Command } from 'commander';
import { aroundTexts } from '../../app/cover-words.ts';
import type { Ports } from '../../app/ports.ts';
import type { Reach, ReachOutcome } from '../../app/reach.ts';
import type { SightOutcome } from '../../app/sight.ts';
import { userError } from '../../core/units/index.ts';
import { gather, number, withExample, withJson, withSpread } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { percent, say, sayJson, table } from '../print.ts';
import { checkReport, type ReportArguments, withPaper, writeReport } from '../report-file.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { sayUnit, type UnitOptions, unitOf, withUnitOption } from '../unit-of.ts';
import { withPorts, withPortsOf } from '../wiring.ts';
import {
  type CoverArguments,
  coverRequest,
  refuseWithSight,
  sayAround,
  withAround,
  withCover,
  withMeasured,
} from './cover-options.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface ReachOptions extends TerrainArguments, CoverArguments, ReportArguments, UnitOptions {
  readonly lat?: number;
  readonly lon?: number;
  readonly height?: number;
  readonly targetHeight?: number;
  readonly radius: number;
  readonly radiusFactor?: number;
  readonly sightOnly?: boolean;
  readonly kit?: string;
  readonly to?: string;
  readonly set?: string[];
  readonly places?: string;
  readonly clutter?: number;
  readonly fadeMargin?: number;
  readonly out?: string;
  readonly png?: string;
  readonly geojson?: string;
  readonly candidates?: string;
  readonly region?: string;
  readonly spread?: boolean;
  readonly json?: boolean;
}

export function registerReach(program: Command): void {
  const command = program
    .command('reach')
    .summary('whom a perch reaches: margin on the ground around it')
    .description(
      'Link margin on all the ground around a perch, in sight and over edges, and the named places that it reaches; with --sight-only which ground is in line of sight.',
    )
    .argument('[perch]', 'perch file, or LAT,LON[,HEIGHT]')
    .option('--lat <deg>', 'in place of a perch: latitude, degrees, north positive', number)
    .option('--lon <deg>', 'in place of a perch: longitude, degrees, east positive', number)
    .option('--kit <file>', 'kit at the perch (default: a hand-held)')
    .option('--to <kit>', 'other end: hand-held, or a kit file (default hand-held)')
    .option('--set <field=value>', 'overrides a field of kit or perch; may be repeated', gather)
    .option('--height <m>', 'antenna above the ground, m (default: of the perch file; 10 with --sight-only)', number)
    .option('--target-height <m>', 'other end above the ground, m (default 1.5; 2 with --sight-only)', number)
    .option('--radius <km>', 'how far to look, km', number, 15)
    .option('--radius-factor <k>', 'effective Earth radius over the real one (default 4/3, radio)', number)
    .option('--places <file>', 'named places to be reached: GeoJSON, CSV or YAML')
    .option('--clutter <m>', 'height of woods or houses on the ground between the ends, m (default none)', number)
    .option('--fade-margin <dB>', 'set aside for fading, dB (default 0)', number)
    .option('--sight-only', 'line of sight, without diffraction and link budget')
    .option('--out <file.tif>', 'write a GeoTIFF: margin in dB; with --sight-only 0 hidden, 1 visible, 2 out of range')
    .option('--png <file.png>', 'write a picture of the margin, with its key')
    .option('--geojson <file>', 'write contours of 0, 10 and 20 dB of margin')
    .option('--report <file>', 'write the report: an HTML page, or a PDF when the name ends in .pdf')
    .option('--candidates <file>', 'other perches, for the role among them: GeoJSON, CSV or YAML')
    .option('--region <code>', 'holds both ends against the legal limits of US, EU, UK, AU, NZ, JP or IN');
  withExample(
    withJson(
      withSpread(
        withTerrain(withPaper(withCover(withAround(withMeasured(withUnitOption(command, 'in place of --kit')))))),
      ),
    ),
    'sunperch reach examples/hut-kaldra.yaml --kit examples/alder-3.yaml --terrain terrain/ --png out/reach.png',
    'sunperch reach examples/hut-kaldra.yaml --kit examples/alder-3.yaml --terrain terrain/ --places examples/ossel-places.csv --candidates examples/ossel-candidates.yaml --region EU --report out/reach.html',
    'sunperch reach examples/hut-kaldra.yaml --kit examples/alder-3.yaml --terrain terrain/ --cover examples/ossel-cover.geojson --indoors',
    'sunperch reach --lat 46.4 --lon 10.2 --height 10 --radius 8 --terrain terrain/ --sight-only --out sight.tif',
  );
  command.action(async (perch: string | undefined, options: ReachOptions) => {
    if (options.sightOnly && options.report !== undefined)
      throw userError(
        'reach.report',
        '--report tells of margins, and --sight-only computes none: leave one of them out',
        {
          field: '--report',
        },
      );
    if (options.unit !== undefined && options.kit !== undefined)
      command.error('error: --unit stands in place of --kit: leave one of them out.');
    for (const name of ['png', 'geojson', 'candidates', 'region', 'places', 'unit'] as const)
      if (options.sightOnly && options[name] !== undefined)
        throw userError(
          'reach.sight',
          `--${name} is about links, and --sight-only computes none: leave one of them out`,
          {
            field: `--${name}`,
          },
        );
    if (options.sightOnly) refuseWithSight(options);
    if (options.sightOnly) await runSight(perch, options);
    else await runReach(perch, options);
  });
}

/** The perch, or the position that stands in its place. */
function spotOf(perch: string | undefined, { lat, lon }: ReachOptions): string {
  if (perch !== undefined && lat === undefined && lon === undefined) return perch;
  if (perch === undefined && lat !== undefined && lon !== undefined) return `${lat},${lon}`;
  throw userError(
    'reach.place',
    perch === undefined
      ? 'no place is named: give a perch file, LAT,LON[,HEIGHT], or both --lat and --lon'
      : 'a perch and --lat or --lon are given: one place is wanted',
  );
}

async function runSight(perch: string | undefined, options: ReachOptions): Promise<void> {
  const [{ sight }, { parsePosition }, { readPerchFile }] = await Promise.all([
    import('../../app/sight.ts'),
    import('../../app/path-ends.ts'),
    import('../../app/inputs.ts'),
  ]);
  await checkOutputs({ '--out': options.out });
  await withPorts(async (ports) => {
    const spot = spotOf(perch, options);
    const told = parsePosition(spot);
    const file = told === undefined ? await readPerchFile(ports, spot) : undefined;
    const place = told ?? file!.plan.place;
    const height_m = options.height ?? told?.height_m ?? file?.perch.height_m ?? 10;
    const outcome = await sight(
      {
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        height_m,
        targetHeight_m: options.targetHeight ?? 2,
        radius_km: options.radius,
        radiusFactor: options.radiusFactor,
      },
      await terrainOf(options),
    );
    if (options.out !== undefined) await writeSight(options.out, outcome);
    const { raster: _, ...plain } = outcome;
    if (options.json) sayJson(plain);
    else printSight(options, height_m, outcome);
  });
}

async function writeSight(file: string, { frame, raster }: SightOutcome): Promise<void> {
  const [{ writeGeotiff }, { writeWhole }] = await Promise.all([
    import('../../formats/geotiff-writer.ts'),
    import('../../host/files.ts'),
  ]);
  await writeWhole(file, writeGeotiff(frame, raster));
}

function printSight(options: ReachOptions, height_m: number, o: SightOutcome): void {
  sayFolded(
    `In line of sight of an antenna ${height_m} m above the ground (${o.place.ground_m.toFixed(0)} m above the sea) lies ${percent(o.visibleShare)} of the ground within ${options.radius} km: ${o.cellsVisible} of ${o.cellsInRange} cells, about ${o.visibleArea_km2.toPrecision(3)} km².`,
  );
  if (options.out !== undefined) sayFolded(`Written to ${options.out}.`);
  sayNotes(o.notes, 'To know');
}

async function runReach(perch: string | undefined, options: ReachOptions): Promise<void> {
  const { out, png, geojson, report } = options;
  await checkOutputs({ '--out': out, '--png': png, '--geojson': geojson, '--report': report });
  await checkReport(options);
  await withPortsOf(options, async (real) => {
    const { reach } = await import('../../app/reach.ts');
    const own = options.unit === undefined ? undefined : await unitOf(real, options.unit, options);
    const ports = own?.ports ?? real;
    const found = await reach(
      ports,
      {
        perch: spotOf(perch, options),
        kit: own?.kit ?? options.kit,
        toKit: options.to === 'hand-held' ? undefined : options.to,
        set: options.set,
        radius_km: options.radius,
        height_m: options.height,
        targetHeight_m: options.targetHeight,
        clutter_m: options.clutter,
        ...coverRequest(options),
        fadeMargin_dB: options.fadeMargin,
        radiusFactor: options.radiusFactor,
        places: options.places,
        candidates: options.candidates,
        region: options.region,
        contours: options.geojson !== undefined,
      },
      await terrainOf(options),
    );
    const result =
      own === undefined
        ? found
        : { ...found, outcome: (await import('../../app/bench/unit-kit.ts')).ofUnit(found.outcome, own.unit) };
    const files = await writeFiles(result, options);
    if (options.report !== undefined) {
      await writeReachReport(ports, spotOf(perch, options), result, options);
      files.push(options.report);
    }
    if (options.json) sayJson({ ...result.outcome, files });
    else {
      printReach(result.outcome, files);
      if (own !== undefined) sayUnit(own.unit.told);
    }
  });
}

async function writeFiles(result: Reach, options: ReachOptions): Promise<string[]> {
  const { writeWhole } = await import('../../host/files.ts');
  const files: string[] = [];
  if (options.out !== undefined) {
    const { writeGeotiff } = await import('../../formats/geotiff-writer.ts');
    const { height_m: _, ...frame } = result.ground.located.grid;
    await writeWhole(options.out, writeGeotiff(frame, result.field.margin_dB, Number.NaN));
    files.push(options.out);
  }
  if (options.png !== undefined) {
    const [{ byNeed, markOf }, { encodePng }, { reachPicture }] = await Promise.all([
      import('../../app/reach-marks.ts'),
      import('../../formats/png.ts'),
      import('../../report/reach-image.ts'),
    ]);
    const { perch, places } = result.outcome;
    const marks = { perch, places: byNeed(places).map((p) => markOf(result, p)) };
    await writeWhole(options.png, encodePng(reachPicture(result.field, 1000, marks)));
    files.push(options.png);
  }
  if (options.geojson !== undefined) {
    await writeWhole(options.geojson, `${JSON.stringify(result.contours)}\n`);
    files.push(options.geojson);
  }
  return files;
}

async function writeReachReport(ports: Ports, perch: string, result: Reach, options: ReachOptions): Promise<void> {
  const [{ reachReport }, { reachPageOf }] = await Promise.all([
    import('../../app/reach-report.ts'),
    import('../../app/reach-document.ts'),
  ]);
  const { kit, set, height, candidates, to, places, cover } = options;
  const report = await reachReport(ports, { perch, kit, set, height_m: height }, result, await terrainOf(options));
  // A URL may hold a key.
  const terrain = /^[a-z]+:\/\//i.test(options.terrain) ? undefined : options.terrain;
  const made = [perch, kit, to === 'hand-held' ? undefined : to, places, candidates, cover, terrain];
  const page = reachPageOf(
    report,
    result,
    made.filter((m): m is string => typeof m === 'string'),
  );
  await writeReport(page, options);
}

function printReach(o: ReachOutcome, files: readonly string[]): void {
  sayFolded(o.verdict);
  say();
  const share = (v: number) => percent(v);
  for (const line of table(
    ['of the ground within the radius', 'share'],
    [
      ['reached', share(o.share.reached)],
      ['  of it in line of sight', share(o.share.inSight)],
      ['  of it over edges', share(o.share.overEdges)],
      ['with 10 dB to spare', share(o.share.margin10)],
      ['with 20 dB to spare', share(o.share.margin20)],
      ['reached with odds of 90 % or better', share(o.share.sure)],
      ['in line of sight, reached or not', share(o.share.sight)],
    ],
  ))
    say(line);
  say();
  sayFolded(
    `${o.setting} at ${o.frequency_MHz} MHz; at most ${o.mostLoss_dB.there.toFixed(1)} dB may be lost there and ${o.mostLoss_dB.back.toFixed(1)} dB back, the antennas level. Farthest ground reached: ${o.farthest_km.toFixed(1)} km.`,
  );
  if (o.places.length > 0) {
    say();
    for (const line of table(
      ['place', 'km', 'azimuth °', 'margin dB', 'odds', 'way', 'reached'],
      o.places.map((p) => [
        p.name,
        p.distance_km.toFixed(1),
        p.azimuth_deg.toFixed(0),
        p.margin_dB.toFixed(1),
        percent(p.odds),
        p.sight,
        p.reached ? 'yes' : 'no',
      ]),
      [0, 5, 6],
    ))
      say(line);
  }
  if (o.role !== null) {
    say();
    sayFolded(`Role: ${o.role.role}, for ${o.role.reason}. Most nodes should be ordinary relays (common practice).`);
    for (const line of table(
      ['other perch', 'km', 'margin dB', 'odds', 'way'],
      o.role.links.map((l) => [l.name, l.distance_km.toFixed(1), l.margin_dB.toFixed(1), percent(l.odds), l.sight]),
      [0, 4],
    ))
      say(line);
  }
  sayNotes(o.limits?.lines.map((l) => `${l.end}: ${l.text}`) ?? [], `Legal limits, ${o.limits?.region}`);
  sayAround(aroundTexts(o));
  sayNotes(
    o.skipped.map((s) => `${s.name}: ${s.reason}.`),
    'Not judged',
  );
  for (const file of files) sayFolded(`Written to ${file}.`);
  sayNotes(o.notes, 'Of the terrain');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

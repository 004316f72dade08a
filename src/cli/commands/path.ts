import { type Command, InvalidArgumentError, Option } from 'commander';
import { coverText, measuredText } from '../../app/cover-words.ts';
import type { PathLossOutcome } from '../../app/path.ts';
import type { LinkOutcome } from '../../app/path-between.ts';
import { gather, number, whole, withExample, withJson } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayCautions, sayFolded, sayNotes } from '../tail.ts';
import { sayUnit, type UnitOptions, unitOf, withUnitOption } from '../unit-of.ts';
import { withPorts } from '../wiring.ts';
import { withCover } from './cover-options.ts';
import { type TerrainArguments, terrainOf, withTerrain } from './terrain-options.ts';

interface PathOptions extends Partial<TerrainArguments>, UnitOptions {
  readonly profile?: string;
  readonly frequency?: number;
  readonly fromHeight?: number;
  readonly toHeight?: number;
  readonly method?: 'p1812' | 'delta-bullington';
  readonly time?: number;
  readonly locations?: number;
  readonly lat?: number;
  readonly deltaN?: number;
  readonly n0?: number;
  readonly polarization?: 'vertical' | 'horizontal';
  readonly square?: number;
  readonly effectiveRadius?: number;
  readonly kitA?: string;
  readonly kitB?: string;
  readonly set?: string[];
  readonly setA?: string[];
  readonly setB?: string[];
  readonly indoors?: 'traditional' | 'efficient' | true;
  readonly woods?: number;
  readonly clutter?: string;
  readonly cover?: string;
  readonly end?: 'a' | 'b';
  readonly fadeMargin?: number;
  readonly spread?: number;
  readonly odds?: number;
  readonly measured?: string;
  readonly region?: string;
  readonly payload?: number;
  readonly coSitedA?: { eirp_dBm: number; distance_m: number; frequency_MHz: number };
  readonly coSitedB?: { eirp_dBm: number; distance_m: number; frequency_MHz: number };
  readonly svg?: string;
  readonly json?: boolean;
}

/** Options that say nothing about the loss of a profile alone. */
const LINK_ONLY = [
  'terrain',
  'set',
  'setA',
  'setB',
  'indoors',
  'woods',
  'clutter',
  'cover',
  'end',
  'fadeMargin',
  'spread',
  'odds',
  'measured',
  'region',
  'payload',
  'coSitedA',
  'coSitedB',
] as const satisfies readonly (keyof PathOptions)[];

function polarization(text: string): 'vertical' | 'horizontal' {
  const found = (['vertical', 'horizontal'] as const).find(
    (word) => text !== '' && word.startsWith(text.toLowerCase()),
  );
  if (found === undefined) throw new InvalidArgumentError(`'${text}' is not v (vertical) or h (horizontal).`);
  return found;
}

/** `40,15,1800`: e.i.r.p. dBm, distance m, frequency MHz. */
function coSited(text: string): { eirp_dBm: number; distance_m: number; frequency_MHz: number } {
  const parts = text.split(',').map((part) => number(part.trim()));
  if (parts.length !== 3)
    throw new InvalidArgumentError(
      `'${text}': wanted are e.i.r.p. in dBm, distance in m and frequency in MHz, as 40,15,1800.`,
    );
  return { eirp_dBm: parts[0]!, distance_m: parts[1]!, frequency_MHz: parts[2]! };
}

export function registerPath(program: Command): void {
  const command = program
    .command('path')
    .summary('does a link close, with what margin, and what is in the way')
    .description('Link between two places over the real ground; or the loss of one profile.')
    .argument('[a]', 'perch file, or LAT,LON[,HEIGHT] (also 44.3S,168.9E,7)')
    .argument('[b]', 'the other end')
    .option('--profile <file>', 'the ground as CSV: distance_km,height_m[,clutter_m[,zone]]')
    .option('--kit-a <file>', 'kit at A (default: a hand-held at 1.5 m)')
    .option('--kit-b <file>', 'kit at B (default: a hand-held at 1.5 m)')
    .option('--frequency <MHz>', "carrier, MHz (default: the kits')", number)
    .option('--from-height <m>', 'antenna at A above the ground, m', number)
    .option('--to-height <m>', 'antenna at B above the ground, m', number)
    .addOption(
      new Option(
        '--method <name>',
        'p1812: ITU-R P.1812 in full; delta-bullington: free space and diffraction (default p1812)',
      ).choices(['p1812', 'delta-bullington']),
    )
    .option('--time <%>', 'share of time for which the loss is not exceeded, 1 to 50 % (default 50)', number)
    .option('--locations <%>', 'share of places, 1 to 99 %; counts with --square (default 50)', number)
    .option('--lat <deg>', 'latitude of the path, degrees (default: from the places)', number)
    .option('--delta-n <N>', 'fall of refractivity over the lowest kilometre, N-units (default 45)', number)
    .option('--n0 <N>', 'refractivity at sea level, N-units (default 325)', number)
    .option('--polarization <v|h>', 'vertical or horizontal (default vertical)', polarization)
    .option('--square <m>', 'side of the square over which the far end varies, m (default: no spread)', number)
    .option('--effective-radius <km>', "Earth's effective radius for delta-bullington, km (default 8500)", number)
    .option('--set <field=value>', 'overrides a field of both kits and perches; may be repeated', gather)
    .option('--set-a <field=value>', 'the same for end A alone', gather)
    .option('--set-b <field=value>', 'the same for end B alone', gather)
    .addOption(
      new Option('--indoors [kind]', 'one end is inside a building: traditional or efficient (P.2109)').choices([
        'traditional',
        'efficient',
      ]),
    )
    .option('--woods <m>', 'one end stands in a wood, this far from its edge, m (P.833)', number)
    .option('--clutter <kind>', 'one end stands below roofs or trees: town, urban, suburban, woods, … (P.2108)')
    .addOption(
      new Option('--end <a|b>', 'the end that these three are about (default: the hand-held, else b)').choices([
        'a',
        'b',
      ]),
    )
    .option('--fade-margin <dB>', 'set aside for fading, dB (default 0)', number)
    .option('--spread <dB>', 'error of the model, one standard deviation, dB (default 6 clear, 10 obstructed)', number)
    .option('--odds <%>', 'odds from which the link is said to close, % (default 90)', number)
    .option('--measured <file>', 'measured links as CSV: link,snr_dB,date; a link is FROM > TO')
    .option('--region <name>', 'also holds the setting against the limits of US, EU, UK, AU, NZ, JP or IN')
    .option('--payload <bytes>', 'bytes of a message, for its time and energy (default 40)', whole(0))
    .option('--co-sited-a <dBm,m,MHz>', 'a strong transmitter near A: e.i.r.p., distance, frequency', coSited)
    .option('--co-sited-b <dBm,m,MHz>', 'the same near B', coSited)
    .option('--svg <file>', 'also draws the profile');
  withExample(
    withJson(withTerrain(withCover(withUnitOption(command, 'at A, in place of --kit-a')), 'optional')),
    'sunperch path hut.yaml 46.41,10.25 --kit-a kit.yaml --terrain tiles/',
    'sunperch path --profile profile.csv --frequency 868.3 --from-height 5 --to-height 1.5',
    'sunperch path hut.yaml post.yaml --kit-a kit.yaml --kit-b kit.yaml --profile profile.csv --region EU --svg out/path.svg',
  );
  command.action(async (a: string | undefined, b: string | undefined, options: PathOptions) => {
    if (a !== undefined && b === undefined) command.error('error: one end is named: a path has two, A and B.');
    if (options.unit !== undefined && options.kitA !== undefined)
      command.error('error: --unit stands in place of --kit-a: leave one of them out.');
    await checkOutputs({ '--svg': options.svg });
    await withPorts(async (real) => {
      const own = options.unit === undefined ? undefined : await unitOf(real, options.unit, options);
      const ports = own?.ports ?? real;
      const request = {
        a,
        b,
        profile: options.profile,
        terrain: options.terrain === undefined ? undefined : await terrainOf({ ...options, terrain: options.terrain }),
        frequency_MHz: options.frequency,
        fromHeight_m: options.fromHeight,
        toHeight_m: options.toHeight,
        method: options.method,
        time_pct: options.time,
        locations_pct: options.locations,
        latitude_deg: options.lat,
        deltaN: options.deltaN,
        n0: options.n0,
        polarization: options.polarization,
        square_m: options.square,
        effectiveRadius_km: options.effectiveRadius,
        kitA: own?.kit ?? options.kitA,
        kitB: options.kitB,
        set: options.set,
        setA: options.setA,
        setB: options.setB,
        indoors: options.indoors === true ? ('traditional' as const) : options.indoors,
        woods_m: options.woods,
        clutter: options.clutter,
        cover: options.cover,
        end: options.end,
        fade_dB: options.fadeMargin,
        spread_dB: options.spread,
        odds_pct: options.odds,
        measured: options.measured,
        region: options.region,
        payload_bytes: options.payload,
        coSitedA: options.coSitedA,
        coSitedB: options.coSitedB,
      };
      const isLink = a !== undefined || request.kitA !== undefined || options.kitB !== undefined;
      const alone = isLink ? undefined : LINK_ONLY.find((name) => options[name] !== undefined);
      if (alone !== undefined)
        command.error(
          `error: --${alone.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)} is about a link: name two places, or kits with --kit-a and --kit-b.`,
        );
      const { pathLoss } = await import('../../app/path.ts');
      const { pathBetween } = await import('../../app/path-between.ts');
      const { outcome: found, picture } = isLink ? await pathBetween(ports, request) : await pathLoss(ports, request);
      const outcome = own === undefined ? found : (await import('../../app/bench/unit-kit.ts')).ofUnit(found, own.unit);
      if (options.svg !== undefined) {
        const { profileChart } = await import('../../report/index.ts');
        const { writeWhole } = await import('../../host/files.ts');
        await writeWhole(options.svg, profileChart(picture));
      }
      if (options.json) sayJson(outcome);
      else if ('there' in outcome) printLink(outcome);
      else printLoss(outcome);
      if (own !== undefined && !options.json) sayUnit(own.unit.told);
      if (options.svg !== undefined && !options.json) say(`\nPicture: ${options.svg}`);
    });
  });
}

const dB = (value: number) => value.toFixed(1);

/** Likely is not told as certain, nor rare as never. */
const odds = (share: number) => (share > 0.99 ? '>99 %' : share < 0.01 ? '<1 %' : `${Math.round(100 * share)} %`);

function printLoss(o: PathLossOutcome): void {
  sayFolded(o.verdict);
  sayFolded(o.clearance);
  say();
  for (const line of table(
    ['', 'dB'],
    [
      ['loss', o.loss_dB.toFixed(2)],
      ['free space', o.freeSpace_dB.toFixed(2)],
      ['diffraction', o.diffraction_dB.toFixed(2)],
      ...(o.locationSpread_dB > 0 ? [['spread from place to place', o.locationSpread_dB.toFixed(2)]] : []),
    ],
  ))
    say(line);
  sayNotes(o.notes, 'About the profile');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

function printLink(o: LinkOutcome): void {
  sayFolded(o.verdict);
  sayFolded(o.clearance);
  if (o.mastAdvice !== null) sayFolded(o.mastAdvice);
  sayFolded(factorText(o));
  say();
  const row = (name: string, from: LinkOutcome['a'], to: LinkOutcome['a'], way: LinkOutcome['there']) => [
    name,
    dB(from.power_dBm),
    dB(from.gain_dBi),
    dB(to.gain_dBi),
    dB(way.received_dBm),
    dB(to.sensitivity_dBm),
    dB(way.snr_dB),
    dB(way.margin_dB),
    odds(way.odds),
  ];
  for (const line of table(
    ['', 'sent dBm', 'gain dBi', 'and dBi', 'arrives dBm', 'needed dBm', 'SNR dB', 'margin dB', 'odds'],
    [row('A to B', o.a, o.b, o.there), row('B to A', o.b, o.a, o.back)],
  ))
    say(line);
  say();
  const losses: [string, string][] = [
    ['free space', dB(o.freeSpace_dB)],
    ['diffraction', dB(o.diffraction_dB)],
    [`whole path (${o.method})`, dB(o.loss_dB)],
    ...o.extraLosses.map((e): [string, string] => [
      `${e.what}, at ${e.end === 'a' ? o.a.name : o.b.name}`,
      dB(e.loss_dB),
    ]),
    ...(o.polarizationLoss_dB > 0 ? [['crossed polarizations', dB(o.polarizationLoss_dB)] as [string, string]] : []),
    [
      'feeders and mismatch, both ends',
      dB(o.a.feederLoss_dB + o.a.mismatchLoss_dB + o.b.feederLoss_dB + o.b.mismatchLoss_dB),
    ],
    ['spread of all, one standard deviation', dB(o.spread_dB)],
  ];
  for (const line of table(['loss', 'dB'], losses)) say(line);
  say();
  for (const line of table(
    ['spreading factor', 'margin dB', 'odds', 'on the air ms', ''],
    o.spreadingFactors.map((f) => [
      `SF${f.sf}`,
      dB(f.margin_dB),
      odds(f.odds),
      f.timeOnAir_ms.toFixed(0),
      f.closes ? 'closes' : '',
    ]),
    [0, 4],
  ))
    say(line);
  if (o.masts.length > 0) {
    say();
    for (const line of table(
      ['mast higher at', 'by m', 'gains dB', 'margin dB', 'odds'],
      o.masts.map((m) => [
        m.end === 'a' ? o.a.name : m.end === 'b' ? o.b.name : 'both',
        m.raise_m.toFixed(1),
        dB(m.gained_dB),
        dB(m.margin_dB),
        odds(m.odds),
      ]),
    ))
      say(line);
  }
  say();
  sayFolded(
    `A message of ${o.message.payload_bytes} bytes is ${o.message.timeOnAir_ms.toFixed(0)} ms on the air and draws ${o.a.messageEnergy_mJ.toFixed(1)} mJ at A, ${o.b.messageEnergy_mJ.toFixed(1)} mJ at B.`,
  );
  if (o.cover !== null) sayFolded(coverText(o.cover));
  if (o.measured !== null) sayFolded(measuredText(o.measured));
  for (const limit of o.limits) sayFolded(`${limit.end}: ${limit.text}`);
  sayNotes(o.notes, 'Note');
  sayAssumptions(o.assumptions);
  sayCautions(o.cautions);
}

function factorText(o: LinkOutcome): string {
  const wanted = `${Math.round(100 * o.wantedOdds)} %`;
  if (o.closesWith === null) return `No spreading factor up to 12 closes it with odds of ${wanted}.`;
  const row = o.spreadingFactors.find((f) => f.sf === o.closesWith)!;
  return `SF${o.closesWith} is the fastest that closes it with odds of ${wanted}: ${row.timeOnAir_ms.toFixed(0)} ms a message.`;
}

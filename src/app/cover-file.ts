/** A file of ground cover: polygons with a class each, heights and losses where they are told. */
import type { Assumption } from '../core/energy/index.ts';
import { type CoverClass, type CoverKind, OPEN_GROUND } from '../core/terrain/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { FileProblems, parseNumber, shorten } from '../formats/file-problems.ts';
import { type GeoShape, type Ring, readGeoJson } from '../formats/geojson.ts';
import { isFlat, MOST_CROSSED, ringCrossing, ringFault } from '../formats/rings.ts';
import { nearestWord } from '../records/index.ts';

/**
 * Usual height of each class, m: the representative clutter heights of ITU-R P.1812, table 2 (from memory: open and water 0, suburban 10,
 * urban and trees 15, dense urban 20); low plants (crops, scrub, young trees) are a judgement.
 */
export const COVER_HEIGHT_m: Readonly<Record<CoverClass, number>> = {
  open: 0,
  water: 0,
  'low plants': 2,
  houses: 10,
  town: 15,
  'dense town': 20,
  woods: 15,
};
export const COVER_CLASSES = Object.keys(COVER_HEIGHT_m) as CoverClass[];

/** What someone may write for a class. */
const MEANT: Readonly<Record<string, CoverClass>> = {
  forest: 'woods',
  trees: 'woods',
  lake: 'water',
  river: 'water',
  sea: 'water',
  suburb: 'houses',
  suburban: 'houses',
  village: 'houses',
  urban: 'town',
  city: 'dense town',
  meadow: 'open',
  grass: 'open',
  field: 'open',
  rock: 'open',
  rural: 'open',
  crops: 'low plants',
  scrub: 'low plants',
  vines: 'low plants',
};

/** One polygon of the file. */
export interface CoverArea {
  /** Index of the file's kinds. */
  readonly kind: number;
  readonly rings: readonly Ring[];
}

export interface CoverFile {
  readonly file: string;
  readonly features: number;
  /** The first is open ground. */
  readonly kinds: readonly CoverKind[];
  /** Polygons of each kind. */
  readonly counts: readonly number[];
  /** In the order of the file: later ones lie over earlier ones. */
  readonly areas: readonly CoverArea[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

const LIMITS = { height_m: [0, 100, 'the height of trees or houses'], loss_dB: [0, 60, 'a loss'] } as const;
const MOST_KINDS = 255;
/** Pairs of edges looked at for crossings, all rings together. */
const MOST_PAIRS = 20_000_000;

/**
 * Reads ground cover from GeoJSON: Polygon and MultiPolygon features with `class` and, where wanted, `height_m` and `loss_dB`.
 *
 * @throws UserError with the number of the feature for all that is wrong (the first twenty)
 */
export function readCover(text: string, file: string): CoverFile {
  const { shapes } = readGeoJson(text, file);
  const problems = new FileProblems('cover', file);
  const kinds: CoverKind[] = [OPEN_GROUND];
  const counts = [0];
  const areas: CoverArea[] = [];
  const assumed = new Set<CoverClass>();
  let pairs = 0;
  let unseen = 0;
  for (const shape of shapes) {
    if (problems.full) break;
    const say = (code: string, message: string) => problems.add(code, `Feature ${shape.feature}: ${message}`);
    if (shape.kind !== 'polygon') {
      say('shape', `it is a ${shape.kind}: ground cover is told by Polygon or MultiPolygon.`);
      continue;
    }
    const own = kindOf(shape, say);
    if (shape.rings.length === 0) say('ring', 'it has no ring.');
    for (const [i, ring] of shape.rings.entries()) {
      const name = i === 0 ? 'its outer ring' : `hole ${i}`;
      const fault = ringFault(ring);
      if (fault !== null) {
        say('ring', `${name} ${fault}.`);
        continue;
      }
      const looked = ring.length <= MOST_CROSSED && pairs < MOST_PAIRS;
      if (looked) pairs += (ring.length * ring.length) / 2;
      else unseen++;
      const cross = looked ? ringCrossing(ring) : null;
      if (cross !== null)
        say('crossing', `${name} crosses itself at ${cross[0].toFixed(6)}, ${cross[1].toFixed(6)}: untie it there.`);
      else if (isFlat(ring)) say('ring', `${name} encloses no area.`);
    }
    if (own === undefined) continue;
    if (own.assumed) assumed.add(own.kind.cover);
    let at = kinds.findIndex((k) => sameKind(k, own.kind));
    if (at < 0) {
      at = kinds.length;
      kinds.push(own.kind);
      counts.push(0);
    }
    counts[at]!++;
    areas.push({ kind: at, rings: shape.rings });
  }
  if (kinds.length > MOST_KINDS)
    problems.add('many', `The file has ${kinds.length} different classes, heights and losses: at most ${MOST_KINDS}.`);
  if (shapes.length === 0) problems.add('empty', `The file holds no polygon. ${FORM}`);
  if (problems.list.length > 0) throw new UserError(problems.list);
  return {
    file,
    features: new Set(shapes.map((s) => s.feature)).size,
    kinds,
    counts,
    areas,
    notes:
      unseen > 0
        ? [`${unseen} rings of ${file} are so long that they were not looked through for crossings of themselves.`]
        : [],
    assumptions: [
      ...[...assumed].map((cover) => ({
        field: `--cover: height_m of ${cover}`,
        value: `${COVER_HEIGHT_m[cover]} m`,
        why: cover === 'low plants' ? 'judgement' : 'representative height of ITU-R P.1812, table 2 (from memory)',
      })),
      ...(kinds.some((k) => k.height_m > 0 && k.loss_dB === undefined)
        ? [
            {
              field: '--cover: loss at an end',
              value: 'ITU-R P.833 in woods, P.2108 in other cover',
              why: 'the antenna is below the top of what it stands in; that stretch is then no obstacle besides',
            },
          ]
        : []),
    ],
  };
}

const FORM = `Wanted are Polygon or MultiPolygon features with the property class: ${COVER_CLASSES.join(', ')}; height_m and loss_dB where they are known.`;

const sameKind = (a: CoverKind, b: CoverKind) =>
  a.cover === b.cover && a.height_m === b.height_m && a.loss_dB === b.loss_dB;

function kindOf(
  { properties }: GeoShape,
  say: (code: string, message: string) => void,
): { readonly kind: CoverKind; readonly assumed: boolean } | undefined {
  const given = properties['class'];
  const word =
    typeof given === 'string'
      ? given
          .trim()
          .toLowerCase()
          .replaceAll(/[-_\s]+/g, ' ')
      : undefined;
  const cover = COVER_CLASSES.find((c) => c === word);
  if (cover === undefined) {
    const meant = word === undefined ? undefined : (MEANT[word] ?? nearestWord(word, COVER_CLASSES));
    say(
      'class',
      given === undefined || given === null
        ? `it has no class. ${FORM}`
        : `class is ${shorten(JSON.stringify(given))}: ${meant === undefined ? `wanted is one of ${COVER_CLASSES.join(', ')}` : `did you mean ${meant}?`}`,
    );
  }
  const height_m = numberOf(properties, 'height_m', say);
  const loss_dB = numberOf(properties, 'loss_dB', say);
  if (cover === undefined || Number.isNaN(height_m) || Number.isNaN(loss_dB)) return undefined;
  const usual_m = COVER_HEIGHT_m[cover];
  return { kind: { cover, height_m: height_m ?? usual_m, loss_dB }, assumed: height_m === undefined && usual_m > 0 };
}

/** undefined: not told; NaN: told wrongly. */
function numberOf(
  properties: Readonly<Record<string, unknown>>,
  field: keyof typeof LIMITS,
  say: (code: string, message: string) => void,
): number | undefined {
  const given = properties[field];
  if (given === undefined || given === null || given === '') return undefined;
  const value = typeof given === 'number' ? given : parseNumber(String(given).trim());
  const [low, high, what] = LIMITS[field];
  if (value >= low && value <= high) return value;
  say(
    'range',
    `${field} is ${shorten(String(given))}: ${what} lies between ${low} and ${high} ${field.slice(-2).replace('_', '')}.`,
  );
  return Number.NaN;
}

/** Options that each tell what stands on the ground: one of them, or the trees count twice. */
export function oneCover(given: Readonly<Record<string, unknown>>): void {
  const told = Object.keys(given).filter((name) => given[name] !== undefined);
  if (told.length > 1)
    throw userError(
      'path.clutterTwice',
      `${told.join(' and ')} are both given: each tells what stands on the ground, so keep one, or the trees count twice`,
      { field: told[1]! },
    );
}

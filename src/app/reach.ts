import { formatSetting } from '../core/airtime/index.ts';
import type { Assumption, Caution } from '../core/energy/index.ts';
import { wavelength_m } from '../core/path/index.ts';
import {
  type CoverageOut,
  type CoveragePlan,
  cellSize_km,
  createCoverageOut,
  type GridPlace,
  planCoverage,
  sectorsOf,
} from '../core/reach/index.ts';
import { userError } from '../core/units/index.ts';
import { type ContourFeature, contourFeatures } from '../formats/contours.ts';
import { boxAround } from '../formats/geodesic.ts';
import { type ListedPlace, readPlaces } from '../formats/places.ts';
import type { Terrain } from '../formats/terrain.ts';
import type { PageRole } from '../report/index.ts';
import type { ReachField } from '../report/reach-image.ts';
import {
  COVER_CAUTION,
  type CoverOutcome,
  checkCover,
  coverNotes,
  coverOutcome,
  coverRaster,
  readCoverFile,
} from './cover.ts';
import { type CoverFile, oneCover } from './cover-file.ts';
import type { CoverageSector } from './coverage-sector.ts';
import { elevationCaution, type Ground, groundHeight_m, groundOf, RIM_m } from './ground.ts';
import { readPerchFile } from './inputs.ts';
import { type LimitLines, limitLines } from './limit-lines.ts';
import { MODEL_SPREAD_dB, type Station } from './link.ts';
import { type LinkOver, type LinkScale, linkOver, linkScale, marginRaster, oddsOfCells, waveOf } from './margin.ts';
import { type MeasuredBands, measuredBands, namesOfPerch } from './measured-bands.ts';
import { MODEL_CAUTION } from './path.ts';
import { parsePosition, readEnds } from './path-ends.ts';
import { USUAL_AIR } from './path-loss.ts';
import type { Ports } from './ports.ts';
import { nearCandidates, type ReachRole, roleAmong, withWorkCautions } from './reach-role.ts';
import { figure } from './words.ts';

export interface ReachRequest {
  /** Perch file, or LAT,LON[,HEIGHT]. */
  readonly perch: string;
  readonly kit?: string | undefined;
  /** Kit at the other end; undefined: a hand-held. */
  readonly toKit?: string | undefined;
  readonly set?: readonly string[] | undefined;
  readonly radius_km: number;
  readonly height_m?: number | undefined;
  readonly targetHeight_m?: number | undefined;
  /** Height of woods or houses on all the ground between the ends. */
  readonly clutter_m?: number | undefined;
  /** GeoJSON file of ground cover, or one that was read before. */
  readonly cover?: string | CoverFile | undefined;
  /** The other end is inside a building, or stands in a wood so far from its edge. */
  readonly indoors?: 'traditional' | 'efficient' | undefined;
  readonly woods_m?: number | undefined;
  /** File of measured links. */
  readonly measured?: string | undefined;
  readonly fadeMargin_dB?: number | undefined;
  /** Effective radius of the Earth over the real one; about 4/3 unless given. */
  readonly radiusFactor?: number | undefined;
  /** File of named places. */
  readonly places?: string | undefined;
  /** File of other perches, which measured links may name. */
  readonly perches?: string | undefined;
  /** File of other perches, for the role among them. */
  readonly candidates?: string | undefined;
  /** Region whose legal limits both ends are held against. */
  readonly region?: string | undefined;
  /** Also the contours. */
  readonly contours?: boolean | undefined;
}

/** Shares of the ground within the radius whose path is known, 0..1, by area. */
export interface ReachShares {
  readonly reached: number;
  /** Reached in line of sight, and reached over edges. */
  readonly inSight: number;
  readonly overEdges: number;
  /** In line of sight, reached or not. */
  readonly sight: number;
  /** With a margin of at least 10 and 20 dB. */
  readonly margin10: number;
  readonly margin20: number;
  /** Reached with odds of at least 90 %. */
  readonly sure: number;
  /** Of all the ground within the radius: behind gaps of the terrain, so not known. */
  readonly unknown: number;
}

export interface ReachedPlace extends Omit<LinkOver, 'elevation_deg'> {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly height_m: number;
  readonly reached: boolean;
}

/** Places on the list that could not be judged, and why. */
export interface SkippedPlace {
  readonly name: string;
  readonly reason: 'beyond the radius' | 'the terrain has gaps on the way' | 'at the perch itself';
}

/** Result of `sunperch reach`. */
export interface ReachOutcome {
  readonly command: 'reach';
  readonly verdict: string;
  readonly perch: string;
  readonly kit: string;
  readonly to: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  readonly height_m: number;
  readonly targetHeight_m: number;
  readonly radius_km: number;
  readonly setting: string;
  readonly frequency_MHz: number;
  /** Largest path loss each way; the lesser counts. */
  readonly mostLoss_dB: { readonly there: number; readonly back: number };
  readonly area_km2: number;
  readonly cells: number;
  readonly share: ReachShares;
  readonly farthest_km: number;
  readonly places: readonly ReachedPlace[];
  readonly placesReached: number;
  readonly skipped: readonly SkippedPlace[];
  readonly cover: CoverOutcome | null;
  readonly indoors: 'traditional' | 'efficient' | null;
  readonly woods_m: number | null;
  readonly measured: MeasuredBands | null;
  /** What the perch is good for among the candidates, and its links to them; null where none were named. */
  readonly role: PageRole | null;
  /** Rules of the region, a line an end; null where none was named. */
  readonly limits: LimitLines | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** The outcome with its rasters, for files and pictures. */
export interface Reach {
  readonly outcome: ReachOutcome;
  readonly field: ReachField;
  readonly ground: Ground;
  readonly scale: LinkScale;
  readonly centre: GridPlace;
  readonly role: ReachRole | null;
  /** Odds that a cell of the raster is reached, 0 to 1; its margin is known. */
  odds(index: number): number;
  readonly contours: { readonly type: 'FeatureCollection'; readonly features: readonly ContourFeature[] } | null;
}

/** Margins at which contours are drawn, dB. */
export const CONTOURS_dB: readonly number[] = [0, 10, 20];
const RADIUS_km = { least: 0.5, most: 60 };

/** `sunperch reach`: margin on all the ground around a perch, in sight and over edges, and the named places that it reaches. */
export async function reach(ports: Ports, request: ReachRequest, terrain: Terrain): Promise<Reach> {
  const { radius_km } = request;
  if (!(radius_km >= RADIUS_km.least && radius_km <= RADIUS_km.most))
    throw userError(
      'reach.radius',
      `the radius is ${radius_km} km: it lies between ${RADIUS_km.least} and ${RADIUS_km.most} km${radius_km > 500 ? `; it is in km, ${radius_km} m are ${radius_km / 1000}` : ''}`,
      { field: '--radius' },
    );
  checkValues(request);
  oneCover({ '--cover': request.cover, '--woods': request.woods_m, '--clutter': request.clutter_m });
  const coverFile = await readCoverFile(ports, request.cover);
  const assumptions: Assumption[] = [];
  const ends = await readEnds(
    ports,
    {
      a: request.perch,
      kitA: request.kit,
      kitB: request.toKit,
      fromHeight_m: request.height_m,
      toHeight_m: request.targetHeight_m,
      set: request.set,
    },
    assumptions,
  );
  checkCover(coverFile, ends.a.frequency_MHz);
  const position = ends.positionA;
  if (position === undefined) throw userError('reach.place', 'the perch has no position', { field: request.perch });
  // What may be wrong in them is told before the terrain is read.
  const listed = await namedIn(ports, request.places);
  const candidates =
    request.candidates === undefined ? null : await nearCandidates(ports, request.candidates, position, radius_km);
  const limits = request.region === undefined ? null : limitLines(request.region, [ends.a, ends.b]);
  const patch = await terrain.patch({ area: boxAround(position, 1000 * radius_km + RIM_m), at: position });
  const raster = coverFile && coverRaster(coverFile, patch);
  const ground = groundOf(patch, position, request.clutter_m, raster);
  const { latitude_deg, longitude_deg } = position;
  const ground_m = groundHeight_m(ground, ends.a.name, latitude_deg, longitude_deg);
  const file =
    parsePosition(request.perch) === undefined
      ? await readPerchFile(
          ports,
          request.perch,
          (request.set ?? []).filter((s) => s.startsWith('perch.')),
        )
      : undefined;
  const effectiveRadius_km =
    request.radiusFactor === undefined ? USUAL_AIR.effectiveRadius_km : 6371 * request.radiusFactor;
  const centre = ground.placeOf(latitude_deg, longitude_deg);
  const notes = [...patch.notes];
  const measured =
    request.measured === undefined
      ? null
      : await measuredBands(
          ports,
          request.measured,
          ground,
          {
            byName: new Map([
              ...namesOfPlaces(await namedIn(ports, request.perches), ground, ends.a),
              ...namesOfPlaces(listed, ground, ends.b),
              ...namesOfPerch(ends.a.name, request.perch).map(
                (name) => [name, { place: centre, station: ends.a }] as const,
              ),
            ]),
            perch: ends.a,
            hand: ends.b,
          },
          effectiveRadius_km,
          notes,
        );
  const { indoors, woods_m } = request;
  const scale = linkScale(ends.a, ends.b, request.fadeMargin_dB ?? 0, effectiveRadius_km, {
    indoors,
    woods_m,
    bands: measured ?? undefined,
  });
  const role = candidates && roleAmong(candidates, ground, { name: ends.a.name, place: centre, ground_m }, scale);
  if (role) notes.push(...role.skipped);
  const cover = coverFile && raster ? coverOutcome(coverFile, raster.kind) : null;
  if (coverFile && cover) notes.push(...coverNotes(coverFile, cover));
  const { plan, out } = await coverage(ports, ground, centre, radius_km, ends.a, ends.b, effectiveRadius_km);
  const margin_dB = marginRaster(scale, out);
  const cell = cellSize_km(ground.ground.frame, centre);
  const field: ReachField = {
    rows: ground.ground.rows,
    columns: ground.ground.columns,
    cellHeight_km: cell.height_km,
    cellWidth_km: cell.width_km,
    centre,
    reach_km: radius_km,
    height_m: ground.ground.height_m,
    margin_dB,
    sight: out.sight,
  };
  const counted = count(plan, margin_dB, out, scale);
  const { places, skipped } = judgePlaces(ground, centre, scale, listed, radius_km);
  const placesReached = places.filter((p) => p.reached).length;
  const cautions = [
    ...elevationCaution(ends.a.name, file?.perch.elevation_m, ground_m),
    ...cautionsOf(counted.share.unknown, request.clutter_m),
    ...(cover === null ? [] : [COVER_CAUTION]),
  ];
  const outcome: ReachOutcome = {
    command: 'reach',
    verdict: verdict(ends.a, ends.b, whereText(request), radius_km, counted, places, placesReached),
    perch: ends.a.name,
    kit: ends.a.kit,
    to: ends.b.kit,
    latitude_deg,
    longitude_deg,
    ground_m,
    height_m: ends.a.height_m,
    targetHeight_m: ends.b.height_m,
    radius_km,
    setting: formatSetting(ends.a.setting),
    frequency_MHz: ends.a.frequency_MHz,
    mostLoss_dB: { there: scale.there_dB, back: scale.back_dB },
    area_km2: counted.area_km2,
    cells: counted.cells,
    share: counted.share,
    farthest_km: counted.farthest_km,
    places,
    placesReached,
    skipped,
    cover,
    indoors: indoors ?? null,
    woods_m: woods_m ?? null,
    measured,
    role: role?.advice ?? null,
    limits,
    notes,
    assumptions: [...assumptions, ...(coverFile?.assumptions ?? []), ...usualAssumptions(request)],
    cautions: role || limits ? withWorkCautions([...cautions, MODEL_CAUTION], limits !== null) : cautions,
  };
  const contours = request.contours
    ? contourFeatures(margin_dB, field.rows, field.columns, CONTOURS_dB, 'margin_dB', ground.earthOf)
    : null;
  const oddsAt = oddsOfCells(scale, out);
  return { outcome, field, ground, scale, centre, contours, role, odds: (k) => oddsAt(k, margin_dB[k]!) };
}

const namedIn = async (ports: Ports, file: string | undefined): Promise<ListedPlace[]> =>
  file === undefined ? [] : [...readPlaces(await ports.readText(file), file)];

/** Listed places by their names, as ends of measured links. */
export function namesOfPlaces(
  listed: readonly ListedPlace[],
  ground: Ground,
  station: Station,
): (readonly [string, { readonly place: GridPlace; readonly station: Station }])[] {
  return listed.map((p) => [
    p.name.toLowerCase(),
    {
      place: ground.placeOf(p.latitude_deg, p.longitude_deg),
      station: { ...station, height_m: p.height_m ?? station.height_m },
    },
  ]);
}

const LIMITS = {
  height_m: ['--height', 0.1, 300],
  targetHeight_m: ['--target-height', 0.1, 300],
  clutter_m: ['--clutter', 0, 60],
  fadeMargin_dB: ['--fade-margin', 0, 60],
  woods_m: ['--woods', 0, 100_000],
  radiusFactor: ['--radius-factor', 0.5, 20],
} as const;

function checkValues(request: ReachRequest): void {
  for (const [name, [option, low, high]] of Object.entries(LIMITS)) {
    const value = request[name as keyof typeof LIMITS];
    if (value !== undefined && !(value >= low && value <= high))
      throw userError('reach.range', `${option} is ${value}: it lies between ${low} and ${high}`, { field: option });
  }
}

/** Runs the coverage on all cores. */
export async function coverage(
  ports: Ports,
  ground: Ground,
  centre: GridPlace,
  radius_km: number,
  from: Station,
  to: Station,
  effectiveRadius_km: number,
  what = 'of the coverage',
): Promise<{ plan: CoveragePlan; out: CoverageOut }> {
  const plan = planCoverage(ground.ground, centre, radius_km, {
    fromHeight_m: from.height_m,
    toHeight_m: to.height_m,
    radius_km: effectiveRadius_km,
    wave: {
      frequency_GHz: from.frequency_MHz / 1000,
      wavelength_m: wavelength_m(from.frequency_MHz),
      polarization: waveOf(from),
      seaShare: 0,
    },
  });
  const out = createCoverageOut(ground.ground.rows * ground.ground.columns, true, ground.ground.cover !== undefined);
  const inputs = sectorsOf(plan).map(([fromRadial, toRadial]): CoverageSector => ({ plan, fromRadial, toRadial, out }));
  await ports.runTasks('coverage-sector', inputs, what);
  return { plan, out };
}

/** Areas by what is found on them. Rows of a geographic grid shrink towards the poles. */
function count(plan: CoveragePlan, margin_dB: Float32Array, out: CoverageOut, scale: LinkScale) {
  const odds = oddsOfCells(scale, out);
  const { rows, columns, frame } = plan.ground;
  const { centre, reach_km } = plan;
  const sums = { all: 0, known: 0, reached: 0, inSight: 0, sight: 0, margin10: 0, margin20: 0, sure: 0 };
  let cells = 0;
  let farthest_km = 0;
  for (let row = 0; row < rows; row++) {
    const { height_km, width_km } = cellSize_km(frame, { row, column: centre.column });
    const area = height_km * width_km;
    const north_km = (row - centre.row) * height_km;
    for (let column = 0; column < columns; column++) {
      const away_km = Math.hypot(north_km, (column - centre.column) * width_km);
      if (away_km > reach_km) continue;
      const k = row * columns + column;
      sums.all += area;
      const margin = margin_dB[k]!;
      if (Number.isNaN(margin)) continue;
      cells++;
      sums.known += area;
      const seen = out.sight[k] === 1;
      if (seen) sums.sight += area;
      if (margin < 0) continue;
      sums.reached += area;
      if (seen) sums.inSight += area;
      if (margin >= 10) sums.margin10 += area;
      if (margin >= 20) sums.margin20 += area;
      if (odds(k, margin) >= 0.9) sums.sure += area;
      if (away_km > farthest_km) farthest_km = away_km;
    }
  }
  const disc_km2 = Math.PI * reach_km * reach_km;
  const of = (v: number) => (sums.known > 0 ? v / sums.known : 0);
  const share: ReachShares = {
    reached: of(sums.reached),
    inSight: of(sums.inSight),
    overEdges: of(sums.reached - sums.inSight),
    sight: of(sums.sight),
    margin10: of(sums.margin10),
    margin20: of(sums.margin20),
    sure: of(sums.sure),
    // Cells beyond the edge of the raster are not in `all`: the disc is.
    unknown: Math.max(0, 1 - sums.known / Math.max(disc_km2, sums.all)),
  };
  return {
    share: { ...share, unknown: share.unknown < 0.002 ? 0 : share.unknown },
    area_km2: sums.reached,
    cells,
    farthest_km,
  };
}

/** Each listed place over its own profile. */
export function judgePlaces(
  ground: Ground,
  centre: GridPlace,
  scale: LinkScale,
  listed: readonly ListedPlace[],
  radius_km: number,
): { places: ReachedPlace[]; skipped: SkippedPlace[] } {
  const places: ReachedPlace[] = [];
  const skipped: SkippedPlace[] = [];
  for (const p of listed) {
    const to = ground.placeOf(p.latitude_deg, p.longitude_deg);
    const height_m = p.height_m ?? scale.to.height_m;
    const cell = cellSize_km(ground.ground.frame, centre);
    const away_km = Math.hypot((to.row - centre.row) * cell.height_km, (to.column - centre.column) * cell.width_km);
    if (away_km < 0.02) {
      skipped.push({ name: p.name, reason: 'at the perch itself' });
      continue;
    }
    if (away_km > 1.2 * radius_km) {
      skipped.push({ name: p.name, reason: 'beyond the radius' });
      continue;
    }
    const link = linkOver(ground, centre, to, { ...scale, to: { ...scale.to, height_m } });
    if (link === null) skipped.push({ name: p.name, reason: 'the terrain has gaps on the way' });
    else if (link.distance_km > radius_km) skipped.push({ name: p.name, reason: 'beyond the radius' });
    else {
      const { elevation_deg: _, ...rest } = link;
      const { name, latitude_deg, longitude_deg } = p;
      places.push({ name, latitude_deg, longitude_deg, height_m, ...rest, reached: link.margin_dB >= 0 });
    }
  }
  return { places, skipped };
}

/** Where the other end is, in words that follow its height. */
export function whereText({ indoors, woods_m }: Pick<ReachRequest, 'indoors' | 'woods_m'>): string {
  const walls =
    indoors === undefined ? '' : ` inside ${indoors === 'efficient' ? 'an efficient' : 'a traditional'} building`;
  return `${walls}${woods_m === undefined ? '' : ` in ${woods_m} m of wood`}`;
}

function verdict(
  from: Station,
  to: Station,
  where: string,
  radius_km: number,
  counted: ReturnType<typeof count>,
  places: readonly ReachedPlace[],
  placesReached: number,
): string {
  const { share, area_km2 } = counted;
  const pct = (v: number) => `${figure(100 * v, 2)} %`;
  const who = to.handHeld ? `a hand-held at ${to.height_m} m${where}` : `${to.kit} at ${to.height_m} m${where}`;
  const named =
    places.length === 0
      ? ''
      : ` ${placesReached} of the ${places.length} named places ${placesReached === 1 ? 'is' : 'are'} reached.`;
  if (share.reached === 0) return `${from.name} reaches no ground within ${radius_km} km for ${who}.${named}`;
  return `${from.name} reaches ${pct(share.reached)} of the ground within ${radius_km} km for ${who} (${figure(area_km2, 3)} km²): ${pct(share.inSight)} in sight, ${pct(share.overEdges)} over edges; with odds of 90 % or better ${pct(share.sure)}.${named}`;
}

function usualAssumptions(request: ReachRequest): Assumption[] {
  const list: Assumption[] = [];
  if (request.measured === undefined)
    list.push({
      field: 'spread of the computed loss',
      value: `${MODEL_SPREAD_dB.clear} dB in sight, ${MODEL_SPREAD_dB.obstructed} dB over edges`,
      why: 'judgement from published comparisons with measurement; one standard deviation',
    });
  if (request.clutter_m === undefined && request.cover === undefined && request.woods_m === undefined)
    list.push({ field: '--clutter', value: 'none', why: 'bare ground: woods and houses on the way take more' });
  if (request.fadeMargin_dB === undefined)
    list.push({ field: '--fade-margin', value: '0 dB', why: 'the median; odds count the spread' });
  return list;
}

function cautionsOf(unknown: number, clutter_m: number | undefined): Caution[] {
  const list: Caution[] = [];
  if (unknown > 0)
    list.push({
      code: 'terrain-gaps',
      text: `${figure(100 * unknown, 2)} % of the ground within the radius lies beyond the terrain or behind gaps in it: it is not judged and not counted.`,
    });
  if (clutter_m !== undefined && clutter_m > 0)
    list.push({
      code: 'clutter-twice',
      text: 'Clutter is added to the ground: where the terrain is a surface model, which holds tree tops already, it counts twice.',
    });
  return list;
}

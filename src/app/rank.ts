import type { Assumption, Caution } from '../core/energy/index.ts';
import { userError } from '../core/units/index.ts';
import { boxAround } from '../formats/geodesic.ts';
import { type ListedPlace, readPlaces } from '../formats/places.ts';
import type { Terrain } from '../formats/terrain.ts';
import type { Kit } from '../records/index.ts';
import { type AreaCells, cellsOf, readArea } from './area.ts';
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
import { type Ground, groundHeight_m, groundOf, RIM_m } from './ground.ts';
import { readKitFile } from './inputs.ts';
import type { Station } from './link.ts';
import { type Links, linkTable, type Standing } from './link-table.ts';
import { type LinkMore, type LinkOver, linkScale, marginRaster } from './margin.ts';
import { type MeasuredBands, measuredBands } from './measured-bands.ts';
import { readEnds } from './path-ends.ts';
import { USUAL_AIR } from './path-loss.ts';
import type { Ports } from './ports.ts';
import { coverage, judgePlaces, namesOfPlaces } from './reach.ts';
import { adviseRole, paretoFront, type Role } from './role.ts';
import { roughly_km } from './roughly.ts';
import { skylineOf, skylinePairs, sunMonths } from './skyline.ts';
import { darkestMonth, daysOf, spotLight_kWh_m2_day, spotOf } from './spot.ts';
import { figure, MONTHS } from './words.ts';

export interface RankRequest {
  /** File of candidates. */
  readonly candidates: string;
  /** LAT,LON,RADIUS or a GeoJSON file. */
  readonly area: string;
  readonly kit: string;
  readonly toKit?: string | undefined;
  readonly set?: readonly string[] | undefined;
  /** File of places that are to be reached. */
  readonly places?: string | undefined;
  /** File of perches that stand already. */
  readonly perches?: string | undefined;
  /** Antenna above the ground where a candidate does not tell. */
  readonly height_m?: number | undefined;
  readonly targetHeight_m?: number | undefined;
  /** GeoJSON file of ground cover, or one that was read before. */
  readonly cover?: string | CoverFile | undefined;
  /** Those to be reached are inside a building, or stand in a wood so far from its edge. */
  readonly indoors?: 'traditional' | 'efficient' | undefined;
  readonly woods_m?: number | undefined;
  /** File of measured links. */
  readonly measured?: string | undefined;
}

export interface RankedLink extends Pick<LinkOver, 'distance_km' | 'margin_dB' | 'odds' | 'sight'> {
  readonly name: string;
}

export interface RankedCandidate {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  readonly height_m: number;
  /** Of the area: km², and as a share. */
  readonly reached_km2: number;
  readonly reachedShare: number;
  readonly placesReached: readonly string[];
  readonly placesMissed: readonly string[];
  readonly clearSight: number;
  /** Antenna over the mean of the other perches' antennas. */
  readonly advantage_m: number | null;
  readonly links: readonly RankedLink[];
  readonly winter: {
    readonly month: number;
    readonly open_h: number;
    readonly visible_h: number;
    /** On the panel, skyline counted: a day's mean, and the month's sum. */
    readonly light_kWh_m2_day: number;
    readonly light_kWh_m2: number;
  };
  readonly access: string | null;
  readonly role: Role;
  readonly roleReason: string;
  /** No other candidate is as good in everything and better in something. */
  readonly onFront: boolean;
}

/** Result of `sunperch rank`. */
export interface RankOutcome {
  readonly command: 'rank';
  readonly verdict: string;
  readonly area: string;
  readonly area_km2: number;
  readonly kit: string;
  readonly to: string;
  readonly targetHeight_m: number;
  readonly candidates: readonly RankedCandidate[];
  readonly front: readonly string[];
  /** Whose sight is counted. */
  readonly others: readonly string[];
  readonly cover: CoverOutcome | null;
  readonly indoors: 'traditional' | 'efficient' | null;
  readonly woods_m: number | null;
  readonly measured: MeasuredBands | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

const MOST_CANDIDATES = 50;
const MOST_km = 60;
const SKYLINE_km = 15;

/** `sunperch rank`: what each of some spots reaches, whom it sees, and what winter sun it has; a front, not one score. */
export async function rank(ports: Ports, request: RankRequest, terrain: Terrain): Promise<RankOutcome> {
  const { indoors, woods_m } = request;
  oneCover({ '--cover': request.cover, '--woods': woods_m });
  const coverFile = await readCoverFile(ports, request.cover);
  const read = async (file: string) => readPlaces(await ports.readText(file), file);
  const candidates = await read(request.candidates);
  if (candidates.length > MOST_CANDIDATES)
    throw userError('rank.many', `${candidates.length} candidates: at most ${MOST_CANDIDATES} are ranked at once`, {
      file: request.candidates,
    });
  const area = await readArea(ports, request.area);
  const listed = request.places === undefined ? [] : await read(request.places);
  const perches = request.perches === undefined ? [] : await read(request.perches);
  const assumptions: Assumption[] = [];
  const { a, b } = await readEnds(
    ports,
    {
      kitA: request.kit,
      kitB: request.toKit,
      fromHeight_m: request.height_m,
      toHeight_m: request.targetHeight_m,
      set: request.set,
    },
    assumptions,
  );
  checkCover(coverFile, a.frequency_MHz);
  const { kit } = await readKitFile(
    ports,
    request.kit,
    (request.set ?? []).filter((s) => !s.startsWith('perch.')),
  );
  const away = (p: ListedPlace) => roughly_km(area, p);
  const far = Math.max(...[...candidates, ...perches].map(away));
  const radius_km = Math.max(area.radius_km, far) + SKYLINE_km;
  if (far + area.radius_km > MOST_km)
    throw userError(
      'rank.far',
      `a candidate or perch stands ${figure(far)} km from the middle of the area: with its radius of ${figure(area.radius_km)} km more than ${MOST_km} km; is a latitude exchanged with a longitude?`,
      { file: request.candidates },
    );
  const patch = await terrain.patch({ area: boxAround(area, 1000 * radius_km + RIM_m), at: area });
  const raster = coverFile && coverRaster(coverFile, patch);
  const ground = groundOf(patch, area, undefined, raster);
  const cells = cellsOf(ground, area);
  const stand = (p: ListedPlace): Standing => ({
    name: p.name,
    place: ground.placeOf(p.latitude_deg, p.longitude_deg),
    ground_m: groundHeight_m(ground, p.name, p.latitude_deg, p.longitude_deg),
    height_m: p.height_m ?? a.height_m,
  });
  const stands = candidates.map(stand);
  const others = perches.length > 0 ? perches.map(stand) : stands;
  const dark = darkestMonth(spotOf('area', area.latitude_deg, area.longitude_deg, stands[0]!.ground_m).plan);

  const notes = [...patch.notes, ...sameSpots(stands)];
  const cover = coverFile && raster ? coverOutcome(coverFile, raster.kind) : null;
  if (coverFile && cover) notes.push(...coverNotes(coverFile, cover));
  const measured =
    request.measured === undefined
      ? null
      : await measuredBands(
          ports,
          request.measured,
          ground,
          {
            byName: new Map([
              ...namesOfPlaces(listed, ground, b),
              ...[...others, ...stands].map(
                ({ name, place, height_m }) =>
                  [name.toLowerCase(), { place, station: { ...a, name, height_m } }] as const,
              ),
            ]),
            perch: a,
            hand: b,
          },
          USUAL_AIR.effectiveRadius_km,
          notes,
        );
  const bands = measured ?? undefined;
  const links = linkTable(ground, a, stands, others, bands);
  const rows: Omit<RankedCandidate, 'onFront'>[] = [];
  for (let i = 0; i < candidates.length; i++)
    rows.push(
      await rankOne(
        ports,
        { ground, cells, area, kit, a, b, listed, dark, others, links, more: { indoors, woods_m, bands } },
        candidates[i]!,
        stands[i]!,
        i,
      ),
    );
  const front = new Set(
    paretoFront(
      rows.map((r) => [
        r.reachedShare,
        r.placesReached.length,
        r.clearSight,
        r.winter.light_kWh_m2,
        r.winter.visible_h,
      ]),
    ),
  );
  const ranked = rows.map((row, i): RankedCandidate => ({ ...row, onFront: front.has(i) }));
  const names = ranked.filter((r) => r.onFront).map((r) => r.name);
  return {
    command: 'rank',
    verdict: verdict(ranked, names, dark),
    area: area.text,
    area_km2: cells.area_km2,
    kit: a.kit,
    to: b.kit,
    targetHeight_m: b.height_m,
    candidates: ranked,
    front: names,
    others: others.map((o) => o.name),
    cover,
    indoors: indoors ?? null,
    woods_m: woods_m ?? null,
    measured,
    notes,
    assumptions: [
      ...assumptions,
      ...(coverFile?.assumptions ?? []),
      ...(perches.length === 0
        ? [{ field: '--perches', value: 'the other candidates', why: 'no perches that stand already are named' }]
        : []),
      {
        field: 'winter sun',
        value: `${MONTHS[dark - 1]}, ten synthetic years of the nearest climate, the panel at the usual tilt`,
        why: 'the month with the least radiation there; the same years for all candidates',
      },
    ],
    cautions: [
      ...(cover === null ? [] : [COVER_CAUTION]),
      {
        code: 'look-on-the-spot',
        text: 'Trees, houses, rocks and snow near a perch are not in the terrain: look on the spot before choosing. Owners, protected areas and power lines decide too.',
      },
    ],
  };
}

interface Shared {
  readonly ground: Ground;
  readonly cells: AreaCells;
  readonly area: { latitude_deg: number; longitude_deg: number; radius_km: number };
  readonly kit: Kit;
  readonly a: Station;
  readonly b: Station;
  readonly listed: readonly ListedPlace[];
  readonly dark: number;
  readonly others: readonly Standing[];
  readonly links: Links;
  readonly more: LinkMore;
}

/** Candidates that stand on one cell of the terrain: no link is judged between them, and a double entry is told. */
function sameSpots(stands: readonly Standing[]): string[] {
  return stands.flatMap((a, i) =>
    stands
      .slice(i + 1)
      .filter((b) => Math.hypot(a.place.row - b.place.row, a.place.column - b.place.column) < 1)
      .map(
        (b) =>
          `${a.name} and ${b.name} stand at one spot, so no link between them is judged: is one of them meant to be elsewhere?`,
      ),
  );
}

async function rankOne(
  ports: Ports,
  shared: Shared,
  candidate: ListedPlace,
  standing: Standing,
  index: number,
): Promise<Omit<RankedCandidate, 'onFront'>> {
  const { ground, cells, area, kit, a, b, listed, dark, others, links } = shared;
  const { name, latitude_deg, longitude_deg } = candidate;
  const { place, ground_m, height_m } = standing;
  const from: Station = { ...a, name, height_m };
  const scale = linkScale(from, b, 0, USUAL_AIR.effectiveRadius_km, shared.more);
  const reach_km = Math.min(MOST_km, roughly_km(area, candidate) + area.radius_km);
  const { out } = await coverage(ports, ground, place, reach_km, from, b, USUAL_AIR.effectiveRadius_km, name);
  const margin_dB = marginRaster(scale, out);
  let reached_km2 = 0;
  const { columns } = ground.ground;
  for (const k of cells.cells) if (margin_dB[k]! >= 0) reached_km2 += cells.rowArea_km2[Math.floor(k / columns)]!;

  const judged = judgePlaces(ground, place, scale, listed, Number.POSITIVE_INFINITY);
  const reached = new Set(judged.places.filter((p) => p.reached).map((p) => p.name));
  for (const s of judged.skipped) if (s.reason === 'at the perch itself') reached.add(s.name);

  const seen: RankedLink[] = [];
  const own: (LinkOver | null)[] = [];
  const circle = others.map((_, j) => j).filter((j) => others[j]!.name !== name);
  for (const j of circle) {
    const link = links.own(index, j);
    own.push(link);
    if (link) {
      const { distance_km, margin_dB: margin, odds, sight } = link;
      seen.push({ name: others[j]!.name, distance_km, margin_dB: margin, odds, sight });
    }
  }
  const advice = adviseRole(own, (i, j) => links.between(circle[i]!, circle[j]!));
  const heights = circle.map((j) => others[j]!.ground_m + others[j]!.height_m);
  const mean = heights.reduce((sum, h) => sum + h, 0) / heights.length;

  const seenSky = skylineOf(ground, place, height_m, SKYLINE_km, 360);
  const sun = sunMonths(latitude_deg, longitude_deg, seenSky.elevation_deg)[dark - 1]!;
  const spot = spotOf(name, latitude_deg, longitude_deg, ground_m, skylinePairs(seenSky.elevation_deg, 3));
  const light = spotLight_kWh_m2_day(kit, spot)[dark - 1]!;
  return {
    name,
    latitude_deg,
    longitude_deg,
    ground_m,
    height_m,
    reached_km2,
    reachedShare: reached_km2 / cells.area_km2,
    placesReached: listed.filter((p) => reached.has(p.name)).map((p) => p.name),
    placesMissed: listed.filter((p) => !reached.has(p.name)).map((p) => p.name),
    clearSight: advice.clear,
    advantage_m: heights.length > 0 ? ground_m + height_m - mean : null,
    links: seen,
    winter: {
      month: dark,
      open_h: sun.open_h,
      visible_h: sun.visible_h,
      light_kWh_m2_day: light,
      light_kWh_m2: light * daysOf(dark),
    },
    access: candidate.access ?? null,
    role: advice.role,
    roleReason: advice.reason,
  };
}

function verdict(rows: readonly RankedCandidate[], front: readonly string[], dark: number): string {
  const best = <T>(of: (r: RankedCandidate) => number, tell: (r: RankedCandidate) => T) =>
    tell(rows.reduce((x, y) => (of(y) > of(x) ? y : x)));
  const most = best(
    (r) => r.reachedShare,
    (r) => `${r.name} reaches most (${figure(100 * r.reachedShare, 2)} % of the area)`,
  );
  const sun = best(
    (r) => r.winter.light_kWh_m2,
    (r) => `${r.name} has most winter sun (${figure(r.winter.light_kWh_m2, 2)} kWh/m² in ${MONTHS[dark - 1]})`,
  );
  const count =
    front.length === 1
      ? `${front[0]} is at least as good as the ${rows.length === 2 ? 'other' : `${rows.length - 1} others`} in everything.`
      : `${front.length} of ${rows.length} candidates are beaten by none: ${front.join(', ')}.`;
  return rows.length === 1 ? `${most}; ${sun}.` : `${count} ${most}; ${sun}.`;
}

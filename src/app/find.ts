import type { Assumption, Caution } from '../core/energy/index.ts';
import { polarOf } from '../core/reach/index.ts';
import { userError } from '../core/units/index.ts';
import { nearLongitude_deg } from '../formats/antimeridian.ts';
import { chooseCover } from '../formats/cover-set.ts';
import { boxAround } from '../formats/geodesic.ts';
import { readGeoJson } from '../formats/geojson.ts';
import { readPlaces } from '../formats/places.ts';
import type { Terrain } from '../formats/terrain.ts';
import { cellsOf, readArea } from './area.ts';
import {
  COVER_CAUTION,
  type CoverOutcome,
  checkCover,
  coverNotes,
  coverOutcome,
  coverRaster,
  readCoverFile,
} from './cover.ts';
import { oneCover } from './cover-file.ts';
import {
  highestCells,
  lineDistance_km,
  lookAround,
  nearLines,
  type RoughSpot,
  samplePoints,
  spread,
} from './find-spots.ts';
import { type Ground, groundOf, RIM_m } from './ground.ts';
import { readKitFile } from './inputs.ts';
import type { Station } from './link.ts';
import { type LinkOver, linkOver, linkScale } from './margin.ts';
import { readEnds } from './path-ends.ts';
import { USUAL_AIR } from './path-loss.ts';
import type { Ports } from './ports.ts';
import { roughly_km } from './roughly.ts';
import { skylineOf, skylinePairs, sunMonths } from './skyline.ts';
import { darkestMonth, daysOf, spotLight_kWh_m2_day, spotOf } from './spot.ts';
import { figure, MONTHS } from './words.ts';

export interface FindRequest {
  readonly area: string;
  /** How many perches are to be chosen. */
  readonly count: number;
  readonly kit: string;
  readonly toKit?: string | undefined;
  readonly set?: readonly string[] | undefined;
  /** GeoJSON with lines along which one gets there. */
  readonly paths?: string | undefined;
  readonly pathWithin_km?: number | undefined;
  readonly places?: string | undefined;
  readonly height_m?: number | undefined;
  readonly targetHeight_m?: number | undefined;
  /** Odds with which a place must be reached to count. */
  readonly odds?: number | undefined;
  /** Chosen perches stand at least this far from each other. */
  readonly apart_km?: number | undefined;
  /** Spots that are judged in full. */
  readonly judged?: number | undefined;
  /** GeoJSON file of ground cover. */
  readonly cover?: string | undefined;
  /** Those to be covered are inside a building, or stand in a wood so far from its edge. */
  readonly indoors?: 'traditional' | 'efficient' | undefined;
  readonly woods_m?: number | undefined;
  /** File of the solver's program, where it does not find it itself. */
  readonly solver?: string | undefined;
}

export interface FoundSpot {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  readonly height_m: number;
  /** Share of the area in plain line of sight, from sample points. */
  readonly openShare: number;
  readonly places: readonly string[];
  readonly winter: {
    readonly month: number;
    readonly open_h: number;
    readonly visible_h: number;
    readonly light_kWh_m2: number;
  };
  /** To the nearest path; null without paths. */
  readonly path_km: number | null;
  /** Links to the other chosen spots, kit to kit. */
  readonly links: readonly { readonly name: string; readonly margin_dB: number; readonly odds: number }[];
}

/** Result of `sunperch find`. */
export interface FindOutcome {
  readonly command: 'find';
  readonly verdict: string;
  readonly area: string;
  readonly area_km2: number;
  readonly kit: string;
  readonly to: string;
  /** Spots looked at, and judged in full. */
  readonly searched: number;
  readonly judged: number;
  readonly chosen: readonly FoundSpot[];
  /** What the set is chosen for: named places, or sample points of the area in line of sight. */
  readonly goal: 'places' | 'area';
  readonly targets: number;
  readonly covered: number;
  readonly missed: readonly string[];
  /** No choice among the judged spots covers more. */
  readonly bound: number;
  readonly gap: number;
  readonly cover: CoverOutcome | null;
  readonly indoors: 'traditional' | 'efficient' | null;
  readonly woods_m: number | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

const USUAL = { odds: 0.9, judged: 60, path_km: 0.3, apart_km: 1 };
/** Spots judged in full stand at least this far from each other, km. */
const GRAIN_km = 0.25;
const SKYLINE_km = 10;
const MOST_km = 45;

/** `sunperch find`: spots of the terrain for perches, and the best set of them that covers the places. */
export async function find(ports: Ports, request: FindRequest, terrain: Terrain): Promise<FindOutcome> {
  const {
    odds = USUAL.odds,
    judged = USUAL.judged,
    pathWithin_km = USUAL.path_km,
    apart_km = USUAL.apart_km,
    count,
  } = request;
  check(count, odds, judged, pathWithin_km, apart_km);
  const { indoors, woods_m } = request;
  oneCover({ '--cover': request.cover, '--woods': woods_m });
  const coverFile = await readCoverFile(ports, request.cover);
  const area = await readArea(ports, request.area);
  if (area.radius_km > MOST_km)
    throw userError(
      'find.area',
      `the area reaches ${figure(area.radius_km)} km from its middle: at most ${MOST_km} km`,
      {
        field: '--area',
      },
    );
  const places = request.places === undefined ? [] : readPlaces(await ports.readText(request.places), request.places);
  const lines =
    request.paths === undefined ? [] : readGeoJson(await ports.readText(request.paths), request.paths).lines;
  if (request.paths !== undefined && lines.length === 0)
    throw userError('find.paths', 'the file holds no line: paths are LineString or MultiLineString', {
      file: request.paths,
    });
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
  const far_km = Math.max(0, ...places.map((p) => roughly_km(area, p)));
  if (far_km > 60)
    throw userError('find.far', `a place lies ${figure(far_km)} km from the middle of the area: at most 60 km`, {
      file: request.places!,
    });
  const patch = await terrain.patch({
    area: boxAround(area, 1000 * Math.max(area.radius_km + SKYLINE_km, far_km + 1) + RIM_m),
    at: area,
  });
  const raster = coverFile && coverRaster(coverFile, patch);
  const ground = groundOf(patch, area, undefined, raster);
  const cover = coverFile && raster ? coverOutcome(coverFile, raster.kind) : null;
  const cells = cellsOf(ground, area);
  const allowed = request.paths === undefined ? undefined : nearLines(ground, lines, pathWithin_km);
  const rough = highestCells(ground, cells, allowed);
  if (rough.length < count)
    throw userError(
      'find.few',
      `${rough.length} spots lie in the area${request.paths === undefined ? '' : ` within ${pathWithin_km} km of the paths`}, ${count} are wanted: widen the area or --path-within`,
      { field: '--n' },
    );
  const radius_km = USUAL_AIR.effectiveRadius_km;
  const samples = samplePoints(ground, cells);
  const looked: RoughSpot[] = rough.map((place, i) => {
    if (i % 50 === 0) ports.progress(i, rough.length, 'of the spots');
    return lookAround(ground, place, samples, a.height_m, b.height_m, radius_km);
  });
  ports.progress(rough.length, rough.length, 'of the spots');

  // Those that see most of the area, and for each place those nearest of the ones that see it best.
  const widest = spread(ground, looked, (s) => s.openShare, GRAIN_km, judged);
  const forPlaces = places.flatMap((p) => {
    const target = ground.placeOf(p.latitude_deg, p.longitude_deg);
    const near = (s: RoughSpot) => -Math.hypot(s.place.row - target.row, s.place.column - target.column);
    return spread(ground, looked, near, GRAIN_km, 3);
  });
  const spots = [...new Set([...widest, ...forPlaces])];
  const stationAt = (name: string): Station => ({ ...a, name });
  const targets = places.map((p) => ({
    name: p.name,
    place: ground.placeOf(p.latitude_deg, p.longitude_deg),
    station: { ...b, height_m: p.height_m ?? b.height_m },
  }));
  const dark = darkestMonth(spotOf('area', area.latitude_deg, area.longitude_deg, spots[0]!.height_m).plan);
  const full = spots.map((spot, i) => {
    ports.progress(i, spots.length, 'of the spots judged in full');
    const [east_deg, latitude_deg] = ground.earthOf(spot.place.column, spot.place.row);
    // The raster runs on beyond the 180th meridian.
    const longitude_deg = nearLongitude_deg(east_deg, 0);
    const reached = targets.flatMap((t, k) => {
      const apart = Math.hypot(t.place.row - spot.place.row, t.place.column - spot.place.column);
      if (apart < 1) return [k];
      const link = linkOver(ground, spot.place, t.place, linkScale(a, t.station, 0, radius_km, { indoors, woods_m }));
      return link !== null && link.odds >= odds ? [k] : [];
    });
    const sky = skylineOf(ground, spot.place, a.height_m, SKYLINE_km, 180);
    const sun = sunMonths(latitude_deg, longitude_deg, sky.elevation_deg)[dark - 1]!;
    return { spot, latitude_deg, longitude_deg, reached, sky, sun };
  });
  ports.progress(spots.length, spots.length, 'of the spots judged in full');

  const byPlaces = places.length > 0;
  const longest = Math.max(1e-9, ...full.map((f) => f.sun.visible_h));
  const widestShare = Math.max(1e-9, ...full.map((f) => f.spot.openShare));
  const merit = full.map((f) => (f.sun.visible_h / longest + f.spot.openShare / widestShare) / 2);
  const weights = new Array<number>(byPlaces ? places.length : samples.length).fill(1);
  const covers = full.map((f) => (byPlaces ? f.reached : f.spot.sees));
  const conflicts = closePairs(ground, spots, apart_km);
  const choice = await chooseCover(covers, weights, count, merit, conflicts, { wasm: request.solver });
  if (choice === null)
    throw userError(
      'find.apart',
      `no ${count} of the spots stand ${apart_km} km from each other: ask for fewer, or a smaller --apart`,
      {
        field: '--apart',
      },
    );
  const names = choice.chosen.map((_, i) => `spot ${i + 1}`);
  const chosen = choice.chosen.map((c, i): FoundSpot => {
    const { spot, latitude_deg, longitude_deg, reached, sky, sun } = full[c]!;
    const record = spotOf(names[i]!, latitude_deg, longitude_deg, spot.height_m, skylinePairs(sky.elevation_deg, 4));
    return {
      name: names[i]!,
      latitude_deg,
      longitude_deg,
      ground_m: spot.height_m,
      height_m: a.height_m,
      openShare: spot.openShare,
      places: reached.map((k) => places[k]!.name),
      winter: {
        month: dark,
        open_h: sun.open_h,
        visible_h: sun.visible_h,
        light_kWh_m2: spotLight_kWh_m2_day(kit, record)[dark - 1]! * daysOf(dark),
      },
      path_km: lines.length > 0 ? lineDistance_km(ground, spot.place, lines) : null,
      links: choice.chosen.flatMap((d, j) => {
        if (j === i) return [];
        const link: LinkOver | null = linkOver(
          ground,
          spot.place,
          full[d]!.spot.place,
          linkScale(stationAt(names[i]!), stationAt(names[j]!), 0, radius_km),
        );
        return link === null ? [] : [{ name: names[j]!, margin_dB: link.margin_dB, odds: link.odds }];
      }),
    };
  });
  const covered = new Set(choice.chosen.flatMap((c) => [...covers[c]!]));
  return {
    command: 'find',
    verdict: verdict(chosen, byPlaces, choice.covered, weights.length, choice.gap),
    area: area.text,
    area_km2: cells.area_km2,
    kit: a.kit,
    to: b.kit,
    searched: rough.length,
    judged: spots.length,
    chosen,
    goal: byPlaces ? 'places' : 'area',
    targets: weights.length,
    covered: choice.covered,
    missed: byPlaces ? places.filter((_, k) => !covered.has(k)).map((p) => p.name) : [],
    bound: choice.bound,
    gap: choice.gap,
    cover,
    indoors: indoors ?? null,
    woods_m: woods_m ?? null,
    notes: [...patch.notes, ...(coverFile && cover ? coverNotes(coverFile, cover) : [])],
    assumptions: [
      ...assumptions,
      ...(coverFile?.assumptions ?? []),
      ...(request.odds === undefined && byPlaces
        ? [{ field: '--odds', value: '90 %', why: 'a place counts when it is reached with these odds' }]
        : []),
      {
        field: 'search',
        value: `${rough.length} spots, the highest of each block of the area; ${spots.length} judged in full`,
        why: 'the gap is against the judged spots; a spot that was not looked at may be better',
      },
    ],
    cautions: [
      ...(cover === null ? [] : [COVER_CAUTION]),
      {
        code: 'look-on-the-spot',
        text: 'A spot on the map is a proposal: rock, snow, avalanches, owners, protected areas and power lines decide on the spot.',
      },
    ],
  };
}

function closePairs(ground: Ground, spots: readonly RoughSpot[], apart_km: number): [number, number][] {
  const pairs: [number, number][] = [];
  spots.forEach((a, i) => {
    for (let j = 0; j < i; j++)
      if (polarOf(ground.ground.frame, a.place, spots[j]!.place).distance_km < apart_km) pairs.push([j, i]);
  });
  return pairs;
}

function check(count: number, odds: number, judged: number, pathWithin_km: number, apart_km: number): void {
  const fault = (field: string, message: string) => userError('find.range', message, { field });
  if (!(Number.isInteger(count) && count >= 1 && count <= 20))
    throw fault('--n', `--n is ${count}: 1 to 20 perches are chosen`);
  if (!(odds >= 0.5 && odds <= 0.999)) {
    const share = odds > 1 && odds < 100 ? `; it is a share, ${odds} % are ${odds / 100}` : '';
    throw fault('--odds', `--odds is ${odds}: it lies between 0.5 and 0.999${share}`);
  }
  if (!(judged >= count && judged <= 300))
    throw fault('--judged', `--judged is ${judged}: it lies between --n and 300`);
  if (!(apart_km >= 0 && apart_km <= 50))
    throw fault('--apart', `--apart is ${apart_km} km: it lies between 0 and 50 km`);
  if (!(pathWithin_km >= 0.02 && pathWithin_km <= 20))
    throw fault('--path-within', `--path-within is ${pathWithin_km} km: it lies between 0.02 and 20 km`);
}

function verdict(chosen: readonly FoundSpot[], byPlaces: boolean, covered: number, of: number, gap: number): string {
  const what = byPlaces
    ? `${covered} of ${of} places`
    : `${figure((100 * covered) / Math.max(1, of), 2)} % of the area in line of sight`;
  const proved =
    gap === 0
      ? 'no other choice among the spots judged covers more'
      : `at most ${figure(100 * gap, 2)} % below the best choice`;
  const sun = chosen.map((c) => c.winter.visible_h);
  return `${chosen.length === 1 ? 'One perch covers' : `${chosen.length} perches cover`} ${what} (${proved}); in the middle of ${MONTHS[chosen[0]!.winter.month - 1]} ${chosen.length === 1 ? 'it has' : 'they have'} ${[...new Set([figure(Math.min(...sun), 2), figure(Math.max(...sun), 2)])].join(' to ')} h of sun.`;
}
